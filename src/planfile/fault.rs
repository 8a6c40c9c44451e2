//! One thing wrong in a plan file: where, what, and what would be right. The words are
//! made here alone, with the key for who reads the file and the label for who fills
//! in the form.

use std::{borrow::Cow, ops::Range};

use chrono::{NaiveDate, NaiveTime};

use super::{
    hours::HoursError,
    key::{Table, Value},
    schema::{SESSIONS_EXAMPLE, hours_example},
};
use crate::{
    shape::{Kind, OutlineError, ShapeError},
    units::{QuantityError, time_of_day, zone::Skipped},
};

/// One thing wrong in a plan file.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// The bytes of the file it is about; where a key is missing, those of its table.
    pub span: Range<usize>,
    /// The key it is about, where it is about one.
    pub key: Option<String>,
    /// What is wrong.
    pub wrong: Wrong,
}

/// What is wrong, with the values that show it.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are the values that the words below name")]
pub enum Wrong {
    /// No TOML, in the parser's words.
    Syntax(String),
    /// How much, where how many is asked.
    NotHowMuch {
        /// As it was written.
        text: String,
        /// A number.
        example: &'static str,
    },
    /// Several names in one text.
    Together {
        /// As it was written.
        text: String,
        /// The names, with the quotes between them.
        parts: String,
    },
    /// A text in quotes that the format does not have, or in none, where one stands.
    Quotes {
        /// Whether they are curly.
        curly: bool,
    },
    /// A file that nobody writes by hand.
    TooLong { what: &'static str, bytes: usize },
    /// A list with more entries than a plan may have.
    TooMany { found: usize, most: usize },
    /// A key that the table does not have.
    NoSuchKey { table: String, near: Option<&'static str>, known: Vec<&'static str> },
    /// A key that must be there.
    Missing { table: String, example: &'static str },
    /// A text or a list with nothing in it.
    Empty { example: &'static str },
    /// A value of another kind.
    Kind { is: &'static str, wanted: &'static str, example: String },
    /// A whole number beyond its bounds.
    Count { low: u32, high: u32 },
    /// A coordinate beyond all bounds.
    Number { most: f64 },
    /// A text that is no quantity.
    Quantity { error: QuantityError, example: &'static str },
    /// A quantity beyond its bounds.
    Range { text: String, range: &'static str, example: &'static str },
    /// A name that nothing has.
    Name { text: String, near: Option<String>, known: Vec<String> },
    /// A zone that does not exist.
    Zone { name: String, near: Option<&'static str> },
    /// A text that is no hours, or no days of the calendar.
    Hours { error: HoursError, example: &'static str },
    /// A text that is no days of the week.
    Days { error: HoursError, example: &'static str },
    /// No age in years or months.
    Age { example: &'static str },
    /// No number of days, or one beyond its bounds.
    DayCount { text: String, low: u32, high: u32, example: &'static str },
    /// A text that is not what it must be: a time of day.
    NotA { what: &'static str, text: String, example: &'static str },
    /// Neither one for each child nor a number.
    Blocks,
    /// A day without a time.
    NoTime { example: &'static str },
    /// A time without a day.
    NoDay { example: &'static str },
    /// A shape of the tables with a size that does not fit.
    NoSize { text: String, kind: Option<&'static str> },
    /// Too few or too many points.
    Points { found: usize, example: &'static str },
    /// Not two numbers.
    Point,
    /// Points that make no outline.
    Outline { error: OutlineError, points: Vec<[f64; 2]>, example: &'static str },
    /// What planning says of a plan that can be read and not be planned.
    Planning(String),
    /// A value that is sound by itself and does not go with the others.
    Rule(Rule),
}

/// A rule of the plan that a value breaks.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are the values that the words below name")]
pub enum Rule {
    /// A key that does not go with the word of another one.
    BelongsTo { other: &'static str, words: &'static [&'static str] },
    /// A key in two spellings.
    SpelledTwice(&'static str),
    /// `[hours]` lacks the place that things belong to.
    NoPlace(&'static str),
    /// Two things of a kind with one name.
    SameName { table: Table, name: String },
    /// Neither ice nor ornaments.
    NothingToPrepare,
    /// An ice activity without a session.
    NoSession,
    /// A day on which class is closed.
    ClosedSession(NaiveDate),
    /// A day of giving on which class is closed.
    ClosedGiving(NaiveDate),
    /// A time at which she is away.
    Away(NaiveDate),
    /// An hour after which no work is done, that is not after the first.
    NoHours,
    /// Children who need longer than class is open, in minutes.
    TurnsTooLong { minutes: i64, open: i64 },
    /// Turns at blocks of which every child has one.
    NoTurns,
    /// A window as large as its piece, millimetres.
    NoRim { across_mm: f64 },
    /// A day on which the group does not meet.
    DoesNotMeet { group: String, day: NaiveDate, days: String },
    /// A time at which the place is not open.
    OutsideHours { time: NaiveTime, place: String },
    /// A time that a clock change leaves out.
    Skipped(Skipped),
    /// A week of giving without the group.
    NoClassBefore { group: String, day: NaiveDate },
    /// Water above the rim.
    FillTooDeep,
    /// A depth of the water in a mould whose own depth is not known.
    FillAlone,
    /// A depth that is more than the other sizes give.
    DepthBeyond { words: &'static str, millimetres: f64 },
    /// A depth that is not the one in the shape.
    DepthTwice { millimetres: f64 },
    /// Sizes or a volume that no mould has.
    Shape(ShapeError),
    /// A mould out of all bounds, as deep as this and holding so much.
    MouldBounds { deep_mm: f64, holds_ml: f64 },
    /// Two ways to say a shape.
    ShapeAndOutline,
    /// A volume that is not the drawing's, which holds so many millilitres.
    Volume { drawn_ml: f64 },
}

/// The line that a byte of a text stands on, counted from one.
pub fn line_of(text: &[u8], at: usize) -> usize {
    text.iter().take(at).filter(|byte| **byte == b'\n').count() + 1
}

/// How words name the key of a fault.
#[derive(Debug, Clone, Copy)]
pub enum Named<'a> {
    /// As the file has it.
    Key(&'a str),
    /// As the form calls it, which asks for it in this table.
    Label(&'a str, Table),
}

impl Named<'_> {
    fn name(self) -> String {
        match self {
            Self::Key(key) => format!("`{key}`"),
            Self::Label(label, _) => format!("“{label}”"),
        }
    }

    /// Another key of the same table.
    fn other(self, key: &str) -> String {
        let asked = |table: Table| table.key(key).map(|row| row.label);
        match self {
            Self::Label(_, table) => {
                format!("“{}”", asked(table).filter(|label| !label.is_empty()).unwrap_or(key))
            }
            Self::Key(_) => format!("`{key}`"),
        }
    }

    /// A value for another key of the same table.
    fn set(self, key: &str, value: &str) -> String {
        match self {
            Self::Key(_) => format!("`{key} = {value}`"),
            Self::Label(..) => format!("“{}” in {}", value.trim_matches('"'), self.other(key)),
        }
    }

    /// A word that another key of the same table may have.
    fn word(self, key: &str, word: &'static str) -> &'static str {
        let Self::Label(_, table) = self else { return word };
        let Some(Value::Word(words)) = table.key(key).map(|row| row.value) else { return word };
        words().into_iter().find(|(known, _)| *known == word).map_or(word, |(_, said)| said)
    }

    fn is_label(self) -> bool {
        matches!(self, Self::Label(..))
    }

    /// The beginning of a sentence that need not be said beside the field itself.
    fn about(self) -> String {
        match self {
            Self::Key(key) => format!("`{key}`: "),
            Self::Label(..) => String::new(),
        }
    }

    /// What to do where nothing stands. A day in an example is another day than hers.
    fn wanted(self, example: &str) -> String {
        let is_day = example.get(..10).is_some_and(|day| day.parse::<NaiveDate>().is_ok());
        match self {
            Self::Key(_) => format!("add {}", self.example(example)),
            Self::Label(..) if is_day && example.len() > 10 => "choose a day and a time".to_owned(),
            Self::Label(..) if is_day => "choose a day".to_owned(),
            Self::Label(..) if example.starts_with('{') => "fill in one row at least".to_owned(),
            Self::Label(..) => format!("as in {}", self.example(example)),
        }
    }

    /// An example: as a line of the file, or as it is typed into the field.
    fn example(self, value: &str) -> String {
        match self {
            Self::Key(key) => format!("`{key} = {value}`"),
            Self::Label(..) => format!("“{}”", bare(value)),
        }
    }
}

/// A value of the file as it is typed into a field: without its quotes.
fn bare(value: &str) -> &str {
    let one = value.strip_prefix("[\"").and_then(|rest| rest.strip_suffix("\"]"));
    one.unwrap_or_else(|| value.trim_matches('"'))
}

/// A list of names longer than this is no help.
const MOST_NAMED: usize = 60;

impl Fault {
    /// A fault of a key.
    pub fn of(span: Range<usize>, key: &str, wrong: Wrong) -> Self {
        Self { span, key: Some(key.to_owned()), wrong }
    }

    /// A fault of a whole table or file.
    pub fn whole(span: Range<usize>, wrong: Wrong) -> Self {
        Self { span, key: None, wrong }
    }

    /// The line it begins on, counted from one.
    pub fn line(&self, text: &str) -> usize {
        line_of(text.as_bytes(), self.span.start)
    }

    /// The key that is missing, where one is.
    pub fn missing(&self) -> Option<&str> {
        self.key.as_deref().filter(|_| matches!(self.wrong, Wrong::Missing { .. }))
    }

    /// What is wrong, for who reads the file.
    pub fn message(&self) -> String {
        self.wrong.message(self.named())
    }

    /// What would be right, for who reads the file, where that can be said.
    pub fn help(&self) -> Option<String> {
        self.wrong.help(self.named())
    }

    fn named(&self) -> Named<'_> {
        Named::Key(self.key.as_deref().unwrap_or_default())
    }
}

impl Wrong {
    /// What is wrong.
    pub fn message(&self, key: Named<'_>) -> String {
        let (name, about) = (key.name(), key.about());
        match self {
            Self::Syntax(said) | Self::Planning(said) => said.clone(),
            Self::Quotes { curly: true } => "these quotes are curly".to_owned(),
            Self::Quotes { curly: false } => "this is in no quotes".to_owned(),
            Self::TooLong { what, bytes } => format!("{what} has {bytes} bytes, which is too long"),
            Self::TooMany { found, .. } => format!("there are {found} of {name}"),
            Self::NoSuchKey { .. } if key.is_label() => {
                format!("the text has a line {name} here that means nothing")
            }
            Self::NoSuchKey { table, .. } => format!("{table} has no key {name}"),
            Self::Missing { table, .. } => match key {
                Named::Key(_) => format!("{table} has no {name}"),
                Named::Label(..) => format!("{name} is empty"),
            },
            Self::Empty { .. } => format!("{name} is empty"),
            Self::Kind { is, wanted, .. } => format!("{name} is {is}, and must be {wanted}"),
            Self::Count { .. } => format!("{name} is out of range"),
            Self::NotHowMuch { text, .. } => format!("{about}“{text}” is how much, not how many"),
            Self::Number { .. } => format!("{about}this number is out of range"),
            Self::Quantity { error, .. } => format!("{about}{error}"),
            Self::Range { text, .. } => format!("{name} is {text}, which is out of range"),
            Self::Name { text, .. } => format!("{about}“{text}” is not known"),
            Self::Together { text, .. } => format!("{about}“{text}” is several names in one"),
            Self::Zone { name, .. } => format!("{about}there is no zone “{name}”"),
            Self::Hours { error: HoursError::NotHours(text), .. } if key.is_label() => half(text),
            Self::Hours { error, .. } | Self::Days { error, .. } => format!("{about}{error}"),
            Self::Age { .. } => format!("{name} is not an age in years or months"),
            Self::DayCount { text, .. } => format!("{about}“{text}” is not a number of days"),
            Self::NotA { what, text, .. } => format!("{about}“{text}” is not {what}"),
            Self::Blocks => format!("{name} is not known"),
            Self::NoTime { .. } => format!("{name} needs a day and a time"),
            Self::NoDay { .. } => format!("{name} is not a day"),
            Self::NoSize { text, .. } => format!("{about}“{text}” has no size that fits"),
            Self::Points { found, .. } => format!("{name} has {found} different points in a row"),
            Self::Point => format!("{about}this is not a point"),
            Self::Outline { error, points, .. } => format!("{about}{}", outline(*error, points)),
            Self::Rule(rule) => rule.message(key),
        }
    }

    /// What would be right, where that can be said.
    pub fn help(&self, key: Named<'_>) -> Option<String> {
        let example = |value: &str| format!("for example {}", key.example(value));
        Some(match self {
            Self::Syntax(_) | Self::Planning(_) => return None,
            Self::Quotes { curly: true } => {
                "type straight ones, as in `title = \"Forest fortnight\"`".to_owned()
            }
            Self::Quotes { curly: false } => {
                "put it in straight quotes; a date has none and is written year first, as in \
                 2026-12-09T09:30:00"
                    .to_owned()
            }
            Self::TooLong { .. } => "a file has at most 1 MiB".to_owned(),
            Self::TooMany { most, .. } => format!("a file has at most {most}; make two of it"),
            // What is like another word in its letters may mean something else.
            Self::NoSuchKey { .. } if key.is_label() => "take it out under “As text”".to_owned(),
            Self::NoSuchKey { table, near, known } => {
                let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
                format!("{near}{table} may have {}", known.join(", "))
            }
            Self::Missing { example, .. } => key.wanted(example),
            Self::Empty { example } | Self::NoDay { example } => {
                format!("write {}", key.example(example))
            }
            Self::Kind { example, .. } => format!("write {}", key.example(example)),
            Self::Count { low, high } => format!("a whole number from {low} to {high}"),
            Self::NotHowMuch { text, example: number } => format!(
                "what each holds is {}; how many there are is {}",
                match key {
                    Named::Key(_) => format!("`volume = \"{text}\"`"),
                    Named::Label(..) => format!("“{text}” in a field of its own"),
                },
                key.example(number)
            ),
            Self::Number { most } => {
                format!("a number between -{most} and {most}, for example 4.5")
            }
            Self::Range { range, example: value, .. } => format!("{range}; {}", example(value)),
            Self::Together { parts, .. } => format!("write \"{parts}\""),
            Self::Name { near: Some(near), .. } => format!("did you mean “{near}”?"),
            Self::Name { known, .. } => names(key, known),
            Self::Zone { near: Some(near), .. } => format!("did you mean “{near}”?"),
            Self::Zone { .. } => {
                "use an IANA name such as “America/Denver” or “Europe/Vienna”".into()
            }
            Self::Hours { error: HoursError::EitherHalf { morning, evening, .. }, .. } => {
                format!("write {morning} or {evening}")
            }
            Self::Hours { error: HoursError::NotHours(_), .. } if key.is_label() => return None,
            Self::Hours { example, .. } => match key {
                Named::Key(_) => format!("for example \"{example}\""),
                Named::Label(..) => format!("for example “{example}”"),
            },
            Self::DayCount { low, high, example: value, .. } => {
                format!("from {low} to {high} days; {}", example(value))
            }
            Self::Quantity { error, .. } if key.is_label() && error.says_what_to_type() => {
                return None;
            }
            Self::Quantity { example: value, .. }
            | Self::Days { example: value, .. }
            | Self::NotA { example: value, .. }
            | Self::NoTime { example: value } => example(value),
            Self::Age { example: value } => {
                format!("{} or {}", example(value), key.example("\"30 months\""))
            }
            Self::Blocks => format!("write {} or a number", key.example("\"each\"")),
            Self::NoSize { text, kind } => {
                let (takes, value) = sizes(text, *kind);
                format!("{takes}; {}", example(&value))
            }
            Self::Points { example: value, .. } => {
                format!("an outline has 3 to 500 points; {}", example(value))
            }
            Self::Point => {
                "a point is two numbers in square brackets, for example `[4.5, 0]`".into()
            }
            Self::Outline { example: value, .. } => {
                format!("list the points in order round the pan; {}", example(value))
            }
            Self::Rule(rule) => rule.help(key).into_owned(),
        })
    }
}

/// The names that there are.
fn names(key: Named<'_>, known: &[String]) -> String {
    match known.len() {
        0 => format!("the plan has no {} yet", key.name().trim_matches(['`', '“', '”'])),
        names if names > MOST_NAMED => format!("it is none of {names} names"),
        _ => format!("it is one of {}", known.join(", ")),
    }
}

/// How many sizes a shape takes, and a value that has them.
fn sizes(text: &str, kind: Option<&str>) -> (String, String) {
    match kind.and_then(Kind::named) {
        Some(kind) => {
            let sizes: Vec<&str> = kind.fields.iter().map(|field| field.words).collect();
            let value = format!("\"{} {}\"", kind.spoken(), kind.example);
            (format!("it takes {}", sizes.join(" x ")), value)
        }
        None => {
            let word = text.split(char::is_numeric).next().unwrap_or_default().trim();
            ("one size across".to_owned(), format!("\"{word} 9 cm\""))
        }
    }
}

/// What is not said yet of hours of which the form has days to tick and two times.
fn half(text: &str) -> String {
    let (days, times) = text.rsplit_once(' ').unwrap_or(("", text));
    let [days, times] = [days, times].map(str::trim);
    let (from, until) = times.split_once(['-', '–']).unwrap_or((times, ""));
    let is_time = |text: &str| text.is_empty() || time_of_day(text).is_some();
    let lacks = match (days.parse::<super::Days>().is_ok(), from.is_empty(), until.is_empty()) {
        _ if !is_time(from) || !is_time(until) => None,
        (false, false, false) => Some("tick the days they are for"),
        (true, false, true) => Some("say until when"),
        (true, true, false) => Some("say from when"),
        (true, true, true) => Some("say from when until when"),
        _ => None,
    };
    match lacks {
        Some(lacks) => format!("“{text}” is not hours yet: {lacks}"),
        None => HoursError::NotHours(text.to_owned()).to_string(),
    }
}

impl Rule {
    fn message(&self, key: Named<'_>) -> String {
        let name = key.name();
        match self {
            Self::BelongsTo { other, words } if key.is_label() => {
                let words = words.iter().map(|word| key.word(other, word)).collect::<Vec<_>>();
                format!("{name} goes with {} “{}”", key.other(other), words.join("” or “"))
            }
            Self::BelongsTo { other, words } => {
                format!("{name} belongs to {other} “{}”", words.join("” or “"))
            }
            Self::SpelledTwice(name) => {
                format!("the file spells `{name}` in two ways, and only one is read")
            }
            Self::NoPlace(place) if key.is_label() => {
                format!("no hours are said for “{place}”, where this belongs")
            }
            Self::NoPlace(place) => format!("[hours] has no `{place}`, where this belongs"),
            Self::SameName { table, name } if key.is_label() => {
                format!("another {} is called “{name}” too", table.rows().one.to_lowercase())
            }
            Self::SameName { table, name } => {
                format!("two [[{}]] are called “{name}”", table.word())
            }
            Self::NothingToPrepare => "the plan has nothing to prepare".to_owned(),
            Self::NoSession if key.is_label() => "it has no session yet".to_owned(),
            Self::NoSession => "this `ice` has no session".to_owned(),
            Self::ClosedSession(day) | Self::ClosedGiving(day) => {
                format!("class is closed on {day}")
            }
            Self::Away(day) if key.is_label() => format!("you are away on {day}, or a part of it"),
            Self::Away(day) => format!("{day} is a day, or a part of one, that is under `away`"),
            Self::NoHours => format!("{name} is not after {}", key.other("earliest")),
            Self::TurnsTooLong { minutes, open } => format!(
                "all children take {minutes} min in turns, and class is open for {open} min from \
                 then on"
            ),
            Self::NoTurns => format!("{name} goes with blocks that are shared"),
            Self::NoRim { across_mm } => {
                format!("{name} leaves no rim on a piece of {across_mm:.0} mm")
            }
            Self::DoesNotMeet { group, day, .. } => {
                format!("{group} does not meet on {}", day.format("%A %Y-%m-%d"))
            }
            Self::OutsideHours { time, place } => {
                format!("{} is outside the hours of {place}", time.format("%H:%M"))
            }
            Self::Skipped(skipped) => skipped.to_string(),
            Self::NoClassBefore { group, day } => {
                format!("{group} has no class in the week up to {day}")
            }
            Self::FillTooDeep => format!("{name} is deeper than the mould"),
            Self::FillAlone => format!("{name} says nothing of a mould whose depth is not known"),
            Self::DepthBeyond { words, millimetres } => {
                format!("{name} is more than {words} of this size has: {millimetres:.1} mm")
            }
            Self::DepthTwice { millimetres } => {
                format!("{name} is not the {millimetres:.1} mm that {} says", key.other("shape"))
            }
            Self::Shape(error) => format!("{name}: {error}"),
            Self::MouldBounds { deep_mm, holds_ml } => {
                format!("this mould is {deep_mm:.1} mm deep and holds {holds_ml:.1} mL")
            }
            Self::ShapeAndOutline if key.is_label() => {
                "this mould is drawn in the text too, and has one shape".to_owned()
            }
            Self::ShapeAndOutline => "a mould has `shape` or `outline`, not both".to_owned(),
            Self::Volume { .. } => format!("{name} does not fit `size` and `depth`"),
        }
    }

    fn help(&self, key: Named<'_>) -> Cow<'static, str> {
        match self {
            Self::BelongsTo { .. } if key.is_label() => "empty it, or choose one of these".into(),
            Self::BelongsTo { .. } => "remove it".into(),
            Self::SpelledTwice(_) => "keep to one of them".into(),
            Self::NoPlace(place) if key.is_label() => {
                format!("say them under “Hours”, for example “{}”", hours_example(place)).into()
            }
            Self::NoPlace(place) => {
                format!("add `{place} = [\"{}\"]` under [hours]", hours_example(place)).into()
            }
            Self::SameName { name, .. } => {
                format!("give each its own name, for example “{name} 2”").into()
            }
            Self::NothingToPrepare if key.is_label() => "add ice or ornaments".into(),
            Self::NothingToPrepare => "add an [[ice]] or an [[ornament]]".into(),
            Self::NoSession if key.is_label() => "add one with “Another session”".into(),
            Self::NoSession => format!("add `session = {SESSIONS_EXAMPLE}`").into(),
            Self::ClosedSession(_) => "choose another day".into(),
            Self::ClosedGiving(_) => "choose the last day before it closes".into(),
            Self::Away(_) if key.is_label() => "choose another day, or be away for less".into(),
            Self::Away(_) => "choose another day, or shorten `away`".into(),
            Self::NoHours => {
                format!("write a later hour, for example {}", key.set("latest", "\"21:30\"")).into()
            }
            Self::TurnsTooLong { .. } => format!(
                "more blocks, more children at one ({}), shorter turns, or begin earlier",
                key.other("at_once")
            )
            .into(),
            Self::NoTurns => {
                let blocks = key.set("blocks", "4");
                format!("remove it, or write a number of blocks, as in {blocks}").into()
            }
            Self::NoRim { .. } => {
                "leave at least 5 mm and a twentieth of the piece on each side".into()
            }
            Self::DoesNotMeet { days, .. } => format!("its days are {days}").into(),
            Self::OutsideHours { .. } => "move the session, or give the place longer hours".into(),
            Self::Skipped(_) => "move the session".into(),
            Self::NoClassBefore { .. } => "choose a day in a week in which the group meets".into(),
            Self::FillTooDeep => format!(
                "fill to at most nine tenths of {}: ice takes a tenth more room than water",
                key.other("depth")
            )
            .into(),
            Self::FillAlone => format!("add {}", key.set("depth", "\"35 mm\"")).into(),
            Self::DepthBeyond { .. } => format!(
                "leave {} out, since the shape says it, or measure {} again",
                key.other("depth"),
                match key {
                    Named::Key(_) => "`volume`",
                    Named::Label(..) => "what it holds",
                }
            )
            .into(),
            Self::Shape(_) => "measure the mould again: what it holds, across and deep".into(),
            Self::MouldBounds { .. } => {
                "a mould is between 3 mm and 400 mm deep and takes between 1 mL and 20 L".into()
            }
            Self::ShapeAndOutline | Self::DepthTwice { .. } => "leave one of them out".into(),
            Self::Volume { drawn_ml } => format!(
                "drawn at this size and depth it holds {drawn_ml:.0} mL; measure all three again"
            )
            .into(),
        }
    }
}

/// What is wrong with an outline; sides that meet are told by their points.
fn outline(error: OutlineError, points: &[[f64; 2]]) -> String {
    let side = |number: usize| {
        let at = |n: usize| points.get(n % points.len()).map_or([f64::NAN; 2], |point| *point);
        format!("{:?} to {:?}", at(number - 1), at(number))
    };
    match error {
        OutlineError::Crossing(a, b) => format!(
            "the outline crosses or touches itself: the side from {} meets the side from {}",
            side(a),
            side(b)
        ),
        other => other.to_string(),
    }
}

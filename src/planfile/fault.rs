//! One thing wrong in a plan file: where, what, and what would be right. The words are
//! made here alone, with the key for who reads the file and the label for who fills
//! in the form.

use std::ops::Range;

use super::{hours::HoursError, key::Table, named::Named, rule::Rule};
use crate::{
    shape::{Kind, OutlineError},
    units::{QuantityError, time_of_day},
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
    NoSuchKey {
        table: String,
        near: Option<&'static str>,
        known: Vec<&'static str>,
        /// The only table that has it.
        elsewhere: Option<Table>,
    },
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

/// The line that a byte of a text stands on, counted from one.
pub fn line_of(text: &[u8], at: usize) -> usize {
    text.iter().take(at).filter(|byte| **byte == b'\n').count() + 1
}

/// What is said of a point that is none.
const POINT: &str = "a point is two numbers in square brackets, for example `[4.5, 0]`";

/// What is said of a zone that nothing is like.
const ZONES: &str = "use an IANA name such as “America/Denver” or “Europe/Vienna”";

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
            Self::Planning(_) => return None,
            Self::Syntax(said) => written(said)?.to_owned(),
            Self::Quotes { curly } => straight(*curly).to_owned(),
            Self::TooLong { .. } => "a file has at most 1 MiB".to_owned(),
            Self::TooMany { most, .. } => format!("a file has at most {most}; make two of it"),
            // What is like another word in its letters may mean something else.
            Self::NoSuchKey { .. } if key.is_label() => "take it out under “As text”".to_owned(),
            Self::NoSuchKey { table, near, known, elsewhere } => {
                keys(key, table, *near, (known, *elsewhere))
            }
            Self::Missing { example, .. } => key.wanted(example),
            Self::Empty { example } | Self::NoDay { example } => {
                format!("write {}", key.example(example))
            }
            Self::Kind { example, .. } => format!("write {}", key.example(example)),
            Self::Count { low, high } => format!("a whole number from {low} to {high}"),
            Self::NotHowMuch { text, example } => key.how_many(text, example),
            Self::Number { most } => {
                format!("a number between -{most} and {most}, for example 4.5")
            }
            Self::Range { range, example: value, .. } => format!("{range}; {}", example(value)),
            Self::Together { parts, .. } => format!("write \"{parts}\""),
            Self::Name { near: Some(near), .. } => format!("did you mean “{near}”?"),
            Self::Zone { near: Some(near), .. } => format!("did you mean “{near}”?"),
            Self::Name { known, .. } => names(key, known),
            Self::Zone { .. } => ZONES.to_owned(),
            Self::Hours { error: HoursError::EitherHalf { morning, evening, .. }, .. } => {
                format!("write {morning} or {evening}")
            }
            Self::Hours { error: HoursError::NotHours(_), .. } if key.is_label() => return None,
            Self::Hours { example, .. } => format!("for example {}", key.quoted(example)),
            // A group that is there for a part of the day.
            Self::Days { error: HoursError::NotADay(word), example: value }
                if word.contains(':') =>
            {
                let [from, until] = ["from", "until"].map(|name| key.other(name));
                format!("its hours are said by {from} and {until}; {}", example(value))
            }
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
            Self::NoSize { text, kind } => sizes(key, text, *kind),
            Self::Points { example: value, .. } => {
                format!("an outline has 3 to 500 points; {}", example(value))
            }
            Self::Point => POINT.to_owned(),
            Self::Outline { example: value, .. } => {
                format!("list the points in order round the pan; {}", example(value))
            }
            Self::Rule(rule) => rule.help(key).into_owned(),
        })
    }
}

/// How that is written of which the parser says what is wrong with it; none of what it says well.
fn written(said: &str) -> Option<&'static str> {
    const HELP: [(&str, &str); 6] = [
        (
            "invalid date",
            "a month and a day have two digits, as in 2026-12-09T09:30:00 or 2026-12-09",
        ),
        (
            "invalid time",
            "an hour and a minute have two digits, as in 2026-12-09T09:30:00 or \"08:00\"",
        ),
        (
            "invalid basic string",
            "a text ends with the quote that it begins with, as in \"Otters\"",
        ),
        ("invalid boolean", BARE),
        ("invalid float", BARE),
        (
            "missing comma between array",
            "a list ends with a square bracket, and has commas between its entries",
        ),
    ];
    HELP.into_iter().find(|(begins, _)| said.starts_with(begins)).map(|(_, help)| help)
}

/// What is said of a word that stands alone.
const BARE: &str = "a number has digits, as in 4, and a text straight quotes, as in \"Otters\"";

/// Quotes as the format has them.
fn straight(curly: bool) -> &'static str {
    match curly {
        true => "type straight ones, as in `title = \"Forest fortnight\"`",
        false => {
            "put it in straight quotes; a date has none and is written year first, as in \
             2026-12-09T09:30:00"
        }
    }
}

/// The keys that there are, since what is like another word in its letters may mean something
/// else; the table that has it, where another one alone does.
fn keys(
    key: Named<'_>,
    table: &str,
    near: Option<&str>,
    (known, elsewhere): (&[&str], Option<Table>),
) -> String {
    let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    let listed = format!("{near}{table} may have {}", known.join(", "));
    match elsewhere.map(Table::begins) {
        Some(other) if known.is_empty() => format!("{} belongs under {other}", key.name()),
        Some(other) => format!("{other} has {}; {listed}", key.name()),
        None => listed,
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
fn sizes(key: Named<'_>, text: &str, kind: Option<&str>) -> String {
    let (takes, value) = match kind.and_then(Kind::named) {
        Some(kind) => {
            let sizes: Vec<&str> = kind.fields.iter().map(|field| field.words).collect();
            let value = format!("\"{} {}\"", kind.spoken(), kind.example);
            (format!("it takes {}", sizes.join(" x ")), value)
        }
        None => {
            let word = text.split(char::is_numeric).next().unwrap_or_default().trim();
            ("one size across".to_owned(), format!("\"{word} 9 cm\""))
        }
    };
    format!("{takes}; for example {}", key.example(&value))
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

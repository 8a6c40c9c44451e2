//! What a row of the [`schema`](super::schema) is made of.

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use crate::units::System;

/// How a key or a list is spelled in American English, where that differs.
pub(super) fn american(name: &str) -> Option<&'static str> {
    (name == "mould").then_some("mold")
}

/// The name that the schema has for a key, however it is spelled.
pub(super) fn schema_name(key: &str) -> &str {
    if key == "mold" { "mould" } else { key }
}

/// The value of a key, however it is spelled.
pub(super) fn look<'d>(table: &'d DeTable<'d>, name: &str) -> Option<&'d Spanned<DeValue<'d>>> {
    table.get(name).or_else(|| table.get(american(name)?))
}

/// A table of the plan file; the last is the file of a user's own pan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Table {
    /// The file itself.
    Plan,
    /// When hands are free.
    Hours,
    /// Hands that stay in a place.
    Hands,
    /// The air at home.
    Room,
    /// What makes a plan a good one for her.
    Wishes,
    /// Groups of children.
    Group,
    /// Freezers.
    Freezer,
    /// Ovens.
    Oven,
    /// Moulds.
    Mould,
    /// Ice activities.
    Ice,
    /// Sessions of an ice activity.
    Session,
    /// Batches of ornaments.
    Ornament,
    /// Titles over activities.
    Theme,
    /// A pan in a file of its own.
    Pan,
}

/// What the words of a choice mean: as the file has it, and as the page says it.
pub type Words = fn() -> Vec<(&'static str, &'static str)>;

/// The kind of a value.
#[derive(Debug, Clone, Copy)]
pub enum Value {
    /// Text on one line.
    Text,
    /// The name of a thing, which others may refer to.
    Name,
    /// The name of a time zone.
    Zone,
    /// An age in whole years.
    Age,
    /// Days of the week.
    Days,
    /// Two sides of a tray.
    Sides,
    /// A shape and its size.
    Shape,
    /// Points of an outline.
    Points,
    /// A quantity from the first to the second, and these bounds in words.
    Within(&'static str, &'static str, &'static str),
    /// A whole number from the first to the second.
    Count(u32, u32),
    /// One for each child, or a whole number.
    EachOrCount(u32, u32),
    /// A whole number, or a share.
    CountOrShare(u32, u32),
    /// One of some words.
    Word(Words),
    /// Some of some words, in their order, at most so many.
    Words(Words, usize),
    /// The name of a thing.
    Thing(Table),
    /// Names of things, at most so many.
    Things(&'static [Table], usize),
    /// The name of a place that `[hours]` has.
    Place,
    /// Hours of a place, at most so many entries.
    Openings(usize),
    /// Days, at most so many entries.
    Dates(usize),
    /// Days or parts of days, at most so many entries.
    Absences(usize),
    /// A time of day.
    Hour,
    /// A number of days from the first to the second.
    DayCount(u32, u32),
    /// Whether something is so.
    YesNo,
    /// Ids of steps, at most so many.
    Steps(usize),
    /// A day and a time.
    Moment,
    /// A day.
    Day,
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy)]
pub enum Need {
    /// It must.
    Needed,
    /// It must where another key is the first of these words, may where it is another
    /// one of them, and must not where it is any other word.
    With(&'static str, &'static [&'static str]),
    /// It must where another key is there.
    Beside(&'static str),
    /// It must where another key is not there.
    Unless(&'static str),
    /// This value stands for it, for this reason.
    Default(&'static str, &'static str),
    /// It may be left out, and then is not known.
    Optional,
}

/// A row: one key of one table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// The key.
    pub name: &'static str,
    /// What its value is.
    pub value: Value,
    /// Whether it must be there.
    pub need: Need,
    /// A valid value as the file writes it: what messages, hints and the starter show.
    pub example: &'static str,
    /// The example for who measures in this system, where it is another one.
    pub other: Option<(System, &'static str)>,
    /// What the page calls it; empty where the page does not ask for it. `{}` is the
    /// name of a place.
    pub label: &'static str,
    /// What the page says below it; `{}` are the examples.
    pub hint: &'static str,
    /// Whether the page refuses a number alone here, as the file does everywhere.
    pub says_unit: bool,
    /// What it begins with in a thing that the page adds, where it needs no value.
    pub new: Option<&'static str>,
    /// How it stands in the starter; none where it does not.
    pub starter: Option<Line>,
}

/// A line of the starter.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    /// Another value than the example.
    pub value: Option<&'static str>,
    /// The remark behind it.
    pub remark: &'static str,
    /// Whether the whole line is a remark.
    pub hidden: bool,
}

const PLAIN: Line = Line { value: None, remark: "", hidden: false };

/// A row with a line of its own in the starter.
pub(super) const fn key(
    name: &'static str,
    value: Value,
    need: Need,
    example: &'static str,
    label: &'static str,
) -> Key {
    let starter = Some(PLAIN);
    Key {
        name,
        value,
        need,
        example,
        other: None,
        label,
        hint: "",
        says_unit: false,
        new: None,
        starter,
    }
}

impl Key {
    /// The example in US units.
    pub(super) const fn us(self, example: &'static str) -> Self {
        Self { other: Some((System::Us, example)), ..self }
    }

    /// The example in metric units.
    pub(super) const fn metric(self, example: &'static str) -> Self {
        Self { other: Some((System::Metric, example)), ..self }
    }

    /// What the page says below it.
    pub(super) const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// A quantity whose unit is always typed.
    pub(super) const fn says_unit(self) -> Self {
        Self { says_unit: true, ..self }
    }

    /// What it begins with in a new thing.
    pub(super) const fn first(self, value: &'static str) -> Self {
        Self { new: Some(value), ..self }
    }

    /// The remark behind it in the starter.
    pub(super) const fn remark(self, remark: &'static str) -> Self {
        Self { starter: Some(Line { remark, ..PLAIN }), ..self }
    }

    /// Its value in the starter.
    pub(super) const fn starts(self, value: &'static str) -> Self {
        Self { starter: Some(Line { value: Some(value), ..PLAIN }), ..self }
    }

    /// A line of the starter that is itself a remark.
    pub(super) const fn hidden(self, remark: &'static str) -> Self {
        Self { starter: Some(Line { remark, hidden: true, ..PLAIN }), ..self }
    }

    /// No line of the starter.
    pub(super) const fn not_in_starter(self) -> Self {
        Self { starter: None, ..self }
    }

    /// The example for who measures in that system.
    pub fn example_in(&self, system: System) -> &'static str {
        self.other.filter(|(other, _)| *other == system).map_or(self.example, |(_, text)| text)
    }

    /// The unit of a number alone on the page: that of the example.
    pub fn unit_in(&self, system: System) -> Option<&'static str> {
        let measured = matches!(self.value, Value::Within(..) | Value::Age | Value::DayCount(..));
        let example = self.example_in(system).trim_matches('"');
        let at = example.find(|c: char| c.is_alphabetic() || c == '%');
        at.filter(|_| measured && !self.says_unit).and_then(|at| example.get(at..))
    }

    /// What the page says below it, with the examples.
    pub fn hint_words(&self) -> String {
        let plain = |text: &str| text.trim_matches('"').to_owned();
        let examples = match self.other {
            Some((_, other)) => format!("as in {} or {}", plain(self.example), plain(other)),
            None => format!("as in {}", plain(self.example)),
        };
        self.hint.replace("{}", &examples)
    }
}

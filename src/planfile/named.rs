//! How a fault names what it is about: as a key of the file, or as a field of the form.

use chrono::NaiveDate;

use super::key::{Table, Value};

/// How words name the key of a fault.
#[derive(Debug, Clone, Copy)]
pub enum Named<'a> {
    /// As the file has it.
    Key(&'a str),
    /// As the form calls it, which asks for it in this table.
    Label(&'a str, Table),
}

impl Named<'_> {
    pub(super) fn name(self) -> String {
        match self {
            Self::Key(key) => format!("`{key}`"),
            Self::Label(label, _) => format!("“{label}”"),
        }
    }

    /// Another key of the same table.
    pub(super) fn other(self, key: &str) -> String {
        let asked = |table: Table| table.key(key).map(|row| row.label);
        match self {
            Self::Label(_, table) => {
                format!("“{}”", asked(table).filter(|label| !label.is_empty()).unwrap_or(key))
            }
            Self::Key(_) => format!("`{key}`"),
        }
    }

    /// A value for another key of the same table.
    pub(super) fn set(self, key: &str, value: &str) -> String {
        match self {
            Self::Key(_) => format!("`{key} = {value}`"),
            Self::Label(..) => format!("“{}” in {}", value.trim_matches('"'), self.other(key)),
        }
    }

    /// A word that another key of the same table may have.
    pub(super) fn word(self, key: &str, word: &'static str) -> &'static str {
        let Self::Label(_, table) = self else { return word };
        let Some(Value::Word(words)) = table.key(key).map(|row| row.value) else { return word };
        words().into_iter().find(|(known, _)| *known == word).map_or(word, |(_, said)| said)
    }

    pub(super) fn is_label(self) -> bool {
        matches!(self, Self::Label(..))
    }

    /// The beginning of a sentence that need not be said beside the field itself.
    pub(super) fn about(self) -> String {
        match self {
            Self::Key(key) => format!("`{key}`: "),
            Self::Label(..) => String::new(),
        }
    }

    /// What to do where nothing stands. A day in an example is another day than hers.
    pub(super) fn wanted(self, example: &str) -> String {
        let is_day = example.get(..10).is_some_and(|day| day.parse::<NaiveDate>().is_ok());
        match self {
            Self::Key(_) => format!("add {}", self.example(example)),
            Self::Label(..) if is_day && example.len() > 10 => "choose a day and a time".to_owned(),
            Self::Label(..) if is_day => "choose a day".to_owned(),
            Self::Label(..) if example.starts_with('{') => "fill in one row at least".to_owned(),
            Self::Label(..) => format!("as in {}", self.example(example)),
        }
    }

    /// Where it is said how much, and where how many.
    pub(super) fn how_many(self, much: &str, number: &str) -> String {
        let each = match self {
            Self::Key(_) => format!("`volume = \"{much}\"`"),
            Self::Label(..) => format!("“{much}” in a field of its own"),
        };
        format!("what each holds is {each}; how many there are is {}", self.example(number))
    }

    /// A text: as the file has it, or as it is typed into the field.
    pub(super) fn quoted(self, text: &str) -> String {
        match self {
            Self::Key(_) => format!("\"{text}\""),
            Self::Label(..) => format!("“{text}”"),
        }
    }

    /// An example: as a line of the file, or as it is typed into the field.
    pub(super) fn example(self, value: &str) -> String {
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

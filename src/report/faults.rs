//! What is wrong with something typed: its field, its kind and its values, and the
//! words for whoever typed it, in a terminal or on a page.

use crate::{
    answers::{AskError, Field, Note, OutOfRange},
    shape::ShapeError,
    tables::UnknownName,
    units::{
        Locale, QuantityError, System, TimeError, celsius, hours, in_fahrenheit, in_inches, metres,
        millimetres, show_duration, show_length,
    },
};

/// For whom words are made, and so what a field is called.
#[derive(Debug, Clone, Copy)]
pub enum Reader<'a> {
    /// Who types options.
    Terminal,
    /// Who fills in a form; the labels of its fields, by their options, where they have any.
    Page(&'a [(&'a str, &'a str)]),
}

impl Reader<'_> {
    /// What a field is called, by its option without hyphens.
    pub fn field(self, option: &str) -> String {
        let Self::Page(labels) = self else { return format!("--{option}") };
        let label = labels.iter().find(|(known, label)| *known == option && !label.is_empty());
        format!("“{}”", label.map_or(option, |(_, label)| label))
    }

    /// A note of an answer.
    pub fn note(self, note: &Note) -> String {
        match self {
            Self::Terminal => note.clone().into(),
            Self::Page(_) => note.words.clone(),
        }
    }
}

/// Why the program has no answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What it is about, by the name of its option without hyphens; none where it is
    /// about no field in particular.
    pub field: Option<String>,
    /// What is wrong with it.
    pub wrong: Box<Wrong>,
}

/// Why a question cannot be answered, in the reader's units and spelling.
pub fn asked(error: &AskError, locale: Locale) -> Wrong {
    let words = match error {
        AskError::OutOfRange(range) => match between(range, locale) {
            Some(words) => return Wrong::Typed(words),
            None => range.to_string(),
        },
        AskError::Shape(ShapeError::TooDeep { fill, depth }) => {
            let [fill, depth] =
                [*fill, *depth].map(|mm| show_length(millimetres(mm), locale.units));
            format!("a fill of {fill} is deeper than the mould, {depth}")
        }
        error => error.to_string(),
    };
    Wrong::Said(locale.spelled(&words))
}

/// Between which values a field must lie, in the units of a reader who has others than the model;
/// none where these are told as they are.
fn between(range: &OutOfRange, locale: Locale) -> Option<String> {
    let OutOfRange { low, high, found, unit, .. } = *range;
    // Rounded inward, so that the ends that are told are right themselves; 392 °F are 391.999….
    let to = |round: fn(f64) -> f64, value: f64| round((1e6 * value).round() / 1e6);
    let at = |value: f64, round: fn(f64) -> f64| match (unit, locale.units) {
        ("°C", System::Us) => Some(format!("{} °F", to(round, in_fahrenheit(celsius(value))))),
        ("mm", System::Us) => {
            Some(format!("{} in", to(round, 100.0 * in_inches(millimetres(value))) / 100.0))
        }
        ("m", System::Us) => Some(format!("{} ft", to(round, in_inches(metres(value)) / 12.0))),
        ("h", System::Us) => Some(show_duration(hours(value))),
        _ => None,
    };
    let (low, high, found) = (
        at(low, f64::ceil)?,
        at(high, f64::floor)?,
        at(found, |value| (10.0 * value).round() / 10.0)?,
    );
    let what = if range.field == Field::By { "the wait " } else { "" };
    Some(format!("{what}must be between {low} and {high}, not {found}"))
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Wrong {
    /// It has no value and needs one.
    Missing,
    /// It is not read as a quantity.
    NoQuantity(QuantityError),
    /// It is not a whole number from `least` to `most`.
    NoCount {
        /// What was typed.
        typed: String,
        /// The lower limit.
        least: u32,
        /// The upper limit.
        most: u32,
    },
    /// It is none of a few words.
    NoneOf {
        /// What was typed.
        typed: String,
        /// The words.
        known: Vec<String>,
    },
    /// No row of a table has this name.
    NoName(UnknownName),
    /// It is not between two values.
    Outside {
        /// The values: `0.1 mL and 100 L`.
        range: &'static str,
        /// One that is right.
        example: &'static str,
    },
    /// A temperature where a kind of freezer is asked for.
    Warmth(String),
    /// Nothing says whether a piece is dried in an oven or in the room.
    NeitherOvenNorRoom,
    /// It is not a time that can be meant, told on this reader's clock.
    NoTime(TimeError, Locale),
    /// A time that is not later than that of another field.
    NotAfter {
        /// The other field.
        other: &'static str,
    },
    /// Said in words that go beside the field, or behind the name of its option.
    Typed(String),
    /// Said in a whole sentence that every reader understands.
    Said(String),
}

impl Refusal {
    /// About no field in particular.
    pub fn of(words: impl Into<String>) -> Self {
        Self { field: None, wrong: Box::new(Wrong::Said(words.into())) }
    }

    /// About a field.
    pub fn about(field: impl Into<String>, wrong: Wrong) -> Self {
        Self { field: Some(field.into()), wrong: Box::new(wrong) }
    }

    /// For who asked through a page that has no field for it.
    pub fn words(&self) -> String {
        self.on_a_page(&[])
    }

    /// For who typed the option `--FIELD`.
    pub fn in_a_terminal(&self) -> String {
        let field = self.field.as_deref().unwrap_or_default();
        match &*self.wrong {
            Wrong::NoName(_) | Wrong::Said(_) => self.words(),
            Wrong::NotAfter { other } => format!(
                "--{field} is not after --{other}; for example --{other} 20:00 --{field} 07:00"
            ),
            Wrong::Outside { range, example } => {
                format!("--{field} is between {range}; for example “{example}”")
            }
            Wrong::Warmth(typed) => format!(
                "--{field} is a kind, and “{typed}” is how cold its air is: --air=\"{typed}\""
            ),
            Wrong::NeitherOvenNorRoom => {
                "say the oven's setting, as in --oven \"200 F\", or dry it \
                                          in the room with --air-dry"
                    .to_owned()
            }
            _ => format!("--{field}: {}", self.words()),
        }
    }

    /// For who filled in a form: beside the field, without its name; other fields are
    /// called by their labels.
    pub fn on_a_page(&self, labels: &[(&str, &str)]) -> String {
        match &*self.wrong {
            Wrong::Missing => "empty, and needed for an answer".to_owned(),
            Wrong::NoQuantity(error) => error.to_string(),
            Wrong::NoCount { typed, least, most } => {
                format!("“{typed}” is not a whole number from {least} to {most}; for example 4")
            }
            Wrong::NoneOf { typed, known } => {
                format!("“{typed}” is none of: {}", known.join(", "))
            }
            Wrong::NoName(error) => error.to_string(),
            Wrong::Outside { range, example } => {
                format!("must be between {range}; for example “{example}”")
            }
            Wrong::NoTime(error, locale) => error.told(*locale),
            Wrong::Warmth(typed) => format!("“{typed}” is how cold its air is, and no kind"),
            Wrong::NeitherOvenNorRoom => {
                "say its setting, as in “200 F”, or dry it in the room".to_owned()
            }
            Wrong::NotAfter { other } => {
                format!("must be later than {}", Reader::Page(labels).field(other))
            }
            Wrong::Typed(words) | Wrong::Said(words) => words.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_fault_is_worded_for_its_reader() {
        let late = Refusal::about("by", Wrong::NotAfter { other: "at" });
        let labels = &[("at", "Filled at")];
        assert_eq!(
            late.in_a_terminal(),
            "--by is not after --at; for example --at 20:00 --by 07:00"
        );
        assert_eq!(late.on_a_page(labels), "must be later than “Filled at”");

        let salty = Wrong::Outside { range: "0 % and 20 %", example: "3 %" };
        let salty = Refusal::about("salt", salty);
        assert_eq!(salty.in_a_terminal(), "--salt is between 0 % and 20 %; for example “3 %”");
        assert_eq!(salty.on_a_page(labels), "must be between 0 % and 20 %; for example “3 %”");
    }
}

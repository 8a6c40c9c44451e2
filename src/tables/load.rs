//! Turns an embedded file into typed rows, and makes the row types.

use std::{collections::BTreeMap, sync::LazyLock};

use serde::de::DeserializeOwned;
use thiserror::Error;

use super::topics::TOPICS;

/// A table as parsed on first use.
pub(super) type Table<Row> = LazyLock<Result<Vec<Row>, TableError>>;

/// An embedded file that does not say what its rows need.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum TableError {
    /// Not TOML, a missing or unknown key, a value of the wrong kind.
    #[error("tables/{topic}.toml: {reason}")]
    Unreadable {
        /// The file's stem.
        topic: &'static str,
        /// What the parser says, with the line.
        reason: String,
    },
    /// No such file is embedded.
    #[error("there is no table “{0}”")]
    NoSuchTable(&'static str),
}

/// The typed rows of one topic.
pub(super) fn load<Row: DeserializeOwned>(topic: &'static str) -> Result<Vec<Row>, TableError> {
    let file =
        TOPICS.iter().find(|file| file.name == topic).ok_or(TableError::NoSuchTable(topic))?;
    let unreadable = |reason: String| TableError::Unreadable { topic, reason };
    let mut lists: BTreeMap<String, Vec<Row>> =
        toml::from_str(file.text).map_err(|error| unreadable(error.to_string()))?;
    let rows =
        lists.remove(file.row).ok_or_else(|| unreadable(format!("holds no [[{}]]", file.row)))?;
    match lists.keys().next() {
        None => Ok(rows),
        Some(stray) => Err(unreadable(format!("[[{stray}]] does not belong here"))),
    }
}

/// What the program itself relies on in an embedded file.
///
/// Nothing that a user types reaches this: a file that lacks it is a mistake of this
/// program, which the first test that asks for the row finds.
#[expect(clippy::panic, reason = "an embedded file is no input; a test asks for each")]
pub(super) fn stated<T, E: std::fmt::Display>(found: Result<T, E>) -> T {
    found.unwrap_or_else(|error| panic!("the embedded tables: {error}"))
}

/// A row type: the keys every row has (name, other names, words for people, source, note) and its own.
///
/// After its own keys come those that are read as they are, and then those that are ranges
/// of a quantity: how it is called, the quantity, its unit and its key in the file.
macro_rules! row {
    (
        $(#[$doc:meta])* $row:ident { $($field:ident: $kind:ty,)* }
        $(read { $($(#[$read_doc:meta])* $read:ident: $read_kind:ty;)* })?
        $(ranges { $($(#[$range_doc:meta])* $range:ident: $quantity:ty = $make:path, $key:literal;)* })?
    ) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $row {
            name: String,
            #[serde(default)]
            also: Vec<String>,
            source: String,
            #[serde(default)]
            sources: std::collections::BTreeMap<String, String>,
            #[serde(default)]
            note: Option<String>,
            #[serde(default)]
            words: Option<String>,
            $($field: $kind,)*
            $($($read: $read_kind,)*)?
            $($(#[serde(rename = $key)] $range: $crate::tables::Range<f64>,)*)?
        }

        impl $row {
            /// The row's name.
            pub fn name(&self) -> &str {
                &self.name
            }

            /// What people call it.
            pub fn words(&self) -> &str {
                self.words.as_deref().unwrap_or(&self.name)
            }

            /// What else one should know of it.
            pub fn note(&self) -> Option<&str> {
                self.note.as_deref()
            }

            /// The id of the source of one value, by its key in the file.
            pub fn source_of(&self, key: &str) -> &str {
                self.sources.get(key).unwrap_or(&self.source)
            }
            $($(
                $(#[$read_doc])*
                pub fn $read(&self) -> $read_kind {
                    self.$read
                }
            )*)?
            $($(
                $(#[$range_doc])*
                pub fn $range(&self) -> $crate::tables::Range<$quantity> {
                    self.$range.map($make)
                }
            )*)?
        }

        impl crate::tables::lookup::Named for $row {
            fn name(&self) -> &str {
                &self.name
            }

            fn also(&self) -> &[String] {
                &self.also
            }
        }
    };
}

pub(super) use row;

//! A value as a plan file writes it.

use toml::{
    Spanned,
    de::DeValue,
    value::{Datetime, Value},
};

/// A value of a plan file, read or to be written.
#[derive(Debug, Clone, PartialEq)]
pub enum Setting {
    /// Text in quotes.
    Text(String),
    /// A whole number.
    Number(i64),
    /// A day, or a day and a time.
    When(Datetime),
    /// A list in square brackets.
    List(Vec<Setting>),
    /// A table in braces.
    Table(Vec<(String, Setting)>),
    /// Anything else, as it stands in the file.
    Other(String),
}

impl Setting {
    /// Text in quotes.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A list of texts.
    pub fn texts<T: Into<String>>(texts: impl IntoIterator<Item = T>) -> Self {
        Self::List(texts.into_iter().map(Self::text).collect())
    }

    /// A value of a parsed file.
    pub(super) fn of(value: &Spanned<DeValue<'_>>, file: &str) -> Self {
        let raw = || Self::Other(file.get(value.span()).unwrap_or_default().to_owned());
        match value.get_ref() {
            DeValue::String(text) => Self::Text(text.clone().into_owned()),
            DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
                .map_or_else(|_| raw(), Self::Number),
            DeValue::Datetime(at) => Self::When(*at),
            DeValue::Array(entries) => {
                Self::List(entries.iter().map(|entry| Self::of(entry, file)).collect())
            }
            DeValue::Table(table) => {
                let mut keys: Vec<_> = table.iter().collect();
                keys.sort_by_key(|(key, _)| key.span().start);
                let keys = keys.into_iter();
                Self::Table(
                    keys.map(|(key, value)| (key.get_ref().to_string(), Self::of(value, file)))
                        .collect(),
                )
            }
            DeValue::Float(_) | DeValue::Boolean(_) => raw(),
        }
    }

    /// The value as TOML, on one line unless its text has several.
    pub(super) fn toml(&self) -> String {
        match self {
            Self::Text(text) => Value::from(text.as_str()).to_string(),
            Self::Number(number) => number.to_string(),
            Self::When(at) => at.to_string(),
            Self::List(entries) => {
                let entries: Vec<String> = entries.iter().map(Self::toml).collect();
                format!("[{}]", entries.join(", "))
            }
            Self::Table(keys) if keys.is_empty() => "{}".to_owned(),
            Self::Table(keys) => {
                let keys: Vec<String> = keys.iter().map(|(key, value)| line(key, value)).collect();
                format!("{{ {} }}", keys.join(", "))
            }
            Self::Other(raw) => raw.clone(),
        }
    }
}

/// `key = value`.
pub(super) fn line(key: &str, value: &Setting) -> String {
    format!("{} = {}", quoted_where_needed(key), value.toml())
}

fn quoted_where_needed(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !key.is_empty() && key.chars().all(bare) {
        key.to_owned()
    } else {
        // A key in quotes is a text of one line.
        let escaped: String = key
            .chars()
            .map(|c| match c {
                '"' | '\\' => format!("\\{c}"),
                c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
                c => c.to_string(),
            })
            .collect();
        format!("\"{escaped}\"")
    }
}

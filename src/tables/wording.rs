//! Words that name fields of a question.

use serde::{Deserialize, Serialize, Serializer};

/// Words with fields of a question in braces, by their options: `Measure it and give {air}`.
/// Who reads them calls a field by its option or by the label in a form.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Wording(String);

impl Wording {
    /// Words as they stand in a table.
    pub fn of(words: &str) -> Self {
        Self(words.to_owned())
    }

    /// The words, each field by its name.
    pub fn naming(&self, name: impl Fn(&str) -> String) -> String {
        let mut parts = self.0.split(['{', '}']);
        let first = parts.next().unwrap_or_default().to_owned();
        let rest: Vec<&str> = parts.collect();
        rest.chunks(2).fold(first, |words, pair| match pair {
            [field, after] => words + &name(field) + after,
            _ => words + &pair.concat(),
        })
    }

    /// For who types options.
    pub fn in_a_terminal(&self) -> String {
        self.naming(|field| format!("--{field}"))
    }
}

impl Serialize for Wording {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.in_a_terminal())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_called_as_the_reader_knows_them() {
        let words = Wording::of("Give {air}, or {wall} steel.");
        assert_eq!(words.in_a_terminal(), "Give --air, or --wall steel.");
        assert_eq!(words.naming(|_| "“It”".to_owned()), "Give “It”, or “It” steel.");
        assert_eq!(Wording::of("Nothing to give.").in_a_terminal(), "Nothing to give.");
    }
}

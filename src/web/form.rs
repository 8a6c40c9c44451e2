//! A form on its way to the command line: its fields, what is wrong with them, and
//! the arguments they make.

use std::collections::BTreeMap;

use minijinja::{Value, context};

use super::{commands::Refusal, fields::Fields};
use crate::report::clean::one_line;

/// What was sent, and the faults found so far.
pub struct Form {
    /// The names of all its fields.
    names: Vec<&'static str>,
    fields: Fields,
    faults: BTreeMap<&'static str, String>,
    /// Faults of no field.
    others: Vec<String>,
}

impl Form {
    /// A form without faults.
    pub fn of(names: Vec<&'static str>, fields: Fields) -> Self {
        Self { names, fields, faults: BTreeMap::new(), others: Vec::new() }
    }

    /// The value of a field, if it has one.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.fields.get(name)
    }

    /// The form as sent, or, where nothing but the units was, with what it begins with.
    pub fn beginning<'v>(
        names: Vec<&'static str>,
        mut fields: Fields,
        first: impl FnOnce() -> Vec<(&'v str, String)>,
    ) -> Self {
        if fields.iter().all(|(name, _)| name == "units") {
            fields = first().iter().fold(fields, |fields, (name, value)| fields.with(name, value));
        }
        Self::of(names, fields)
    }

    /// Notes a fault of a field; the first one stays.
    pub fn fault(&mut self, name: &'static str, words: impl Into<String>) {
        self.faults.entry(name).or_insert_with(|| words.into());
    }

    /// Notes what the program refuses; `field` says which field an option comes from,
    /// `labels` what the page calls it.
    pub fn refused(
        &mut self,
        refusal: &Refusal,
        field: impl Fn(&str) -> String,
        labels: &[(&str, &str)],
    ) {
        let name = refusal.field.as_deref().map(field);
        let known = name.and_then(|name| self.names.iter().copied().find(|known| *known == name));
        let words = refusal.on_a_page(labels);
        match known {
            Some(name) => self.fault(name, words),
            None => self.others.push(words),
        }
    }

    /// Whether anything is wrong.
    pub fn is_faulty(&self) -> bool {
        !self.faults.is_empty() || !self.others.is_empty()
    }

    /// An argument from the field of the same name, if it has a value.
    pub fn argument(&self, name: &str) -> Option<String> {
        self.get(name).map(|value| format!("--{name}={value}"))
    }

    /// For the templates: `v` has the value of each field, `f` its fault, both empty
    /// where there is none; `faults` lists all, each with its field, where it has one.
    pub fn values(&self) -> Value {
        let value = |name: &&'static str| (*name, self.get(name).unwrap_or_default().to_owned());
        let fault =
            |name: &&'static str| (*name, self.faults.get(name).cloned().unwrap_or_default());
        // In the order of the form.
        let own = self.names.iter().filter_map(|name| Some((name, self.faults.get(name)?)));
        let own = own.map(|(name, words)| context! { field => *name, words });
        let others = self.others.iter().map(|words| context! { field => "", words });
        context! {
            v => self.names.iter().map(value).collect::<BTreeMap<_, _>>(),
            f => self.names.iter().map(fault).collect::<BTreeMap<_, _>>(),
            faults => own.chain(others).collect::<Vec<_>>(),
        }
    }

    /// All that was sent, for a form of hidden fields.
    pub fn hidden(&self) -> Vec<Value> {
        self.fields.iter().map(|(name, value)| context! { name, value }).collect()
    }
}

/// The same question as it is typed in a terminal.
pub fn in_a_terminal(arguments: &[String]) -> String {
    let words = arguments.iter().map(|argument| match argument.split_once('=') {
        Some((option, value)) => format!("{option} {}", quoted(value)),
        None => argument.clone(),
    });
    format!("solidby {}", words.collect::<Vec<_>>().join(" "))
}

/// A word as a shell takes it.
fn quoted(value: &str) -> String {
    let value = one_line(value);
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_.:/".contains(c);
    if !value.is_empty() && value.chars().all(plain) {
        return value;
    }
    format!("'{}'", value.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_terminal_reads_the_same_words() {
        let arguments = ["ice", "--mould=fox", "--air=-18 C", "--covered", "--called=it's"];
        let typed = in_a_terminal(&arguments.map(str::to_owned));
        assert_eq!(typed, r"solidby ice --mould fox --air '-18 C' --covered --called 'it'\''s'");
    }
}

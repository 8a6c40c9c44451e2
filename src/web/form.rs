//! A form on its way to the command line: its fields, what is wrong with them, and
//! the arguments they make.

use std::collections::BTreeMap;

use minijinja::{Value, context};

use super::{
    commands::Refusal,
    fields::Fields,
    typed::{Beside, in_unit},
};
use crate::{
    report::clean::one_line,
    units::{Locale, System},
};

/// A field of a form.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Its name, as it is sent.
    pub name: &'static str,
    /// What the page calls it.
    pub label: &'static str,
    /// The unit that stands beside it, where one does.
    pub unit: Option<Beside>,
}

/// A field without a unit.
pub const fn input(name: &'static str, label: &'static str) -> Input {
    Input { name, label, unit: None }
}

impl Input {
    /// With a unit beside it.
    pub const fn of(self, unit: Beside) -> Self {
        Self { unit: Some(unit), ..self }
    }
}

/// The labels of fields by their names, which are the options of the command line.
pub fn labels(inputs: &[Input]) -> Vec<(&'static str, &'static str)> {
    inputs.iter().map(|input| (input.name, input.label)).collect()
}

/// What was sent, and the faults found so far.
pub struct Form {
    /// All its fields, in the order of the page.
    inputs: Vec<Input>,
    /// The units of the page.
    units: System,
    fields: Fields,
    faults: BTreeMap<&'static str, String>,
    /// Faults of no field.
    others: Vec<String>,
}

impl Form {
    /// A form without faults.
    pub fn of(inputs: Vec<Input>, fields: Fields, units: System) -> Self {
        Self { inputs, units, fields, faults: BTreeMap::new(), others: Vec::new() }
    }

    /// The value of a field, if it has one.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.fields.get(name)
    }

    /// The form as sent, or, where nothing but the units was, with what it begins with.
    pub fn beginning<'v>(
        inputs: Vec<Input>,
        (mut fields, units): (Fields, System),
        first: impl FnOnce() -> Vec<(&'v str, String)>,
    ) -> Self {
        if fields.iter().all(|(name, _)| name == "units") {
            fields = first().iter().fold(fields, |fields, (name, value)| fields.with(name, value));
        }
        Self::of(inputs, fields, units)
    }

    /// Notes a fault of a field; the first one stays.
    pub fn fault(&mut self, name: &'static str, words: impl Into<String>) {
        let words = Locale::of(self.units, None).spelled(&words.into());
        self.faults.entry(name).or_insert(words);
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
        let mut inputs = self.inputs.iter();
        let known = name.and_then(|name| inputs.find(|input| input.name == name));
        let known = known.map(|input| input.name);
        let words = refusal.on_a_page(labels);
        match known {
            Some(name) => self.fault(name, words),
            None => self.others.push(Locale::of(self.units, None).spelled(&words)),
        }
    }

    /// Notes a fault of no field.
    pub fn other(&mut self, words: String) {
        self.others.push(words);
    }

    /// Whether anything is wrong.
    pub fn is_faulty(&self) -> bool {
        !self.faults.is_empty() || !self.others.is_empty()
    }

    /// The value of a field, if it has one; a number alone with the unit that stands beside it.
    pub fn measured(&self, name: &str) -> Option<String> {
        let unit = self.inputs.iter().find(|input| input.name == name).and_then(|it| it.unit);
        self.get(name).map(|value| in_unit(value, unit, self.units))
    }

    /// An argument from the field of the same name, if it has a value.
    pub fn argument(&self, name: &str) -> Option<String> {
        self.measured(name).map(|value| format!("--{name}={value}"))
    }

    /// What was sent, each number with its unit, so that it means the same on a page in
    /// other units.
    pub fn whole(&self) -> Fields {
        let whole = |fields: Fields, input: &Input| match self.measured(input.name) {
            Some(value) if self.get(input.name) != Some(&value) => {
                fields.changed_in_place(input.name, &value)
            }
            _ => fields,
        };
        self.inputs.iter().fold(self.fields.clone(), whole)
    }

    /// For the templates: `v` has the value of each field, `f` its fault, both empty
    /// where there is none; `u` the unit beside it; `faults` lists all, each with its field,
    /// where it has one.
    pub fn values(&self) -> Value {
        let names = || self.inputs.iter().map(|input| input.name);
        let value = |name| (name, self.get(name).unwrap_or_default().to_owned());
        let fault = |name| (name, self.faults.get(name).cloned().unwrap_or_default());
        let beside = |input: &Input| Some((input.name, input.unit?.words(self.units)));
        // In the order of the form.
        let own =
            self.inputs.iter().filter_map(|input| Some((input, self.faults.get(input.name)?)));
        let own = own.map(|(input, words)| {
            context! { field => input.name, label => input.label, words }
        });
        let others = self.others.iter().map(|words| context! { field => "", words });
        context! {
            v => names().map(value).collect::<BTreeMap<_, _>>(),
            f => names().map(fault).collect::<BTreeMap<_, _>>(),
            u => self.inputs.iter().filter_map(beside).collect::<BTreeMap<_, _>>(),
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
    let american = arguments.iter().any(|argument| argument == "--units=us");
    let words = arguments.iter().map(|argument| match argument.split_once('=') {
        Some(("--mould", value)) if american => format!("--mold {}", quoted(value)),
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

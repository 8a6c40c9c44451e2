//! What the form asks for in each table of a plan file: the keys of the schema, and
//! those that the user names.

use toml::Value;

use crate::{
    planfile::{
        self, Key, Table,
        edit::{Entry, List, Written},
    },
    units::{Locale, Spelling, System, is_number},
    web::typed::{Beside, in_unit},
};

/// One key of a table as a blank of the form.
pub struct Blank {
    /// The key in the file.
    pub key: String,
    /// What the form calls it.
    pub label: String,
    /// Its row of the schema.
    pub row: &'static Key,
}

impl Blank {
    /// Whether several values may be chosen.
    pub fn is_list(&self) -> bool {
        use planfile::Value::{Absences, Dates, Openings, Things, Words};
        matches!(self.row.value, Openings(_) | Dates(_) | Absences(_) | Things(..) | Words(..))
    }

    /// The unit beside it, in a plan in these units.
    pub fn unit(&self, units: System) -> Option<&'static str> {
        let unit = self.row.unit_in(units)?;
        Some(match unit {
            "F" => Beside::DEGREES.0,
            "C" => Beside::DEGREES.1,
            other => other,
        })
    }

    /// A text of the file as it stands beside its unit: a number alone where it has that one.
    pub fn beside_unit(&self, text: &str, units: System) -> String {
        let unit = self.unit(units).into_iter().chain(self.row.unit_in(units));
        let mut numbers = unit.filter_map(|unit| text.strip_suffix(unit).map(str::trim_end));
        numbers.find(|number| is_number(number)).unwrap_or(text).to_owned()
    }

    /// What was typed beside the unit, as the file has it.
    pub fn as_written(&self, typed: &str, units: System) -> String {
        let unit = self.row.unit_in(units);
        in_unit(typed, unit.map(|unit| Beside(unit, unit)), units)
    }

    fn is_hours(&self) -> bool {
        matches!(self.row.value, planfile::Value::Openings(_))
    }
}

/// The blanks of a table; `all` are the tables of the file.
pub fn blanks(entry: Entry, all: &[Written]) -> Vec<Blank> {
    let rows = entry.table().rows();
    let asked = rows.keys.iter().filter(|row| !row.label.is_empty());
    let named =
        asked.map(|row| Blank { key: row.name.to_owned(), label: row.label.to_owned(), row });
    let own = rows.own.into_iter().flat_map(|row| {
        let places = places(all).into_iter();
        let own = places.filter(|place| rows.keys.iter().all(|row| row.name != place));
        own.map(move |key| Blank { label: row.label.replace("{}", &key), key, row })
    });
    // All hours stand together.
    let (hours, others): (Vec<_>, Vec<_>) = named.partition(Blank::is_hours);
    hours.into_iter().chain(own).chain(others).collect()
}

/// The units of the plan.
pub fn units(all: &[Written]) -> System {
    let plan = all.iter().find(|table| table.entry == Entry::One(Table::Plan));
    let word = plan.and_then(|plan| plan.get("units")).and_then(Value::as_str);
    word.and_then(System::named).unwrap_or_default()
}

/// How the plan's reader spells.
pub fn locale(all: &[Written]) -> Locale {
    Locale::of(units(all), None)
}

/// How words are spelled beside the names that the file has.
pub fn spelling(all: &[Written]) -> Spelling {
    let things = Table::LISTS.into_iter().flat_map(|kind| names(kind, all));
    let own: Vec<String> = things.chain(places(all)).collect();
    Spelling::of(locale(all), own.iter().map(String::as_str))
}

/// The places that `[hours]` has.
pub fn places(all: &[Written]) -> Vec<String> {
    let hours = all.iter().find(|table| table.entry == Entry::One(Table::Hours));
    let keys = hours.into_iter().flat_map(|hours| &hours.keys);
    keys.map(|key| key.name.clone()).filter(|name| Table::is_place(name)).collect()
}

/// What stands for a table in names of fields: `group.0`, `session.0.1`, `room`.
pub fn code(entry: Entry) -> String {
    match entry {
        Entry::One(table) => table.word().to_owned(),
        Entry::Of(list, n) => format!("{}.{n}", list_code(list)),
    }
}

/// What stands for a list: `group`, `session.0`.
pub fn list_code(list: List) -> String {
    match list {
        List::Things(table) => table.word().to_owned(),
        List::Sessions(ice) => format!("session.{ice}"),
    }
}

pub fn list_of(code: &str) -> Option<List> {
    if let Some(ice) = code.strip_prefix("session.") {
        return ice.parse().ok().map(List::Sessions);
    }
    Table::LISTS.into_iter().find(|table| table.word() == code).map(List::Things)
}

/// The names of things of a kind, in the order of the file.
pub fn names(kind: Table, all: &[Written]) -> Vec<String> {
    let things = all.iter().filter(|table| table.entry.nth(kind).is_some());
    things.filter_map(|thing| Some(thing.get("name")?.as_str()?.to_owned())).collect()
}

/// A value as the form shows it: one text, or one a list's entry.
pub fn shown(value: &Value) -> Vec<String> {
    match value {
        Value::String(text) => vec![text.replace(['\r', '\n'], " ").trim().to_owned()],
        Value::Array(entries) => entries.iter().flat_map(shown).collect(),
        Value::Table(_) => Vec::new(),
        other => vec![other.to_string()],
    }
}

//! The embedded files, and every value in them with its unit and source.

use toml::{Table, Value};

use super::{
    lookup::{Named, UnknownName, find},
    wording::Wording,
};

/// One embedded file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Topic {
    /// The file's stem, and the word for `solidby tables TOPIC`.
    pub name: &'static str,
    /// What it holds.
    pub about: &'static str,
    /// The key of its rows.
    pub(super) row: &'static str,
    /// The file.
    pub(super) text: &'static str,
}

impl Named for Topic {
    fn name(&self) -> &str {
        self.name
    }
}

macro_rules! topics {
    ($($name:literal, $row:literal, $about:literal;)*) => {
        /// Every embedded file.
        pub const TOPICS: &[Topic] = &[$(Topic {
            name: $name,
            about: $about,
            row: $row,
            text: include_str!(concat!("../../tables/", $name, ".toml")),
        }),*];
    };
}

topics! {
    "moulds", "mould", "shapes with their usual size and volume";
    "walls", "wall", "what moulds are made of";
    "stands", "stand", "what moulds stand on";
    "freezers", "freezer", "kinds of freezer";
    "ovens", "oven", "kinds of oven";
    "recipes", "recipe", "salt dough, by cups and by weight";
    "ingredients", "ingredient", "what a cup of each weighs";
    "finishes", "finish", "paint, glue, sealer, photo, wrap";
    "tasks", "task", "minutes of hands for the usual steps";
    "thresholds", "threshold", "limits of touch, size and humidity";
    "prices", "price", "what makes a plan better, in minutes of comfort";
    "priors", "prior", "what is not known, and how to narrow it";
    "looks", "look", "what ready looks like, and what to do where it is not";
    "cautions", "caution", "words of care beside the steps";
    "families", "families", "what families are told, before and with the gift";
    "sources", "source", "where the numbers come from";
}

/// One value of one row, ready to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The row's name.
    pub row: String,
    /// What the value is: `conductivity`.
    pub value: String,
    /// The value: `0.2 (0.1 to 0.5)`, or words.
    pub text: String,
    /// Its unit, empty for words and plain numbers.
    pub unit: String,
    /// Title of its source; what kind of source, for the sources themselves.
    pub source: String,
}

/// Every value of a topic with its source, row by row.
///
/// # Errors
/// [`UnknownName`] when there is no such topic, with the nearest.
pub fn entries(topic: &str) -> Result<Vec<Entry>, UnknownName> {
    let topic = find(TOPICS, "table", topic)?;
    Ok(rows(topic.text, topic.row).iter().flat_map(row_entries).collect())
}

fn row_entries(row: &Table) -> Vec<Entry> {
    let name = row_name(row);
    // A prior's number is in the unit that the row names.
    let own_unit = row.get("unit").and_then(Value::as_str).filter(|unit| *unit != "1");
    leaves(row)
        .into_iter()
        .filter(|leaf| leaf.key() != "unit")
        .map(|leaf| {
            let (value, unit) = key_and_unit(&leaf.path);
            let unit = match own_unit {
                Some(own) if leaf.is_number() && leaf.key() != "factor" => own,
                _ => unit,
            };
            let source = super::source(leaf.source_id(row))
                .map_or_else(|_| leaf.source_id(row).to_owned(), |source| source.title.clone());
            Entry { row: name.to_owned(), value, text: leaf.text(), unit: unit.to_owned(), source }
        })
        .collect()
}

/// The rows of a file as they stand there; none when it does not parse.
pub(super) fn rows(text: &str, key: &str) -> Vec<Table> {
    let Ok(Value::Array(rows)) =
        text.parse::<Table>().map(|mut file| file.remove(key).unwrap_or(Value::Boolean(false)))
    else {
        return Vec::new();
    };
    rows.into_iter().filter_map(|row| row.try_into().ok()).collect()
}

pub(super) fn row_name(row: &Table) -> &str {
    row.get("name").or_else(|| row.get("id")).and_then(Value::as_str).unwrap_or("?")
}

/// One value of a row: a number, a range, a drawing or words.
pub(super) struct Leaf<'a> {
    /// The keys that lead to it.
    pub(super) path: Vec<&'a str>,
    pub(super) value: &'a Value,
}

/// Keys that name the row or its sources and hold no value of their own.
const NAMES: [&str; 7] = ["name", "words", "id", "also", "source", "sources", "kind"];

/// Every value of a row, in the order of its keys.
pub(super) fn leaves(row: &Table) -> Vec<Leaf<'_>> {
    let mut found = Vec::new();
    for (key, value) in row.iter().filter(|(key, _)| !NAMES.contains(&key.as_str())) {
        collect(vec![key.as_str()], value, &mut found);
    }
    found
}

fn collect<'a>(path: Vec<&'a str>, value: &'a Value, found: &mut Vec<Leaf<'a>>) {
    match value {
        Value::Table(inner) if !inner.contains_key("typical") => {
            for (key, value) in inner {
                let longer = path.iter().copied().chain([key.as_str()]).collect();
                collect(longer, value, found);
            }
        }
        _ => found.push(Leaf { path, value }),
    }
}

impl Leaf<'_> {
    pub(super) fn key(&self) -> &str {
        self.path.last().copied().unwrap_or_default()
    }

    pub(super) fn is_number(&self) -> bool {
        !matches!(self.value, Value::String(_) | Value::Array(_))
    }

    /// The id of its source: its own, or the row's. A source is told by its kind.
    pub(super) fn source_id<'a>(&self, row: &'a Table) -> &'a str {
        let own = row.get("sources").and_then(|sources| sources.get(self.key()));
        own.or_else(|| row.get("source"))
            .or_else(|| row.get("kind"))
            .and_then(Value::as_str)
            .unwrap_or_default()
    }

    /// Low, typical and high; all the same for a single number.
    pub(super) fn range(&self) -> Option<[f64; 3]> {
        match self.value {
            Value::Table(range) => {
                let end = |key| range.get(key).and_then(number);
                Some([end("low")?, end("typical")?, end("high")?])
            }
            single => number(single).map(|value| [value; 3]),
        }
    }

    fn text(&self) -> String {
        match (self.range(), self.value) {
            (Some([low, typical, high]), Value::Table(_)) => {
                format!("{typical} ({low} to {high})")
            }
            (_, Value::String(words)) => Wording::of(words).in_a_terminal(),
            (_, Value::Array(list)) if list.iter().all(Value::is_str) => {
                list.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", ")
            }
            (_, Value::Array(points)) => format!("{} points", points.len()),
            (_, other) => other.to_string(),
        }
    }
}

fn number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// The endings of keys that state a unit; a longer one stands before any it ends in.
const UNITS: [(&str, &str); 16] = [
    ("_w_m2k", "W/m²K"),
    ("_w_mk", "W/m K"),
    ("_m2k_w", "m²K/W"),
    ("_kg_day", "kg/day"),
    ("_g_m2", "g/m²"),
    ("_m_s", "m/s"),
    ("_mm", "mm"),
    ("_ml", "mL"),
    ("_min", "min"),
    ("_cups", "cups"),
    ("_g", "g"),
    ("_c", "°C"),
    ("_k", "K"),
    ("_h", "h"),
    ("_s", "s"),
    ("_l", "L"),
];

/// `["form", "round", "across_mm"]` is `form round across` in `mm`.
fn key_and_unit(path: &[&str]) -> (String, &'static str) {
    let joined = path.join(" ");
    let (stem, unit) = UNITS
        .iter()
        .find_map(|(ending, unit)| joined.strip_suffix(ending).map(|stem| (stem, *unit)))
        .unwrap_or((&joined, ""));
    (stem.replace('_', " "), unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(topic: &str, row: &str, value: &str) -> Entry {
        let all = entries(topic).expect(topic);
        let found = all.iter().find(|entry| entry.row == row && entry.value == value);
        found.unwrap_or_else(|| panic!("no {row} {value} in {all:?}")).clone()
    }

    #[test]
    fn a_value_is_shown_with_unit_and_source() {
        let wall = entry("walls", "silicone", "conductivity");
        assert_eq!((wall.text.as_str(), wall.unit.as_str()), ("0.2 (0.2 to 0.35)", "W/m K"));
        assert!(wall.source.contains("silicone rubber"), "{wall:?}");

        let round = entry("moulds", "puck", "form round across");
        assert_eq!((round.text.as_str(), round.unit.as_str()), ("65", "mm"));
        assert_eq!(round.source, "Common kitchen and classroom practice");

        let drawn = entry("moulds", "house", "form outline points");
        assert_eq!(drawn.text, "14 points");
        assert_eq!(drawn.source, "Outline drawn for this project");

        let offset = entry("priors", "oven-offset", "belief normal sd");
        assert_eq!((offset.text.as_str(), offset.unit.as_str()), ("9", "K"));
    }

    #[test]
    fn every_topic_shows_something_and_an_unknown_one_is_refused() {
        for topic in TOPICS {
            assert!(!entries(topic.name).expect(topic.name).is_empty(), "{}", topic.name);
        }
        let error = entries("mold").expect_err("no such topic");
        assert_eq!(error.nearest.as_deref(), Some("moulds"));
    }
}

//! Faults of a plan file, each with the field or the table that it is about.

use std::collections::HashMap;

use serde::Serialize;

use super::blanks::{blanks, code, names, shown};
use crate::planfile::{
    Fault,
    edit::{Entry, Kind, List, Section, Written},
};

/// A table, and the key in it where the fault is about one.
pub type Place = (Entry, Option<String>);

/// A fault for the list of all.
#[derive(Debug, Serialize)]
pub struct Told {
    /// The field or the table it is about, where the form has it.
    id: Option<String>,
    place: String,
    line: usize,
    words: String,
}

/// The words of each place, and all faults in the order of the file.
pub fn placed(
    text: &str,
    all: &[Written],
    faults: &[Fault],
) -> (HashMap<Place, Vec<String>>, Vec<Told>) {
    let mut beside: HashMap<Place, Vec<String>> = HashMap::new();
    let told = faults.iter().map(|fault| {
        let place = place(fault, all);
        let key = place.as_ref().and_then(|place| labelled(place, all));
        let words = words(fault, key.as_ref());
        if let Some(place) = &place {
            beside.entry(place.clone()).or_default().push(words.clone());
        }
        // What is wrong with the file as a whole has no place of its own.
        let shown = place.as_ref().filter(|(entry, key)| *entry != Entry::Plan || key.is_some());
        Told {
            id: shown.map(id),
            place: place.as_ref().map(|place| in_words(place, all)).unwrap_or_default(),
            line: fault.line(text),
            words,
        }
    });
    let told = told.collect();
    (beside, told)
}

/// What is wrong and what would be right, with the label of the field in place of its key.
fn words(fault: &Fault, key: Option<&(String, String)>) -> String {
    let said = match &fault.help {
        Some(help) => format!("{}; {help}.", fault.message),
        None => format!("{}.", fault.message),
    };
    let Some((key, label)) = key else { return said };
    let said = said.strip_prefix(&format!("`{key}`: ")).unwrap_or(&said);
    let mut said = said.replace(&format!("`{key}`"), &format!("“{label}”"));
    // An example is to be typed into the field, not into the file.
    let start = format!("`{key} = ");
    while let Some((before, rest)) = said.split_once(&start) {
        let (example, after) = rest.split_once('`').unwrap_or((rest, ""));
        said = format!("{before}“{}”{after}", example.trim_matches('"'));
    }
    said
}

/// Where a fault is shown: a key that the form does not have is a matter of its table.
fn place(fault: &Fault, all: &[Written]) -> Option<Place> {
    let (entry, key) = found(fault, all)?;
    Some((entry, key.filter(|key| blanks(entry, all).iter().any(|blank| blank.key == *key))))
}

/// The table and the key that a fault is about.
fn found(fault: &Fault, all: &[Written]) -> Option<Place> {
    let at = fault.span.start;
    let headed = |table: &&Written| table.header == fault.span;
    if let Some(missing) = fault.missing {
        let table = all.iter().rfind(headed)?;
        let section = Section::ALL.into_iter().find(|section| section.word() == missing);
        return Some(match section {
            Some(section) if table.entry == Entry::Plan => (Entry::Section(section), None),
            _ => (table.entry, Some(missing.to_owned())),
        });
    }
    let keys = all.iter().flat_map(|table| table.keys.iter().map(move |key| (table.entry, key)));
    let innermost = keys
        .filter(|(entry, key)| key.span.contains(&at) && !is_table(*entry, &key.name))
        .min_by_key(|(_, key)| key.span.len());
    match innermost {
        Some((entry, key)) => Some((entry, Some(key.name.clone()))),
        None => all.iter().rfind(headed).map(|table| (table.entry, None)),
    }
}

/// Whether a key holds tables that have a place of their own.
fn is_table(entry: Entry, key: &str) -> bool {
    match entry {
        Entry::Plan => {
            Kind::ALL.iter().any(|kind| kind.word() == key)
                || Section::ALL.iter().any(|section| section.word() == key)
        }
        _ => false,
    }
}

fn id((entry, key): &Place) -> String {
    match key {
        Some(key) => format!("{}.{key}", code(*entry)),
        None => code(*entry),
    }
}

/// The key of a place, and what the form calls it.
fn labelled((entry, key): &Place, all: &[Written]) -> Option<(String, String)> {
    let key = key.as_ref()?;
    let blank = blanks(*entry, all).into_iter().find(|blank| blank.key == *key)?;
    Some((blank.key, blank.label))
}

/// `Group “Otters”, Days`.
fn in_words((entry, key): &Place, all: &[Written]) -> String {
    let label = labelled(&(*entry, key.clone()), all).map(|(_, label)| label);
    let table = match entry {
        Entry::Plan => None,
        Entry::Section(section) => Some(title(*section).to_owned()),
        Entry::Of(..) => {
            all.iter().find(|table| table.entry == *entry).map(|table| legend(table, all))
        }
    };
    [table, label].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The title of a section.
pub fn title(section: Section) -> &'static str {
    match section {
        Section::Hours => "Hours",
        Section::Hands => "Hands",
        Section::Room => "The room",
    }
}

/// What a thing or a session is called on the page.
pub fn legend(table: &Written, all: &[Written]) -> String {
    let name = table.get("name").map(shown).unwrap_or_default().concat();
    match table.entry {
        Entry::Of(List::Sessions(ice), n) => {
            let activity = names(Kind::Ice, all).get(ice).cloned().unwrap_or_default();
            format!("Session {} of {activity}", n + 1)
        }
        Entry::Of(List::Things(kind), n) => {
            let (word, _, _) = kind_words(kind);
            if name.is_empty() {
                format!("{word} {}", n + 1)
            } else {
                format!("{word} “{name}”")
            }
        }
        _ => String::new(),
    }
}

/// One of a kind, the title of all, what to say about them.
pub fn kind_words(kind: Kind) -> (&'static str, &'static str, &'static str) {
    match kind {
        Kind::Group => ("Group", "Groups", ""),
        Kind::Freezer => ("Freezer", "Freezers", ""),
        Kind::Oven => ("Oven", "Ovens", ""),
        Kind::Mould => ("Mould", "Moulds", "The pans that you have, and how many of each."),
        Kind::Ice => ("Ice", "Ice", "What is done with the blocks, and when."),
        Kind::Ornament => ("Ornaments", "Ornaments", "Batches of salt dough."),
        Kind::Theme => ("Theme", "Themes", "A title over some of the activities, if you like."),
    }
}

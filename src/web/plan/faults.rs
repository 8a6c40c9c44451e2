//! Faults of a plan file, each with the field or the table that it is about.

use std::collections::HashMap;

use serde::Serialize;

use super::blanks::{blanks, code, locale, names, shown, spelling};
use crate::planfile::{
    Fault, Named, Table,
    edit::{Entry, List, Written},
};

/// A table, and the key in it where the fault is about one.
pub type Place = (Entry, Option<String>);

const PLAN: Entry = Entry::One(Table::Plan);

/// What is said beside the fields of a form.
#[derive(Debug, Default)]
pub struct Beside {
    /// The words of each place.
    pub words: HashMap<Place, Vec<String>>,
    /// The entries of a list that are wrong, by their positions.
    pub entries: HashMap<Place, Vec<usize>>,
}

/// A fault for the list of all.
#[derive(Debug, Serialize)]
pub struct Told {
    /// The field or the table it is about, where the form has it.
    id: Option<String>,
    place: String,
    line: usize,
    words: String,
}

/// What is said beside each place, and all faults in the order of the file.
pub fn placed(text: &str, all: &[Written], faults: &[Fault]) -> (Beside, Vec<Told>) {
    let mut beside = Beside::default();
    let told = faults.iter().map(|fault| {
        let place = place(fault, all);
        let label = place.as_ref().and_then(|place| labelled(place, all));
        let table = place.as_ref().map_or(Table::Plan, |(entry, _)| entry.table());
        let words = spelling(all).words(&words(fault, label.as_deref(), table));
        if let Some(place) = &place {
            beside.words.entry(place.clone()).or_default().push(words.clone());
            beside.entries.entry(place.clone()).or_default().extend(nth(fault, place, all));
        }
        // What is wrong with the file as a whole has no place of its own.
        let shown = place.as_ref().filter(|(entry, key)| *entry != PLAN || key.is_some());
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
fn words(fault: &Fault, label: Option<&str>, table: Table) -> String {
    let key = fault.key.as_deref().unwrap_or_default();
    // A section that is missing goes by its title.
    let title = (table.word() == key).then(|| table.rows().title);
    let named = Named::Label(label.or(title).unwrap_or(key), table);
    match fault.wrong.help(named) {
        Some(help) => format!("{}; {help}.", fault.wrong.message(named)),
        None => format!("{}.", fault.wrong.message(named)),
    }
}

/// Which entry of a list a fault is about.
fn nth(fault: &Fault, (entry, key): &Place, all: &[Written]) -> Option<usize> {
    let table = all.iter().find(|table| table.entry == *entry)?;
    let own = table.keys.iter().find(|own| Some(&own.name) == key.as_ref())?;
    own.entries.iter().position(|bytes| *bytes == fault.span)
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
    if let Some(missing) = fault.missing() {
        let table = all.iter().rfind(headed)?;
        let section = Table::SECTIONS.into_iter().find(|section| section.word() == missing);
        return Some(match section {
            Some(section) if table.entry == PLAN => (Entry::One(section), None),
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
    entry == PLAN && Table::Plan.inner().iter().any(|table| table.word() == key)
}

fn id((entry, key): &Place) -> String {
    match key {
        Some(key) => format!("{}.{key}", code(*entry)),
        None => code(*entry),
    }
}

/// What the form calls the key of a place.
fn labelled((entry, key): &Place, all: &[Written]) -> Option<String> {
    let key = key.as_ref()?;
    blanks(*entry, all).into_iter().find(|blank| blank.key == *key).map(|blank| blank.label)
}

/// `Group “Otters”, Days`.
pub fn in_words(place: &Place, all: &[Written]) -> String {
    let table = match place.0 {
        Entry::One(Table::Plan) => None,
        Entry::One(table) => Some(table.rows().one.to_owned()),
        entry => all.iter().find(|table| table.entry == entry).map(|table| legend(table, all)),
    };
    [table, labelled(place, all)].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What a thing or a session is called on the page.
pub fn legend(table: &Written, all: &[Written]) -> String {
    let name = table.get("name").map(shown).unwrap_or_default().concat();
    match table.entry {
        Entry::Of(List::Sessions(ice), n) => {
            let activity = names(Table::Ice, all).get(ice).cloned().unwrap_or_default();
            format!("Session {} of {activity}", n + 1)
        }
        Entry::Of(List::Things(kind), n) => {
            let one = locale(all).spelled(kind.rows().one);
            if name.is_empty() { format!("{one} {}", n + 1) } else { format!("{one} “{name}”") }
        }
        Entry::One(_) => String::new(),
    }
}

//! Gives a thing another name, also where others refer to it.

use super::{Change, EditError, Entry, Kind, List, Setting, Written, edit, set, written};
use crate::tables;

/// The text with a thing under another name.
pub(super) fn rename(
    text: String,
    kind: Kind,
    index: usize,
    to: &str,
) -> Result<String, EditError> {
    let all = written(&text).ok_or(EditError::NotToml)?;
    let own = Entry::Of(List::Things(kind), index);
    let found = all.iter().find(|written| written.entry == own);
    let found = found.ok_or(EditError::Missing("entry"))?;
    let new = Setting::text(to);
    let Some(Setting::Text(old)) = found.get("name") else { return set(text, own, "name", &new) };
    if old == to {
        return Ok(text);
    }
    let mut changes = vec![Change::Set { entry: own, key: "name".to_owned(), to: new }];
    if kind == Kind::Mould {
        changes.extend(same_form(found, old, to));
    }
    // Where another thing has one of the two names, the others may mean that one.
    let of_kind = all
        .iter()
        .filter(|table| matches!(table.entry, Entry::Of(List::Things(other), _) if other == kind));
    let mut names =
        of_kind.filter(|table| table.entry != own).filter_map(|table| table.get("name"));
    if !names.any(|name| [old, to].iter().any(|taken| *name == Setting::text(*taken))) {
        changes.extend(all.iter().flat_map(|written| refer(written, kind, old, to)));
    }
    edit(&text, &changes)
}

/// A mould without a shape has that of the built-in mould of its name; it keeps it.
fn same_form(mould: &Written, old: &str, to: &str) -> Option<Change> {
    let built_in = |name: &str| tables::moulds().iter().any(|mould| mould.name() == name);
    let told = mould.get("shape").is_some() || mould.get("outline").is_some();
    (!told && built_in(old) && !built_in(to)).then(|| Change::Set {
        entry: mould.entry,
        key: "shape".to_owned(),
        to: Setting::text(old),
    })
}

/// The keys of a table that refer to things of a kind.
fn refer(written: &Written, kind: Kind, old: &str, to: &str) -> Option<Change> {
    let key = match (written.entry, kind) {
        (Entry::Of(List::Sessions(_), _), Kind::Group) => "group",
        (Entry::Of(List::Things(Kind::Ornament), _), Kind::Group) => "groups",
        (Entry::Of(List::Things(Kind::Ice), _), Kind::Freezer) => "freezer",
        (Entry::Of(List::Things(Kind::Ice), _), Kind::Mould) => "mould",
        (Entry::Of(List::Things(Kind::Ornament), _), Kind::Oven) => "oven",
        (Entry::Of(List::Things(Kind::Theme), _), Kind::Ice | Kind::Ornament) => "activities",
        _ => return None,
    };
    let renamed = |name: &Setting| match name {
        Setting::Text(name) if name == old => Setting::text(to),
        other => other.clone(),
    };
    let to = match written.get(key)? {
        Setting::List(names) => Setting::List(names.iter().map(renamed).collect()),
        name => renamed(name),
    };
    Some(Change::Set { entry: written.entry, key: key.to_owned(), to })
}

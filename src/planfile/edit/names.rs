//! Gives a thing another name, also where others refer to it.

use toml::Value;

use super::{Change, EditError, Entry, List, Written, edit, set, written};
use crate::{
    planfile::{self, Table},
    tables,
};

/// The text with a thing under another name.
pub(super) fn rename(
    text: String,
    kind: Table,
    index: usize,
    to: &str,
) -> Result<String, EditError> {
    let all = written(&text).ok_or(EditError::NotToml)?;
    let own = Entry::Of(List::Things(kind), index);
    let found = all.iter().find(|written| written.entry == own);
    let found = found.ok_or(EditError::Missing("entry"))?;
    let new = Value::from(to);
    let Some(Value::String(old)) = found.get("name") else { return set(text, own, "name", &new) };
    if old == to {
        return Ok(text);
    }
    let mut changes = vec![Change::Set { entry: own, key: "name".to_owned(), to: new }];
    if kind == Table::Mould {
        changes.extend(same_form(found, old, to));
    }
    // Where another thing has one of the two names, the others may mean that one.
    let of_kind = all.iter().filter(|table| table.entry.nth(kind).is_some());
    let mut names =
        of_kind.filter(|table| table.entry != own).filter_map(|table| table.get("name"));
    if !names.any(|name| [old, to].iter().any(|taken| *name == Value::from(*taken))) {
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
        to: Value::from(old),
    })
}

/// The keys of a table that refer to the thing of a kind, by the schema.
fn refer(written: &Written, kind: Table, old: &str, to: &str) -> Vec<Change> {
    let refers = |key: &&planfile::Key| match key.value {
        planfile::Value::Thing(table) => table == kind,
        planfile::Value::Things(tables, _) => tables.contains(&kind),
        _ => false,
    };
    let renamed = |name: &Value| match name {
        Value::String(name) if name == old => Value::from(to),
        other => other.clone(),
    };
    let keys = written.entry.table().rows().keys.iter().filter(refers);
    keys.filter_map(|key| {
        let value = written.get(key.name)?;
        let to = match value {
            Value::Array(names) => Value::Array(names.iter().map(renamed).collect()),
            name => renamed(name),
        };
        (to != *value).then(|| Change::Set { entry: written.entry, key: key.name.to_owned(), to })
    })
    .collect()
}

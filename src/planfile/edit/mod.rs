//! Changes a plan file in place: only the bytes of what changed are touched, so
//! comments, order, spacing and line ends stay as the user wrote them.
//!
//! Each change finds the bytes of its value from the parser's spans and puts
//! other bytes there; nothing else is written again. A value that is the same
//! already is left as it is written.
//!
//! `toml_edit` would write the whole file again: it moves keys with dots that stand
//! apart, ends all lines alike, and a table that goes takes the remarks above it along
//! (0.25.20; a test shows each). Spacing of lists and tables in braces would be ours
//! to mend as well, so little of this room could go.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod change;
mod names;
mod splice;
mod written;

#[cfg(test)]
mod model_tests;
#[cfg(test)]
mod tests;

pub use change::{Change, Entry, List};
pub use written::{Key, Written, written};

use toml::Value;

use super::{
    Table,
    key::{american, look},
};
use splice::{
    braces, insert_entry, insert_key, insert_lines, line, remove_entry, remove_key, remove_lines,
};
use written::{
    find, has_lines, line_end, line_start, list_value, parse, plain, regions, under_headers,
};

/// Why a plan file was not changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is no TOML, so nothing can be found in it.
    #[error("the file has a mistake in its TOML; mend that first")]
    NotToml,
    /// The file has no such table or list.
    #[error("the plan file has no such {0}")]
    Missing(&'static str),
    /// The key is a table, or a list of tables, with lines of its own.
    #[error("`{0}` has lines of its own and is changed key by key")]
    Table(String),
}

/// The text of a plan file after some changes.
///
/// Whether the plan is sound is for [`crate::planfile::read`] to say: a change may well
/// bring a wrong value, and then the text holds it.
///
/// # Errors
/// [`EditError`] when the text is no TOML or a change is about a table that is not there.
pub fn edit(text: &str, changes: &[Change]) -> Result<String, EditError> {
    changes.iter().try_fold(text.to_owned(), |text, change| match change {
        Change::Set { entry, key, to } => set(text, *entry, key, to),
        Change::Append { entry, key, to } => append(text, *entry, key, to),
        Change::Unset { entry, key } => unset(text, *entry, key),
        Change::Add { list, keys } => add(text, *list, keys),
        Change::Remove { list, index } => remove(text, *list, *index),
        Change::Rename { kind, index, to } => names::rename(text, *kind, *index, to),
    })
}

fn set(text: String, entry: Entry, key: &str, to: &Value) -> Result<String, EditError> {
    let document = parse(&text).ok_or(EditError::NotToml)?;
    let Some(place) = find(document.get_ref(), &text, entry) else {
        let Entry::One(section) = entry else { return Err(EditError::Missing("entry")) };
        return Ok(add_section(&text, section, &line(key, to)));
    };
    let Some(value) = look(place.table, key) else {
        return Ok(insert_key(&text, &place, &line(key, to)));
    };
    match (plain(value), to) {
        (old, new) if old == *new => Ok(text),
        _ if has_lines(value, &text) => Err(EditError::Table(key.to_owned())),
        (Value::Array(_), Value::Array(wanted)) => {
            drop(document);
            set_list(text, entry, key, wanted)
        }
        _ => Ok(splice::splice(&text, value.span(), &to.to_string())),
    }
}

fn append(text: String, entry: Entry, key: &str, more: &Value) -> Result<String, EditError> {
    let document = parse(&text).ok_or(EditError::NotToml)?;
    let place = find(document.get_ref(), &text, entry);
    let mut wanted = match place.and_then(|place| look(place.table, key)).map(plain) {
        Some(Value::Array(list)) => list,
        Some(one) => vec![one],
        None => Vec::new(),
    };
    wanted.push(more.clone());
    drop(document);
    set(text, entry, key, &Value::Array(wanted))
}

/// Brings a list to what is wanted, one entry at a time, so that entries that
/// stay keep their bytes and their comments.
fn set_list(
    mut text: String,
    entry: Entry,
    key: &str,
    wanted: &[Value],
) -> Result<String, EditError> {
    loop {
        let document = parse(&text).ok_or(EditError::NotToml)?;
        let list = find(document.get_ref(), &text, entry).and_then(|place| look(place.table, key));
        let list = list.ok_or(EditError::Missing("list"))?;
        let Value::Array(old) = plain(list) else { return Err(EditError::Missing("list")) };
        let same = |pairs: &mut dyn Iterator<Item = (&Value, &Value)>| {
            pairs.take_while(|(old, new)| old == new).count()
        };
        let head = same(&mut old.iter().zip(wanted));
        let most = old.len().min(wanted.len()) - head;
        let tail = same(&mut old.iter().rev().zip(wanted.iter().rev())).min(most);
        let next = match (old.len() - head - tail, wanted.get(head)) {
            (0, Some(new)) if head + tail < wanted.len() => {
                insert_entry(&text, list, head, &new.to_string())
            }
            (0, _) => return Ok(text),
            (_, Some(new)) if head + tail < wanted.len() => {
                let entry = list.get_ref().as_array().and_then(|entries| entries.get(head));
                let entry = entry.ok_or(EditError::Missing("list"))?;
                splice::splice(&text, entry.span(), &new.to_string())
            }
            _ => remove_entry(&text, list, head),
        };
        drop(document);
        text = next;
    }
}

fn unset(text: String, entry: Entry, key: &str) -> Result<String, EditError> {
    let document = parse(&text).ok_or(EditError::NotToml)?;
    let Some(place) = find(document.get_ref(), &text, entry) else { return Ok(text) };
    if look(place.table, key).is_some_and(|value| has_lines(value, &text)) {
        return Err(EditError::Table(key.to_owned()));
    }
    Ok(remove_key(&text, &place, key))
}

fn add(text: String, list: List, keys: &[(String, Value)]) -> Result<String, EditError> {
    let document = parse(&text).ok_or(EditError::NotToml)?;
    let value = list_value(document.get_ref(), list);
    let headers = value.is_some_and(|value| under_headers(value, &text));
    match (value, list) {
        (Some(value), _) if !headers => {
            let entries = value.get_ref().as_array().ok_or(EditError::Missing("list"))?;
            let entry = braces(keys);
            Ok(insert_entry(&text, value, entries.len(), &entry))
        }
        (None, List::Sessions(ice)) => {
            let ice = Entry::Of(List::Things(Table::Ice), ice);
            let place = find(document.get_ref(), &text, ice).ok_or(EditError::Missing("entry"))?;
            Ok(insert_key(&text, &place, &format!("session = [{}]", braces(keys))))
        }
        (_, List::Sessions(_)) => {
            Ok(add_table(&text, last_line(value, &text), "ice.session", keys))
        }
        (_, List::Things(kind)) => {
            let before = Table::LISTS.iter().rev().filter(|earlier| **earlier <= kind);
            let at = before
                .filter_map(|kind| last_line(look(document.get_ref(), kind.word()), &text))
                .next();
            let other = american(kind.word()).filter(|_| value.is_some());
            let other = other.filter(|name| document.get_ref().get(*name).is_some());
            Ok(add_table(&text, at, other.unwrap_or(kind.word()), keys))
        }
    }
}

/// Where the lines of a value under headers end, with the remarks that follow it.
fn last_line(value: Option<&toml::Spanned<toml::de::DeValue<'_>>>, text: &str) -> Option<usize> {
    let end = regions(value?, text).into_iter().map(|lines| lines.end).max()?;
    // Remarks belong to what is above them where an empty line or nothing follows.
    let mut at = end;
    while text.get(at..).is_some_and(|rest| rest.trim_start_matches([' ', '\t']).starts_with('#')) {
        at = line_end(text, at);
    }
    let alone =
        text.get(at..).and_then(|rest| rest.lines().next()).is_none_or(|l| l.trim().is_empty());
    Some(if alone { at } else { end })
}

fn add_table(text: &str, at: Option<usize>, name: &str, keys: &[(String, Value)]) -> String {
    let keys: Vec<String> = keys.iter().map(|(key, value)| line(key, value)).collect();
    let lines = format!("\n[[{name}]]\n{}\n", keys.join("\n"));
    insert_lines(text, at.unwrap_or(text.len()), &lines)
}

/// A section goes before the first thing of the plan.
fn add_section(text: &str, section: Table, line: &str) -> String {
    let things = parse(text).and_then(|document| {
        let values = Table::LISTS.iter().filter_map(|kind| look(document.get_ref(), kind.word()));
        let lines = values.flat_map(|value| regions(value, text));
        lines.map(|lines| lines.start).min()
    });
    let lines = format!("[{}]\n{line}\n", section.word());
    match things {
        Some(at) => insert_lines(text, above_remarks(text, at), &format!("{lines}\n")),
        None => insert_lines(text, text.len(), &format!("\n{lines}")),
    }
}

/// The start of the remarks that stand right above a line.
fn above_remarks(text: &str, mut at: usize) -> usize {
    while let Some(above) = at.checked_sub(1).map(|newline| line_start(text, newline)) {
        if !text.get(above..at).is_some_and(|line| line.trim_start().starts_with('#')) {
            break;
        }
        at = above;
    }
    at
}

fn remove(text: String, list: List, index: usize) -> Result<String, EditError> {
    let document = parse(&text).ok_or(EditError::NotToml)?;
    let value = list_value(document.get_ref(), list).ok_or(EditError::Missing("list"))?;
    without_entry(&text, value, index)
}

/// The text without an entry of a list, however the list is written.
fn without_entry(
    text: &str,
    value: &toml::Spanned<toml::de::DeValue<'_>>,
    index: usize,
) -> Result<String, EditError> {
    let entries = value.get_ref().as_array().ok_or(EditError::Missing("list"))?;
    let entry = entries.get(index).ok_or(EditError::Missing("entry"))?;
    if !under_headers(value, text) {
        return Ok(remove_entry(text, value, index));
    }
    let mut lines = regions(entry, text);
    lines.sort_by_key(|lines| std::cmp::Reverse(lines.start));
    Ok(lines.into_iter().fold(text.to_owned(), |text, lines| remove_lines(&text, lines)))
}

/// The text of any TOML file, as the diary, without the table at a position of a list of
/// tables; all else stays as it is written.
///
/// # Errors
/// [`EditError`] when the text is no TOML or has no such table.
pub fn without_table(text: &str, list: &str, index: usize) -> Result<String, EditError> {
    let document = parse(text).ok_or(EditError::NotToml)?;
    let value = document.get_ref().get(list).ok_or(EditError::Missing("list"))?;
    without_entry(text, value, index)
}

/// The same without the last entry of a list in that table.
///
/// # Errors
/// As [`without_table`], and when that list is not there or empty.
pub fn without_last(
    text: &str,
    (list, index): (&str, usize),
    key: &str,
) -> Result<String, EditError> {
    let document = parse(text).ok_or(EditError::NotToml)?;
    let tables = document.get_ref().get(list).and_then(|value| value.get_ref().as_array());
    let table = tables.and_then(|tables| tables.get(index)?.get_ref().as_table());
    let value = table.and_then(|table| table.get(key)).ok_or(EditError::Missing("list"))?;
    let entries = value.get_ref().as_array().ok_or(EditError::Missing("list"))?;
    let last = entries.len().checked_sub(1).ok_or(EditError::Missing("entry"))?;
    without_entry(text, value, last)
}

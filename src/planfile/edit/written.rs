//! Where everything stands in the text of a plan file.

use std::ops::Range;

use serde::Deserialize;
use toml::{
    Spanned, Value,
    de::{DeTable, DeValue, ValueDeserializer},
};

use super::{Entry, List};
use crate::planfile::{
    Table,
    key::{look, schema_name},
};

/// A table of a plan file as it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// Which table.
    pub entry: Entry,
    /// The bytes that stand for it in faults.
    pub header: Range<usize>,
    /// Its keys in the order of the file.
    pub keys: Vec<Key>,
}

/// A key with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    /// The key.
    pub name: String,
    /// The bytes from the key to the end of its value.
    pub span: Range<usize>,
    /// The value.
    pub value: Value,
    /// The bytes of each entry, where it is a list.
    pub entries: Vec<Range<usize>>,
}

impl Written {
    /// The value of a key.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.keys.iter().find(|key| key.name == name).map(|key| &key.value)
    }
}

/// Every table of a plan file, the file itself first; none where the text is not TOML.
pub fn written(text: &str) -> Option<Vec<Written>> {
    let document = parse(text)?;
    let mut all = vec![Entry::One(Table::Plan)];
    all.extend(Table::SECTIONS.map(Entry::One));
    for kind in Table::LISTS {
        let things = length(document.get_ref(), List::Things(kind));
        all.extend((0..things).map(|n| Entry::Of(List::Things(kind), n)));
        if kind == Table::Ice {
            for ice in 0..things {
                let list = List::Sessions(ice);
                let sessions = length(document.get_ref(), list);
                all.extend((0..sessions).map(|n| Entry::Of(list, n)));
            }
        }
    }
    let found = all.into_iter().filter_map(|entry| {
        let place = find(document.get_ref(), text, entry)?;
        let keys = sorted(place.table).into_iter().map(|(key, value)| Key {
            name: schema_name(key.get_ref()).to_owned(),
            span: key.span().start..value.span().end.max(key.span().end),
            value: plain(value),
            entries: value
                .get_ref()
                .as_array()
                .map_or_else(Vec::new, |entries| entries.iter().map(Spanned::span).collect()),
        });
        Some(Written { entry, header: place.header(text), keys: keys.collect() })
    });
    Some(found.collect())
}

/// A sound document; a plan file with a mistake in its TOML has no places.
pub(super) fn parse(text: &str) -> Option<Spanned<DeTable<'_>>> {
    DeTable::parse(text).ok()
}

/// A value without its bytes.
pub(super) fn plain(value: &Spanned<DeValue<'_>>) -> Value {
    // A value that was parsed is one; only its place is lost.
    Value::deserialize(ValueDeserializer::from(value.clone()))
        .unwrap_or_else(|_| Value::Array(Vec::new()))
}

/// How a table is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Form {
    /// The file itself.
    Root,
    /// Under a line `[name]` or `[[name]]`, with the bytes of that line.
    Header(Range<usize>),
    Braces(Range<usize>),
    /// By keys with dots.
    Dotted,
}

/// A table and how it is written.
pub(super) struct Place<'d> {
    pub table: &'d DeTable<'d>,
    pub form: Form,
}

impl<'d> Place<'d> {
    fn of(value: &'d Spanned<DeValue<'d>>, text: &str) -> Option<Self> {
        let table = value.get_ref().as_table()?;
        let form = match text.as_bytes().get(value.span().start) {
            Some(b'[') => Form::Header(value.span()),
            Some(b'{') => Form::Braces(value.span()),
            _ => Form::Dotted,
        };
        Some(Self { table, form })
    }

    fn header(&self, text: &str) -> Range<usize> {
        match &self.form {
            Form::Header(span) | Form::Braces(span) => span.clone(),
            Form::Root => 0..text.lines().next().map_or(0, str::len),
            Form::Dotted => sorted(self.table).first().map_or(0..0, |(key, _)| key.span()),
        }
    }
}

pub(super) fn find<'d>(root: &'d DeTable<'d>, text: &str, entry: Entry) -> Option<Place<'d>> {
    match entry {
        Entry::One(Table::Plan) => Some(Place { table: root, form: Form::Root }),
        Entry::One(section) => Place::of(root.get(section.word())?, text),
        Entry::Of(list, index) => {
            Place::of(list_value(root, list)?.get_ref().as_array()?.get(index)?, text)
        }
    }
}

/// The value that holds a list.
pub(super) fn list_value<'d>(
    root: &'d DeTable<'d>,
    list: List,
) -> Option<&'d Spanned<DeValue<'d>>> {
    match list {
        List::Things(kind) => look(root, kind.word()),
        List::Sessions(ice) => {
            let ice = root.get(Table::Ice.word())?.get_ref().as_array()?.get(ice)?;
            ice.get_ref().as_table()?.get("session")
        }
    }
}

fn length(root: &DeTable<'_>, list: List) -> usize {
    list_value(root, list).and_then(|value| value.get_ref().as_array()).map_or(0, |all| all.len())
}

/// The keys of a table in the order of the file.
pub(super) fn sorted<'d>(
    table: &'d DeTable<'d>,
) -> Vec<(&'d Spanned<toml::de::DeString<'d>>, &'d Spanned<DeValue<'d>>)> {
    let mut keys: Vec<_> = table.iter().collect();
    keys.sort_by_key(|(key, _)| key.span().start);
    keys
}

/// Whether a value is written under header lines of its own.
pub(super) fn under_headers(value: &Spanned<DeValue<'_>>, text: &str) -> bool {
    let header = |table: &Spanned<DeValue<'_>>| {
        table.get_ref().is_table() && text.as_bytes().get(table.span().start) == Some(&b'[')
    };
    match value.get_ref() {
        DeValue::Array(entries) => entries.iter().next().is_some_and(header),
        _ => header(value),
    }
}

/// Whether a value is a table, or a list of tables, in lines of its own.
pub(super) fn has_lines(value: &Spanned<DeValue<'_>>, text: &str) -> bool {
    let dotted = |place: Place<'_>| place.form == Form::Dotted;
    under_headers(value, text) || Place::of(value, text).is_some_and(dotted)
}

/// The end of the last value that stands in the table's own lines.
pub(super) fn own_end(table: &DeTable<'_>, text: &str) -> Option<usize> {
    let own = table.values().filter(|value| !under_headers(value, text));
    own.filter_map(|value| match value.get_ref() {
        DeValue::Table(inner) if Place::of(value, text)?.form == Form::Dotted => {
            own_end(inner, text)
        }
        _ => Some(value.span().end),
    })
    .max()
}

/// The lines of a table under a header, and those of tables under it, each with
/// the comments inside them.
pub(super) fn regions(value: &Spanned<DeValue<'_>>, text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    match value.get_ref() {
        DeValue::Array(entries) if under_headers(value, text) => {
            found.extend(entries.iter().flat_map(|entry| regions(entry, text)));
        }
        DeValue::Table(table) => {
            if under_headers(value, text) {
                let end = own_end(table, text).unwrap_or(0).max(value.span().end);
                found.push(line_start(text, value.span().start)..line_end(text, end));
            }
            found.extend(table.values().flat_map(|inner| regions(inner, text)));
        }
        _ => {}
    }
    found
}

/// The first byte of the line that holds a byte.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1)
}

/// The first byte after the line that holds a byte.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    text.get(at..).and_then(|after| after.find('\n')).map_or(text.len(), |newline| at + newline + 1)
}

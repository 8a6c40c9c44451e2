//! Reads one TOML table key by key and collects every fault on the way,
//! unknown keys included.

use std::{cell::RefCell, ops::Range, ops::RangeInclusive};

use toml::{
    Spanned,
    de::{DeTable, DeValue},
    value::Datetime,
};

use super::Fault;
use crate::{
    tables::{Named, nearest},
    units::QuantityError,
};

/// Nobody mends more at a time; what is found beyond is not kept.
pub const MOST_FAULTS: usize = 500;

/// A file is written by hand; one longer than this is not one.
pub const LARGEST_FILE: usize = 1 << 20;

/// Reads a whole file that is called `what` in messages.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn document<T>(
    text: &str,
    what: &str,
    read: impl FnOnce(&Reader<'_>) -> Option<T>,
) -> Result<T, Vec<Fault>> {
    if text.len() > LARGEST_FILE {
        let message = format!("{what} has {} bytes, which is too long", text.len());
        return Err(vec![Fault::new(0..0, message, "a file has at most 1 MiB")]);
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let told = errors.into_iter().take(MOST_FAULTS);
        return Err(told.map(|error| syntax(&error, text)).collect());
    }
    let faults = RefCell::default();
    let header = 0..text.lines().next().map_or(0, str::len);
    let found = read(&Reader::new(table.get_ref(), header, what, &faults));
    let mut faults = faults.take();
    faults.sort_by_key(|fault| fault.span.start);
    match found {
        Some(found) if faults.is_empty() => Ok(found),
        _ => Err(faults),
    }
}

fn syntax(error: &toml::de::Error, text: &str) -> Fault {
    let end = text.len();
    let span = error.span().map_or(0..0, |span| span.start.min(end)..span.end.min(end));
    Fault { span, message: error.message().to_owned(), help: None, missing: None }
}

/// A list of names longer than this is no help.
const MOST_NAMED: usize = 60;

/// A value of the file with the bytes it stands on.
pub type Found<'a> = &'a Spanned<DeValue<'a>>;

/// Reads one table; faults go to a list shared by all readers of the file.
pub struct Reader<'a> {
    table: &'a DeTable<'a>,
    header: Range<usize>,
    /// What the table is, for messages: `[[ice]]`.
    what: String,
    known: RefCell<Vec<&'static str>>,
    faults: &'a RefCell<Vec<Fault>>,
}

impl<'a> Reader<'a> {
    /// A reader of `table`, which is called `what` in messages.
    pub fn new(
        table: &'a DeTable<'a>,
        header: Range<usize>,
        what: impl Into<String>,
        faults: &'a RefCell<Vec<Fault>>,
    ) -> Self {
        Self { table, header, what: what.into(), known: RefCell::default(), faults }
    }

    /// Notes a fault.
    pub fn fault(&self, span: Range<usize>, message: impl Into<String>, help: impl Into<String>) {
        self.keep(Fault::new(span, message, help));
    }

    fn keep(&self, fault: Fault) {
        let mut faults = self.faults.borrow_mut();
        if faults.len() < MOST_FAULTS {
            faults.push(fault);
        }
    }

    /// The bytes that stand for the whole table.
    pub fn header(&self) -> Range<usize> {
        self.header.clone()
    }

    /// The value of a key, if it is there.
    pub fn optional(&self, key: &'static str) -> Option<Found<'a>> {
        self.known.borrow_mut().push(key);
        self.table.get(key)
    }

    /// The value of a key that must be there.
    pub fn required(&self, key: &'static str, example: &str) -> Option<Found<'a>> {
        let found = self.optional(key);
        if found.is_none() {
            let message = format!("{} has no `{key}`", self.what);
            let fault = Fault::new(self.header(), message, format!("add `{key} = {example}`"));
            self.keep(Fault { missing: Some(key), ..fault });
        }
        found
    }

    /// A value as text.
    pub fn as_text(&self, key: &str, found: Found<'a>, example: &str) -> Option<&'a str> {
        let text = found.get_ref().as_str();
        if text.is_none() {
            self.wrong_kind(key, found, "text in quotes", example);
        }
        text
    }

    /// A text that must be there and not be empty.
    pub fn text(&self, key: &'static str, example: &str) -> Option<&'a str> {
        let found = self.required(key, example)?;
        let text = self.as_text(key, found, example)?;
        if text.trim().is_empty() {
            self.fault(
                found.span(),
                format!("`{key}` is empty"),
                format!("write `{key} = {example}`"),
            );
            return None;
        }
        Some(text)
    }

    /// A whole number within a range.
    pub fn count(
        &self,
        key: &'static str,
        found: Found<'a>,
        range: RangeInclusive<u32>,
    ) -> Option<u32> {
        let (low, high) = (range.start(), range.end());
        let Some(number) = found.get_ref().as_integer() else {
            self.wrong_kind(key, found, "a whole number", &low.max(&4).to_string());
            return None;
        };
        let number = i64::from_str_radix(number.as_str(), number.radix()).ok();
        let fits =
            number.and_then(|number| u32::try_from(number).ok()).filter(|n| range.contains(n));
        if fits.is_none() {
            self.fault(
                found.span(),
                format!("`{key}` is out of range"),
                format!("a whole number from {low} to {high}"),
            );
        }
        fits
    }

    /// A number without a unit, between `-most` and `most`.
    pub fn number(&self, key: &str, found: Found<'a>, most: f64) -> Option<f64> {
        let value = match found.get_ref() {
            DeValue::Integer(whole) => i64::from_str_radix(whole.as_str(), whole.radix())
                .map_or(f64::INFINITY, |n| n as f64),
            DeValue::Float(float) => float.as_str().parse().unwrap_or(f64::NAN),
            _ => {
                self.wrong_kind(key, found, "made of bare numbers", "[[0, 0], [9, 0], [4.5, 7.5]]");
                return None;
            }
        };
        let fits = (-most..=most).contains(&value);
        if !fits {
            self.fault(
                found.span(),
                format!("`{key}`: this number is out of range"),
                format!("a number between {} and {most}, for example 4.5", -most),
            );
        }
        fits.then_some(value)
    }

    /// A quantity in quotes, read by `parse`, within `[low, high]`.
    pub fn quantity<Q: PartialOrd>(
        &self,
        key: &'static str,
        found: Found<'a>,
        limits: Limits<Q>,
    ) -> Option<Q> {
        let text = self.as_text(key, found, &format!("\"{}\"", limits.example))?;
        match (limits.parse)(text) {
            Err(error) => self.fault(
                found.span(),
                format!("`{key}`: {error}"),
                format!("for example `{key} = \"{}\"`", limits.example),
            ),
            Ok(value) if value < limits.low || value > limits.high => self.fault(
                found.span(),
                format!("`{key}` is {text}, which is out of range"),
                format!("{}; for example `{key} = \"{}\"`", limits.range, limits.example),
            ),
            Ok(value) => return Some(value),
        }
        None
    }

    /// One of some names.
    pub fn choice(&self, key: &str, found: Found<'a>, names: &[&str]) -> Option<usize> {
        let text = self.as_text(key, found, &format!("\"{}\"", names.first().unwrap_or(&"")))?;
        let position = names.iter().position(|name| *name == text);
        if position.is_none() {
            self.unknown_name(found.span(), key, text, names);
        }
        position
    }

    /// The row of a table that a key names.
    pub fn row<R: Named>(
        &self,
        key: &str,
        found: Found<'a>,
        rows: &'static [R],
    ) -> Option<&'static R> {
        let names: Vec<&str> = rows.iter().map(Named::name).collect();
        rows.get(self.choice(key, found, &names)?)
    }

    /// Notes that a name is none of those known.
    pub fn unknown_name(&self, span: Range<usize>, key: &str, text: &str, names: &[&str]) {
        let help = match nearest(text, names.iter().copied()) {
            Some(name) => format!("did you mean “{name}”?"),
            None if names.is_empty() => format!("the plan has no {key} yet"),
            None if names.len() > MOST_NAMED => format!("it is none of {} names", names.len()),
            None => format!("it is one of {}", names.join(", ")),
        };
        self.fault(span, format!("`{key}`: “{text}” is not known"), help);
    }

    /// A local date-time such as `2026-12-09T09:30:00`.
    pub fn datetime(&self, key: &str, found: Found<'a>, example: &str) -> Option<Datetime> {
        let at = found.get_ref().as_datetime().copied();
        if at.is_none() {
            self.wrong_kind(key, found, "a date without quotes", example);
        }
        at
    }

    /// The values of a list; none of them where there are more than `most`.
    pub fn list(&self, key: &str, found: Found<'a>, most: usize, example: &str) -> Vec<Found<'a>> {
        match found.get_ref().as_array() {
            Some(array) if array.len() > most => {
                self.too_many(found.span(), key, array.len(), most);
                Vec::new()
            }
            Some(array) => array.iter().collect(),
            None => {
                self.wrong_kind(key, found, "a list in square brackets", example);
                Vec::new()
            }
        }
    }

    /// Readers for each `[[key]]` table, or for each table of a list.
    pub fn tables(&self, key: &'static str, most: usize, example: &str) -> Vec<Reader<'a>> {
        let Some(found) = self.optional(key) else { return Vec::new() };
        let entries = self.list(key, found, most, example);
        entries.into_iter().filter_map(|entry| self.inner(key, entry)).collect()
    }

    /// A reader for a table inside this one.
    pub fn inner(&self, key: &'static str, found: Found<'a>) -> Option<Reader<'a>> {
        let Some(table) = found.get_ref().as_table() else {
            self.wrong_kind(key, found, "a table", "{ … }");
            return None;
        };
        let what =
            if found.get_ref().is_table() { format!("this `{key}`") } else { key.to_owned() };
        Some(Reader::new(table, found.span(), what, self.faults))
    }

    /// Every key of the table with its value; none of them counts as unknown.
    pub fn all(&self) -> impl Iterator<Item = (&'a str, Range<usize>, Found<'a>)> {
        self.table.iter().map(|(key, value)| (key.get_ref().as_ref(), key.span(), value))
    }

    /// Notes that there are more of something than a plan may have.
    pub fn too_many(&self, span: Range<usize>, key: &str, found: usize, most: usize) {
        let message = format!("there are {found} of `{key}`");
        self.fault(span, message, format!("a file has at most {most}; make two of it"));
    }

    /// Notes every key that nobody asked for.
    pub fn finish(&self) {
        let known = self.known.borrow();
        for (key, span, _) in self.all().filter(|(key, ..)| !known.contains(key)) {
            let help = match nearest(key, known.iter().copied()) {
                Some(name) => format!("did you mean `{name}`?"),
                None => format!("{} may have {}", self.what, known.join(", ")),
            };
            self.fault(span, format!("{} has no key `{key}`", self.what), help);
        }
    }

    fn wrong_kind(&self, key: &str, found: Found<'a>, wanted: &str, example: &str) {
        self.fault(
            found.span(),
            format!("`{key}` is {}, and must be {wanted}", kind_words(found.get_ref())),
            format!("write `{key} = {example}`"),
        );
    }
}

/// The bounds of a quantity and how it is written.
pub struct Limits<Q> {
    /// Reads the text.
    pub parse: fn(&str) -> Result<Q, QuantityError>,
    /// Least value.
    pub low: Q,
    /// Largest value.
    pub high: Q,
    /// The bounds in words.
    pub range: &'static str,
    /// A valid text.
    pub example: &'static str,
}

fn kind_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

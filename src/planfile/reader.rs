//! Reads a file table by table: the schema says what a table may have, so that faults
//! of its keys are found here and the rooms above only ask for meanings.

use std::{
    cell::{OnceCell, RefCell},
    ops::Range,
};

use chrono::NaiveDate;
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use super::{
    fault::{Fault, Wrong},
    hours::{Opening, dates},
    key::{Key, Need, Table, Value, american, look, schema_name},
    rule::Rule,
    values::{Meaning, day, kind, text, unknown},
};
use crate::{
    tables::{Named, called, nearest},
    units::{System, time_of_day},
};

/// Nobody mends more at a time; what is found beyond is not kept.
pub const MOST_FAULTS: usize = 500;

/// A file is written by hand; one longer than this is not one.
pub const LARGEST_FILE: usize = 1 << 20;

/// Words of a key that are told with what each means; more would hide them.
const MOST_MEANT: usize = 4;

/// Reads a whole file, whose outermost table is `table`.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn document<T>(
    text: &str,
    table: Table,
    read: impl FnOnce(&Reader<'_>) -> Option<T>,
) -> Result<T, Vec<Fault>> {
    if text.len() > LARGEST_FILE {
        let wrong = Wrong::TooLong { what: what_file(table), bytes: text.len() };
        return Err(vec![Fault::whole(0..0, wrong)]);
    }
    let (root, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let told = errors.into_iter().take(MOST_FAULTS);
        return Err(told.map(|error| syntax(&error, text)).collect());
    }
    let nothing = DeTable::new();
    let root = root.get_ref();
    let units = look(root, "units").and_then(|found| found.get_ref().as_str());
    let units = units.and_then(System::named).unwrap_or_default();
    let file = File {
        root,
        units,
        nothing: &nothing,
        faults: RefCell::default(),
        first_day: OnceCell::new(),
    };
    let header = 0..text.lines().next().map_or(0, str::len);
    let found = read(&Reader::new(&file, table, file.root, header, what_file(table).to_owned()));
    let mut faults = file.faults.take();
    faults.sort_by_key(|fault| fault.span.start);
    found.filter(|_| faults.is_empty()).ok_or(faults)
}

fn what_file(table: Table) -> &'static str {
    if table == Table::Plan { "the plan file" } else { "the outline file" }
}

fn syntax(error: &toml::de::Error, text: &str) -> Fault {
    let end = text.len();
    let span = error.span().map_or(0..0, |span| span.start.min(end)..span.end.min(end));
    let line = text.get(span.start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let curly = ['“', '”', '‘', '’', '„'].iter().any(|quote| line.contains(*quote));
    let wrong = match error.message().starts_with("string values must be quoted") || curly {
        true => Wrong::Quotes { curly },
        false => Wrong::Syntax(error.message().to_owned()),
    };
    Fault::whole(span, wrong)
}

/// A value of the file with the bytes it stands on.
pub type Found<'a> = &'a Spanned<DeValue<'a>>;

/// What all readers of a file share.
struct File<'a> {
    root: &'a DeTable<'a>,
    /// What its examples are measured in.
    units: System,
    nothing: &'a DeTable<'a>,
    faults: RefCell<Vec<Fault>>,
    /// The first whole date, once it was looked for.
    first_day: OnceCell<Option<NaiveDate>>,
}

/// Reads one table; faults go to the file's list.
pub struct Reader<'a> {
    file: &'a File<'a>,
    of: Table,
    table: &'a DeTable<'a>,
    header: Range<usize>,
}

impl<'a> Reader<'a> {
    /// A reader of `table`, which is called `what` in messages; notes every key that it
    /// may not have, and every one that it lacks.
    fn new(
        file: &'a File<'a>,
        of: Table,
        table: &'a DeTable<'a>,
        header: Range<usize>,
        what: String,
    ) -> Self {
        let reader = Self { file, of, table, header };
        let rows = of.rows();
        let inner = of.inner();
        let names = || rows.keys.iter().map(|key| key.name).chain(inner.iter().map(|t| t.word()));
        for (key, span, _) in reader.all().filter(|_| rows.own.is_none()) {
            if !names().any(|name| name == schema_name(key)) {
                let near = nearest(key, names());
                let known = names().collect();
                let elsewhere = Table::with_key(key);
                let wrong = Wrong::NoSuchKey { table: what.clone(), near, known, elsewhere };
                reader.keep(Fault::of(span, key, wrong));
            }
        }
        for name in names() {
            let both = american(name).and_then(|other| table.get(other).zip(table.get(name)));
            if let Some((other, _)) = both {
                reader.broken(other.span(), name, Rule::SpelledTwice(name));
            }
        }
        for key in rows.keys.iter().filter(|key| reader.is_needed(key)) {
            let example = key.example_in(file.units);
            let wrong = Wrong::Missing { table: what.clone(), example };
            reader.keep(Fault::of(reader.header(), key.name, wrong));
        }
        reader
    }

    /// Whether a key must be there and is not; one that must not be there is noted.
    fn is_needed(&self, key: &Key) -> bool {
        let found = self.found(key.name);
        match key.need {
            Need::Needed => found.is_none(),
            Need::Beside(other) => found.is_none() && self.found(other).is_some(),
            Need::Unless(other) => found.is_none() && self.found(other).is_none(),
            Need::With(other, words) => {
                let chosen = self.found(other).and_then(|it| it.get_ref().as_str());
                let goes = |chosen| words.contains(&chosen) || !self.has_word(other, chosen);
                if let (Some(found), Some(false)) = (found, chosen.map(goes)) {
                    self.broken(found.span(), key.name, Rule::BelongsTo { other, words });
                }
                found.is_none() && chosen.is_some() && chosen == words.first().copied()
            }
            Need::Default(..) | Need::Optional => false,
        }
    }

    fn has_word(&self, key: &str, word: &str) -> bool {
        matches!(self.of.key(key), Some(Key { value: Value::Word(words), .. })
            if words().iter().any(|(known, _)| *known == word))
    }

    /// Notes a fault.
    pub fn keep(&self, fault: Fault) {
        let mut faults = self.file.faults.borrow_mut();
        if faults.len() < MOST_FAULTS {
            faults.push(fault);
        }
    }

    /// Notes a rule that a key breaks.
    pub fn broken(&self, span: Range<usize>, key: &str, rule: Rule) {
        self.keep(Fault::of(span, key, Wrong::Rule(rule)));
    }

    /// The bytes that stand for the whole table.
    pub fn header(&self) -> Range<usize> {
        self.header.clone()
    }

    /// The bytes of a key's value; of the table, where it is not there.
    pub fn span(&self, key: &str) -> Range<usize> {
        self.found(key).map_or(self.header(), Spanned::span)
    }

    /// The value of a key, if it is there.
    pub fn found(&self, key: &str) -> Option<Found<'a>> {
        look(self.table, key)
    }

    /// What a key means, by its value or by what stands for it. None where it is not
    /// known, or wrong: then there is a fault.
    pub fn get<T: Meaning>(&self, key: &str) -> Option<T> {
        self.value(key, T::read)
    }

    /// The row of a key, its example in the units of the file.
    pub fn schema_row(&self, key: &str) -> Option<Key> {
        self.of.key(key).map(|row| Key { example: row.example_in(self.file.units), ..*row })
    }

    /// A value by a reading of one's own.
    pub fn value<T>(
        &self,
        key: &str,
        read: impl FnOnce(&Key, &DeValue<'_>) -> Result<T, Wrong>,
    ) -> Option<T> {
        let row = &self.schema_row(key)?;
        match (self.found(key), row.need) {
            (Some(found), _) => {
                let read = read(row, found.get_ref());
                let read = read.map_err(|wrong| self.with_own_date(row, found.get_ref(), wrong));
                self.noted(key, found.span(), read)
            }
            (None, Need::Default(value, _)) => {
                DeValue::parse(value).ok().and_then(|value| read(row, value.get_ref()).ok())
            }
            (None, _) => None,
        }
    }

    /// A date in quotes is mended by itself, in the year that is nearest to the file's others.
    fn with_own_date(&self, row: &Key, value: &DeValue<'_>, wrong: Wrong) -> Wrong {
        let (Wrong::Kind { is, wanted, .. }, Some(typed)) = (&wrong, value.as_str()) else {
            return wrong;
        };
        if !matches!(row.value, Value::Day | Value::Moment) {
            return wrong;
        }
        match dated_as_typed(typed, row, self.first_day()) {
            Some(example) => Wrong::Kind { is, wanted, example },
            None => wrong,
        }
    }

    /// The meanings of a list's entries.
    pub fn list<T: Meaning>(&self, key: &str) -> Option<Vec<T>> {
        self.entries(key, T::read)
    }

    /// The entries of a list by a reading of one's own; faults are those of entries.
    pub fn entries<T>(
        &self,
        key: &str,
        read: impl Fn(&Key, &DeValue<'_>) -> Result<T, Wrong>,
    ) -> Option<Vec<T>> {
        let row = &self.schema_row(key)?;
        // Every entry is read, so that all faults are told.
        let read: Vec<Option<T>> = self
            .items(key)?
            .into_iter()
            .map(|entry| self.noted(key, entry.span(), read(row, entry.get_ref())))
            .collect();
        read.into_iter().collect()
    }

    /// The entries of a list as they stand in the file.
    pub fn items(&self, key: &str) -> Option<Vec<Found<'a>>> {
        let row = &self.schema_row(key)?;
        match self.found(key) {
            Some(found) => self.noted(key, found.span(), array(row, found.get_ref())),
            None => matches!(row.need, Need::Default(..)).then(Vec::new),
        }
    }

    /// The value, or a fault.
    pub fn noted<T>(&self, key: &str, span: Range<usize>, read: Result<T, Wrong>) -> Option<T> {
        read.map_err(|wrong| self.keep(Fault::of(span, key, wrong))).ok()
    }

    pub fn word(&self, key: &str) -> Option<&'static str> {
        self.value(key, one_word)
    }

    /// The row of the built-in tables that a key names, by whatever of its names.
    pub fn row<R: Named>(&self, key: &str, rows: &'static [R]) -> Option<&'static R> {
        let word = self.value(key, |row, value| {
            let other = called(rows, text(row, value)?).map(Named::name);
            other.map_or_else(|| one_word(row, value), Ok)
        })?;
        rows.iter().find(|row| row.name() == word)
    }

    /// Some of the words of a key.
    pub fn words(&self, key: &str) -> Option<Vec<&'static str>> {
        self.entries(key, one_word)
    }

    /// The position of the thing that a key names.
    pub fn thing(&self, key: &str) -> Option<usize> {
        self.value(key, |row, value| match row.value {
            Value::Thing(table) => one_of(row, value, &self.names(&[table])),
            _ => one_of(row, value, &self.places()),
        })
    }

    /// The positions of the things that a key names, those of all its tables counted on.
    pub fn things(&self, key: &str) -> Option<Vec<usize>> {
        self.entries(key, |row, value| {
            let tables = if let Value::Things(tables, _) = row.value { tables } else { &[] };
            one_of(row, value, &self.names(tables))
        })
    }

    /// The position of the place that a key names.
    pub fn place(&self, key: &str) -> Option<usize> {
        let place = self.thing(key);
        if let (None, None, Some(Key { need: Need::Default(place, _), .. })) =
            (place, self.found(key), self.of.key(key))
        {
            let place = place.trim_matches('"');
            let near = nearest(place, self.places().into_iter()).map(str::to_owned);
            self.keep(Fault::whole(self.header(), Wrong::Rule(Rule::NoPlace { place, near })));
        }
        place
    }

    /// The names of all things of some tables, in the order of the file.
    pub fn names(&self, tables: &[Table]) -> Vec<&'a str> {
        tables.iter().flat_map(|table| self.named(*table)).map(|(name, _)| name).collect()
    }

    /// The names of the things of a table, each with its bytes.
    pub fn named(&self, table: Table) -> impl Iterator<Item = (&'a str, Range<usize>)> + use<'a> {
        let list = look(self.file.root, table.word());
        // One that begins with one bracket instead of two has its fault, and its name.
        let one = list.filter(|list| list.get_ref().is_table());
        let list = list.and_then(|list| list.get_ref().as_array()).into_iter().flatten();
        list.chain(one).filter_map(|thing| {
            let name = thing.get_ref().as_table()?.get("name")?;
            let text = name.get_ref().as_str().filter(|text| !text.trim().is_empty())?;
            Some((text, name.span()))
        })
    }

    /// The first whole date of the file: days without a year are taken near it.
    pub fn first_day(&self) -> Option<NaiveDate> {
        fn first(table: &DeTable<'_>) -> Option<NaiveDate> {
            table.values().filter_map(|value| of(value.get_ref())).min()
        }
        fn of(value: &DeValue<'_>) -> Option<NaiveDate> {
            match value {
                DeValue::Datetime(at) => day(*at),
                DeValue::Array(entries) => entries.iter().filter_map(|it| of(it.get_ref())).min(),
                DeValue::Table(inner) => first(inner),
                _ => None,
            }
        }
        *self.file.first_day.get_or_init(|| first(self.file.root))
    }

    /// The names of the places that `[hours]` has.
    pub fn places(&self) -> Vec<&'a str> {
        let hours = self.file.root.get(Table::Hours.word()).and_then(|it| it.get_ref().as_table());
        let keys = hours.into_iter().flat_map(DeTable::keys).map(|key| key.get_ref().as_ref());
        keys.filter(|key| Table::is_place(key)).collect()
    }

    /// A reader of each table of a list inside this one.
    pub fn tables(&self, of: Table) -> Vec<Reader<'a>> {
        let (key, most) = (of.word(), of.rows().most);
        let Some(found) = self.found(key) else { return Vec::new() };
        let entries = match found.get_ref().as_array() {
            Some(entries) if entries.len() > most => {
                Err(Wrong::TooMany { found: entries.len(), most })
            }
            Some(entries) => Ok(entries),
            None => Err(kind(found.get_ref(), "a list in square brackets", &of.example())),
        };
        let entries = self.noted(key, found.span(), entries);
        // It is read as the one that it is, so that nothing else is told of its name.
        let one = Some(found).filter(|found| entries.is_none() && found.get_ref().is_table());
        let entries = entries.into_iter().flatten().chain(one);
        entries.filter_map(|entry| self.inner(of, entry)).collect()
    }

    /// A reader of a table inside this one; of an empty one, where it is not there.
    pub fn section(&self, of: Table) -> Reader<'a> {
        let inner = self.found(of.word()).and_then(|found| self.inner(of, found));
        inner.unwrap_or_else(|| self.nothing(of))
    }

    /// A reader of an empty table.
    pub fn nothing(&self, of: Table) -> Reader<'a> {
        Reader::new(self.file, of, self.file.nothing, self.header(), String::new())
    }

    fn inner(&self, of: Table, found: Found<'a>) -> Option<Reader<'a>> {
        let table = found.get_ref().as_table();
        let table = table.ok_or_else(|| kind(found.get_ref(), "a table", "{ … }"));
        let table = self.noted(of.word(), found.span(), table)?;
        Some(Reader::new(self.file, of, table, found.span(), format!("this `{}`", of.word())))
    }

    /// Every key of the table with its value.
    pub fn all(&self) -> impl Iterator<Item = (&'a str, Range<usize>, Found<'a>)> + use<'a> {
        self.table.iter().map(|(key, value)| (key.get_ref().as_ref(), key.span(), value))
    }
}

/// A typed day as the file writes it; with the time of the example where none is typed.
fn dated_as_typed(typed: &str, row: &Key, near: Option<NaiveDate>) -> Option<String> {
    let words: Vec<&str> = typed.split([' ', ',', 'T']).filter(|word| !word.is_empty()).collect();
    let (day, rest) = match words[..] {
        [one, ref rest @ ..] if one.contains('-') => (dates(one, near).ok()?, rest.to_vec()),
        [a, b, ref rest @ ..] => (dates(&format!("{a} {b}"), near).ok()?, rest.to_vec()),
        _ => return None,
    };
    let (day, time) = (day.start(), time_of_day(&rest.concat()));
    match (row.value, time) {
        (Value::Day, _) => Some(day.to_string()),
        (_, Some(time)) => Some(format!("{day}T{}", time.format("%H:%M:%S"))),
        (_, None) => Some(format!("{day}{}", row.example.get(10..)?)),
    }
}

/// The entries of a list; wrong where there are more than its row allows.
///
/// # Errors
/// When it is no list, or too long.
fn array<'v>(row: &Key, value: &'v DeValue<'v>) -> Result<Vec<Found<'v>>, Wrong> {
    let Some(entries) = value.as_array() else {
        return Err(kind(value, "a list in square brackets", &listed(row, value)));
    };
    let most = match row.value {
        Value::Openings(most)
        | Value::Dates(most)
        | Value::Absences(most)
        | Value::Steps(most)
        | Value::Words(_, most)
        | Value::Things(_, most) => most,
        _ => usize::MAX,
    };
    match entries.len() {
        found if found > most => Err(Wrong::TooMany { found, most }),
        _ => Ok(entries.iter().collect()),
    }
}

/// The list that a text with commas was meant to be; hours that are none, as the example.
fn listed(row: &Key, value: &DeValue<'_>) -> String {
    let parts: Vec<&str> = value.as_str().unwrap_or_default().split(',').map(str::trim).collect();
    let hours = |part: &&str| Opening::near(part, NaiveDate::from_ymd_opt(2000, 1, 1)).is_ok();
    let read = !matches!(row.value, Value::Openings(_)) || parts.iter().all(hours);
    if !value.is_str() || !read || parts.iter().any(|part| part.is_empty()) {
        return row.example.to_owned();
    }
    let parts: Vec<String> = parts.iter().map(|part| format!("\"{part}\"")).collect();
    format!("[{}]", parts.join(", "))
}

fn one_word(row: &Key, value: &DeValue<'_>) -> Result<&'static str, Wrong> {
    let (Value::Word(words) | Value::Words(words, _)) = row.value else {
        return Err(Wrong::Empty { example: row.example });
    };
    let meant = words();
    let words: Vec<&'static str> = meant.iter().map(|(word, _)| *word).collect();
    let position = one_of(row, value, &words).map_err(|wrong| with_meanings(wrong, &meant))?;
    words.get(position).copied().ok_or(Wrong::Empty { example: row.example })
}

/// A name that is not known, beside a few that are: each with what it means.
fn with_meanings(wrong: Wrong, meant: &[(&str, &str)]) -> Wrong {
    match wrong {
        Wrong::Name { text, near, .. } if meant.len() <= MOST_MEANT => {
            let meaning = |(word, meaning): &(&str, &str)| match word == meaning {
                true => (*word).to_owned(),
                false => format!("{word} ({meaning})"),
            };
            Wrong::Name { text, near, known: meant.iter().map(meaning).collect() }
        }
        other => other,
    }
}

/// The position of a name among those known.
fn one_of(row: &Key, value: &DeValue<'_>, known: &[&str]) -> Result<usize, Wrong> {
    let text = text(row, value)?;
    known.iter().position(|name| *name == text).ok_or_else(|| {
        let parts: Vec<&str> = text.split(',').map(str::trim).collect();
        match parts.len() > 1 && parts.iter().all(|part| known.contains(part)) {
            true => Wrong::Together { text: text.to_owned(), parts: parts.join("\", \"") },
            false => unknown(text, known),
        }
    })
}

//! Notes as they stand in the file: the options as typed, back through the same
//! parser as the command line.

use std::ffi::OsString;
use std::fmt::Write;

use chrono::{DateTime, Duration, FixedOffset};
use clap::{ArgMatches, CommandFactory, Parser, parser::ValueSource};
use serde::{Deserialize, de::DeserializeOwned};
use toml::Spanned;

use super::{
    args::{DiaryBack, DiaryLook},
    seen::{self, Looked},
};
use crate::{
    answers::{
        diary::Dated,
        dough::{self, DoughNote},
        ice::IceNote,
    },
    cli::{
        args::{DoughMade, IceMade},
        command::Cli,
        context::Context,
        failure::Failure,
        made,
        refused::first_line,
    },
    planfile::edit,
    report::{
        diary::{Impossible, cannot_both_be},
        faults::Wrong,
    },
    units::{hours_between, zone::Zone},
};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Document {
    #[serde(default)]
    note: Vec<Written>,
}

#[derive(Debug, Deserialize)]
struct Written {
    kind: About,
    at: toml::value::Datetime,
    #[serde(default)]
    anew: bool,
    #[serde(default)]
    seen: Vec<String>,
    #[serde(flatten)]
    options: toml::Table,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum About {
    /// Blocks of ice.
    Ice,
    /// Salt dough.
    Dough,
}

#[derive(Debug, Parser)]
#[command(no_binary_name = true)]
struct ReadIce {
    #[command(flatten)]
    made: IceMade,
}

#[derive(Debug, Parser)]
#[command(no_binary_name = true)]
struct ReadDough {
    #[command(flatten)]
    made: DoughMade,
}

/// The note itself, ready to learn from.
#[derive(Debug, Clone)]
pub enum Made {
    /// Blocks of ice.
    Ice(Box<IceNote>),
    /// Salt dough.
    Dough(Box<DoughNote>),
}

#[derive(Debug, Clone)]
pub struct Note {
    /// Its place in the file, from 1.
    pub number: usize,
    /// When it went in, as it is written.
    pub at: DateTime<FixedOffset>,
    /// What the freezer or oven is called.
    pub called: String,
    /// What was made, in the words typed.
    pub words: String,
    /// What was seen, in words, at hours after it went in.
    pub looked: Vec<Looked>,
    /// Whether the appliance was changed before.
    pub anew: bool,
    /// For learning.
    pub made: Made,
}

impl Note {
    /// Refuses looks of which one says that another cannot be.
    ///
    /// # Errors
    /// An input failure that names both.
    pub fn possible(&self) -> Result<(), Failure> {
        let (places, why) = match &self.made {
            Made::Ice(note) => (note.contradiction(), Impossible::FrozenThenWet),
            Made::Dough(note) => match note.contradiction() {
                None => (too_light(note)?, Impossible::TooLight),
                places => (places, Impossible::SofterOrHeavier),
            },
        };
        let both = places.and_then(|[n, m]| Some([self.looked.get(n)?, self.looked.get(m)?]));
        let Some(both) = both else { return Ok(()) };
        let words = cannot_both_be(both.map(|it| (it.after_h, it.what.as_str())), why);
        Err(Failure::of("seen", Wrong::Said(words)))
    }

    /// With its age.
    pub fn dated<N>(&self, note: N, now: DateTime<Zone>) -> Dated<N> {
        let age_days = hours_between(self.at, now) / 24.0;
        Dated { note, age_days, anew: self.anew }
    }
}

/// The places of the wet weight and of one that is less than the dough would be dry.
fn too_light(note: &DoughNote) -> Result<Option<[usize; 2]>, Failure> {
    let piece = dough::weights(&note.question)?;
    Ok(piece.dry.and_then(|dry| note.too_light(piece.wet, dry)))
}

fn document<D: DeserializeOwned>(name: &str, text: &str) -> Result<D, Failure> {
    toml::from_str(text).map_err(|error| Failure::input(format!("{name} is not a diary: {error}")))
}

/// The most notes of a diary, and the most looks of a note: three years of
/// evenings, each with more looks than anybody has patience for.
const MOST_NOTES: usize = 1_000;
const MOST_LOOKS: usize = 40;

/// How many notes a diary holds after one more; the options of those there are
/// not looked at.
///
/// # Errors
/// An input failure for a file that is no diary, or a full one.
pub fn count_with_one_more(name: &str, text: &str) -> Result<usize, Failure> {
    let count = document::<Document>(name, text)?.note.len() + 1;
    not_too_many(name, count).map(|()| count)
}

fn not_too_many(name: &str, count: usize) -> Result<(), Failure> {
    if count <= MOST_NOTES {
        return Ok(());
    }
    Err(Failure::input(format!(
        "{name} would hold {count} notes; a diary has at most {MOST_NOTES}: move old ones to \
         another file, or name a new diary with --diary"
    )))
}

/// Reads a diary; notes are given in the order of their evenings.
///
/// # Errors
/// An input failure that names the note.
pub fn read(
    name: &str,
    text: &str,
    now: DateTime<Zone>,
    context: Context,
) -> Result<Vec<Note>, Failure> {
    let document: Document = document(name, text)?;
    not_too_many(name, document.note.len())?;
    let mut notes = Vec::new();
    for (n, written) in document.note.iter().enumerate() {
        let at = written.at.to_string();
        let wrong = |failure: Failure| {
            Failure::input(format!("{name}, note {} ({at}): {}", n + 1, failure.message()))
        };
        notes.push(note(n + 1, written, now, context).map_err(wrong)?);
    }
    notes.sort_by_key(|note| note.at);
    Ok(notes)
}

fn note(
    number: usize,
    written: &Written,
    now: DateTime<Zone>,
    context: Context,
) -> Result<Note, Failure> {
    let at = DateTime::parse_from_rfc3339(&written.at.to_string()).map_err(|_| {
        Failure::input("at: a date and time with its offset, for example 2026-12-06T20:00:00-07:00")
    })?;
    let arguments = arguments(&written.options)?;
    let words = words(&written.options);
    if written.seen.len() > MOST_LOOKS {
        let looks = written.seen.len();
        let message = format!("it has {looks} looks; a note has at most {MOST_LOOKS}");
        return Err(Failure::input(message));
    }
    let looked = written
        .seen
        .iter()
        .map(|text| seen::read(text, at.with_timezone(&now.timezone()), now, context))
        .collect::<Result<Vec<_>, _>>()?;
    let parsed = |error: clap::Error| Failure::input(first_line(&error.to_string()));
    let (called, made) = match written.kind {
        About::Ice => {
            let made = ReadIce::try_parse_from(arguments).map_err(parsed)?.made;
            let note = IceNote {
                question: made::ice(&made, context)?,
                told: made::freezer_told(&made)?,
                observations: seen::ice(&looked)?,
            };
            (made.called, Made::Ice(Box::new(note)))
        }
        About::Dough => {
            let made = ReadDough::try_parse_from(arguments).map_err(parsed)?.made;
            let question = made::dough(&made, context)?;
            let told = made::oven_told(&made);
            let observations = seen::dough(&looked)?;
            (made.called, Made::Dough(Box::new(DoughNote { question, told, observations })))
        }
    };
    Ok(Note { number, at, called, words, looked, anew: written.anew, made })
}

fn arguments(options: &toml::Table) -> Result<Vec<OsString>, Failure> {
    let mut arguments = Vec::new();
    for (name, value) in options {
        match value {
            toml::Value::Boolean(false) => {}
            toml::Value::Boolean(true) => arguments.push(format!("--{name}").into()),
            toml::Value::String(text) => arguments.push(format!("--{name}={text}").into()),
            toml::Value::Integer(number) => arguments.push(format!("--{name}={number}").into()),
            _ => {
                let message = format!("{name}: written as on the command line, in quotes");
                return Err(Failure::input(message));
            }
        }
    }
    Ok(arguments)
}

/// `mould fox, count 4, covered`.
fn words(options: &toml::Table) -> String {
    let word = |(name, value): (&String, &toml::Value)| match value {
        toml::Value::Boolean(true) => Some(name.clone()),
        toml::Value::String(text) => Some(format!("{name} {text}")),
        toml::Value::Integer(number) => Some(format!("{name} {number}")),
        _ => None,
    };
    let shown = options.iter().filter(|(name, _)| *name != "called");
    shown.filter_map(word).collect::<Vec<_>>().join(", ")
}

/// A new note in the words of the file, from what was typed.
///
/// # Errors
/// When the program's own definition does not fit, which it does.
pub fn written(
    kind: About,
    at: DateTime<Zone>,
    anew: bool,
    looked: &[Looked],
    typed: &ArgMatches,
) -> Result<String, Failure> {
    let name = if kind == About::Ice { "ice" } else { "dough" };
    let mut command = Cli::command();
    command.build();
    let lost = || Failure::other("the options could not be written down");
    let mut options = &command;
    for part in ["diary", "add", name] {
        options = options.find_subcommand(part).ok_or_else(lost)?;
    }
    let mut text = format!("[[note]]\nkind = \"{name}\"\nat = {}\n", at.to_rfc3339());
    for argument in options.get_arguments() {
        let id = argument.get_id().as_str();
        let ours = ["at", "seen", "anew", "diary", "json", "units", "now", "zone"].contains(&id);
        if ours || typed.value_source(id) != Some(ValueSource::CommandLine) {
            continue;
        }
        let long = argument.get_long().ok_or_else(lost)?;
        let raw = typed.get_raw(id).and_then(|mut values| values.next());
        let line = match raw.and_then(|value| value.to_str()) {
            Some(value) if argument.get_action().takes_values() => {
                format!("{long} = {}", toml::Value::String(value.to_owned()))
            }
            _ => format!("{long} = true"),
        };
        writeln!(text, "{line}").map_err(|_| lost())?;
    }
    if anew {
        text += "anew = true\n";
    }
    let seen = looked.iter().map(|it| look_words(at, it));
    writeln!(text, "seen = [{}]", seen.collect::<Vec<_>>().join(", ")).map_err(|_| lost())?;
    Ok(text)
}

/// Where the values of a note stand in the file.
#[derive(Debug, Deserialize)]
struct Placed {
    at: Spanned<toml::value::Datetime>,
    seen: Option<Spanned<Vec<Spanned<String>>>>,
}

#[derive(Debug, Deserialize)]
struct PlacedDocument {
    #[serde(default)]
    note: Vec<Placed>,
}

fn placed(name: &str, text: &str) -> Result<Vec<Placed>, Failure> {
    Ok(document::<PlacedDocument>(name, text)?.note)
}

/// The note that is meant and its number, from 1: the last one where none is given.
///
/// # Errors
/// An input failure for a note that is not there, or is of another time than `at`.
fn chosen<'n>(
    name: &str,
    notes: &'n [Placed],
    number: Option<usize>,
    at: Option<&str>,
) -> Result<(usize, &'n Placed), Failure> {
    let number = number.unwrap_or(notes.len());
    let Some(note) = number.checked_sub(1).and_then(|n| notes.get(n)) else {
        let message = format!("{name} has {} notes, none is number {number}", notes.len());
        return Err(Failure::of("note", Wrong::Said(message)));
    };
    let found = note.at.get_ref().to_string();
    if at.is_some_and(|wanted| wanted != found) {
        let message = format!("note {number} is of {found}: the diary has changed, look again");
        return Err(Failure::of("at", Wrong::Said(message)));
    }
    Ok((number, note))
}

/// A diary's text with looks added to one of its notes, and the number of that
/// note; all else in the text stays as it is.
///
/// # Errors
/// An input failure for a diary or a look that is none, or a note that is not there.
pub fn with_looks(
    name: &str,
    text: &str,
    args: &DiaryLook,
    (now, context): (DateTime<Zone>, Context),
) -> Result<(usize, String), Failure> {
    let placed = placed(name, text)?;
    let (number, note) = chosen(name, &placed, args.note, args.at.as_deref())?;
    let at = note.at.get_ref().to_string();
    let filled = DateTime::parse_from_rfc3339(&at)
        .map_err(|_| Failure::input(format!("{name}, note {number}: {at} has no offset")))?;
    let filled = filled.with_timezone(&now.timezone());
    let looked = args.seen.iter().map(|text| seen::read(text, filled, now, context));
    let looked = looked.collect::<Result<Vec<_>, _>>()?;
    seen::happened(&looked, &args.seen, filled, now)?;
    let looks = looked.iter().map(|it| look_words(filled, it)).collect::<Vec<_>>().join(", ");
    let (place, words) = match &note.seen {
        Some(list) => match list.get_ref().last() {
            Some(last) => (last.span().end, format!(", {looks}")),
            None => (list.span().start + 1, looks),
        },
        None => (note.at.span().end, format!("\nseen = [{looks}]")),
    };
    let (before, after) = text.split_at_checked(place).unwrap_or((text, ""));
    let changed = format!("{before}{words}{after}");
    // What is added must read back, with the looks in their place and nothing else changed.
    let [old, new]: [Document; 2] = [document(name, text)?, document(name, &changed)?];
    let grown = |(n, (old, new)): (usize, (&Written, &Written))| {
        new.seen.len() == old.seen.len() + if n + 1 == number { looked.len() } else { 0 }
    };
    if !old.note.iter().zip(&new.note).enumerate().all(grown) {
        let message = format!("{name}, note {number}: its list of looks cannot be added to");
        return Err(Failure::input(message));
    }
    let notes = read(name, &changed, now, context)?;
    notes.iter().filter(|note| note.number == number).try_for_each(Note::possible)?;
    Ok((number, changed))
}

/// A diary's text without one of its notes, or without the last look of one, and the number
/// of that note; all else in the text stays as it is.
///
/// # Errors
/// An input failure for a diary that is none, and for a note or a look that is not there or no
/// longer as it was shown.
pub fn without(name: &str, text: &str, args: &DiaryBack) -> Result<(usize, String), Failure> {
    let placed = placed(name, text)?;
    let (number, note) = chosen(name, &placed, args.note, args.at.as_deref())?;
    let looks = note.seen.as_ref().map_or(0, |seen| seen.get_ref().len());
    if args.looks.is_some_and(|shown| shown != looks) {
        let message = format!("note {number} has {looks} looks: the diary has changed, look again");
        return Err(Failure::of("looks", Wrong::Said(message)));
    }
    if args.last_look && looks == 0 {
        let message = format!("note {number} has no look to take back");
        return Err(Failure::of("last-look", Wrong::Said(message)));
    }
    let note = ("note", number - 1);
    let changed = match args.last_look {
        true => edit::without_last(text, note, "seen"),
        false => edit::without_table(text, note.0, note.1),
    };
    let stuck = || Failure::input(format!("{name}, note {number} cannot be taken back"));
    let changed = changed.map_err(|_| stuck())?;
    // What is left must read back with that one thing less.
    let [old, new]: [Document; 2] = [document(name, text)?, document(name, &changed)?];
    let all = |document: &Document| document.note.iter().map(|note| note.seen.len()).sum::<usize>();
    let (notes, seen) = if args.last_look { (0, 1) } else { (1, looks) };
    if new.note.len() + notes != old.note.len() || all(&new) + seen != all(&old) {
        return Err(stuck());
    }
    Ok((number, changed))
}

/// A look as it stands in the file.
fn look_words(at: DateTime<Zone>, looked: &Looked) -> String {
    let when = at + Duration::seconds((looked.after_h * 3600.0).round() as i64);
    toml::Value::String(format!("{} {}", when.to_rfc3339(), looked.what)).to_string()
}

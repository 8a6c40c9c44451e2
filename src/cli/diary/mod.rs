//! `solidby diary`, and what the other commands take from it.

pub mod args;
mod file;
mod notes;
mod seen;

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use chrono::DateTime;
use clap::ArgMatches;
use serde_json::json;

use super::{
    args::{DoughMade, IceMade, Learning},
    context::Common,
    context::Context,
    failure::Failure,
    files, made,
    reply::{Reply, reply, reply_of, width},
};
use crate::{
    answers::{
        self, AskError,
        diary::{Dated, EveningCache, Taker, fit_dough, fit_ice},
        dough::{DoughNote, DoughQuestion, Method, OvenTold},
        ice::{FreezerTold, IceNote, IceQuestion},
    },
    host::Host,
    planfile::Plan,
    prep::{
        learn::{self, Diary as _},
        physics::Taught,
    },
    report::{
        clean,
        diary::{Appliance, NoteTold, Shown, fit_words, learnt, learnt_for_plan, show_words},
    },
    units::{read_past, zone::Zone},
};
use args::{DiaryAdd, DiaryBack, DiaryCommand, DiaryLook, DiaryRead, NotedArgs};
pub use file::place;
use notes::{About, Made, Note};

/// Answers `solidby diary`; `typed` are the arguments of the whole command line.
///
/// # Errors
/// An input failure for a note that cannot be, or a diary that is none; another
/// when the file cannot be written.
pub fn run(command: &DiaryCommand, typed: &ArgMatches, context: Context) -> Result<Reply, Failure> {
    match command {
        DiaryCommand::Add(add) => {
            let mut innermost = typed;
            while let Some((_, deeper)) = innermost.subcommand() {
                innermost = deeper;
            }
            match add {
                DiaryAdd::Ice(it) => {
                    made::ice(&it.made, context)?;
                    add_note(About::Ice, &it.noted, &it.seen, innermost, context)
                }
                DiaryAdd::Dough(it) => {
                    made::oven_or_air(&it.made)?;
                    made::dough(&it.made, context)?;
                    add_note(About::Dough, &it.noted, &it.seen, innermost, context)
                }
            }
        }
        DiaryCommand::Look(args) => add_look(args, context),
        DiaryCommand::Back(args) => take_back(args, context),
        DiaryCommand::Show(args) => {
            let shown = shown(args, context)?;
            reply(&shown, context, || show_words(&shown, context.locale(), width()))
        }
        DiaryCommand::Fit(args) => {
            let shown = shown(args, context)?;
            reply(&shown, context, || fit_words(&shown, context.locale(), width()))
        }
    }
}

fn add_note(
    kind: About,
    noted: &NotedArgs,
    seen: &[String],
    typed: &ArgMatches,
    context: Context,
) -> Result<Reply, Failure> {
    let now = context.now()?;
    let at = read_past(&noted.at, now).map_err(context.timed("at"))?;
    let looked = seen
        .iter()
        .map(|text| seen::read(text, at, now, context))
        .collect::<Result<Vec<_>, _>>()?;
    seen::happened(&looked, seen, at, now)?;
    match kind {
        About::Ice => seen::ice(&looked).map(|_| ())?,
        About::Dough => seen::dough(&looked).map(|_| ())?,
    }
    let host = context.host();
    let path = file::place(host, noted.diary.as_deref())?;
    let name = path.display().to_string();
    let text = notes::written(kind, at, noted.anew, &looked, typed)?;
    // What is added must read back, and a file that is no diary is left alone.
    let read = notes::read("the note", &text, now, context)?;
    read.iter().try_for_each(Note::possible)?;
    let mut number = 0;
    file::add(host, &path, &text, |old| {
        number = notes::count_with_one_more(&name, old)?;
        Ok(())
    })?;
    let document = json!({ "schema": 1, "diary": name, "notes": number });
    let name = files::shown(&path);
    let words = format!("Noted: number {number} in {name}.\nNext: solidby diary fit\n");
    reply_of(&document, words, context)
}

/// Reads a diary as every command does, at a time such as `2026-12-20T12:00:00Z`,
/// and counts its notes.
///
/// # Errors
/// An input failure that names the note.
pub fn check(host: &Arc<dyn Host>, text: &str, now: &str) -> Result<usize, Failure> {
    let common =
        Common { json: false, units: None, clock: None, now: Some(now.to_owned()), zone: None };
    let context = Context { host, common: &common };
    notes::read("the diary", text, context.now()?, context).map(|notes| notes.len())
}

fn add_look(args: &DiaryLook, context: Context) -> Result<Reply, Failure> {
    let (host, now) = (context.host(), context.now()?);
    let (path, name) = there(host, args.diary.as_deref())?;
    let mut number = 0;
    file::change(host, &path, |old| {
        let (n, changed) = notes::with_looks(&name, old, args, (now, context))?;
        number = n;
        Ok(changed)
    })?;
    let document = json!({ "schema": 1, "diary": name, "note": number });
    let (seen, name) = (clean::one_line(&args.seen.join(", ")), files::shown(&path));
    let words =
        format!("Noted: {seen}, with number {number} in {name}.\nNext: solidby diary show\n");
    reply_of(&document, words, context)
}

fn take_back(args: &DiaryBack, context: Context) -> Result<Reply, Failure> {
    let host = context.host();
    let (path, name) = there(host, args.diary.as_deref())?;
    let mut number = 0;
    file::change(host, &path, |old| {
        let (n, changed) = notes::without(&name, old, args)?;
        number = n;
        Ok(changed)
    })?;
    let document = json!({ "schema": 1, "diary": name, "note": number });
    let what = if args.last_look { "the last look of number" } else { "number" };
    let name = files::shown(&path);
    let words = format!("Taken back: {what} {number} in {name}.\nNext: solidby diary show\n");
    reply_of(&document, words, context)
}

/// A diary that is there, and its name.
///
/// # Errors
/// An input failure where there is none yet.
fn there(host: &dyn Host, typed: Option<&Path>) -> Result<(PathBuf, String), Failure> {
    let path = file::place(host, typed)?;
    let name = path.display().to_string();
    if host.version(&path).is_none() {
        let message = format!("{name}: there is no diary yet; begin with solidby diary add ice");
        return Err(Failure::input(message));
    }
    Ok((path, name))
}

/// The diary that a command reads, where it reads one.
pub fn input(learning: &Learning, host: &dyn Host) -> Option<PathBuf> {
    let reads = !learning.no_diary;
    file::place(host, learning.diary.as_deref()).ok().filter(|_| reads)
}

/// The notes of a diary up to now.
struct Diary {
    notes: Vec<Note>,
    now: DateTime<Zone>,
}

/// Of more notes on one freezer or oven only the newest teach: each costs runs of
/// the solver, and old ones count for little.
const MOST_TEACHING: usize = 100;

impl Diary {
    /// The one in this place, if there is one.
    fn read(
        typed: Option<&Path>,
        now: DateTime<Zone>,
        context: Context,
    ) -> Result<Option<Self>, Failure> {
        let Some((path, text)) = file::text(context.host(), typed)? else { return Ok(None) };
        let mut notes = notes::read(&path.display().to_string(), &text, now, context)?;
        notes.retain(|note| note.at <= now);
        Ok(Some(Self { notes, now }))
    }

    fn to_learn_from(
        learning: &Learning,
        now: DateTime<Zone>,
        context: Context,
    ) -> Result<Option<Self>, Failure> {
        if learning.no_diary {
            return Ok(None);
        }
        Self::read(learning.diary.as_deref(), now, context)
    }

    /// The newest notes of a kind on a freezer or an oven.
    fn on<N: Clone>(&self, called: &str, of: fn(&Made) -> Option<&N>) -> Vec<Dated<N>> {
        let own = self.notes.iter().filter(|note| note.called == called);
        let dated = own.filter_map(|note| Some(note.dated(of(&note.made)?.clone(), self.now)));
        let mut dated: Vec<Dated<N>> = dated.collect();
        dated.drain(..dated.len().saturating_sub(MOST_TEACHING));
        dated
    }
}

impl learn::Diary for Diary {
    fn ice(&self, called: &str) -> Vec<Dated<IceNote>> {
        self.on(called, |made| if let Made::Ice(note) = made { Some(note) } else { None })
    }

    fn dough(&self, called: &str) -> Vec<Dated<DoughNote>> {
        self.on(called, |made| if let Made::Dough(note) = made { Some(note) } else { None })
    }
}

/// Puts what the diary knows of this freezer into a question; returns a note about it.
pub fn teach_ice(
    learning: &Learning,
    made: &IceMade,
    question: &mut IceQuestion,
    context: Context,
) -> Result<Option<answers::Note>, Failure> {
    let diary = Diary::to_learn_from(learning, context.now()?, context)?;
    let notes = diary.map(|diary| diary.ice(&made.called)).unwrap_or_default();
    if notes.is_empty() {
        return Ok(None);
    }
    let fit = fit_ice(&notes, made::freezer_told(made)?, &mut EveningCache::default())
        .map_err(of_note)?;
    if let Some((fit, told)) = &fit {
        *question = told.set(question);
        question.posterior = fit.posterior.clone();
    }
    Ok(Some(learnt(fit.map(|(fit, _)| (fit.counted(), fit.says)), Taker::Freezer, &made.called)))
}

fn of_note(error: AskError) -> Failure {
    Failure::input(format!("a note in the diary: {error}"))
}

/// Puts what the diary knows of this oven and dough into a question; returns a note about it.
pub fn teach_dough(
    learning: &Learning,
    made: &DoughMade,
    question: &mut DoughQuestion,
    context: Context,
) -> Result<Option<answers::Note>, Failure> {
    if question.exact.is_some() {
        return Ok(None);
    }
    let diary = Diary::to_learn_from(learning, context.now()?, context)?;
    let notes = diary.map(|diary| diary.dough(&made.called)).unwrap_or_default();
    if notes.is_empty() {
        return Ok(None);
    }
    let fit = fit_dough(&notes, &question.dough, made::oven_told(made)).map_err(of_note)?;
    if let Some((fit, told)) = &fit {
        *question = told.set(question);
        question.posterior = fit.posterior.clone();
    }
    let counted = fit.map(|(fit, _)| (fit.counted(), fit.says));
    Ok(Some(learnt(counted, dried_by(question), &made.called)))
}

/// Whether an oven dries it, or a room.
fn dried_by(question: &DoughQuestion) -> Taker {
    match question.method {
        Method::Oven(..) => Taker::Oven,
        Method::Air => Taker::Room,
    }
}

/// What the diary, and what was seen since a plan is followed, teach of the freezers, ovens
/// and doughs of a plan, with lines about it.
///
/// # Errors
/// A diary that cannot be read, or a note in it that cannot be.
pub fn teach_plan(
    learning: &Learning,
    plan: &Plan,
    now: DateTime<Zone>,
    context: Context,
) -> Result<(Taught, Vec<String>), Failure> {
    let diary = Diary::to_learn_from(learning, now, context)?;
    let diary = diary.as_ref().map(|diary| diary as &dyn learn::Diary);
    let (taught, all) = learn::learn(plan, diary, now.to_utc()).map_err(of_note)?;
    Ok((taught, all.iter().map(learnt_for_plan).collect()))
}

/// So many freezers and ovens are shown at once: the fit of each costs runs of the solver.
const MOST_SHOWN: usize = 40;

/// Every freezer and every oven with each dough, with its notes and its fit.
pub fn shown(args: &DiaryRead, context: Context) -> Result<Shown, Failure> {
    let now = context.now()?;
    let path = file::place(context.host(), args.diary.as_deref())?;
    let diary = Diary::read(args.diary.as_deref(), now, context)?;
    let diary = diary.unwrap_or(Diary { notes: Vec::new(), now });
    let wanted = |note: &&Note| args.called.as_ref().is_none_or(|name| *name == note.called);
    let names = names(diary.notes.iter().filter(wanted));
    if names.len() > MOST_SHOWN {
        return Err(Failure::input(format!(
            "{} names {} freezers and ovens; at most {MOST_SHOWN} are shown at once: name one with --called",
            path.display(),
            names.len()
        )));
    }
    let mut appliances = Vec::new();
    for (ice, called) in names {
        let own: Vec<&Note> = diary
            .notes
            .iter()
            .filter(|note| note.called == called && matches!(note.made, Made::Ice(_)) == ice)
            .collect();
        let Some(last) = own.last() else { continue };
        let (fit, looks) = match &last.made {
            Made::Ice(made) => {
                let fit = fit_ice(
                    &diary.ice(&called),
                    FreezerTold::default(),
                    &mut EveningCache::default(),
                )
                .map_err(of_note)?;
                let looks = fit.as_ref().map(|(fit, told)| {
                    let mut question = told.set(&made.question);
                    question.posterior = fit.posterior.clone();
                    next_looks(&question)
                });
                (fit.map(|(fit, _)| fit), looks.transpose()?.unwrap_or_default())
            }
            Made::Dough(made) => {
                let dough = &made.question.dough;
                let fit = fit_dough(&diary.dough(&called), dough, OvenTold::default())
                    .map_err(of_note)?;
                (fit.map(|(fit, _)| fit), Vec::new())
            }
        };
        let kind = own.iter().map(|note| taker(&note.made)).reduce(Taker::and);
        let kind = kind.unwrap_or(Taker::Freezer);
        appliances.push(Appliance::new(kind, called, told(&own), fit, looks));
    }
    Ok(Shown { diary: path.display().to_string(), appliances })
}

fn taker(made: &Made) -> Taker {
    match made {
        Made::Ice(_) => Taker::Freezer,
        Made::Dough(note) => dried_by(&note.question),
    }
}

/// The best times for the next look, as hours after filling.
fn next_looks(question: &IceQuestion) -> Result<Vec<crate::answers::Look>, Failure> {
    let answer = crate::answers::ice::answer(question).map_err(of_note)?;
    let quarters: Vec<f64> = (1..200).map(|quarter| 0.25 * f64::from(quarter)).collect();
    Ok(answer.teaching.looks(&quarters))
}

fn told(notes: &[&Note]) -> Vec<NoteTold> {
    let one = |note: &&Note| NoteTold {
        number: note.number,
        at: note.at.to_rfc3339(),
        made: note.words.clone(),
        seen: note.looked.iter().map(|it| (it.after_h, it.what.clone())).collect(),
    };
    notes.iter().map(one).collect()
}

/// (is it a freezer, its name), each once, in the order of the diary.
fn names<'a>(notes: impl Iterator<Item = &'a Note>) -> Vec<(bool, String)> {
    let mut names = Vec::new();
    for note in notes {
        let name = (matches!(note.made, Made::Ice(_)), note.called.clone());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

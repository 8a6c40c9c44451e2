//! `solidby diary`, and what the other commands take from it.

pub mod args;
mod file;
mod notes;
mod seen;

use std::{collections::BTreeMap, path::Path};

use chrono::{DateTime, FixedOffset};
use clap::ArgMatches;

use super::{
    Reply,
    args::{Common, DoughMade, IceMade, Learning},
    dough,
    failure::Failure,
    ice,
    moment::Moment,
};
use crate::{
    answers::{
        diary::{Dated, EveningCache, Fit, fit_dough, fit_ice},
        dough::{Dough, DoughNote, DoughQuestion, OvenTold},
        ice::{FreezerTold, IceNote, IceQuestion},
    },
    planfile::Plan,
    prep::physics::Taught,
    report::diary::{Appliance, NoteTold, Shown, fit_words, show_words},
    tables::Recipe,
};
use args::{DiaryAdd, DiaryCommand, DiaryLook, DiaryRead, NotedArgs};
pub use file::place;
use notes::{Kind, Made, Note};

/// Answers `solidby diary`; `typed` are the arguments of the whole command line.
///
/// # Errors
/// An input failure for a note that cannot be, or a diary that is none; another
/// when the file cannot be written.
pub fn run(command: &DiaryCommand, typed: &ArgMatches, common: &Common) -> Result<Reply, Failure> {
    match command {
        DiaryCommand::Add(add) => {
            let mut innermost = typed;
            while let Some((_, deeper)) = innermost.subcommand() {
                innermost = deeper;
            }
            match add {
                DiaryAdd::Ice(it) => {
                    ice::question(&it.made)?;
                    add_note(Kind::Ice, &it.noted, &it.seen, innermost, common)
                }
                DiaryAdd::Dough(it) => {
                    let question = dough::question(&it.made, common);
                    question.map_err(|error| Failure::input(error.to_string()))?;
                    add_note(Kind::Dough, &it.noted, &it.seen, innermost, common)
                }
            }
        }
        DiaryCommand::Look(args) => add_look(args, common),
        DiaryCommand::Show(args) => {
            let shown = shown(args, common)?;
            super::reply(&shown, common, || show_words(&shown, super::width()))
        }
        DiaryCommand::Fit(args) => {
            let shown = shown(args, common)?;
            super::reply(&shown, common, || fit_words(&shown, super::width()))
        }
    }
}

fn add_note(
    kind: Kind,
    noted: &NotedArgs,
    seen: &[String],
    typed: &ArgMatches,
    common: &Common,
) -> Result<Reply, Failure> {
    let moment = Moment::new(common.now.as_deref())?;
    let at = moment.read_past("--at", &noted.at)?;
    let looked =
        seen.iter().map(|text| seen::read(text, at, moment)).collect::<Result<Vec<_>, _>>()?;
    match kind {
        Kind::Ice => seen::ice(&looked).map(|_| ())?,
        Kind::Dough => seen::dough(&looked).map(|_| ())?,
    }
    let path = file::place(noted.diary.as_deref())?;
    let name = path.display().to_string();
    let text = notes::written(kind, at, noted.anew, &looked, typed)?;
    // What is added must read back, and a file that is no diary is left alone.
    notes::read("the note", &text, common)?;
    let mut number = 0;
    file::add(&path, &text, |old| {
        number = notes::count_with_one_more(&name, old)?;
        Ok(())
    })?;
    if common.json {
        let document = serde_json::json!({ "schema": 1, "diary": name, "notes": number });
        return Ok(Reply::answered(format!("{document:#}\n")));
    }
    Ok(Reply::answered(format!("Noted: number {number} in {name}.\nNext: solidby diary fit\n")))
}

/// Reads a diary as every command does, at a time such as `2026-12-20T12:00:00Z`,
/// and counts its notes.
///
/// # Errors
/// An input failure that names the note.
pub fn check(text: &str, now: &str) -> Result<usize, Failure> {
    let common = Common { json: false, units: None, now: Some(now.to_owned()) };
    notes::read("the diary", text, &common).map(|notes| notes.len())
}

fn add_look(args: &DiaryLook, common: &Common) -> Result<Reply, Failure> {
    let path = file::place(args.diary.as_deref())?;
    let name = path.display().to_string();
    if !path.exists() {
        let message = format!("{name}: there is no diary yet; begin with solidby diary add ice");
        return Err(Failure::input(message));
    }
    let mut number = 0;
    file::change(&path, |old| {
        let (n, changed) = notes::with_looks(&name, old, args, common)?;
        number = n;
        Ok(changed)
    })?;
    if common.json {
        let document = serde_json::json!({ "schema": 1, "diary": name, "note": number });
        return Ok(Reply::answered(format!("{document:#}\n")));
    }
    let seen = args.seen.join(", ");
    Ok(Reply::answered(format!(
        "Noted: {seen}, with number {number} in {name}.\nNext: solidby diary show\n"
    )))
}

/// The notes of a diary up to now, if there is one.
fn load(typed: Option<&Path>, common: &Common) -> Result<Option<Vec<Note>>, Failure> {
    let now = Moment::new(common.now.as_deref())?.now();
    let Some((path, text)) = file::text(typed)? else { return Ok(None) };
    let notes = notes::read(&path.display().to_string(), &text, common)?;
    Ok(Some(notes.into_iter().filter(|note| note.at <= now).collect()))
}

/// Of more notes on one freezer or oven only the newest teach: each costs runs of
/// the solver, and old ones count for little.
const MOST_TEACHING: usize = 100;

fn newest<N>(mut notes: Vec<Dated<N>>) -> Vec<Dated<N>> {
    notes.drain(..notes.len().saturating_sub(MOST_TEACHING));
    notes
}

fn ice_notes(notes: &[Note], called: &str, now: DateTime<FixedOffset>) -> Vec<Dated<IceNote>> {
    let one = |note: &Note| match &note.made {
        Made::Ice(made) if note.called == called => Some(note.dated((**made).clone(), now)),
        _ => None,
    };
    newest(notes.iter().filter_map(one).collect())
}

fn dough_notes(notes: &[Note], called: &str, now: DateTime<FixedOffset>) -> Vec<Dated<DoughNote>> {
    let one = |note: &Note| match &note.made {
        Made::Dough(made) if note.called == called => Some(note.dated((**made).clone(), now)),
        _ => None,
    };
    newest(notes.iter().filter_map(one).collect())
}

/// One line on what was used, or why nothing was.
fn line(fit: Option<&Fit>, called: &str) -> String {
    match fit {
        Some(fit) => {
            let (counted, plural) = (fit.counted(), if fit.counted() == 1 { "" } else { "s" });
            format!(
                "Learnt from {counted} note{plural} on “{called}” in your diary; --no-diary leaves it out."
            )
        }
        None => format!(
            "The notes on “{called}” in your diary are on another setting: nothing was learnt from them."
        ),
    }
}

/// Puts what the diary knows of this freezer into a question; returns a line about it.
///
/// # Errors
/// As [`run`].
pub fn teach_ice(
    learning: &Learning,
    made: &IceMade,
    question: &mut IceQuestion,
    common: &Common,
) -> Result<Option<String>, Failure> {
    if learning.no_diary {
        return Ok(None);
    }
    let now = Moment::new(common.now.as_deref())?.now();
    let Some(notes) = load(learning.diary.as_deref(), common)? else { return Ok(None) };
    let notes = ice_notes(&notes, &made.called, now);
    if notes.is_empty() {
        return Ok(None);
    }
    let fit = fit_freezer(&notes, notes::freezer_told(made)?)?;
    if let Some((fit, told)) = &fit {
        *question = told.set(question);
        question.posterior = fit.posterior.clone();
    }
    Ok(Some(line(fit.as_ref().map(|(fit, _)| fit), &made.called)))
}

fn fit_freezer(
    notes: &[Dated<IceNote>],
    told: FreezerTold,
) -> Result<Option<(Fit, FreezerTold)>, Failure> {
    fit_ice(notes, told, &mut EveningCache::default())
        .map_err(|error| Failure::input(format!("a note in the diary: {error}")))
}

fn fit_oven(
    notes: &[Dated<DoughNote>],
    dough: &Dough,
    told: OvenTold,
) -> Result<Option<(Fit, OvenTold)>, Failure> {
    fit_dough(notes, dough, told)
        .map_err(|error| Failure::input(format!("a note in the diary: {error}")))
}

/// Puts what the diary knows of this oven and dough into a question; returns a line about it.
///
/// # Errors
/// As [`run`].
pub fn teach_dough(
    learning: &Learning,
    made: &DoughMade,
    question: &mut DoughQuestion,
    common: &Common,
) -> Result<Option<String>, Failure> {
    if learning.no_diary || question.exact.is_some() {
        return Ok(None);
    }
    let now = Moment::new(common.now.as_deref())?.now();
    let Some(notes) = load(learning.diary.as_deref(), common)? else { return Ok(None) };
    let notes = dough_notes(&notes, &made.called, now);
    if notes.is_empty() {
        return Ok(None);
    }
    let fit = fit_oven(&notes, &question.dough, notes::oven_told(made))?;
    if let Some((fit, told)) = &fit {
        *question = told.set(question);
        question.posterior = fit.posterior.clone();
    }
    Ok(Some(line(fit.as_ref().map(|(fit, _)| fit), &made.called)))
}

/// What the diary knows of the freezers, ovens and doughs of a plan, with lines about it.
///
/// # Errors
/// As [`run`].
pub fn teach_plan(
    learning: &Learning,
    plan: &Plan,
    common: &Common,
    now: DateTime<FixedOffset>,
) -> Result<(Taught, Vec<String>), Failure> {
    let (mut taught, mut lines) = (Taught::default(), Vec::new());
    if learning.no_diary {
        return Ok((taught, lines));
    }
    let Some(notes) = load(learning.diary.as_deref(), common)? else { return Ok((taught, lines)) };
    for freezer in &plan.freezers {
        let own = ice_notes(&notes, &freezer.name, now);
        if own.is_empty() {
            continue;
        }
        let told = FreezerTold { kind: Some(freezer.kind), air: freezer.air, rated: freezer.rated };
        let fit = fit_freezer(&own, told)?;
        lines.push(line(fit.as_ref().map(|(fit, _)| fit), &freezer.name));
        if let Some((fit, told)) = fit {
            taught.freezer(&freezer.name, fit.posterior, told);
        }
    }
    for (n, oven) in plan.ovens.iter().enumerate() {
        let own = dough_notes(&notes, &oven.name, now);
        let recipes: BTreeMap<&str, &'static Recipe> =
            plan.ornaments.iter().map(|it| (it.recipe.name(), it.recipe)).collect();
        for recipe in recipes.into_values().filter(|_| !own.is_empty()) {
            let told = OvenTold { kind: Some(oven.kind) };
            let fit = fit_oven(&own, &Dough::Named(recipe), told)?;
            lines.push(line(fit.as_ref().map(|(fit, _)| fit), &oven.name));
            if let Some((fit, _)) = fit {
                taught.dough(n, recipe, fit.posterior);
            }
        }
    }
    Ok((taught, lines))
}

/// Every freezer and every oven with each dough, with its notes and its fit.
///
/// # Errors
/// As [`run`].
pub fn shown(args: &DiaryRead, common: &Common) -> Result<Shown, Failure> {
    let now = Moment::new(common.now.as_deref())?.now();
    let path = file::place(args.diary.as_deref())?;
    let notes = load(args.diary.as_deref(), common)?.unwrap_or_default();
    let wanted = |note: &&Note| args.called.as_ref().is_none_or(|name| *name == note.called);
    let mut appliances = Vec::new();
    for (ice, called) in names(notes.iter().filter(wanted)) {
        let own: Vec<&Note> = notes
            .iter()
            .filter(|note| note.called == called && matches!(note.made, Made::Ice(_)) == ice)
            .collect();
        let Some(last) = own.last() else { continue };
        let (fit, looks) = match &last.made {
            Made::Ice(made) => {
                let fit = fit_freezer(&ice_notes(&notes, &called, now), FreezerTold::default())?;
                let looks = fit.as_ref().map(|(fit, told)| {
                    let mut question = told.set(&made.question);
                    question.posterior = fit.posterior.clone();
                    next_looks(&question)
                });
                (fit.map(|(fit, _)| fit), looks.transpose()?.unwrap_or_default())
            }
            Made::Dough(made) => {
                let dough = &made.question.dough;
                let own = dough_notes(&notes, &called, now);
                (fit_oven(&own, dough, OvenTold::default())?.map(|(fit, _)| fit), Vec::new())
            }
        };
        appliances.push(Appliance::new(ice, called, &told(&own), fit, looks));
    }
    Ok(Shown { diary: path.display().to_string(), appliances })
}

/// The best times for the next look, as hours after filling.
fn next_looks(question: &IceQuestion) -> Result<Vec<crate::answers::Look>, Failure> {
    let answer = crate::answers::ice::answer(question)
        .map_err(|error| Failure::input(format!("a note in the diary: {error}")))?;
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

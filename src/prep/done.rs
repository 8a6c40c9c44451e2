//! Steps that are done already: they stay where they were, hold nothing any
//! more but what still stands in the freezer, and the rest is planned from now.

use std::collections::{BTreeMap, btree_map::Entry};

use chrono::{DateTime, NaiveDateTime};
use chrono_tz::Tz;
use thiserror::Error;

use super::{
    clock::{Clock, Tick},
    draft::{Draft, Filling, Note},
    kept::KeptPlan,
    round::Stage,
    trips::SessionAt,
};
use crate::planfile::Plan;
use crate::tables::{Step, nearest};
use crate::{
    scheduler::{ActivityId, GoalId, Link},
    units::zone,
};

/// Why a list of steps done cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DoneError {
    /// No step has this id.
    #[error("there is no step “{id}” in this plan{}", near.as_ref().map_or(String::new(), |near| format!("; did you mean “{near}”?")))]
    Unknown {
        /// What was written.
        id: String,
        /// The id most like it.
        near: Option<String>,
    },
    /// What follows `@` is not a time.
    #[error("“{0}” is not a time; write STEP or STEP@2026-12-05T20:00")]
    NotATime(String),
    /// It is said to be done later than now.
    #[error("“{0}” is later than now, so it cannot be done yet")]
    Later(String),
}

/// The id most like the one that was typed.
fn unknown(draft: &Draft, id: &str) -> DoneError {
    let tasks = draft.tasks.iter().chain(draft.spans.iter().map(|span| &span.task));
    let near = nearest(id, tasks.map(|task| task.id.as_str())).map(str::to_owned);
    DoneError::Unknown { id: id.to_owned(), near }
}

/// Takes the steps that a plan says are done, with all that must come before them, as done.
/// `ID` alone means done just now, the safest guess; `ID@TIME` says when. Of a plan that is
/// kept those are done whose time has passed, and what was begun of its rounds.
///
/// # Errors
/// [`DoneError`] when a step that the file names is unknown or its time is no time up to now.
pub fn take_as_done(draft: &mut Draft, plan: &Plan) -> Result<(), DoneError> {
    let mut told = Vec::new();
    for entry in &plan.done {
        let (id, at) = when(&draft.clock, entry)?;
        let task = match task_called(draft, &id) {
            Some(task) => task,
            None => over(draft, &id).ok_or_else(|| unknown(draft, &id))?,
        };
        told.push((task, at));
    }
    take(draft, plan, told);
    Ok(())
}

/// The same of a draft that has only a part of the plan, without those that it does not
/// know; how many it knows.
pub fn take_known(draft: &mut Draft, plan: &Plan) -> usize {
    let mut told = Vec::new();
    for entry in &plan.done {
        // What is wrong with an entry is told where the whole plan takes it as done.
        let Ok((id, at)) = when(&draft.clock, entry) else { continue };
        let task = task_called(draft, &id).or_else(|| over(draft, &id));
        told.extend(task.map(|task| (task, at)));
    }
    take(draft, plan, told)
}

/// Takes tasks as done, and what is known of a kept plan; how many in all.
fn take(draft: &mut Draft, plan: &Plan, told: Vec<(usize, Option<Tick>)>) -> usize {
    let mut ends: BTreeMap<usize, Tick> = BTreeMap::new();
    let mut known: Vec<usize> = Vec::new();
    for (task, at) in told {
        let end = ends.entry(task).or_insert(at.unwrap_or(0));
        *end = (*end).min(at.unwrap_or(0));
        known.extend(at.map(|_| task));
    }
    if let Some(kept) = KeptPlan::of(plan, draft.clock) {
        let over = kept.done().into_iter();
        let over: Vec<(usize, Tick)> =
            over.filter_map(|(id, end)| Some((task_called(draft, &id)?, end))).collect();
        for (task, end) in over {
            ends.entry(task).or_insert(end);
            known.push(task);
        }
    }
    for (task, end) in begun_rounds(draft) {
        if ends.insert(task, end) != Some(end) {
            known.push(task);
        }
    }
    close(draft, &mut ends);
    note_guesses(draft, &ends, &known);
    fix(draft, &ends);
    ends.len()
}

fn task_called(draft: &Draft, id: &str) -> Option<usize> {
    draft.tasks.iter().position(|task| is_called(&task.id, id) || task.short == id)
}

/// The filling and the turning out of the rounds that were begun, with their ends.
fn begun_rounds(draft: &mut Draft) -> Vec<(usize, Tick)> {
    let mut ends = Vec::new();
    let mut firm = Vec::new();
    for Filling { fill, turn_out, round, .. } in &draft.fillings {
        if round.stage != Stage::ToCome {
            ends.push((fill.0, round.fill.1));
        }
        if round.stage == Stage::Out {
            ends.push((turn_out.0, round.out.1));
        }
        if round.stage == Stage::Firm {
            firm.extend(draft.spans.iter().position(|span| span.after == *fill));
        }
    }
    for span in firm {
        end_of_wait(draft, span);
    }
    ends
}

/// Whether a step has that name; the first of several was the only one before.
pub fn is_called(id: &str, named: &str) -> bool {
    let first = |long: &str, short: &str| long.strip_suffix("-1") == Some(short);
    id == named || first(id, named) || first(named, id)
}

/// Takes all of a goal as done, but for the draining of a session that is held and under way, and
/// for what is still in its moulds and is taken by one of the sessions `to_come`.
pub fn goal_over(
    draft: &mut Draft,
    goal: GoalId,
    held: bool,
    to_come: impl Fn(&SessionAt) -> bool,
) {
    let fillings = draft.fillings.iter().filter(|it| it.round.takers.iter().any(&to_come));
    let used: Vec<ActivityId> = fillings.flat_map(|it| [it.fill, it.turn_out]).collect();
    let to_come = |task: usize| {
        let windows = &draft.problem.activities[task].windows;
        let rinse = held && draft.tasks[task].step == Step::Rinse;
        rinse && windows.iter().all(|window| window.start >= 0) || used.contains(&ActivityId(task))
    };
    let activities = draft.problem.activities.iter().enumerate();
    let own = activities.filter(|(task, own)| own.goal == goal && !to_come(*task));
    let ends = own.map(|(task, _)| (task, 0)).collect();
    fix(draft, &ends);
}

/// The id and the tick of an entry such as `mix@2026-12-05T20:00`.
fn when(clock: &Clock, entry: &str) -> Result<(String, Option<Tick>), DoneError> {
    let Some((id, time)) = entry.split_once('@') else { return Ok((entry.to_owned(), None)) };
    let at = instant(clock.zone(), time).ok_or_else(|| DoneError::NotATime(entry.to_owned()))?;
    match clock.ceil(at) {
        tick if tick <= 0 => Ok((id.to_owned(), Some(tick))),
        _ => Err(DoneError::Later(entry.to_owned())),
    }
}

/// When an entry says that its step was done, where it does.
pub fn done_at(zone: Tz, entry: &str) -> Option<DateTime<Tz>> {
    instant(zone, entry.split_once('@')?.1)
}

fn instant(zone: Tz, text: &str) -> Option<DateTime<Tz>> {
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return Some(at.with_timezone(&zone));
    }
    let local = |form| NaiveDateTime::parse_from_str(text, form).ok();
    local("%Y-%m-%dT%H:%M")
        .or_else(|| local("%Y-%m-%dT%H:%M:%S"))
        .and_then(|at| zone::instant(&zone, at).ok())
}

/// A thing that happened by itself is over. Returns the task that it followed.
fn over(draft: &mut Draft, id: &str) -> Option<usize> {
    let span = draft
        .spans
        .iter()
        .position(|span| is_called(&span.task.id, id) || span.task.short == id)?;
    Some(end_of_wait(draft, span))
}

/// Nothing waits any more for something that is over. Returns the task that it followed.
fn end_of_wait(draft: &mut Draft, span: usize) -> usize {
    let span = &mut draft.spans[span];
    span.over = true;
    let (after, before) = (span.after, span.before);
    let links = &mut draft.problem.links;
    let waits = |link: &&Link| link.before == after && link.after == before && link.min[0] > 0;
    if let Some(fact) = links.iter().find(waits).map(|link| link.fact) {
        for link in links.iter_mut().filter(|link| link.before == after && link.fact == fact) {
            link.min.fill(0);
        }
    }
    after.0
}

/// What must come before a step that is done is done too.
fn close(draft: &Draft, ends: &mut BTreeMap<usize, Tick>) {
    let mut waiting: Vec<usize> = ends.keys().copied().collect();
    while let Some(task) = waiting.pop() {
        let end = ends[&task];
        for link in draft.problem.links.iter().filter(|link| link.after == ActivityId(task)) {
            if let Entry::Vacant(place) = ends.entry(link.before.0) {
                place.insert(end);
                waiting.push(link.before.0);
            }
        }
    }
}

/// Where a wait counts from a moment that was not said.
fn note_guesses(draft: &mut Draft, ends: &BTreeMap<usize, Tick>, known: &[usize]) {
    let waits = |task: usize| {
        let links = draft.problem.links.iter().filter(|link| link.before.0 == task);
        let mut open = links.filter(|link| !ends.contains_key(&link.after.0));
        open.any(|link| link.min.first().is_some_and(|min| *min > 0))
    };
    let guessed = ends.keys().filter(|task| !known.contains(task) && waits(**task));
    let guessed: Vec<Note> = guessed.map(|task| Note::DoneJustNow(ActivityId(*task))).collect();
    draft.notes.extend(guessed);
}

/// Puts what is done where it was and takes its rules away.
fn fix(draft: &mut Draft, ends: &BTreeMap<usize, Tick>) {
    let is_done = |id: ActivityId| ends.contains_key(&id.0);
    for (&task, &end) in ends {
        if let Some(activity) = draft.problem.activities.get_mut(task) {
            activity.windows = std::iter::once(end - activity.duration..end).collect();
            activity.hands = false;
        }
        if let Some(task) = draft.tasks.get_mut(task) {
            task.done = true;
        }
    }
    draft.problem.links.retain(|link| !(is_done(link.before) && is_done(link.after)));
    // What follows at once can do so from now on only.
    for link in draft.problem.links.iter_mut().filter(|link| link.max == Some(0)) {
        if let Some(end) = ends.get(&link.before.0) {
            link.max = Some((-end).max(0));
        }
    }
    draft.problem.holds.retain(|hold| !is_done(hold.to));
    for span in draft.spans.iter_mut().filter(|span| is_done(span.before)) {
        span.over = true;
    }
}

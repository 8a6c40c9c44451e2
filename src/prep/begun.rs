//! A plan that is followed: which of its rounds were begun, and how its batches are dried.

use std::collections::BTreeMap;

use chrono::{DateTime, Days, TimeDelta, Utc};

use super::{
    chosen::Chosen,
    clock::Clock,
    done::{done_at, take_known},
    draft::Draft,
    durations::Durations,
    error::LayError,
    round::{Begun, Round, Stage},
    steps::{Frozen, Shared, add_ice, add_ornament},
};
use crate::{planfile::Plan, scheduler::ActivityId};

/// Days before now from which on a plan that is followed is searched where nobody says
/// when its steps were done: longer than ice is filled ahead, so that the rounds of all
/// that is still to come are the same.
const FOLLOWED_DAYS: u64 = 7;

/// Hours that the longest step takes which can be the first one done.
const BEFORE_H: i64 = 2;

/// A little before the first step done began, so that the plan that was followed is found
/// again.
pub fn begun_at(plan: &Plan, now: DateTime<Utc>) -> DateTime<Utc> {
    let times = plan.done.iter().filter_map(|entry| done_at(plan.zone, entry));
    let first = times.min().map(|first| first.to_utc() - TimeDelta::hours(BEFORE_H));
    first.unwrap_or_else(|| now - Days::new(FOLLOWED_DAYS)).min(now)
}

/// What was begun, as the steps done say.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range, or an entry is wrong.
pub fn begun(
    plan: &Plan,
    clock: Clock,
    durations: &dyn Durations,
    mut chosen: Chosen,
) -> Result<Begun, LayError> {
    let mut draft = Draft::new(clock);
    let shared = Shared::book(&mut draft, plan);
    let frozen = add_ice(&mut draft, plan, &shared, (&chosen, durations))?;
    let ice = draft.tasks.len();
    let mut batches = BTreeMap::new();
    for (ornament, dried) in &chosen.batches {
        add_ornament(&mut draft, plan, &shared, (*ornament, dried.way), durations)?;
        batches.insert(*ornament, (draft.tasks.len(), dried.way));
    }
    take_known(&mut draft, plan);
    let mut followed = Begun::default();
    let mut first = ice;
    for (ornament, (end, way)) in batches {
        if draft.tasks[first..end].iter().any(|task| task.done) {
            followed.ways.insert(ornament, way);
        }
        first = end;
    }
    for (session, rounds) in &mut chosen.rounds {
        if let Some(frozen) = frozen.get(session) {
            stages(&draft, frozen, rounds);
        }
    }
    followed.rounds = chosen.rounds;
    Ok(followed)
}

/// Keeps the rounds of a session that were begun, each as far as it is.
fn stages(draft: &Draft, frozen: &Frozen, rounds: &mut Vec<Round>) {
    let steps = frozen.filled.iter().zip(&frozen.turned_out);
    for (round, (fill, turn_out)) in rounds.iter_mut().zip(steps) {
        let done = |step: &ActivityId| {
            let window = draft.problem.activities[step.0].windows.first()?;
            draft.tasks[step.0].done.then_some((window.start, window.end))
        };
        if let Some(filled) = done(fill) {
            let over = draft.spans.iter().any(|span| span.after == *fill && span.over);
            (round.fill, round.stage) = (filled, if over { Stage::Firm } else { Stage::Filled });
        }
        if let Some(out) = done(turn_out) {
            (round.out, round.stage) = (out, Stage::Out);
        }
    }
    rounds.retain(|round| round.stage != Stage::ToCome);
}

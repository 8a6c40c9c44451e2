//! What would make a plan as sure as was wished, tried by planning again.

use chrono::{DateTime, Utc};

use super::{
    budget::{Budget, Searches, World},
    conflict::{Trial, WayOut, nearest},
    suggestions::candidates,
};
use crate::{
    planfile::Plan,
    prep::{Durations, Laid, Look, draft::Serves, solve_with},
    scheduler::GoalId,
    units::in_fraction,
};

/// Labels of the searches for it, about half a second.
const EFFORT: u64 = 300_000;

/// Enough to choose from: each is planned and followed once more.
const ENOUGH: usize = 2;

/// Changes with which the whole plan is as sure as was wished, where it is one goal that there is
/// too little time for; none where there are several, or no change is enough.
pub fn surer(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Vec<WayOut> {
    let goals = laid.draft.goals.iter().enumerate();
    let level = |number: usize| laid.solution.level(GoalId(number));
    let (short, others): (Vec<_>, Vec<_>) = goals.partition(|(n, _)| level(*n) > Some(0));
    let [(_, serves)] = short[..] else { return Vec::new() };
    let others: Vec<Serves> = others.into_iter().map(|(_, other)| *other).collect();
    let others = nearest(plan, *serves, &others);
    let (world, searches) = (World::of(plan.clone(), now), Searches::default());
    let budget = Budget::new(EFFORT, 0, durations, &searches);
    let trial = Trial { world: &world, serves: *serves, others: &others, budget: &budget };
    let enough = |way: &WayOut| is_sure(&way.change.changed(plan), now, durations);
    trial.each_alone(&candidates(plan, now, *serves)).filter(enough).take(ENOUGH).collect()
}

/// Whether a plan is as sure as was wished, followed in every kitchen.
fn is_sure(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> bool {
    let wished = in_fraction(plan.wishes.sureness);
    let laid = solve_with(plan, now, durations, Look::QUICK);
    laid.is_ok_and(|laid| {
        let timetable = laid.timetable(plan, durations);
        let served = laid.solution.unserved().is_empty();
        served && timetable.is_ok_and(|timetable| timetable.chances.all >= wished)
    })
}

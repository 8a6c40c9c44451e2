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
const ENOUGH: usize = 3;

/// Work of the physics after which no other change is followed, about ten seconds on two slow
/// cores: a large class takes half of it for each (a choice of ours).
const MOST_WORK: u64 = 1_000;

/// Changes with which the whole plan is as sure as was wished, where it is one goal that there is
/// too little time for, or none by itself; none where there are several, or no change is enough.
pub fn surer(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Vec<WayOut> {
    let goals = laid.draft.goals.iter().enumerate();
    let level = |number: usize| laid.solution.level(GoalId(number));
    let short: Vec<Serves> =
        goals.filter(|(n, _)| level(*n) > Some(0)).map(|(_, serves)| *serves).collect();
    let serves = match short[..] {
        [serves] => Some(serves),
        [] => least_sure(plan, durations, laid),
        _ => None,
    };
    let Some(serves) = serves else { return Vec::new() };
    let others = laid.draft.goals.iter().filter(|other| **other != serves);
    let others = nearest(plan, serves, &others.copied().collect::<Vec<_>>());
    let (world, searches) = (World::of(plan.clone(), now), Searches::default());
    let budget = Budget::new(EFFORT, 0, durations, &searches);
    let trial = Trial { world: &world, serves, others: &others, budget: &budget };
    let worked = durations.worked_out();
    let goes_on = |_: &WayOut| durations.worked_out() - worked < MOST_WORK;
    let enough = |way: &WayOut| is_sure(&way.change.changed(plan), now, durations);
    let kinds = candidates(plan, now, serves);
    trial.each_alone(&kinds).take_while(goes_on).filter(enough).take(ENOUGH).collect()
}

/// The goal that is served in the fewest kitchens.
fn least_sure(plan: &Plan, durations: &dyn Durations, laid: &Laid) -> Option<Serves> {
    let timetable = laid.timetable(plan, durations).ok()?;
    let goals = laid.draft.goals.iter().zip(timetable.chances.goals);
    goals.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(serves, _)| *serves)
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

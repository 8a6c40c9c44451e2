//! What would make a plan as sure as was wished, tried by planning again.

use chrono::{DateTime, Utc};

use super::{
    budget::{Budget, Searches, World},
    conflict::WayOut,
    suggestions::{Suggestion, candidates, smallest},
};
use crate::{
    planfile::Plan,
    prep::{Adjusted, Durations, Laid, LayError, Look, draft::Serves, settled, solve_slower},
    units::in_fraction,
};

/// Labels of the searches for it, about half a second.
const EFFORT: u64 = 300_000;

/// Enough to choose from: each is planned and followed once more.
const ENOUGH: usize = 3;

/// Work of the physics after which no other change is followed, about ten seconds on two slow
/// cores: a large class takes half of it for each (a choice of ours).
const MOST_WORK: u64 = 1_000;

/// Changes with which the whole plan is as sure as was wished, each for what it is least sure of;
/// none where no change is enough.
pub fn surer(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Vec<WayOut> {
    let Some(serves) = least_sure(plan, durations, laid) else { return Vec::new() };
    let worked = durations.worked_out();
    let goes_on = || durations.worked_out() - worked < MOST_WORK;
    // Where each thing has time enough by itself, more is kept as in the slowest kitchens.
    let usual_then_slowest = [Adjusted::of(durations), Adjusted::slowest(durations)];
    let mut found = usual_then_slowest.iter().map(|slower| {
        let looking = Looking { plan, now, durations, slower, serves };
        looking.found(goes_on)
    });
    found.find(|found| !found.is_empty()).unwrap_or_default()
}

/// Looking for changes that leave time enough.
struct Looking<'a> {
    plan: &'a Plan,
    now: DateTime<Utc>,
    durations: &'a dyn Durations,
    /// With what it is searched.
    slower: &'a Adjusted<'a>,
    /// What a change is for.
    serves: Serves,
}

impl Looking<'_> {
    /// The smallest change of each kind with which all is served in time, and that is enough.
    fn found(&self, goes_on: impl Fn() -> bool) -> Vec<WayOut> {
        let searches = Searches::default();
        let budget = Budget::new(EFFORT, 0, self.slower, &searches);
        let works = |one: &Suggestion| {
            let whole = World::of(one.changed(self.plan), self.now);
            let served = |world: &World| budget.serves(world, self.serves, 0);
            served(&whole.only(&[self.serves])) && served(&whole)
        };
        let kinds = candidates(self.plan, self.now, self.serves);
        let found = kinds.iter().filter_map(|kind| smallest(self.plan, (None, kind), works));
        let found = found.map(|(_, change)| change).take_while(|_| goes_on());
        let found = found.filter(|change| self.is_enough(change)).take(ENOUGH);
        found.map(|change| WayOut { change, chance: None }).collect()
    }

    /// Whether a plan with a change is as sure as was wished: at a quick look, and then as she gets
    /// it when she plans again, which takes longer.
    fn is_enough(&self, change: &Suggestion) -> bool {
        let Self { now, durations, slower, .. } = *self;
        let plan = change.changed(self.plan);
        let is_sure = |laid| is_sure(&plan, durations, laid);
        // At a quick look a plan that is followed stays as it is.
        let may_be = plan.kept.is_some()
            || is_sure(solve_slower(&plan, now, (slower, durations), Look::QUICK));
        may_be && is_sure(settled(&plan, now, durations))
    }
}

/// The goal that is served in the fewest kitchens.
fn least_sure(plan: &Plan, durations: &dyn Durations, laid: &Laid) -> Option<Serves> {
    let timetable = laid.timetable(plan, durations).ok()?;
    let goals = laid.draft.goals.iter().zip(timetable.chances.goals);
    goals.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(serves, _)| *serves)
}

/// Whether a plan leaves nothing out and is as sure as was wished, followed in every kitchen.
fn is_sure(plan: &Plan, durations: &dyn Durations, laid: Result<Laid, LayError>) -> bool {
    let wished = in_fraction(plan.wishes.sureness);
    laid.is_ok_and(|laid| {
        let timetable = laid.timetable(plan, durations);
        let served = laid.solution.unserved().is_empty();
        served && timetable.is_ok_and(|timetable| timetable.chances.all >= wished)
    })
}

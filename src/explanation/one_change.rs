//! Changes that each serve much of what a plan does not, tried by planning again.

use chrono::{DateTime, Utc};

use super::{
    budget::{Budget, Searches, World},
    conflict::Unserved,
    suggestions::{Change, Suggestion, candidates, smallest},
};
use crate::{
    planfile::Plan,
    prep::{Durations, Laid},
};

/// Labels of the searches for them, about a quarter of a second.
const EFFORT: u64 = 300_000;

/// Enough to choose from.
const ENOUGH: usize = 3;

/// Changes that help most of the goals and are tried for all of them.
const MOST_TRIED: usize = 8;

/// Goals that a change serves, at least, to be told here.
const LEAST: usize = 2;

/// A change that serves several goals at once.
pub struct OneChange {
    /// It.
    pub change: Suggestion,
    /// How many more goals are served with it than without.
    pub serves: usize,
}

/// Changes that each serve several of the goals that are not served, those that serve most first:
/// what was found to help most of them is tried, and more hours at home.
pub fn one_change(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    (laid, unserved): (&Laid, &[Unserved]),
) -> Vec<OneChange> {
    let unserved_now = laid.solution.unserved().len();
    if unserved_now < LEAST {
        return Vec::new();
    }
    let searches = Searches::default();
    let budget = Budget::new(EFFORT, 0, durations, &searches);
    let tried = |change: Suggestion| {
        let left = budget.left_likely(&World::of(change.changed(plan), now))?;
        Some(OneChange { change, serves: unserved_now.saturating_sub(left) })
    };
    let first = unserved.first().and_then(|one| laid.draft.goals.get(one.goal.0));
    let kinds = first.map(|serves| candidates(plan, now, *serves)).unwrap_or_default();
    let hours = || more_hours(&kinds);
    let mut changes = most_helpful(unserved);
    changes.retain(|change| !hours().any(|other| other == *change));
    changes.truncate(MOST_TRIED);
    // What is enough for one may be too little for all: then the least that is enough for all.
    let enough = |change: Suggestion| {
        let all =
            |one: &Suggestion| tried(one.clone()).is_some_and(|one| one.serves == unserved_now);
        let larger = kinds.iter().flatten().filter(|one| one.exceeds(&change, plan)).cloned();
        let larger: Vec<Suggestion> = larger.collect();
        if all(&change) {
            return tried(change);
        }
        let least = smallest(plan, (Some(&change), &larger), all);
        tried(least.map_or(change, |(_, least)| least))
    };
    let changes = changes.into_iter().filter_map(enough);
    let mut all: Vec<OneChange> = changes.chain(hours().filter_map(tried)).collect();
    // Several may have grown to the same.
    for place in (1..all.len()).rev() {
        if all[..place].iter().any(|one| one.change == all[place].change) {
            all.remove(place);
        }
    }
    all.retain(|one| one.serves >= LEAST);
    all.sort_by_key(|one| std::cmp::Reverse(one.serves));
    let most = all.first().map_or(0, |one| one.serves);
    // Beside what serves all, what serves fewer is of no use.
    all.retain(|one| most < unserved_now || one.serves == most);
    all.truncate(ENOUGH);
    all
}

/// What was found to help, each once, that which helps most goals first.
fn most_helpful(unserved: &[Unserved]) -> Vec<Suggestion> {
    let mut all: Vec<(usize, Suggestion)> = Vec::new();
    for way in unserved.iter().flat_map(|one| &one.ways_out) {
        match all.iter_mut().find(|(_, change)| *change == way.change) {
            Some((goals, _)) => *goals += 1,
            None => all.push((1, way.change.clone())),
        }
    }
    all.sort_by_key(|(goals, _)| std::cmp::Reverse(*goals));
    all.into_iter().map(|(_, change)| change).collect()
}

/// More hours, of the changes for a goal.
fn more_hours(kinds: &[Vec<Suggestion>]) -> impl Iterator<Item = Suggestion> {
    let changes = kinds.iter().flatten().cloned();
    changes.filter(|change| matches!(change.0[..], [Change::Hours { .. }]))
}

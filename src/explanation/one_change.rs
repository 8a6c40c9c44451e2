//! Changes that each serve much of what a plan does not, tried by planning again.

use chrono::{DateTime, Utc};

use super::{
    budget::{Budget, Searches, World},
    conflict::Unserved,
    suggestions::{Change, Suggestion, candidates},
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
    let hours = || more_hours(plan, now, laid, unserved);
    let mut changes = most_helpful(unserved);
    changes.retain(|change| !hours().any(|other| other == *change));
    changes.truncate(MOST_TRIED);
    let mut all: Vec<OneChange> = changes.into_iter().chain(hours()).filter_map(tried).collect();
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

/// More hours where the first of them is made.
fn more_hours(
    plan: &Plan,
    now: DateTime<Utc>,
    laid: &Laid,
    unserved: &[Unserved],
) -> impl Iterator<Item = Suggestion> {
    let first = unserved.first().and_then(|one| laid.draft.goals.get(one.goal.0));
    let kinds = first.map(|serves| candidates(plan, now, *serves)).unwrap_or_default();
    let changes = kinds.into_iter().flatten();
    changes.filter(|change| matches!(change.0[..], [Change::Hours { .. }]))
}

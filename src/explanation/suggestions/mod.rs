//! Changes to a plan that may make an impossible goal possible, the smallest
//! of each kind first. Whether one works is tried elsewhere.

mod change;
mod gift;
mod in_file;
mod session;
#[cfg(test)]
mod tests;

use chrono::{DateTime, Utc};

use super::obstacle::Blame;
use crate::{planfile::Plan, prep::draft::Serves};
use gift::for_gift;
use session::{earlier_that_day, for_session, later_session, longer_class};

pub use change::{Change, Fill, MoreHours};

/// Changes to the plan that are made together.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion(pub Vec<Change>);

impl From<Change> for Suggestion {
    fn from(change: Change) -> Self {
        Self(vec![change])
    }
}

impl Suggestion {
    /// The plan with these changes.
    pub fn changed(&self, plan: &Plan) -> Plan {
        let mut plan = plan.clone();
        self.0.iter().for_each(|change| change.make(&mut plan));
        plan
    }

    /// Whether it lets the blocks freeze in colder air.
    pub fn is_colder(&self) -> bool {
        let colder = |change: &Change| {
            matches!(change, Change::Air { .. } | Change::Freezer { .. } | Change::FreezerAt { .. })
        };
        self.0.iter().all(colder)
    }

    /// Whether letting go of a fact does all that it does.
    pub fn does_no_more(&self, fact: &Blame) -> bool {
        self.0.iter().all(|change| change.does_no_more(fact))
    }

    /// The one half-way between a smaller one of its kind, or none, and this; none where there is
    /// nothing between them.
    pub fn halfway(&self, less: Option<&Self>, plan: &Plan) -> Option<Self> {
        let [own] = &self.0[..] else { return None };
        let less = less.and_then(|less| less.0.first());
        own.halfway(less, plan).map(Self::from)
    }

    /// Whether it is the same change as another one, and more of it.
    pub fn exceeds(&self, other: &Self, plan: &Plan) -> bool {
        matches!((&self.0[..], &other.0[..]), ([own], [other]) if own.exceeds(other, plan))
    }

    /// Both made together.
    pub fn and(&self, other: &Self) -> Self {
        Self([&self.0[..], &other.0].concat())
    }
}

/// The smallest of a kind that works, also between two of it or beyond one that does not, and the
/// place of the first of the kind that does. A change works where a smaller one does.
pub fn smallest(
    plan: &Plan,
    (beyond, kind): (Option<&Suggestion>, &[Suggestion]),
    works: impl Fn(&Suggestion) -> bool,
) -> Option<(usize, Suggestion)> {
    let place = kind.iter().position(&works)?;
    let mut smallest = kind.get(place)?.clone();
    let before = place.checked_sub(1).and_then(|before| kind.get(before));
    let mut less = before.or(beyond).cloned();
    while let Some(half) = smallest.halfway(less.as_ref(), plan) {
        if works(&half) {
            smallest = half;
        } else {
            less = Some(half);
        }
    }
    Some((place, smallest))
}

/// Changes for one goal, by kind, the smallest of each kind first.
pub fn candidates(plan: &Plan, now: DateTime<Utc>, serves: Serves) -> Vec<Vec<Suggestion>> {
    let kinds = match serves {
        Serves::Session { ice, session } => for_session(plan, ice, session),
        Serves::Gift { ornament } => for_gift(plan, now, ornament),
    };
    let kinds = kinds.into_iter().filter(|kind| !kind.is_empty());
    kinds.map(|kind| kind.into_iter().map(Suggestion::from).collect()).collect()
}

/// What makes way where a session is served and another goal is not: it begins at another time,
/// that day or on another day, or hands are there for longer.
pub fn making_way(plan: &Plan, in_the_way: Serves) -> Vec<Vec<Suggestion>> {
    let Serves::Session { ice, session } = in_the_way else { return Vec::new() };
    let kinds = [earlier_that_day, longer_class, later_session].map(|of| of(plan, ice, session));
    kinds.map(|kind| kind.into_iter().map(Suggestion::from).collect()).to_vec()
}

/// More hours of hands in a place, one kind each.
fn hours(place: usize) -> impl Iterator<Item = Vec<Change>> {
    MoreHours::ALL.into_iter().map(move |more| vec![Change::Hours { place, more }])
}

//! What cannot be done: the facts that clash, and ways out that were tried by planning
//! again.

use chrono::{DateTime, Utc};

use crate::{
    explanation::{
        alone::{alone, goals},
        blame::{Blame, Budget, blame},
        suggestions::{Suggestion, candidates},
        warmth::surest,
    },
    planfile::Plan,
    prep::{Laid, draft::Serves, durations::Durations},
    scheduler::GoalId,
};

/// Enough to choose from.
const ENOUGH: usize = 5;

/// A choice is between two at least.
const LEAST: usize = 2;

/// Pairs of changes that are tried when single ones do not suffice.
const MOST_PAIRS: usize = 20;

/// Goals that are explained; who mends these plans again.
pub const MOST_EXPLAINED: usize = 8;

/// Labels of the searches for what clashes and for ways out, of all goals together: about
/// half a second.
const EFFORT: u64 = 350_000;

/// Other goals beside which one is looked at: those nearest to it.
const NEAREST: usize = 6;

/// A session or gift that cannot be served.
#[derive(Debug)]
pub struct Unserved {
    /// Which.
    pub goal: GoalId,
    /// Facts that cannot all be true, while all but any one of them could.
    pub blame: Vec<Blame>,
    /// Changes to the plan with which it was served when tried.
    pub suggestions: Vec<Suggestion>,
    /// Whether there was no effort left to look for more.
    pub cut_short: bool,
}

/// Goals that a plan does not serve, why, and what would help: the first
/// [`MOST_EXPLAINED`] of them, as far as the effort reaches.
pub fn unserved(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Vec<Unserved> {
    let left = laid.solution.unserved();
    let each = EFFORT / left.len().clamp(1, MOST_EXPLAINED) as u64;
    let explained = |goal: &GoalId| {
        let serves = *laid.draft.goals.get(goal.0)?;
        let budget = Budget::new(each, surest(plan, durations, serves).unwrap_or(0));
        let trial = Trial { plan, now, durations, serves, left: left.len(), budget: &budget };
        let blame = blame(plan, now, durations, (serves, &nearest(plan, serves)), &budget);
        let suggestions = trial.suggestions(&blame);
        Some(Unserved { goal: *goal, blame, suggestions, cut_short: budget.is_spent() })
    };
    left.iter().take(MOST_EXPLAINED).filter_map(explained).collect()
}

/// The other goals whose day is nearest.
fn nearest(plan: &Plan, serves: Serves) -> Vec<Serves> {
    let day = |serves: Serves| match serves {
        Serves::Session { ice, session } => plan.ice[ice].sessions[session].at.date_naive(),
        Serves::Gift { ornament } => plan.ornaments[ornament].give,
    };
    let mut others: Vec<Serves> =
        goals(plan).into_iter().filter(|other| *other != serves).collect();
    others.sort_by_key(|other| (day(*other) - day(serves)).num_days().abs());
    others.truncate(NEAREST);
    others
}

/// Looking for changes with which a goal is served.
struct Trial<'a> {
    plan: &'a Plan,
    now: DateTime<Utc>,
    durations: &'a dyn Durations,
    serves: Serves,
    /// Goals not served without a change.
    left: usize,
    /// Searches that may still be made.
    budget: &'a Budget,
}

impl Trial<'_> {
    /// The smallest change of each kind that works; two changes together where
    /// single ones do not.
    fn suggestions(&self, blame: &[Blame]) -> Vec<Suggestion> {
        let mut kinds = candidates(self.plan, self.now, self.serves);
        if blame.iter().any(|one| matches!(one, Blame::TooWarm { .. })) {
            // Nothing else makes a freezer colder.
            kinds.retain(|kind| kind.iter().all(Suggestion::is_colder));
        }
        let (mut found, mut short): (_, Vec<&[Suggestion]>) = (Vec::new(), Vec::new());
        for kind in &kinds {
            let works = kind.iter().position(|one| self.works(one));
            found.extend(works.map(|n| kind[n].clone()));
            // What does not do alone: beside another it may.
            short.push(&kind[..works.unwrap_or(kind.len())]);
            if found.len() == ENOUGH {
                break;
            }
        }
        if found.len() < LEAST {
            short.retain(|kind| !kind.is_empty());
            let pairs = short
                .iter()
                .enumerate()
                .flat_map(|(n, a)| short.iter().skip(n + 1).map(move |b| (*a, *b)));
            let wanted = LEAST - found.len();
            found.extend(pairs.take(MOST_PAIRS).filter_map(|pair| self.pair(pair)).take(wanted));
        }
        found
    }

    /// The smallest of one kind and of another that do together, where the most of both does.
    fn pair(&self, (a, b): (&[Suggestion], &[Suggestion])) -> Option<Suggestion> {
        let (most_a, most_b) = (a.last()?, b.last()?);
        if !self.works(&most_a.and(most_b)) {
            return None;
        }
        let a = a.iter().find(|one| self.works(&one.and(most_b))).unwrap_or(most_a);
        let b = b.iter().find(|one| self.works(&a.and(one))).unwrap_or(most_b);
        Some(a.and(b))
    }

    /// Whether the goal is served then, by itself and beside the others, and no other is
    /// lost for it.
    fn works(&self, suggestion: &Suggestion) -> bool {
        let changed = suggestion.changed(self.plan);
        self.served(&alone(&changed, self.serves), usize::MAX)
            && self.served(&changed, self.left.saturating_sub(1))
    }

    /// Whether a plan serves the goal and leaves at most so many out.
    fn served(&self, plan: &Plan, left: usize) -> bool {
        let chosen = self.budget.chosen(plan, self.now, self.durations);
        chosen.is_some_and(|chosen| chosen.serves_goal(self.serves) && chosen.left_out() <= left)
    }
}

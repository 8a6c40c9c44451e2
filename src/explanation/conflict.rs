//! What cannot be done: the smallest set of facts that clash, and ways out
//! that were tried by planning again.

use std::cell::Cell;

use chrono::{DateTime, Utc};

use crate::{
    explanation::suggestions::{Suggestion, candidates},
    planfile::Plan,
    prep::{Laid, LayError, Look, draft::Draft, durations::Durations, solve_with},
    scheduler::{self, Conflict, Effort, FactId, GoalId, ProblemError, Solution, sittings},
};

/// Enough to choose from.
const ENOUGH: usize = 5;

/// A choice is between two at least.
const LEAST: usize = 2;

/// Pairs of changes that are tried when single ones do not suffice.
const MOST_PAIRS: usize = 20;

/// Goals that are explained; who mends these plans again.
pub const MOST_EXPLAINED: usize = 8;

/// Nodes of one search for a conflict, of which there is one for each fact: at most,
/// and times steps.
const NODES: u64 = 10_000;
const NODES_AND_STEPS: u64 = 1_000_000;

/// Steps planned in all trials together: some seconds' worth.
const PATIENCE: usize = 40_000;

/// A trial asks only whether there is a plan, not which is best.
const TRIAL: Look = Look {
    rounds: sittings::Effort::QUICK,
    steps: Effort { service: 4_000, improve: 0, prove: 0, prove_most: 0 },
};

/// A session or gift that cannot be served.
#[derive(Debug)]
pub struct Unserved {
    /// Which.
    pub goal: GoalId,
    /// What is in conflict, where it could be found; smallest in that any of its goals
    /// and facts can be left out and the others then go together.
    pub conflict: Option<Conflict>,
    /// Changes to the plan with which it was served when tried.
    pub suggestions: Vec<Suggestion>,
}

/// Goals that a plan does not serve, why, and what would help: the first
/// [`MOST_EXPLAINED`] of them, and suggestions as long as patience lasts.
///
/// # Errors
/// [`LayError`] as for the plan itself.
pub fn unserved(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Result<Vec<Unserved>, LayError> {
    let goals = laid.solution.unserved();
    let patience = Cell::new(PATIENCE);
    let explained = |goal: &GoalId| {
        let (goal, unserved) = (*goal, goals.len());
        let trial = Trial { plan, now, durations, goal, unserved, patience: &patience };
        Ok(Unserved {
            goal,
            conflict: smallest_conflict(&laid.draft, &laid.solution, goal)?,
            suggestions: trial.suggestions(laid),
        })
    };
    goals.iter().take(MOST_EXPLAINED).map(explained).collect()
}

/// The problem with its facts in the order in which they are tried as
/// superfluous, and which fact each number stands for: limits first, so that
/// what is named is what the plan's reader would think of.
fn by_blame(draft: &Draft) -> (scheduler::Problem, Vec<FactId>) {
    let mut order: Vec<FactId> = (0..draft.facts.len()).map(FactId).collect();
    order.sort_by_key(|fact| !draft.limits.contains(fact));
    let place = |fact| FactId(order.iter().position(|known| *known == fact).unwrap_or(0));
    let places: Vec<FactId> = (0..order.len()).map(|fact| place(FactId(fact))).collect();
    (draft.problem.renumbered(|fact| places[fact.0]), order)
}

/// Alone first: only what stands against the others when that is in the way.
fn smallest_conflict(
    draft: &Draft,
    solution: &Solution,
    goal: GoalId,
) -> Result<Option<Conflict>, ProblemError> {
    let last = Some(draft.problem.levels.saturating_sub(1));
    // A node looks at every activity, so a longer plan gets fewer.
    let steps = draft.problem.activities.len() as u64;
    let effort = Effort {
        service: NODES_AND_STEPS.checked_div(steps).map_or(NODES, |nodes| nodes.min(NODES)),
        ..Effort::default()
    };
    let (problem, facts) = by_blame(draft);
    let mut wanted: Vec<Option<usize>> = vec![None; draft.goals.len()];
    wanted[goal.0] = last;
    let mut conflict = scheduler::conflict(&problem, &wanted, effort)?;
    if conflict.is_none() {
        let mut wanted: Vec<_> = solution.levels.iter().map(|level| level.and(last)).collect();
        wanted[goal.0] = last;
        conflict = scheduler::conflict(&problem, &wanted, effort)?;
    }
    Ok(conflict.map(|conflict| Conflict {
        goals: conflict.goals,
        facts: conflict.facts.iter().map(|fact| facts[fact.0]).collect(),
    }))
}

/// Looking for changes with which a goal is served.
struct Trial<'a> {
    plan: &'a Plan,
    now: DateTime<Utc>,
    durations: &'a dyn Durations,
    goal: GoalId,
    /// Goals not served without a change.
    unserved: usize,
    /// Steps that may still be planned in trials.
    patience: &'a Cell<usize>,
}

impl Trial<'_> {
    /// The smallest change of each kind that works; two changes together where
    /// single ones do not.
    fn suggestions(&self, laid: &Laid) -> Vec<Suggestion> {
        let Some(goal) = laid.draft.goals.get(self.goal.0) else { return Vec::new() };
        let kinds = candidates(self.plan, self.now, goal.serves);
        let first = |kind: &Vec<Suggestion>| kind.iter().find(|one| self.works(one)).cloned();
        let mut found: Vec<Suggestion> = kinds.iter().filter_map(first).take(ENOUGH).collect();
        if found.len() < LEAST {
            let alone = |kind: &&Vec<Suggestion>| !kind.iter().any(|one| self.works(one));
            let widest: Vec<&Suggestion> =
                kinds.iter().filter(alone).filter_map(|kind| kind.last()).collect();
            let pairs = widest
                .iter()
                .enumerate()
                .flat_map(|(n, a)| widest.iter().skip(n + 1).map(move |b| a.and(b)));
            let wanted = LEAST - found.len();
            found.extend(pairs.take(MOST_PAIRS).filter(|pair| self.works(pair)).take(wanted));
        }
        found
    }

    /// Whether the goal is served then and no other is lost for it.
    fn works(&self, suggestion: &Suggestion) -> bool {
        if self.patience.get() == 0 {
            return false;
        }
        let changed = suggestion.changed(self.plan);
        solve_with(&changed, self.now, self.durations, TRIAL).is_ok_and(|laid| {
            let steps = laid.draft.problem.activities.len();
            self.patience.set(self.patience.get().saturating_sub(steps));
            let left = laid.solution.unserved();
            !left.contains(&self.goal) && left.len() < self.unserved
        })
    }
}

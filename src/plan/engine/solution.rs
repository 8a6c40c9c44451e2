//! From a problem to its best plan, part by part.

use super::improve::improve;
use super::network::Network;
use super::parts::parts;
use super::problem::{ActivityId, GoalId, Problem, ProblemError, Tick};
use super::search::{Score, any_plan, best_plan};
use super::service::{assign, served};

/// How long to look, in nodes of the search and not in time, so that the same
/// problem gives the same plan on any machine.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Nodes for deciding what can be served.
    pub service: u64,
    /// Nodes for improving each independent part, times the activities in it.
    pub part: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { service: 200_000, part: 2_000_000 }
    }
}

/// What a plan is judged by, in this order; smaller is better.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Objective {
    /// The weights of the goals not served, summed.
    pub unserved: u64,
    /// How many goals are at each level, least sure first, without level 0.
    pub unsure: Vec<u64>,
    /// Distinct evenings with hands-on work.
    pub evenings: u32,
    /// How much earlier than at its own latest each activity starts, summed.
    pub earliness: i64,
    /// Squared hands-on ticks, summed over evenings.
    pub unevenness: i64,
}

/// By how much a better plan is not ruled out (zero where proven).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Gap {
    /// Whether a better service of the goals is not ruled out.
    pub service: bool,
    /// Evenings above the proven lower bound.
    pub evenings: u32,
    /// Earliness above the proven lower bound.
    pub earliness: i64,
}

/// A plan.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The start of each activity; `None` where its goal is not served.
    pub starts: Vec<Option<Tick>>,
    /// The level of each goal; `None` where it is not served.
    pub levels: Vec<Option<usize>>,
    /// How good it is.
    pub objective: Objective,
    /// Whether no better plan exists.
    pub proven: bool,
    /// What is left open where it is not proven.
    pub gap: Gap,
}

impl Solution {
    /// When `activity` starts, if its goal is served.
    pub fn start(&self, activity: ActivityId) -> Option<Tick> {
        self.starts.get(activity.0).copied().flatten()
    }

    /// The goals that could not be served.
    pub fn unserved(&self) -> Vec<GoalId> {
        (0..self.levels.len()).filter(|&g| self.levels[g].is_none()).map(GoalId).collect()
    }
}

/// The best plan for `problem`.
///
/// # Errors
/// [`ProblemError`] when the problem is not well formed. That some goals, or
/// all, cannot be served is no error.
pub fn solve(problem: &Problem, effort: Effort) -> Result<Solution, ProblemError> {
    problem.check()?;
    let (levels, sure) = assign(problem, effort.service);
    let served = served(problem, &levels);
    let mut solution = Solution {
        starts: vec![None; problem.activities.len()],
        objective: Objective {
            unserved: (0..levels.len())
                .filter(|&g| levels[g].is_none())
                .map(|g| u64::from(problem.goals[g].weight))
                .sum(),
            unsure: (1..problem.levels)
                .rev()
                .map(|l| levels.iter().filter(|&&level| level == Some(l)).count() as u64)
                .collect(),
            ..Objective::default()
        },
        levels,
        proven: sure,
        gap: Gap { service: !sure, ..Gap::default() },
    };
    let whole = Network::new(problem, &served, &solution.levels, &|_| false);
    let Ok(bounds) = whole.bounds() else { return Ok(solution) };
    for part in parts(&whole, &bounds, true) {
        let ids: Vec<usize> = part.iter().map(|&i| served[i]).collect();
        solution.add_part(problem, &ids, effort);
    }
    Ok(solution)
}

impl Solution {
    fn add_part(&mut self, problem: &Problem, ids: &[usize], effort: Effort) {
        let mut network = Network::new(problem, ids, &self.levels, &|_| false);
        let Ok(bounds) = network.bounds() else { return };
        let mut starts = self.starts.clone();
        let Some((any, _)) = any_plan(&mut network, &mut effort.service.clone()).best else {
            return;
        };
        place(&mut starts, ids, any);
        improve(problem, &self.levels, ids, &mut starts, effort.part / 2);
        let known = ids.iter().filter_map(|&i| starts[i]).collect();
        let found =
            best_plan(&mut network, bounds, &mut (effort.part / 2 / ids.len() as u64), Some(known));
        let Some((starts, score)) = found.best else { return };
        place(&mut self.starts, ids, starts);
        self.objective.evenings += score.evenings;
        self.objective.earliness += score.earliness;
        self.objective.unevenness += score.unevenness;
        if !found.proven {
            self.proven = false;
            let Score { evenings, earliness, .. } = network.least_score();
            self.gap.evenings += score.evenings - evenings;
            self.gap.earliness += score.earliness - earliness;
        }
    }
}

fn place(starts: &mut [Option<Tick>], ids: &[usize], found: Vec<Tick>) {
    for (&i, start) in ids.iter().zip(found) {
        starts[i] = Some(start);
    }
}

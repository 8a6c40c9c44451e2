//! From a problem to its best plan, part by part.

use super::feasible::{place, served};
use super::filed::Filed;
use super::improve::improve;
use super::network::{Bounds, Network};
use super::parts::parts;
use super::problem::{ActivityId, GoalId, Problem, ProblemError, Tick};
use super::search::{Score, best_plan};
use super::service::assign;

/// How long to look, in nodes of the search and not in time, so that the same
/// problem gives the same plan on any machine.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Nodes for deciding what can be served, for each group of goals that
    /// depend on each other.
    pub service: u64,
    /// Nodes for improving long parts a few goals at a time, for each activity
    /// of the part; a node counts once for every activity it looks at.
    pub improve: u64,
    /// Nodes for proving each independent part, times the cube of its
    /// activities: with them a node's cost and the depth and breadth of the
    /// search grow, so that proofs of long parts are soon out of reach.
    pub prove: u64,
    /// The most nodes for proving a part, however small it is.
    pub prove_most: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { service: 50_000, improve: 4_000, prove: 3_000_000_000, prove_most: 30_000 }
    }
}

/// What a plan is judged by, in this order; smaller is better.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Objective {
    /// The weights of the goals not served, summed.
    pub unserved: u64,
    /// How many goals are at each level, least sure first, without level 0.
    pub unsure: Vec<u64>,
    /// Distinct sittings with hands-on work.
    pub sittings: u32,
    /// How much earlier than at its own latest each activity starts, summed.
    pub earliness: i64,
    /// Squared hands-on ticks, summed over sittings.
    pub unevenness: i64,
}

/// By how much a better plan is not ruled out (zero where proven).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Gap {
    /// Whether a better service of the goals is not ruled out.
    pub service: bool,
    /// Sittings above the proven lower bound.
    pub sittings: u32,
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
/// ```
/// use solidby::scheduler::{Activity, Effort, FactId, Link, Problem, solve};
///
/// let (hours, freezing) = (FactId(0), FactId(1));
/// let mut problem = Problem { levels: 2, ..Problem::default() };
/// let goal = problem.add_goal(1);
/// let mut at = |windows| {
///     problem.add_activity(Activity { duration: 2, windows, goal, hands: true, fact: hours })
/// };
/// let (fill, turn_out) = (at(vec![0..10, 20..30]), at(vec![45..60]));
/// problem.links.push(Link { before: fill, after: turn_out, min: vec![30, 25], max: None, fact: freezing });
/// let plan = solve(&problem, Effort::default())?;
/// assert_eq!((plan.start(fill), plan.start(turn_out)), (Some(26), Some(58)));
/// assert_eq!(plan.levels, [Some(0)]);
/// # Ok::<(), solidby::scheduler::ProblemError>(())
/// ```
///
/// # Errors
/// [`ProblemError`] when the problem is not well formed. That some goals, or
/// all, cannot be served is no error.
pub fn solve(problem: &Problem, effort: Effort) -> Result<Solution, ProblemError> {
    problem.check()?;
    let problem = &Filed::new(problem);
    let (levels, starts, sure) = assign(problem, effort.service);
    let served = served(problem, &levels);
    let mut solution = Solution {
        starts,
        objective: Objective::of_service(problem, &levels),
        levels,
        proven: sure,
        gap: Gap { service: !sure, ..Gap::default() },
    };
    let whole = Network::new(problem, &served, &solution.levels);
    let Ok(bounds) = whole.bounds() else { return Ok(solution) };
    for part in parts(&whole, &bounds, true) {
        let ids: Vec<usize> = part.iter().map(|&i| served[i]).collect();
        solution.better_part(problem, &ids, bounds.of(&part), effort);
    }
    Ok(solution)
}

impl Objective {
    fn of_service(problem: &Problem, levels: &[Option<usize>]) -> Self {
        let missed = (0..levels.len()).filter(|&g| levels[g].is_none());
        let at = |level| levels.iter().filter(|&&own| own == Some(level)).count() as u64;
        Self {
            unserved: missed.map(|g| u64::from(problem.goals[g].weight)).sum(),
            unsure: (1..problem.levels).rev().map(at).collect(),
            ..Self::default()
        }
    }
}

impl Solution {
    /// Betters the plan of the activities `ids`, which nothing connects with
    /// the others, and adds what it is worth.
    fn better_part(&mut self, problem: &Filed, ids: &[usize], bounds: Bounds, effort: Effort) {
        let network = &mut Network::new(problem, ids, &self.levels);
        let size = ids.len() as u64;
        let mut nodes = (effort.prove / size.pow(3)).min(effort.prove_most);
        improve(problem, &self.levels, ids, &mut self.starts, effort.improve * size);
        let known = ids.iter().filter_map(|&i| self.starts[i]).collect();
        let found = best_plan(network, bounds, &mut nodes, Some(known));
        let Some((starts, score)) = found.best else { return };
        place(&mut self.starts, ids, starts);
        self.objective.sittings += score.sittings;
        self.objective.earliness += score.earliness;
        self.objective.unevenness += score.unevenness;
        if !found.proven {
            self.proven = false;
            let Score { sittings, earliness, .. } = network.least_score();
            self.gap.sittings += score.sittings - sittings;
            self.gap.earliness += score.earliness - earliness;
        }
    }
}

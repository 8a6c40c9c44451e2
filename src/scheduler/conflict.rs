//! When not all goals can be served: the smallest set of facts that clash.

use std::collections::BTreeSet;

use super::feasible::{Levels, Verdict, check, served};
use super::filed::Filed;
use super::inquiry::clashing;
use super::problem::{FactId, GoalId, Problem, ProblemError};
use super::solution::Effort;

/// Nodes for a first look at whether a fact is needed.
const QUICK: u64 = 300;

/// Goals and facts that cannot hold together. Leaving out any one of the goals
/// or dropping any one of the facts lets the others be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The goals that clash.
    pub goals: Vec<GoalId>,
    /// The facts that make them clash.
    pub facts: Vec<FactId>,
}

/// What stands in the way of serving each goal at least as surely as `wanted`
/// says (`None`: not at all); `None` when nothing does, or when the effort does
/// not suffice to tell.
///
/// # Errors
/// [`ProblemError`] when the problem is not well formed.
pub fn conflict(
    problem: &Problem,
    wanted: &[Option<usize>],
    effort: Effort,
) -> Result<Option<Conflict>, ProblemError> {
    problem.check()?;
    let problem = &Filed::new(problem);
    let mut wanted = wanted.to_vec();
    wanted.resize(problem.goals.len(), None);
    let Some(levels) = clashing(problem, &wanted, effort.service) else { return Ok(None) };
    if check(problem, &levels, &mut effort.service.clone(), &|_| false) != Verdict::Infeasible {
        return Ok(None);
    }
    Ok(Some(Conflict {
        goals: (0..levels.len()).filter(|&g| levels[g].is_some()).map(GoalId).collect(),
        facts: needed(problem, &levels, effort).into_iter().map(FactId).collect(),
    }))
}

/// Facts of which each is needed for the clash, as far as can be told. Those
/// without which it is hard to see wait until the others that are not needed
/// are gone, since every check after them is as hard; they share the nodes.
fn needed(problem: &Filed, levels: &Levels, effort: Effort) -> BTreeSet<usize> {
    let mut needed = facts(problem, &served(problem, levels));
    let mut hard: Vec<usize> = needed.iter().copied().collect();
    let mut without = |fact: usize, nodes: &mut u64| {
        needed.remove(&fact);
        let verdict = check(problem, levels, nodes, &|other| !needed.contains(&other));
        if verdict != Verdict::Infeasible {
            needed.insert(fact);
        }
        verdict
    };
    hard.retain(|&fact| without(fact, &mut QUICK.min(effort.service)) == Verdict::Unknown);
    let mut left = effort.service;
    for fact in hard {
        without(fact, &mut left);
    }
    needed
}

/// The facts behind all rules that touch the given activities.
fn facts(problem: &Problem, activities: &[usize]) -> BTreeSet<usize> {
    let here = |i: usize| activities.binary_search(&i).is_ok();
    let windows = activities.iter().map(|&i| problem.activities[i].fact.0);
    let links = problem.links.iter().filter(|link| here(link.before.0) && here(link.after.0));
    let holds = problem.holds.iter().filter(|hold| here(hold.from.0));
    windows
        .chain(links.map(|link| link.fact.0))
        .chain(holds.map(|hold| problem.resources[hold.resource.0].fact.0))
        .collect()
}

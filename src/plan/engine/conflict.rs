//! When not all goals can be served: the smallest set of facts that clash.

use std::collections::BTreeSet;

use super::feasible::{Verdict, check, served};
use super::filed::Filed;
use super::inquiry::clashing;
use super::problem::{FactId, GoalId, Problem, ProblemError};
use super::solution::Effort;

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
    let clash = |levels: &Vec<_>, gone: &BTreeSet<usize>| {
        let dropped = |fact: usize| gone.contains(&fact);
        check(problem, levels, &mut effort.service.clone(), &dropped) == Verdict::Infeasible
    };
    let mut wanted = wanted.to_vec();
    wanted.resize(problem.goals.len(), None);
    let Some(levels) = clashing(problem, &wanted, effort.service) else { return Ok(None) };
    let mut gone = BTreeSet::new();
    if !clash(&levels, &gone) {
        return Ok(None);
    }
    let facts = facts(problem, &served(problem, &levels));
    for &fact in &facts {
        gone.insert(fact);
        if !clash(&levels, &gone) {
            gone.remove(&fact);
        }
    }
    Ok(Some(Conflict {
        goals: (0..levels.len()).filter(|&g| levels[g].is_some()).map(GoalId).collect(),
        facts: facts.difference(&gone).copied().map(FactId).collect(),
    }))
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

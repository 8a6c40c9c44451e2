//! Which goals are served and how surely.
//!
//! Cores (goals that cannot all be served this surely) are collected one by
//! one; the cheapest choice that gives way in each core is the next to try.
//! The first choice that can be planned is therefore the best one.

use super::feasible::{Levels, Starts};
use super::filed::Filed;
use super::inquiry::{Core, Inquiry, by_time, only};
use super::network::{Bounds, Network};
use super::parts::{Groups, parts};
use super::problem::Problem;

/// The best service of all goals, a plan that provides it, and whether it is
/// proven to be the best. Each group of goals may use so many nodes.
pub(super) fn assign(problem: &Filed, nodes: u64) -> (Levels, Starts, bool) {
    let mut levels = vec![None; problem.goals.len()];
    let mut starts = vec![None; problem.activities.len()];
    let mut proven = true;
    for group in goal_groups(problem) {
        let (found, plan, sure) = assign_group(problem, &group, nodes);
        for &g in &group {
            levels[g] = found[g];
        }
        for (start, planned) in starts.iter_mut().zip(plan) {
            *start = start.or(planned);
        }
        proven &= sure;
    }
    (levels, starts, proven)
}

/// Groups of goals that can be decided apart: each goal's bounds are those it
/// has alone at the least sure level, the widest it can ever have.
fn goal_groups(problem: &Filed) -> Vec<Vec<usize>> {
    let loosest = vec![Some(problem.levels - 1); problem.goals.len()];
    let all: Vec<usize> = (0..problem.activities.len()).collect();
    let whole = Network::new(problem, &all, &loosest);
    let mut wide = Bounds { first: vec![i32::MAX; all.len()], last: vec![i32::MIN / 2; all.len()] };
    for ids in &problem.of_goal {
        if let Ok(bounds) = Network::new(problem, ids, &loosest).bounds() {
            for (at, &i) in ids.iter().enumerate() {
                (wide.first[i], wide.last[i]) = (bounds.first[at], bounds.last[at]);
            }
        }
    }
    let mut groups = Groups::new(problem.goals.len());
    for part in parts(&whole, &wide, false) {
        for pair in part.windows(2) {
            let goal = |i: usize| problem.activities[i].goal.0;
            groups.join(goal(pair[0]), goal(pair[1]));
        }
    }
    groups.into_lists()
}

fn assign_group(problem: &Filed, group: &[usize], nodes: u64) -> (Levels, Starts, bool) {
    let order = by_time(problem, group);
    let mut inquiry = Inquiry::new(problem, nodes);
    let start = only(&vec![Some(0); problem.goals.len()], group);
    let mut cores: Vec<Core> = Vec::new();
    loop {
        let levels = cheapest(problem, group, &cores, &start);
        match inquiry.core(&order, &levels) {
            None => return (levels, inquiry.plan, inquiry.sure),
            Some(core) => cores.push(core),
        }
    }
}

/// The cheapest levels that give way in every core.
fn cheapest(problem: &Problem, group: &[usize], cores: &[Core], start: &Levels) -> Levels {
    let mut best = None;
    give_way(problem, group, cores, start.clone(), &mut best);
    best.map_or_else(|| vec![None; start.len()], |(_, levels)| levels)
}

fn give_way(
    problem: &Problem,
    group: &[usize],
    cores: &[Core],
    levels: Levels,
    best: &mut Option<(Vec<u64>, Levels)>,
) {
    let cost = cost(problem, group, &levels);
    if best.as_ref().is_some_and(|(known, _)| *known <= cost) {
        return;
    }
    let stands = |core: &&Core| core.iter().all(|&(g, at)| levels[g].is_some_and(|l| l <= at));
    let Some(core) = cores.iter().find(stands) else {
        *best = Some((cost, levels));
        return;
    };
    for &(g, at) in core {
        let mut looser = levels.clone();
        looser[g] = Some(at + 1).filter(|level| *level < problem.levels);
        give_way(problem, group, cores, looser, best);
    }
}

/// Compared in order: the weight not served, the goals at each level from the
/// least sure, and (so that the goals listed first are kept) each goal's level.
fn cost(problem: &Problem, group: &[usize], levels: &Levels) -> Vec<u64> {
    let mut cost = vec![0; problem.levels];
    for &g in group {
        match levels[g] {
            None => cost[0] += u64::from(problem.goals[g].weight),
            Some(0) => {}
            Some(level) => cost[problem.levels - level] += 1,
        }
    }
    cost.extend(group.iter().map(|&g| levels[g].unwrap_or(problem.levels) as u64));
    cost
}

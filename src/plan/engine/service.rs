//! Which goals are served and how surely.
//!
//! Cores (goals that cannot all be served this surely) are collected one by
//! one; the cheapest choice that gives way in each core is the next to try.
//! The first choice that can be planned is therefore the best one.

use super::network::{Bounds, Network};
use super::parts::{Groups, parts};
use super::problem::Problem;
use super::search::any_plan;

/// A level for each goal; `None` is not served.
pub(super) type Levels = Vec<Option<usize>>;

/// Goals at their levels that cannot all be served this surely.
type Core = Vec<(usize, usize)>;

/// What a check found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// There is a plan.
    Feasible,
    /// There is none.
    Infeasible,
    /// The nodes ran out first.
    Unknown,
}

/// The best service of all goals, and whether that is proven.
pub(super) fn assign(problem: &Problem, nodes: &mut u64) -> (Levels, bool) {
    let mut levels = vec![None; problem.goals.len()];
    let mut proven = true;
    for group in goal_groups(problem) {
        let (found, sure) = assign_group(problem, &group, nodes);
        for &g in &group {
            levels[g] = found[g];
        }
        proven &= sure;
    }
    (levels, proven)
}

/// Whether all goals can be served at their levels; rules of facts that
/// `dropped` marks are left out.
pub(super) fn check(
    problem: &Problem,
    levels: &Levels,
    nodes: &mut u64,
    dropped: &dyn Fn(usize) -> bool,
) -> Verdict {
    let served = served(problem, levels);
    let network = Network::new(problem, &served, levels, dropped);
    let Ok(bounds) = network.bounds() else { return Verdict::Infeasible };
    let mut verdict = Verdict::Feasible;
    for part in parts(&network, &bounds, false) {
        let ids: Vec<usize> = part.iter().map(|&i| served[i]).collect();
        let found = any_plan(&mut Network::new(problem, &ids, levels, dropped), nodes);
        match (found.best, found.proven) {
            (Some(_), _) => {}
            (None, true) => return Verdict::Infeasible,
            (None, false) => verdict = Verdict::Unknown,
        }
    }
    verdict
}

/// The activities of the served goals.
pub(super) fn served(problem: &Problem, levels: &Levels) -> Vec<usize> {
    (0..problem.activities.len())
        .filter(|&i| levels[problem.activities[i].goal.0].is_some())
        .collect()
}

/// Groups of goals that can be decided apart: each goal's bounds are those it
/// has alone at the least sure level, the widest it can ever have.
fn goal_groups(problem: &Problem) -> Vec<Vec<usize>> {
    let loosest = vec![Some(problem.levels - 1); problem.goals.len()];
    let all: Vec<usize> = (0..problem.activities.len()).collect();
    let whole = Network::new(problem, &all, &loosest, &|_| false);
    let mut wide = Bounds { first: vec![i32::MAX; all.len()], last: vec![i32::MIN / 2; all.len()] };
    let mut own: Vec<Vec<usize>> = vec![Vec::new(); problem.goals.len()];
    for &i in &all {
        own[problem.activities[i].goal.0].push(i);
    }
    for ids in &own {
        if let Ok(bounds) = Network::new(problem, ids, &loosest, &|_| false).bounds() {
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

fn assign_group(problem: &Problem, group: &[usize], nodes: &mut u64) -> (Levels, bool) {
    let mut cores: Vec<Core> = Vec::new();
    let mut proven = true;
    let mut start = vec![None; problem.goals.len()];
    for &g in group {
        start[g] = Some(0);
    }
    loop {
        let levels = cheapest(problem, group, &cores, &start);
        match check(problem, &levels, nodes, &|_| false) {
            Verdict::Feasible => return (levels, proven),
            Verdict::Unknown => proven = false,
            Verdict::Infeasible => {}
        }
        cores.push(shrink(problem, levels, nodes));
    }
}

/// The fewest goals, at the least sure levels, that still cannot be served.
fn shrink(problem: &Problem, mut levels: Levels, nodes: &mut u64) -> Core {
    let fails = |levels: &Levels, nodes: &mut u64| {
        check(problem, levels, nodes, &|_| false) == Verdict::Infeasible
    };
    for g in 0..levels.len() {
        let Some(level) = levels[g] else { continue };
        levels[g] = None;
        if !fails(&levels, nodes) {
            levels[g] = Some(level);
        }
    }
    for g in 0..levels.len() {
        while let Some(level) = levels[g].filter(|level| level + 1 < problem.levels) {
            levels[g] = Some(level + 1);
            if !fails(&levels, nodes) {
                levels[g] = Some(level);
                break;
            }
        }
    }
    levels.iter().enumerate().filter_map(|(g, level)| level.map(|level| (g, level))).collect()
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

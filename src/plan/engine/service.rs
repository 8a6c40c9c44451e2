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

/// The nodes are spent on checks in shares of the rest.
const SHARES: u64 = 20;
/// Nodes that every check may use.
const LEAST_SHARE: u64 = 300;

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

/// The best service of all goals, and whether that is proven. Each group of
/// goals may use so many nodes.
pub(super) fn assign(problem: &Problem, nodes: u64) -> (Levels, bool) {
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

/// Checks with a share of the nodes each, and whether all were conclusive.
struct Inquiry<'a> {
    problem: &'a Problem,
    nodes: u64,
    sure: bool,
}

impl Inquiry<'_> {
    /// Whether the goals cannot be served at these levels, as far as a share
    /// of the nodes can tell.
    fn fails(&mut self, levels: &Levels) -> bool {
        let share = (self.nodes / SHARES).max(LEAST_SHARE);
        let mut left = share;
        let verdict = check(self.problem, levels, &mut left, &|_| false);
        self.nodes = self.nodes.saturating_sub(share - left);
        self.sure &= verdict != Verdict::Unknown;
        verdict != Verdict::Feasible
    }

    /// The fewest of the goals `from..` in `order` so that these fail, or `None`.
    /// Tries 1, 2, 4 … of them first: a plan is found fast, that there is none
    /// is found slowly and the sooner the fewer goals there are.
    fn fewest_failing(&mut self, order: &[usize], levels: &Levels) -> Option<usize> {
        let mut failing =
            |count: usize, inquiry: &mut Self| inquiry.fails(&only(levels, &order[..count]));
        let (mut fine, mut fails) = (0, 1);
        while !failing(fails, self) {
            if fails == order.len() {
                return None;
            }
            (fine, fails) = (fails, (2 * fails).min(order.len()));
        }
        while fails - fine > 1 {
            let middle = usize::midpoint(fine, fails);
            if failing(middle, self) {
                fails = middle;
            } else {
                fine = middle;
            }
        }
        Some(fails)
    }

    /// Goals at their levels that fail though any fewer of them would not, or
    /// `None` when all can be served.
    fn core(&mut self, order: &[usize], levels: &Levels) -> Option<Core> {
        let wanted: Vec<usize> = order.iter().copied().filter(|&g| levels[g].is_some()).collect();
        if wanted.is_empty() {
            return None;
        }
        let upto = self.fewest_failing(&wanted, levels)?;
        let back: Vec<usize> = wanted[..upto].iter().rev().copied().collect();
        let since = self.fewest_failing(&back, levels).unwrap_or(back.len());
        let mut core = only(levels, &back[..since]);
        self.loosen(&mut core);
        for g in back[..since].iter().skip(1).take(since.saturating_sub(2)) {
            let level = core[*g].take();
            if !self.fails(&core) {
                core[*g] = level;
            }
        }
        Some(core.iter().enumerate().filter_map(|(g, level)| level.map(|l| (g, l))).collect())
    }

    /// Makes the levels as loose as they can be and still fail.
    fn loosen(&mut self, core: &mut Levels) {
        let loosest = Some(self.problem.levels - 1);
        let all: Levels = core.iter().map(|level| level.and(loosest)).collect();
        if self.fails(&all) {
            *core = all;
            return;
        }
        for g in 0..core.len() {
            while let Some(level) = core[g].filter(|&level| Some(level) < loosest) {
                core[g] = Some(level + 1);
                if !self.fails(core) {
                    core[g] = Some(level);
                    break;
                }
            }
        }
    }
}

fn only(levels: &Levels, goals: &[usize]) -> Levels {
    let mut only = vec![None; levels.len()];
    for &g in goals {
        only[g] = levels[g];
    }
    only
}

fn assign_group(problem: &Problem, group: &[usize], nodes: u64) -> (Levels, bool) {
    let order = by_time(problem, group);
    let mut inquiry = Inquiry { problem, nodes, sure: true };
    let start = only(&vec![Some(0); problem.goals.len()], group);
    let mut cores: Vec<Core> = Vec::new();
    loop {
        let levels = cheapest(problem, group, &cores, &start);
        match inquiry.core(&order, &levels) {
            None => return (levels, inquiry.sure),
            Some(core) => cores.push(core),
        }
    }
}

/// The goals by the latest moment of their activities.
fn by_time(problem: &Problem, group: &[usize]) -> Vec<usize> {
    let mut last = vec![None; problem.goals.len()];
    for activity in &problem.activities {
        let end = activity.windows.last().map(|window| window.end);
        last[activity.goal.0] = last[activity.goal.0].max(end);
    }
    let mut order = group.to_vec();
    order.sort_by_key(|&g| (last[g], g));
    order
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

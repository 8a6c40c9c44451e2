//! Which goals are served and how surely.
//!
//! Cores (goals that cannot all be served this surely) are collected one by
//! one; the cheapest choice that gives way in each core is the next to try.
//! The first choice that can be planned is therefore the best one.

use super::network::{Bounds, Network};
use super::parts::{Groups, parts};
use super::problem::{Problem, Tick};
use super::search::any_plan;

/// A level for each goal; `None` is not served.
pub(super) type Levels = Vec<Option<usize>>;

/// Goals at their levels that cannot all be served this surely.
type Core = Vec<(usize, usize)>;

/// The nodes are spent on checks in shares of the rest.
const SHARES: u64 = 20;
/// How many goals that follow each other may move to let others in.
const NEIGHBOURS: usize = 3;
/// Nodes that every check may use.
const LEAST_SHARE: u64 = 300;

/// The start of each activity of the problem that is planned.
pub(super) type Starts = Vec<Option<Tick>>;

/// What a check found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// There is a plan: this one.
    Feasible(Starts),
    /// There is none.
    Infeasible,
    /// The nodes ran out first.
    Unknown,
}

/// The best service of all goals, a plan that provides it, and whether it is
/// proven to be the best. Each group of goals may use so many nodes.
pub(super) fn assign(problem: &Problem, nodes: u64) -> (Levels, Starts, bool) {
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
    let mut starts = Some(vec![None; problem.activities.len()]);
    for part in parts(&network, &bounds, false) {
        let ids: Vec<usize> = part.iter().map(|&i| served[i]).collect();
        let network = &mut Network::new(problem, &ids, levels, dropped);
        let found = any_plan(network, bounds.of(&part), nodes);
        match (found.best, &mut starts) {
            (Some((plan, _)), Some(starts)) => place(starts, &ids, plan),
            (None, _) if found.proven => return Verdict::Infeasible,
            _ => starts = None,
        }
    }
    starts.map_or(Verdict::Unknown, Verdict::Feasible)
}

/// Fits the goals that `known` does not plan in between those that it does.
fn fit_in(problem: &Problem, levels: &Levels, known: &Starts, nodes: &mut u64) -> Option<Starts> {
    let served = served(problem, levels);
    let network = &mut Network::new(problem, &served, levels, &|_| false);
    let mut bounds = network.bounds().ok()?;
    for (at, &i) in served.iter().enumerate() {
        if let Some(start) = known[i] {
            (bounds.first[at], bounds.last[at]) = (start, start);
        }
    }
    let (plan, _) = any_plan(network, bounds, nodes).best?;
    let mut starts = vec![None; known.len()];
    place(&mut starts, &served, plan);
    Some(starts)
}

/// Notes the starts that were found for the activities `ids`.
pub(super) fn place(starts: &mut Starts, ids: &[usize], found: Vec<Tick>) {
    for (&i, start) in ids.iter().zip(found) {
        starts[i] = Some(start);
    }
}

/// As few of the goals, as loosely as they still cannot be served, or `None`
/// when all can.
pub(super) fn clashing(problem: &Problem, levels: &Levels, nodes: u64) -> Option<Levels> {
    let all: Vec<usize> = (0..problem.goals.len()).collect();
    let core = Inquiry::new(problem, nodes).core(&by_time(problem, &all), levels)?;
    let mut levels = vec![None; levels.len()];
    for (g, level) in core {
        levels[g] = Some(level);
    }
    Some(levels)
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
    /// The plan that was found last.
    plan: Starts,
}

impl<'a> Inquiry<'a> {
    fn new(problem: &'a Problem, nodes: u64) -> Self {
        Self { problem, nodes, sure: true, plan: vec![None; problem.activities.len()] }
    }

    /// Whether the goals cannot be served at these levels, as far as a share
    /// of the nodes can tell.
    fn fails(&mut self, levels: &Levels) -> bool {
        let share = (self.nodes / SHARES).max(LEAST_SHARE);
        let mut left = share;
        let verdict = match fit_in(self.problem, levels, &self.plan, &mut LEAST_SHARE.clone()) {
            Some(plan) => Verdict::Feasible(plan),
            None => match check(self.problem, levels, &mut left, &|_| false) {
                Verdict::Unknown => self.fit_in_anew(levels),
                verdict => verdict,
            },
        };
        self.nodes = self.nodes.saturating_sub(share - left);
        self.sure &= verdict != Verdict::Unknown;
        match verdict {
            Verdict::Feasible(plan) => {
                self.plan = plan;
                false
            }
            Verdict::Infeasible | Verdict::Unknown => true,
        }
    }

    /// Fits in what the last plan lacks while a few neighbours in it move.
    fn fit_in_anew(&self, levels: &Levels) -> Verdict {
        let goal = |i: usize| self.problem.activities[i].goal.0;
        let all: Vec<usize> = (0..levels.len()).collect();
        for few in by_time(self.problem, &all).windows(NEIGHBOURS) {
            let mut known = self.plan.clone();
            for (i, start) in known.iter_mut().enumerate() {
                if few.contains(&goal(i)) {
                    *start = None;
                }
            }
            if known == self.plan {
                continue;
            }
            if let Some(plan) = fit_in(self.problem, levels, &known, &mut LEAST_SHARE.clone()) {
                return Verdict::Feasible(plan);
            }
        }
        Verdict::Unknown
    }

    /// The fewest of the goals `from..` in `order` so that these fail, or `None`.
    /// Tries 1, 2, 4 … of them first: a plan is found fast, that there is none
    /// is found slowly and the sooner the fewer goals there are.
    fn fewest_failing(&mut self, order: &[usize], levels: &Levels) -> Option<usize> {
        let failing =
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

    /// Goals at their levels that fail though any fewer of them would not; `None`
    /// when all can be served, by the plan that was found last.
    fn core(&mut self, order: &[usize], levels: &Levels) -> Option<Core> {
        let wanted: Vec<usize> = order.iter().copied().filter(|&g| levels[g].is_some()).collect();
        if wanted.is_empty() {
            self.plan.fill(None);
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

fn assign_group(problem: &Problem, group: &[usize], nodes: u64) -> (Levels, Starts, bool) {
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

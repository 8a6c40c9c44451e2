//! As few goals as possible that cannot all be served.

use super::feasible::{Levels, Starts, Verdict, check, fit_in, served};
use super::filed::Filed;
use super::problem::Problem;

/// Goals at their levels that cannot all be served this surely.
pub(super) type Core = Vec<(usize, usize)>;

/// The nodes are spent on checks in shares of the rest.
const SHARES: u64 = 20;
/// How many goals that follow each other may move to let others in.
const NEIGHBOURS: usize = 3;
/// Nodes that every check may use for each activity in it.
const NODES_EACH: u64 = 5;
/// Nodes for letting others in while some goals stay.
const NODES_ANEW: u64 = 300;

/// As few of the goals, as loosely as they still cannot be served, or `None`
/// when all can.
pub(super) fn clashing(problem: &Filed, levels: &Levels, nodes: u64) -> Option<Levels> {
    let all: Vec<usize> = (0..problem.goals.len()).collect();
    let core = Inquiry::new(problem, nodes).core(&by_time(problem, &all), levels)?;
    let mut levels = vec![None; levels.len()];
    for (g, level) in core {
        levels[g] = Some(level);
    }
    Some(levels)
}

/// Checks with a share of the nodes each, and whether all were conclusive.
pub(super) struct Inquiry<'a> {
    problem: &'a Filed<'a>,
    nodes: u64,
    /// Whether no check ran out of nodes.
    pub(super) sure: bool,
    /// The plan that was found last.
    pub(super) plan: Starts,
}

impl<'a> Inquiry<'a> {
    pub(super) fn new(problem: &'a Filed<'a>, nodes: u64) -> Self {
        Self { problem, nodes, sure: true, plan: vec![None; problem.activities.len()] }
    }

    /// Whether the goals cannot be served at these levels, as far as a share
    /// of the nodes can tell.
    fn fails(&mut self, levels: &Levels) -> bool {
        let least = NODES_EACH * served(self.problem, levels).len() as u64;
        let share = (self.nodes / SHARES).max(least);
        let mut left = share;
        let verdict = match fit_in(self.problem, levels, &self.plan, &mut NODES_ANEW.clone()) {
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
            if let Some(plan) = fit_in(self.problem, levels, &known, &mut NODES_ANEW.clone()) {
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
    pub(super) fn core(&mut self, order: &[usize], levels: &Levels) -> Option<Core> {
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

/// The levels of these goals, no others.
pub(super) fn only(levels: &Levels, goals: &[usize]) -> Levels {
    let mut only = vec![None; levels.len()];
    for &g in goals {
        only[g] = levels[g];
    }
    only
}

/// The goals by the latest moment of their activities.
pub(super) fn by_time(problem: &Problem, group: &[usize]) -> Vec<usize> {
    let mut last = vec![None; problem.goals.len()];
    for activity in &problem.activities {
        let end = activity.windows.last().map(|window| window.end);
        last[activity.goal.0] = last[activity.goal.0].max(end);
    }
    let mut order = group.to_vec();
    order.sort_by_key(|&g| (last[g], g));
    order
}

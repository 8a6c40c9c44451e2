//! Improves a plan that is too large to be searched as a whole: a few goals
//! that follow each other are planned anew while the others stay as they are,
//! from the latest to the earliest, again and again until nothing gets better.

use std::{
    cmp::Reverse,
    collections::{BTreeMap, HashSet},
    ops::Range,
};

use super::feasible::Levels;
use super::filed::Filed;
use super::network::{Bounds, Network};
use super::problem::Tick;
use super::search::best_plan;

/// How many goals are planned anew together, one pass each.
const TOGETHER: [usize; 3] = [2, 3, 4];
/// How many sittings earlier than now they may move in one pass.
const SITTINGS_EARLIER: usize = 5;
/// Nodes for each few goals.
const NODES: u64 = 1_500;

/// Starts at least as good as `starts` (by activity of the problem; those of
/// `ids` are planned). `looks` limits the nodes times the activities in them.
pub(super) fn improve(
    problem: &Filed,
    levels: &Levels,
    ids: &[usize],
    starts: &mut [Option<Tick>],
    looks: u64,
) {
    let mut planner = Planner { problem, levels, ids, starts, looks, settled: HashSet::new() };
    for together in TOGETHER.into_iter().cycle().take(4 * TOGETHER.len()) {
        let goals = planner.by_time();
        let mut going = planner.going(&goals);
        let mut better = false;
        for at in (0..goals.len()).step_by(together.div_ceil(2)) {
            let free = &goals[at..goals.len().min(at + together)];
            better |= planner.plan_anew(free, &mut going);
        }
        if planner.looks == 0 || (!better && together == TOGETHER[TOGETHER.len() - 1]) {
            return;
        }
    }
}

/// From the first start to the last end of each goal that is planned.
type Going = BTreeMap<usize, Range<Tick>>;

/// The starts that are being improved.
struct Planner<'a> {
    problem: &'a Filed<'a>,
    levels: &'a Levels,
    ids: &'a [usize],
    starts: &'a mut [Option<Tick>],
    looks: u64,
    /// Free goals, activities and starts that were tried and did not get better.
    settled: HashSet<(Vec<usize>, Vec<usize>, Vec<Tick>)>,
}

impl Planner<'_> {
    /// The activities of a goal that are planned here.
    fn own(&self, goal: usize) -> impl Iterator<Item = usize> {
        let here = |i: &usize| self.ids.binary_search(i).is_ok();
        self.problem.of_goal[goal].iter().copied().filter(here)
    }

    /// The planned goals, the one whose last activity starts last first.
    fn by_time(&self) -> Vec<usize> {
        let last = |g: usize| self.own(g).filter_map(|i| self.starts[i]).max();
        let mut goals: Vec<(Tick, usize)> =
            (0..self.problem.goals.len()).filter_map(|g| Some((last(g)?, g))).collect();
        goals.sort_by_key(|&(last, g)| (Reverse(last), g));
        goals.into_iter().map(|(_, g)| g).collect()
    }

    fn going(&self, goals: &[usize]) -> Going {
        let span = |&g: &usize| {
            let spans = self.own(g).filter_map(|i| {
                self.starts[i].map(|start| start..start + self.problem.activities[i].duration)
            });
            let whole = spans.reduce(|a, b| a.start.min(b.start)..a.end.max(b.end))?;
            Some((g, whole))
        };
        goals.iter().filter_map(span).collect()
    }

    /// Plans the `free` goals anew between the others; whether that was better.
    fn plan_anew(&mut self, free: &[usize], going: &mut Going) -> bool {
        let own = || free.iter().flat_map(|&g| self.own(g));
        let floor = self.floor(own().filter_map(|i| self.starts[i]));
        let windows = |i: usize| self.problem.activities[i].windows.last();
        let ceiling = own().filter_map(windows).map(|window| window.end).max();
        let near = self.near(floor..ceiling.unwrap_or(floor), free, going);
        let now: Vec<Tick> = near.iter().filter_map(|&i| self.starts[i]).collect();
        let key = (free.to_vec(), near, now);
        if self.settled.contains(&key) {
            return false;
        }
        let Some(new) = self.better(free, floor, &key.1, &key.2) else {
            self.settled.insert(key);
            return false;
        };
        for (&i, start) in key.1.iter().zip(new) {
            self.starts[i] = Some(start);
        }
        going.extend(self.going(free));
        true
    }

    /// Better starts than `now` for the activities `near`, of which only those
    /// of the `free` goals move, none of them to before `floor`.
    fn better(
        &mut self,
        free: &[usize],
        floor: Tick,
        near: &[usize],
        now: &[Tick],
    ) -> Option<Vec<Tick>> {
        let since = now.iter().copied().fold(floor, Tick::min);
        let network = &mut Network::since(since, self.problem, near, self.levels);
        let Bounds { mut first, mut last } = network.bounds().ok()?;
        for (at, &i) in near.iter().enumerate() {
            if free.contains(&self.problem.activities[i].goal.0) {
                first[at] = first[at].max(floor).min(now[at]);
            } else {
                (first[at], last[at]) = (now[at], now[at]);
            }
        }
        let size = near.len() as u64;
        let allowed = NODES.min(self.looks.div_ceil(size));
        let mut nodes = allowed;
        let found = best_plan(network, Bounds { first, last }, &mut nodes, Some(now.to_vec()));
        self.looks = self.looks.saturating_sub((allowed - nodes) * size);
        found.best.map(|(new, _)| new).filter(|new| new != now)
    }

    /// The start of a sitting a few before the earliest of these starts.
    fn floor(&self, starts: impl Iterator<Item = Tick>) -> Tick {
        let earliest = starts.min().unwrap_or(0);
        let sittings = &self.problem.sittings;
        let passed = sittings.partition_point(|sitting| sitting.start <= earliest);
        let floor = passed.checked_sub(SITTINGS_EARLIER).map(|e| sittings[e].start);
        floor.unwrap_or(Tick::MIN)
    }

    /// The activities, ascending, of goals that go on at any time in `span` or
    /// have a link with the `free` ones.
    fn near(&self, span: Range<Tick>, free: &[usize], going: &Going) -> Vec<usize> {
        let meets = |g: usize, own: &Range<Tick>| {
            let linked = || free.iter().any(|&free| self.problem.beside[free].contains(&g));
            (own.start < span.end && span.start < own.end) || linked()
        };
        let goals = going.iter().filter(|&(&g, own)| meets(g, own));
        let mut near: Vec<usize> = goals.flat_map(|(&g, _)| self.own(g)).collect();
        near.sort_unstable();
        near
    }
}

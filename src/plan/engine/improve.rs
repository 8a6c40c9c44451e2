//! Improves a plan that is too large to be searched as a whole: a few goals
//! that follow each other are planned anew while the others stay as they are,
//! from the latest to the earliest, again and again until nothing gets better.

use std::ops::Range;

use super::feasible::Levels;
use super::network::{Bounds, Network};
use super::problem::{Problem, Tick};
use super::search::best_plan;

/// How many goals are planned anew together, one pass each.
const TOGETHER: [usize; 3] = [2, 3, 4];
/// How many evenings earlier than now they may move in one pass.
const EVENINGS_EARLIER: usize = 5;
/// Nodes for each few goals.
const NODES: u64 = 1_500;

/// Starts at least as good as `starts` (by activity of the problem; those of
/// `ids` are planned). `looks` limits the nodes times the activities in them.
pub(super) fn improve(
    problem: &Problem,
    levels: &Levels,
    ids: &[usize],
    starts: &mut [Option<Tick>],
    mut looks: u64,
) {
    for together in TOGETHER.into_iter().cycle().take(4 * TOGETHER.len()) {
        let goals = by_time(problem, ids, starts);
        let mut better = false;
        for at in (0..goals.len()).step_by(together.div_ceil(2)) {
            let free = &goals[at..goals.len().min(at + together)];
            better |= plan_anew(problem, levels, ids, starts, free, &mut looks);
        }
        if looks == 0 || (!better && together == TOGETHER[TOGETHER.len() - 1]) {
            return;
        }
    }
}

/// The goals of these activities, the one that ends last first.
fn by_time(problem: &Problem, ids: &[usize], starts: &[Option<Tick>]) -> Vec<usize> {
    let mut last = vec![None; problem.goals.len()];
    for &i in ids {
        let goal = problem.activities[i].goal.0;
        last[goal] = last[goal].max(starts[i]);
    }
    let mut goals: Vec<usize> = (0..last.len()).filter(|&g| last[g].is_some()).collect();
    goals.sort_by_key(|&g| (std::cmp::Reverse(last[g]), g));
    goals
}

/// Plans the `free` goals anew between the others; whether that was better.
fn plan_anew(
    problem: &Problem,
    levels: &Levels,
    ids: &[usize],
    starts: &mut [Option<Tick>],
    free: &[usize],
    looks: &mut u64,
) -> bool {
    let is_free = |i: usize| free.contains(&problem.activities[i].goal.0);
    let own = || ids.iter().copied().filter(|&i| is_free(i));
    let floor = floor(problem, own().filter_map(|i| starts[i]));
    let ceiling = own().filter_map(|i| problem.activities[i].windows.last()).map(|w| w.end).max();
    let near = near(problem, ids, starts, floor..ceiling.unwrap_or(floor), free);
    let network = &mut Network::new(problem, &near, levels, &|_| false);
    let now: Vec<Tick> = near.iter().filter_map(|&i| starts[i]).collect();
    let Ok(Bounds { mut first, mut last }) = network.bounds() else { return false };
    for (at, &i) in near.iter().enumerate() {
        if is_free(i) {
            first[at] = first[at].max(floor).min(now[at]);
        } else {
            (first[at], last[at]) = (now[at], now[at]);
        }
    }
    let size = near.len() as u64;
    let allowed = NODES.min(looks.div_ceil(size));
    let mut nodes = allowed;
    let found = best_plan(network, Bounds { first, last }, &mut nodes, Some(now.clone()));
    *looks = looks.saturating_sub((allowed - nodes) * size);
    match found.best {
        Some((new, _)) if new != now => {
            for (&i, start) in near.iter().zip(new) {
                starts[i] = Some(start);
            }
            true
        }
        _ => false,
    }
}

/// The start of an evening a few before the earliest of these starts.
fn floor(problem: &Problem, starts: impl Iterator<Item = Tick>) -> Tick {
    let earliest = starts.min().unwrap_or(0);
    let passed = problem.evenings.partition_point(|evening| evening.start <= earliest);
    let floor = passed.checked_sub(EVENINGS_EARLIER).map(|e| problem.evenings[e].start);
    floor.unwrap_or(Tick::MIN)
}

/// The activities of goals that go on at any time in `span` or have a
/// link with the `free` ones.
fn near(
    problem: &Problem,
    ids: &[usize],
    starts: &[Option<Tick>],
    span: Range<Tick>,
    free: &[usize],
) -> Vec<usize> {
    let mut going: Vec<Option<Range<Tick>>> = vec![None; problem.goals.len()];
    for &i in ids {
        let (activity, Some(start)) = (&problem.activities[i], starts[i]) else { continue };
        let end = start + activity.duration;
        let known = going[activity.goal.0].take().unwrap_or(start..end);
        going[activity.goal.0] = Some(known.start.min(start)..known.end.max(end));
    }
    let meets = |i: usize| {
        let going = &going[problem.activities[i].goal.0];
        going.as_ref().is_some_and(|going| going.start < span.end && span.start < going.end)
    };
    let linked = linked(problem, free);
    ids.iter().copied().filter(|&i| meets(i) || linked[problem.activities[i].goal.0]).collect()
}

/// Which goals a link connects with one of the `free` ones.
fn linked(problem: &Problem, free: &[usize]) -> Vec<bool> {
    let mut linked = vec![false; problem.goals.len()];
    for link in &problem.links {
        let ends = [link.before, link.after].map(|end| problem.activities[end.0].goal.0);
        if ends.iter().any(|goal| free.contains(goal)) {
            ends.iter().for_each(|&goal| linked[goal] = true);
        }
    }
    linked
}

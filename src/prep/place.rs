//! The start of every task: where a search has put it, where its window leaves no choice,
//! and for what is done in class around a batch, as late as the rest allows.

use std::ops::Range;

use super::{
    chosen::Chosen,
    clock::Tick,
    draft::{Draft, Serves, Task},
};
use crate::{
    scheduler::{ActivityId, Link, Solution},
    tables::Step,
};

/// All starts of a draft, as far as its goals are served.
pub fn solution(draft: &Draft, chosen: &Chosen) -> Solution {
    let levels: Vec<Option<usize>> =
        (0..draft.goals.len()).map(|n| level(draft, chosen, n)).collect();
    let served = |task: usize| levels[draft.problem.activities[task].goal.0].is_some();
    let tasks = (0..draft.tasks.len()).filter(|task| served(*task) || used(draft, chosen, *task));
    let tasks: Vec<usize> = tasks.collect();
    let mut solution = Solution { starts: vec![None; draft.tasks.len()], levels };
    for task in &tasks {
        solution.starts[*task] = fixed(draft, *task);
    }
    for task in &tasks {
        if solution.starts[*task].is_none() {
            solution.starts[*task] = follows(draft, &solution, *task);
        }
    }
    // From the giving backwards: what comes last is placed first.
    for task in tasks.iter().rev() {
        if solution.starts[*task].is_none() {
            solution.starts[*task] = late(draft, &solution, *task, chosen);
        }
    }
    solution
}

/// Whether a step of a round is of use to a session that is served, whatever becomes of its
/// own.
fn used(draft: &Draft, chosen: &Chosen, task: usize) -> bool {
    let mut rounds = draft.fillings.iter();
    rounds.any(|own| {
        [own.fill.0, own.turn_out.0].contains(&task)
            && own.round.takers.iter().any(|at| chosen.serves(*at))
    })
}

/// How surely a goal is served; what is over, or all done but for the draining and for what others
/// take, was served.
fn level(draft: &Draft, chosen: &Chosen, goal: usize) -> Option<usize> {
    let activities = draft.problem.activities.iter().zip(&draft.tasks).enumerate();
    let mut own = activities.filter(|(_, (activity, _))| activity.goal.0 == goal);
    let is_over = |number: usize, task: &Task| {
        task.done || task.step == Step::Rinse || is_for_others(draft, goal, number)
    };
    match draft.goals[goal] {
        _ if own.all(|(number, (_, task))| is_over(number, task)) => Some(0),
        Serves::Session { ice, session } => chosen.served.get(&(ice, session)).copied(),
        Serves::Gift { ornament } if chosen.late.contains_key(&ornament) => None,
        Serves::Gift { ornament } => {
            Some(chosen.batches.get(&ornament).map_or(0, |dried| dried.level))
        }
    }
}

/// Whether a step of a session is done for blocks that others take, and none of its own.
fn is_for_others(draft: &Draft, goal: usize, task: usize) -> bool {
    let Serves::Session { ice, session } = draft.goals[goal] else { return false };
    draft.fillings.iter().any(|own| {
        let takers = &own.round.takers;
        [own.fill.0, own.turn_out.0].contains(&task)
            && !takers.is_empty()
            && !takers.contains(&(ice, session))
    })
}

/// What was placed, and what has one place alone.
fn fixed(draft: &Draft, task: usize) -> Option<Tick> {
    let activity = &draft.problem.activities[task];
    let placed = draft.placed.get(&task).copied().filter(|_| !draft.tasks[task].done);
    let only = match &activity.windows[..] {
        [only] if only.end - only.start == activity.duration => Some(only.start),
        _ => None,
    };
    placed.or(only)
}

/// What begins at once after something else.
fn follows(draft: &Draft, solution: &Solution, task: usize) -> Option<Tick> {
    let at_once = |link: &&Link| link.after.0 == task && link.max == Some(0);
    let before = draft.problem.links.iter().find(at_once)?.before;
    Some(solution.start(before)? + draft.problem.activities[before.0].duration)
}

/// As late as its windows, what waits for it and the hands allow, else at the time that
/// was kept for it.
fn late(draft: &Draft, solution: &Solution, task: usize, chosen: &Chosen) -> Option<Tick> {
    let activity = &draft.problem.activities[task];
    let level = solution.levels[activity.goal.0].unwrap_or(0);
    let reserved = chosen.reserved.get(&draft.tasks[task].id).copied();
    let end = |id: ActivityId| Some(solution.start(id)? + draft.problem.activities[id.0].duration);
    let links = || draft.problem.links.iter();
    let before = links().filter(|link| link.after.0 == task);
    let from =
        before.filter_map(|link| Some(end(link.before)? + link.shortest(level))).max().unwrap_or(0);
    let after = links().filter(|link| link.before.0 == task);
    let until =
        after.filter_map(|link| Some(solution.start(link.after)? - link.shortest(level))).min();
    let until = until.unwrap_or(Tick::MAX);
    let from = reserved.map_or(from, |reserved| from.max(reserved));
    let busy = [busy(draft, solution, task), kept(draft, solution, task, chosen)].concat();
    let windows = || {
        let open = activity.windows.iter().rev();
        let open = open.map(|window| window.start.max(from)..window.end.min(until));
        open.filter(|open| open.end - open.start >= activity.duration)
    };
    let free = windows().find_map(|open| latest(open, activity.duration, &busy));
    free.or(reserved).or_else(|| windows().next().map(|open| open.end - activity.duration))
}

/// The latest start within a window at which hands are free.
fn latest(open: Range<Tick>, duration: Tick, busy: &[Range<Tick>]) -> Option<Tick> {
    let mut start = open.end - duration;
    while start >= open.start {
        let taken = busy.iter().filter(|busy| busy.start < start + duration && start < busy.end);
        match taken.map(|busy| busy.start).min() {
            None => return Some(start),
            Some(begins) => start = begins - duration,
        }
    }
    None
}

/// When the hands that a task needs do other work.
fn busy(draft: &Draft, solution: &Solution, task: usize) -> Vec<Range<Tick>> {
    let holds = || draft.problem.holds.iter().filter(|hold| hold.from == hold.to);
    let mine: Vec<_> =
        holds().filter(|hold| hold.from.0 == task).map(|hold| hold.resource).collect();
    let others = holds().filter(|hold| hold.from.0 != task && mine.contains(&hold.resource));
    let span = |id: ActivityId| {
        let start = solution.start(id)?;
        Some(start..start + draft.problem.activities[id.0].duration)
    };
    others.filter_map(|hold| span(hold.from)).collect()
}

/// Time that is kept for other tasks which have no place yet.
fn kept(draft: &Draft, solution: &Solution, task: usize, chosen: &Chosen) -> Vec<Range<Tick>> {
    let others = (0..draft.tasks.len()).filter(|other| *other != task);
    let open = others.filter(|other| solution.starts[*other].is_none());
    let span = |other: usize| {
        let start = *chosen.reserved.get(&draft.tasks[other].id)?;
        Some(start..start + draft.problem.activities[other].duration)
    };
    open.filter_map(span).collect()
}

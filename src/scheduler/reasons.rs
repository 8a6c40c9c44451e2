//! Why an activity is not later than it is.

use std::ops::Range;

use super::problem::{ActivityId, Hold, Problem, ResourceId, Solution, Tick};

/// What keeps one activity from starting later, all others staying.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Binding {
    /// Whether its window ends: one tick later is outside.
    pub window: bool,
    /// The next later start that its windows allow, if any.
    pub next: Option<Tick>,
    /// The links (index into [`Problem::links`]) that forbid `next`, with the
    /// activity at the other end.
    pub links: Vec<(usize, ActivityId)>,
    /// The activities that end a hold which this one begins, and that it would
    /// run into.
    pub holds: Vec<ActivityId>,
    /// The resources that would be overloaded, with the activities that take
    /// part of them.
    pub resources: Vec<(ResourceId, Vec<ActivityId>)>,
    /// The sitting (index into [`Problem::sittings`]) that `next` would add to
    /// those used.
    pub sitting: Option<usize>,
}

/// What keeps `activity` from starting later in this plan; `None` where it is
/// not part of the plan. Two activities may name each other (a shortest and a
/// longest wait between them), so a chain of reasons must watch for circles.
pub fn binding(problem: &Problem, plan: &Solution, activity: ActivityId) -> Option<Binding> {
    let start = plan.start(activity)?;
    let windows = &problem.activities[activity.0].windows;
    let duration = problem.activities[activity.0].duration;
    let next = windows
        .iter()
        .map(|window| (window.start.max(start + 1), window.end))
        .find(|&(next, end)| next + duration <= end)
        .map(|(next, _)| next);
    let mut binding = Binding { window: next != Some(start + 1), next, ..Binding::default() };
    let Some(next) = next else { return Some(binding) };
    let mut moved = plan.starts.clone();
    moved[activity.0] = Some(next);
    binding.links = broken_links(problem, plan, &moved, activity);
    let into = |hold: &&Hold| {
        hold.from == activity && hold.to != activity && plan.start(hold.to) < Some(next + duration)
    };
    binding.holds = problem.holds.iter().filter(into).map(|hold| hold.to).collect();
    binding.resources = overloads(problem, &moved, activity);
    binding.sitting = new_sitting(problem, plan, next, activity);
    Some(binding)
}

fn broken_links(
    problem: &Problem,
    plan: &Solution,
    starts: &[Option<Tick>],
    activity: ActivityId,
) -> Vec<(usize, ActivityId)> {
    let broken = |at: usize| {
        let link = &problem.links[at];
        let level = plan.levels[problem.activities[link.after.0].goal.0]?;
        let end = starts[link.before.0]? + problem.activities[link.before.0].duration;
        let wait = starts[link.after.0]? - end;
        let breaks = !link.allows(wait, level);
        let other = if link.before == activity { link.after } else { link.before };
        (breaks && (link.before == activity || link.after == activity)).then_some((at, other))
    };
    (0..problem.links.len()).filter_map(broken).collect()
}

fn overloads(
    problem: &Problem,
    starts: &[Option<Tick>],
    activity: ActivityId,
) -> Vec<(ResourceId, Vec<ActivityId>)> {
    let span = |hold: &Hold| {
        let end = starts[hold.to.0]? + problem.activities[hold.to.0].duration;
        Some(starts[hold.from.0]?..end)
    };
    let mine = |hold: &&Hold| hold.from == activity || hold.to == activity;
    let mut overloads: Vec<(ResourceId, Vec<ActivityId>)> = Vec::new();
    for own in problem.holds.iter().filter(mine) {
        let Some(taken) = span(own) else { continue };
        let beside: Vec<(Range<Tick>, &Hold)> = problem
            .holds
            .iter()
            .filter(|hold| hold.resource == own.resource)
            .filter_map(|hold| span(hold).map(|span| (span, hold)))
            .filter(|(span, _)| span.start < taken.end && taken.start < span.end)
            .collect();
        let capacity = u64::from(problem.resources[own.resource.0].capacity);
        let over = beside.iter().map(|(span, _)| span.start.max(taken.start)).find_map(|moment| {
            let there = || beside.iter().filter(|(span, _)| span.contains(&moment));
            let amount: u64 = there().map(|(_, hold)| u64::from(hold.amount)).sum();
            let others = || there().filter(|(_, hold)| !mine(hold)).map(|(_, hold)| hold.from);
            (amount > capacity).then(|| others().collect())
        });
        let known = overloads.iter().any(|(resource, _)| *resource == own.resource);
        overloads.extend(over.filter(|_| !known).map(|with| (own.resource, with)));
    }
    overloads
}

fn new_sitting(
    problem: &Problem,
    plan: &Solution,
    next: Tick,
    activity: ActivityId,
) -> Option<usize> {
    let sitting = problem.sittings.iter().position(|sitting| sitting.contains(&next))?;
    let used = problem.activities.iter().zip(&plan.starts).any(|(other, start)| {
        other.hands && start.is_some_and(|start| problem.sittings[sitting].contains(&start))
    });
    (problem.activities[activity.0].hands && !used).then_some(sitting)
}

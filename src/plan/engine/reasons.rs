//! Why an activity is not later than it is.

use super::problem::{ActivityId, Problem, ResourceId, Tick};
use super::solution::Solution;

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
    /// The resources that would be overloaded, with the activities that take
    /// part of them.
    pub resources: Vec<(ResourceId, Vec<ActivityId>)>,
    /// The evening (index into [`Problem::evenings`]) that `next` would add to
    /// those used.
    pub evening: Option<usize>,
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
        .filter(|window| {
            start + 1 + duration <= window.end && window.end - window.start >= duration
        })
        .map(|window| window.start.max(start + 1))
        .next();
    let mut binding = Binding { window: next != Some(start + 1), next, ..Binding::default() };
    let Some(next) = next else { return Some(binding) };
    let mut moved = plan.starts.clone();
    moved[activity.0] = Some(next);
    binding.links = broken_links(problem, plan, &moved, activity);
    binding.resources = overloads(problem, &moved, activity);
    binding.evening = new_evening(problem, plan, next, activity);
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
        let min = link.min[level.min(link.min.len() - 1)];
        let breaks = wait < min || link.max.is_some_and(|max| wait > max);
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
    let span = |from: ActivityId, to: ActivityId| {
        Some((starts[from.0]?, starts[to.0]? + problem.activities[to.0].duration))
    };
    let mut overloads = Vec::new();
    for (r, resource) in problem.resources.iter().enumerate() {
        let spans: Vec<_> = problem
            .holds
            .iter()
            .filter(|hold| hold.resource.0 == r)
            .filter_map(|hold| span(hold.from, hold.to).map(|(start, end)| (start, end, hold)))
            .collect();
        let mine = |hold: &super::problem::Hold| hold.from == activity || hold.to == activity;
        let over = spans.iter().map(|span| span.0).find_map(|moment| {
            let there = || spans.iter().filter(move |s| s.0 <= moment && moment < s.1);
            let over =
                there().map(|s| u64::from(s.2.amount)).sum::<u64>() > resource.capacity.into();
            (over && there().any(|s| mine(s.2)))
                .then(|| there().filter(|s| !mine(s.2)).map(|s| s.2.from).collect::<Vec<_>>())
        });
        overloads.extend(over.map(|with| (ResourceId(r), with)));
    }
    overloads
}

fn new_evening(
    problem: &Problem,
    plan: &Solution,
    next: Tick,
    activity: ActivityId,
) -> Option<usize> {
    let evening = problem.evenings.iter().position(|evening| evening.contains(&next))?;
    let used = problem.activities.iter().zip(&plan.starts).any(|(other, start)| {
        other.hands && start.is_some_and(|start| problem.evenings[evening].contains(&start))
    });
    (problem.activities[activity.0].hands && !used).then_some(evening)
}

//! Which rules a plan breaks.

use super::problem::{ActivityId, Hold, Link, Problem, ResourceId, Solution, Tick};

/// A rule that a plan breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Broken {
    /// An activity lies outside its windows.
    Window(ActivityId),
    /// A wait is shorter or longer than it may be (index into [`Problem::links`]).
    Link(usize),
    /// More of a resource is taken than there is.
    Resource(ResourceId),
}

/// The rules that the starts of a plan break, at its levels of sureness.
pub fn broken(problem: &Problem, plan: &Solution) -> Vec<Broken> {
    let end = |id: ActivityId| Some(plan.start(id)? + problem.activities.get(id.0)?.duration);
    let activities = problem.activities.iter().enumerate();
    let outside = activities.filter_map(|(n, activity)| {
        let (start, end) = (plan.start(ActivityId(n))?, end(ActivityId(n))?);
        let mut windows = activity.windows.iter();
        let inside = windows.any(|open| open.start <= start && end <= open.end);
        (!inside).then_some(Broken::Window(ActivityId(n)))
    });
    let wrong = |link: &Link| {
        let goal = problem.activities.get(link.after.0)?.goal;
        let level = plan.levels.get(goal.0).copied().flatten().unwrap_or(0);
        let wait = plan.start(link.after)? - end(link.before)?;
        Some(wait < link.shortest(level) || link.max.is_some_and(|max| wait > max))
    };
    let links = problem.links.iter().enumerate();
    let links = links.filter(|(_, link)| wrong(link) == Some(true));
    let taken =
        (0..problem.resources.len()).map(ResourceId).filter(|id| overloaded(problem, plan, *id));
    outside.chain(links.map(|(n, _)| Broken::Link(n))).chain(taken.map(Broken::Resource)).collect()
}

/// Whether at some moment more of a resource is taken than there is.
fn overloaded(problem: &Problem, plan: &Solution, id: ResourceId) -> bool {
    let span = |hold: &Hold| {
        let end = plan.start(hold.to)? + problem.activities.get(hold.to.0)?.duration;
        Some((plan.start(hold.from)?, end, i64::from(hold.amount)))
    };
    let holds = problem.holds.iter().filter(|hold| hold.resource == id).filter_map(span);
    // What is given back at a moment may be taken at it.
    let mut changes: Vec<(Tick, i64)> =
        holds.flat_map(|(start, end, amount)| [(start, amount), (end, -amount)]).collect();
    changes.sort_unstable();
    let capacity = problem.resources.get(id.0).map_or(0, |own| i64::from(own.capacity));
    let mut taken = 0;
    changes.into_iter().any(|(_, change)| {
        taken += change;
        taken > capacity
    })
}

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
        let level = plan.level(goal).unwrap_or(0);
        let wait = plan.start(link.after)? - end(link.before)?;
        Some(!link.allows(wait, level))
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

#[cfg(test)]
mod tests {
    use std::slice::from_ref;

    use super::*;
    use crate::scheduler::problem::{Activity, FactId, GoalId, Resource};

    /// Two activities of ten ticks, both of which take the only place, and between which there
    /// is a wait of 3 to 20.
    fn problem() -> Problem {
        let one = Activity {
            duration: 10,
            windows: vec![0..20, 30..60],
            goal: GoalId(0),
            hands: true,
            fact: FactId(0),
        };
        let [before, after] = [ActivityId(0), ActivityId(1)];
        let hold = |id| Hold { resource: ResourceId(0), amount: 1, from: id, to: id };
        Problem {
            activities: vec![one.clone(), one],
            links: vec![Link { before, after, min: vec![3], max: Some(20), fact: FactId(0) }],
            resources: vec![Resource { capacity: 1, fact: FactId(0) }],
            holds: vec![hold(before), hold(after)],
            sittings: Vec::new(),
        }
    }

    #[test]
    fn each_rule_is_seen_where_it_begins_to_be_broken() {
        let (link, place) = (Broken::Link(0), Broken::Resource(ResourceId(0)));
        let outside = Broken::Window(ActivityId(1));
        let cases: [([Tick; 2], &[Broken]); 7] = [
            ([5, 30], &[]),
            ([10, 40], &[]),
            ([9, 40], from_ref(&link)),
            ([9, 22], from_ref(&outside)),
            ([10, 51], &[outside, link]),
            ([30, 42], from_ref(&link)),
            ([30, 39], &[link, place]),
        ];
        for (starts, expected) in cases {
            let plan = Solution { starts: starts.map(Some).to_vec(), levels: vec![Some(0)] };
            assert_eq!(broken(&problem(), &plan), expected, "{starts:?}");
        }
    }
}

//! Why a step is where it is, in the plan's own facts.

use super::{draft::Draft, fact::Fact};
use crate::scheduler::{ActivityId, Binding, Link, Solution, Tick};

/// Why a step is where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Because {
    /// Its time is given, as a fact says.
    Given(Fact),
    /// One tick later would break this.
    AtOnce(Cause),
    /// Its hours end, which come from a fact, and in the next ones, from then on, it would
    /// break this.
    NextHours(Fact, Tick, Cause),
    /// Its hours end, which come from a fact.
    HoursEnd(Fact),
    /// It begins right after another task, in the same sitting.
    RightAfter(ActivityId),
    /// It costs the least then.
    CostsLeast,
    /// It begins when the task before it is done, and another one waits for it.
    Waited(ActivityId),
    /// It ends when another task begins.
    EndsWith(ActivityId),
    /// It stands in for a step that was not possible.
    StandsIn,
}

/// What one more tick, or the next open hours, would break.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// Something has to wait for this step.
    Wait(Fact, ActivityId),
    /// This step may only be so long after another.
    Limit(Fact, ActivityId),
    /// Another step comes after this one.
    Order(ActivityId),
    /// A shared thing is taken, by another step where it is known which; of what there is only
    /// so much, a fact says.
    Taken(Fact, Option<ActivityId>),
    /// It would be work in one more evening or morning.
    Sitting,
}

impl Cause {
    fn other(&self) -> Option<ActivityId> {
        match self {
            Self::Wait(_, other) | Self::Limit(_, other) | Self::Order(other) => Some(*other),
            Self::Taken(_, other) => *other,
            Self::Sitting => None,
        }
    }
}

/// What keeps a task from being later.
pub fn because(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Option<Because> {
    let start = solution.start(task)?;
    let activity = draft.problem.activities.get(task.0)?;
    let window = activity.windows.iter().find(|w| w.start <= start && start < w.end)?;
    let hours = *draft.facts.get(activity.fact.0)?;
    if window.end - window.start == activity.duration {
        return Some(Because::Given(hours));
    }
    let cause = causes(draft, solution, task, binding).first().copied();
    Some(match (cause, binding.next.filter(|_| binding.window)) {
        (Some(cause), Some(next)) => Because::NextHours(hours, next, cause),
        (Some(cause), None) => Because::AtOnce(cause),
        (None, _) if binding.window => Because::HoursEnd(hours),
        (None, _) => {
            before(draft, solution, task, start).map_or(Because::CostsLeast, Because::RightAfter)
        }
    })
}

/// The tasks that keep a task from being later, the strongest reason first.
pub fn others(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Vec<ActivityId> {
    causes(draft, solution, task, binding).iter().filter_map(Cause::other).collect()
}

/// What hands do in the same place until a task begins.
fn before(draft: &Draft, solution: &Solution, task: ActivityId, start: Tick) -> Option<ActivityId> {
    let place = &draft.tasks.get(task.0)?.place;
    let others = draft.tasks.iter().enumerate().filter(|(_, told)| told.place == *place);
    let mut others = others.map(|(other, _)| ActivityId(other));
    others.find(|other| {
        let activity = draft.problem.activities.get(other.0);
        let end = solution.start(*other).zip(activity);
        end.is_some_and(|(at, activity)| at + activity.duration == start)
    })
}

/// Everything the next later start would break, what explains most first.
fn causes(draft: &Draft, solution: &Solution, task: ActivityId, binding: &Binding) -> Vec<Cause> {
    let (mut waits, mut orders) = (Vec::new(), Vec::new());
    for (index, other) in &binding.links {
        let Some(link) = draft.problem.links.get(*index) else { continue };
        let Some(fact) = draft.facts.get(link.fact.0) else { continue };
        if link.after == task {
            waits.push(Cause::Limit(*fact, *other));
        } else if shortest(draft, solution, link) > 0 {
            waits.push(Cause::Wait(*fact, *other));
        } else {
            orders.push(Cause::Order(*other));
        }
    }
    orders.extend(binding.holds.iter().map(|other| Cause::Order(*other)));
    let taken = binding.resources.iter().filter_map(|(resource, others)| {
        let fact = draft.problem.resources.get(resource.0)?.fact;
        Some(Cause::Taken(*draft.facts.get(fact.0)?, others.first().copied()))
    });
    let sitting = binding.sitting.map(|_| Cause::Sitting);
    waits.into_iter().chain(orders).chain(taken).chain(sitting).collect()
}

/// The shortest wait of a link at the level that its goal is served at.
fn shortest(draft: &Draft, solution: &Solution, link: &Link) -> Tick {
    let goal = draft.problem.activities.get(link.after.0).map(|activity| activity.goal);
    let level = goal.and_then(|goal| solution.level(goal));
    link.shortest(level.unwrap_or(0))
}

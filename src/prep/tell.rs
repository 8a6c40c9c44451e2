//! The scheduled tasks and waits as steps with their times, and what is looked at in them.

use chrono::DateTime;
use chrono_tz::Tz;

use super::{
    clock::{Tick, hours_of, ticks_up},
    draft::{Anchor, Draft, LEVELS, Passive, Serves, Task},
    durations::SURE,
    reasons::{Because, because},
    replay::{Chances, MOSTLY},
};
use crate::{
    answers::dough::{Risk, WeighGrams},
    scheduler::{self, ActivityId, Solution},
    tables,
};

/// A plan as it is followed.
pub struct Timetable<'a> {
    /// Every step from now on, in time order.
    pub steps: Vec<TimedStep<'a>>,
    /// What is only needed where one of them was not possible, likewise told of that one.
    pub reserves: Vec<TimedStep<'a>>,
    /// How likely all of it is.
    pub chances: Chances,
}

/// A task or a wait with its time.
pub struct TimedStep<'a> {
    /// It.
    pub task: &'a Task,
    /// What it serves.
    pub goal: Serves,
    /// When it begins.
    pub start: DateTime<Tz>,
    /// When it ends.
    pub end: DateTime<Tz>,
    /// Why then; none where nothing is known to be in the way of a later time.
    pub because: Option<Because>,
    /// How many hours later it could begin before something breaks.
    pub slack_h: f64,
    /// The chance that it is done in time, where that is uncertain.
    pub chance: Option<f64>,
    /// Whether it is only needed where the one before was not ready, and mostly not.
    pub reserve: bool,
    /// How likely it is needed, where what is seen before decides that.
    pub needed: Option<f64>,
    /// When to look, and at what.
    pub looks: Vec<Look>,
    /// What one piece weighs, where a scale tells.
    pub weigh_g: Option<WeighGrams>,
    /// What can go wrong in the oven.
    pub risks: Vec<Risk>,
}

/// A look at something that ends by itself at a time which nobody knows.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// When.
    pub at: DateTime<Tz>,
    /// Where it lies then.
    pub place: String,
    /// What is looked at.
    pub row: &'static tables::Look,
    /// What one piece weighs, where a scale tells.
    pub weigh_g: Option<WeighGrams>,
    /// What one weighs that is ready, in grams.
    pub ready_g: Option<f64>,
    /// The chance that it is ready then.
    pub chance: f64,
    /// What comes where it is not.
    pub if_not: IfNot,
}

/// What comes where something is not ready.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IfNot {
    /// It goes into the oven again, as is planned.
    Again,
    /// It stays out of the oven.
    StaysOut,
    /// It waits.
    Waits {
        /// Until a time that is kept for it.
        kept: Option<DateTime<Tz>>,
        /// Whether the later rounds are probably late then.
        others_late: bool,
    },
}

/// Every step from now on, in time order.
pub fn steps<'a>(draft: &'a Draft, solution: &Solution) -> Vec<TimedStep<'a>> {
    let tasks = draft.tasks.iter().enumerate().filter(|(_, task)| !task.done);
    let tasks = tasks.filter_map(|(n, _)| active(draft, solution, ActivityId(n)));
    let spans = draft.spans.iter().filter_map(|span| passive(draft, solution, span));
    let mut steps: Vec<TimedStep<'a>> = tasks.chain(spans).collect();
    steps.sort_by(|a, b| (a.start, &a.task.id).cmp(&(b.start, &b.task.id)));
    steps
}

/// A task of somebody's.
pub fn active<'a>(draft: &'a Draft, solution: &Solution, id: ActivityId) -> Option<TimedStep<'a>> {
    let start = solution.start(id)?;
    let activity = draft.problem.activities.get(id.0)?;
    let binding = scheduler::binding(&draft.problem, solution, id)?;
    let free = binding.links.is_empty() && binding.holds.is_empty() && binding.resources.is_empty();
    let slack_h = binding.next.filter(|_| free).map_or(0.0, |next| hours_of(next - start));
    let because = because(draft, solution, id, &binding);
    let goal = *draft.goals.get(activity.goal.0)?;
    let timed = timed(draft, draft.tasks.get(id.0)?, goal, (start, start + activity.duration));
    Some(TimedStep { because, slack_h, ..timed })
}

/// What happens by itself between two tasks of the plan.
fn passive<'a>(draft: &'a Draft, solution: &Solution, span: &'a Passive) -> Option<TimedStep<'a>> {
    let activity = draft.problem.activities.get(span.after.0)?;
    let after = solution.start(span.after)? + activity.duration;
    let before = solution.start(span.before)?;
    let level = solution.level(activity.goal).unwrap_or(0);
    // What nobody is sure of goes on until it is looked at.
    let level = if span.anchor == Anchor::Start { 0 } else { level };
    let length = ticks_up(span.outcomes.point(LEVELS[level])).max(1).min((before - after).max(1));
    let (start, end, because) = match span.anchor {
        Anchor::Start => (after, after + length, Because::Waited(span.before)),
        Anchor::End => (before - length, before, Because::EndsWith(span.before)),
    };
    if span.over || end <= 0 {
        return None;
    }
    let gap = hours_of(before - after);
    let chance = (span.anchor == Anchor::Start).then(|| span.outcomes.chance(gap));
    let timed = timed(draft, &span.task, *draft.goals.get(activity.goal.0)?, (start, end));
    Some(TimedStep {
        because: Some(because),
        slack_h: hours_of(before - after - length).max(0.0),
        chance: chance.filter(|chance| *chance < 1.0),
        ..timed
    })
}

fn timed<'a>(
    draft: &Draft,
    task: &'a Task,
    goal: Serves,
    (start, end): (Tick, Tick),
) -> TimedStep<'a> {
    TimedStep {
        task,
        goal,
        start: draft.clock.instant(start),
        end: draft.clock.instant(end),
        because: None,
        slack_h: 0.0,
        chance: None,
        reserve: task.needed.is_some_and(|needed| needed <= MOSTLY),
        needed: task.needed.filter(|needed| *needed < SURE),
        looks: Vec::new(),
        weigh_g: None,
        risks: Vec::new(),
    }
}

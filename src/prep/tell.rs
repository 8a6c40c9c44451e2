//! The scheduled tasks and waits as steps with their words.

use super::{
    clock::{Tick, hours_of, ticks_up},
    draft::{Anchor, Draft, LEVELS, Passive, Task},
    durations::{Process, SURE},
    reasons::because,
    replay::MOSTLY,
    schedule::{Attention, Caution, Curve, Follow, Step},
};
use crate::scheduler::{self, ActivityId, Solution};
use crate::tables;
use crate::units::Locale;

/// The likeliest course of what goes on in a step.
type Course<'a> = &'a dyn Fn(&Process) -> Option<Curve>;

/// Every step from now on, in time order.
pub fn steps(draft: &Draft, solution: &Solution, course: Course<'_>) -> Vec<Step> {
    let tasks = draft.tasks.iter().enumerate().filter(|(_, task)| !task.done);
    let tasks = tasks.filter_map(|(n, task)| active(draft, solution, ActivityId(n), task, course));
    let spans = draft.spans.iter().filter_map(|span| passive(draft, solution, span, course));
    let mut steps: Vec<Step> = tasks.chain(spans).collect();
    by_time(&mut steps);
    steps
}

/// In the order in which they begin.
pub fn by_time(steps: &mut [Step]) {
    steps.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
}

/// A task of somebody's.
fn active(
    draft: &Draft,
    solution: &Solution,
    id: ActivityId,
    task: &Task,
    course: Course<'_>,
) -> Option<Step> {
    let start = solution.start(id)?;
    let end = start + draft.problem.activities.get(id.0)?.duration;
    let binding = scheduler::binding(&draft.problem, solution, id)?;
    let free = binding.links.is_empty() && binding.holds.is_empty() && binding.resources.is_empty();
    let slack = binding.next.filter(|_| free).map_or(0.0, |next| hours_of(next - start));
    let why = because(draft, solution, id, &binding);
    Some(step(draft, task, course, (start, end), why, slack, task.chance))
}

/// What happens by itself between two tasks of the plan.
fn passive(draft: &Draft, solution: &Solution, span: &Passive, course: Course<'_>) -> Option<Step> {
    let after = solution.start(span.after)?;
    let after = after + draft.problem.activities.get(span.after.0)?.duration;
    let before = solution.start(span.before)?;
    let goal = draft.problem.activities.get(span.after.0)?.goal;
    let level = solution.levels.get(goal.0).copied().flatten().unwrap_or(0);
    let chance = LEVELS[level];
    let length = ticks_up(span.outcomes.point(chance)).max(1).min((before - after).max(1));
    let next = draft.tasks.get(span.before.0)?.doing;
    let (start, end, why) = match span.anchor {
        Anchor::Start => (
            after,
            after + length,
            format!("It begins when the step before it is done; {next} waits for it."),
        ),
        Anchor::End => (before - length, before, format!("It ends when {next} begins.")),
    };
    if span.over || end <= 0 {
        return None;
    }
    let gap = hours_of(before - after);
    let chance = (span.anchor == Anchor::Start).then(|| span.outcomes.chance(gap));
    let spare = hours_of(before - after - length).max(0.0);
    Some(step(draft, &span.task, course, (start, end), why, spare, chance.filter(|c| *c < 1.0)))
}

fn step(
    draft: &Draft,
    task: &Task,
    course: Course<'_>,
    (start, end): (Tick, Tick),
    because: String,
    slack_h: f64,
    chance: Option<f64>,
) -> Step {
    Step {
        id: task.id.clone(),
        goal: task.goal.clone(),
        what: task.what.clone(),
        place: task.place.clone(),
        group: task.group.clone(),
        start: draft.clock.instant(start),
        end: draft.clock.instant(end),
        attention: task.attention,
        uses: task.uses.clone(),
        amounts: task.amounts.clone(),
        bring: task.bring.clone(),
        take_back: task.take_back.clone(),
        because,
        cautions: cautions(task, draft.locale),
        slack_h,
        chance,
        follow: Follow {
            short: task.short.clone(),
            reserve: task.needed.is_some_and(|needed| needed <= MOSTLY),
            needed: task.needed.filter(|needed| *needed < SURE),
            ..Follow::default()
        },
        kind: task.step,
        count: task.count,
        curve: task.process.as_ref().and_then(course),
    }
}

/// The cautions that `tables/cautions.toml` has for a step.
fn cautions(task: &Task, locale: Locale) -> Vec<Caution> {
    tables::cautions_at(task.step, task.youngest)
        .filter(|caution| caution.dried.is_none() || caution.dried == task.dried)
        .map(|caution| Caution {
            id: caution.id.clone(),
            title: caution.title.clone(),
            text: caution.text.clone(),
            source: caution.source_title().to_owned(),
            short: caution.short_in(locale),
            said: caution.text_in(locale),
        })
        .collect()
}

/// Remarks on the whole plan.
pub fn notes(draft: &Draft, solution: &Solution) -> Vec<String> {
    let mut notes = draft.notes.clone();
    for (goal, level) in draft.goals.iter().zip(&solution.levels) {
        if let Some(level @ 1..) = level {
            let chance = LEVELS[*level];
            notes.push(format!(
                "{}: there is only time for a chance of {:.0} in 100 that it is ready.",
                goal.words,
                100.0 * chance
            ));
        }
    }
    if draft.tasks.iter().any(|task| task.attention == Attention::Watch && !task.done) {
        notes.push(
            "Your programme's rules, the oven's and freezer's manuals and local licensing come \
             before this plan."
                .to_owned(),
        );
    }
    notes
}

//! From a sound plan to its schedule: steps made, back-scheduled, told in words.

use chrono::{DateTime, Days, NaiveDate, Utc};
use thiserror::Error;

use super::{
    carry::carry,
    clock::{Clock, Tick, hours_of, ticks_up},
    draft::{Anchor, Draft, Passive, Task},
    durations::{DurationError, Durations, Process},
    engine::{self, ActivityId, Effort, ProblemError, Solution},
    file::Plan,
    reasons::because,
    schedule::{Attention, Caution, Curve, SCHEMA, Schedule, Step},
    shopping::shopping,
    steps::{Shared, add_ice, add_ornament},
    trouble::problems,
};
use crate::tables;

/// Why no schedule could be computed at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LayError {
    /// The physics could not answer for one of the things.
    #[error(transparent)]
    Duration(#[from] DurationError),
    /// The steps do not make a scheduling problem: a mistake of this program.
    #[error("the steps do not fit together: {0}")]
    Problem(#[from] ProblemError),
}

/// A plan laid out, with what it was laid out from.
pub struct Laid {
    /// The steps, waits and words.
    pub draft: Draft,
    /// When each task starts.
    pub solution: Solution,
}

/// Lays out a plan from `now` on.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range. That
/// some session cannot be served is no error but a problem of the schedule.
pub fn lay_out(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
) -> Result<Schedule, LayError> {
    let laid = solve(plan, now, durations)?;
    let Laid { draft, solution } = &laid;
    let course = |process: &Process| durations.course(plan, process);
    let mut steps = steps(draft, solution, &course);
    steps.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
    let feasible = solution.unserved().is_empty();
    let problems = if feasible { Vec::new() } else { problems(plan, now, durations, &laid)? };
    Ok(Schedule {
        schema: SCHEMA,
        title: plan.title.clone(),
        timezone: plan.zone,
        computed: now,
        feasible,
        shopping: shopping(plan, &steps, durations),
        carry: carry(plan, &steps),
        steps,
        problems,
        notes: notes(draft, solution),
    })
}

/// Makes the steps of a plan and schedules them.
///
/// # Errors
/// As [`lay_out`].
pub fn solve(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Result<Laid, LayError> {
    let clock = Clock::new(plan.zone, now, last_day(plan, now));
    let mut draft = Draft::new(clock);
    let shared = Shared::book(&mut draft, plan);
    for ice in &plan.ice {
        add_ice(&mut draft, plan, &shared, ice, durations)?;
    }
    for ornament in &plan.ornaments {
        add_ornament(&mut draft, plan, &shared, ornament, durations)?;
    }
    draft.problem.evenings = shared.hours;
    let solution = engine::solve(&draft.problem, Effort::default())?;
    Ok(Laid { draft, solution })
}

/// The day after the last thing the plan is for.
fn last_day(plan: &Plan, now: DateTime<Utc>) -> NaiveDate {
    let sessions = plan.ice.iter().flat_map(|ice| &ice.sessions);
    let gifts = plan.ornaments.iter().map(|ornament| ornament.give);
    let today = now.with_timezone(&plan.zone).date_naive();
    let last = sessions.map(|session| session.at.date_naive()).chain(gifts).max();
    last.unwrap_or(today).max(today) + Days::new(1)
}

/// The likeliest course of what goes on in a step.
type Course<'a> = &'a dyn Fn(&Process) -> Option<Curve>;

fn steps(draft: &Draft, solution: &Solution, course: Course<'_>) -> Vec<Step> {
    let tasks = draft.tasks.iter().enumerate().filter_map(|(n, task)| {
        let id = ActivityId(n);
        let start = solution.start(id)?;
        let end = start + draft.problem.activities.get(n)?.duration;
        let slack = slack(draft, solution, id, start);
        let why = because(draft, solution, id);
        Some(step(draft, task, course, (start, end), why, slack, task.chance))
    });
    let spans = draft.spans.iter().filter_map(|span| passive(draft, solution, span, course));
    tasks.chain(spans).collect()
}

/// Hours that a task could start later with all others staying.
fn slack(draft: &Draft, solution: &Solution, task: ActivityId, start: Tick) -> f64 {
    let binding = engine::binding(&draft.problem, solution, task);
    match binding {
        Some(b) if b.links.is_empty() && b.resources.is_empty() => {
            b.next.map_or(0.0, |next| hours_of(next - start))
        }
        _ => 0.0,
    }
}

/// What happens by itself between two tasks of the plan.
fn passive(draft: &Draft, solution: &Solution, span: &Passive, course: Course<'_>) -> Option<Step> {
    let after = solution.start(span.after)?;
    let after = after + draft.problem.activities.get(span.after.0)?.duration;
    let before = solution.start(span.before)?;
    let goal = draft.problem.activities.get(span.after.0)?.goal;
    let level = solution.levels.get(goal.0).copied().flatten().unwrap_or(0);
    let chance = super::draft::LEVELS.get(level).copied().unwrap_or(0.95);
    let length = ticks_up(span.outcomes.point(chance)).max(1).min((before - after).max(1));
    let next = &draft.tasks.get(span.before.0)?.what;
    let (start, end, why) = match span.anchor {
        Anchor::Start => (
            after,
            after + length,
            format!("It begins when the step before it is done; “{next}” waits for it."),
        ),
        Anchor::End => (before - length, before, format!("It ends when “{next}” begins.")),
    };
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
        purpose: task.purpose.clone(),
        what: task.what.clone(),
        place: task.place.clone(),
        group: task.group.clone(),
        start: draft.clock.instant(start),
        end: draft.clock.instant(end),
        attention: task.attention,
        uses: task.uses.clone(),
        amounts: task.amounts.clone(),
        bring: task.bring.clone(),
        because,
        cautions: cautions(task),
        slack_h,
        chance,
        curve: task.process.as_ref().and_then(course),
    }
}

/// The cautions that `tables/cautions.toml` has for a step.
fn cautions(task: &Task) -> Vec<Caution> {
    tables::cautions_at(task.caution_step, task.youngest)
        .filter(|caution| caution.dried.is_none() || caution.dried == task.dried)
        .map(|caution| Caution {
            id: caution.id.clone(),
            title: caution.title.clone(),
            text: caution.text.clone(),
            source: caution.source_title().to_owned(),
        })
        .collect()
}

fn notes(draft: &Draft, solution: &Solution) -> Vec<String> {
    let mut notes = Vec::new();
    for (goal, level) in draft.goals.iter().zip(&solution.levels) {
        if let Some(level @ 1..) = level {
            let chance = super::draft::LEVELS.get(*level).copied().unwrap_or(0.0);
            notes.push(format!(
                "{goal}: only planned for a chance of {:.0} in 100, since more time is not there.",
                100.0 * chance
            ));
        }
    }
    if !solution.proven {
        notes.push(format!(
            "A better plan is not ruled out: up to {} fewer sittings, {:.1} h fresher in all.",
            solution.gap.evenings,
            hours_of(solution.gap.earliness.clamp(0, i64::from(Tick::MAX)) as Tick)
        ));
    }
    if draft.tasks.iter().any(|task| task.attention == Attention::Watch) {
        notes.push(
            "Follow your programme's own rules, the oven's and freezer's manuals and local \
             licensing where they say more than this plan."
                .to_owned(),
        );
    }
    notes
}

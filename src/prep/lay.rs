//! From a sound plan to its schedule: steps made, back-scheduled, told in words.

use std::collections::BTreeMap;

use chrono::{DateTime, Days, NaiveDate, Utc};
use thiserror::Error;

use super::{
    carry::carry,
    chosen::{Chosen, choose},
    clock::Clock,
    done::{DoneError, goal_over, take_as_done},
    draft::{Draft, Serves},
    durations::{DurationError, Durations, Process},
    schedule::{SCHEMA, Schedule},
    shopping::shopping,
    steps::{Shared, add_ice, add_ornament, share_out},
    tell::{notes, steps},
    themes::overview,
};
use crate::{
    planfile::Plan,
    scheduler::{self, Effort, GoalId, ProblemError, Solution},
};

/// Nodes for proving one part of a plan file: with them a month's plan and its
/// physics take less than 150 ms, and what is left open is told.
const MOST_NODES: u64 = 5_000;

/// A school year and its summer, days.
const FARTHEST: i64 = 400;

/// Steps of one plan: a daily activity all the school year. The time to plan them
/// grows with their square.
const MOST_STEPS: usize = 1_500;

/// Why no schedule could be computed at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LayError {
    /// The physics could not answer for one of the things.
    #[error(transparent)]
    Duration(#[from] DurationError),
    /// A step is named that the plan does not have, or at a wrong time.
    #[error(transparent)]
    Done(#[from] DoneError),
    /// Its last day is too far off, or the clock is wrong.
    #[error(
        "the last thing of the plan is on {last}, {days} days from now ({today}); a plan reaches at most {most} days ahead: mend the date, or the clock"
    )]
    TooFar {
        /// The day of the last session or gift.
        last: NaiveDate,
        /// Today.
        today: NaiveDate,
        /// From today to then.
        days: i64,
        /// The limit.
        most: i64,
    },
    /// It has too many steps.
    #[error(
        "the plan has at least {steps} steps; at most {most} are planned at once: make two plans of it"
    )]
    TooManySteps {
        /// Steps made before it was given up.
        steps: usize,
        /// The limit.
        most: usize,
    },
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

impl Laid {
    /// The schedule of what can be served; what cannot is left out and not
    /// explained.
    pub fn schedule(&self, plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Schedule {
        let Self { draft, solution } = self;
        let course = |process: &Process| durations.course(plan, process);
        let steps = steps(draft, solution, &course);
        Schedule {
            schema: SCHEMA,
            title: plan.title.clone(),
            timezone: plan.zone,
            computed: now,
            feasible: solution.unserved().is_empty(),
            shopping: shopping(plan, &steps, durations),
            carry: carry(plan, &steps),
            steps,
            problems: Vec::new(),
            notes: overview(plan).into_iter().chain(notes(draft, solution)).collect(),
        }
    }
}

/// Makes the steps of a plan and schedules them.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range.
pub fn solve(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Result<Laid, LayError> {
    let effort = Effort { prove_most: MOST_NODES, ..Effort::default() };
    solve_with(plan, now, durations, effort)
}

/// The same, looking only so long.
pub fn solve_with(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    effort: Effort,
) -> Result<Laid, LayError> {
    let draft = draft(plan, now, durations)?;
    let solution = scheduler::solve(&draft.as_placed(), effort)?;
    Ok(Laid { draft, solution })
}

/// Makes the steps of a plan, those done taken as done.
fn draft(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Result<Draft, LayError> {
    let clock = Clock::new(plan.zone, now, near(last_day(plan, now), plan, now)?);
    let mut draft = Draft::new(clock);
    let shared = Shared::book(&mut draft, plan);
    // What was done before is not known to the search: its rounds stay as they were.
    let chosen = if plan.done.is_empty() { choose(plan, clock, durations)? } else { Chosen::new() };
    let mut made = BTreeMap::new();
    for ice in 0..plan.ice.len() {
        made.extend(add_ice(&mut draft, plan, &shared, ice, (&chosen, durations))?);
        short(&draft)?;
    }
    share_out(&mut draft, &chosen, &made);
    for ornament in 0..plan.ornaments.len() {
        add_ornament(&mut draft, plan, &shared, ornament, durations)?;
        short(&draft)?;
    }
    draft.problem.sittings = shared.hours;
    for goal in over(&draft, plan, now) {
        draft.notes.push(format!("{} is over.", draft.goals[goal.0].words));
        goal_over(&mut draft, goal);
    }
    take_as_done(&mut draft, &plan.done)?;
    Ok(draft)
}

/// The goals whose time is past.
fn over(draft: &Draft, plan: &Plan, now: DateTime<Utc>) -> Vec<GoalId> {
    let today = now.with_timezone(&plan.zone).date_naive();
    let past = |serves: Serves| match serves {
        Serves::Session { ice, session } => plan.ice[ice].sessions[session].at < now,
        Serves::Gift { ornament } => plan.ornaments[ornament].give < today,
    };
    (0..draft.goals.len()).filter(|goal| past(draft.goals[*goal].serves)).map(GoalId).collect()
}

/// The day after the last one, unless that is too far off.
fn near(last: NaiveDate, plan: &Plan, now: DateTime<Utc>) -> Result<NaiveDate, LayError> {
    let today = now.with_timezone(&plan.zone).date_naive();
    let days = last.signed_duration_since(today).num_days();
    match last.checked_add_days(Days::new(1)) {
        Some(end) if days <= FARTHEST => Ok(end),
        _ => Err(LayError::TooFar { last, today, days, most: FARTHEST }),
    }
}

fn short(draft: &Draft) -> Result<(), LayError> {
    match draft.problem.activities.len() {
        steps if steps > MOST_STEPS => Err(LayError::TooManySteps { steps, most: MOST_STEPS }),
        _ => Ok(()),
    }
}

/// The day of the last thing the plan is for, today at the earliest.
fn last_day(plan: &Plan, now: DateTime<Utc>) -> NaiveDate {
    let sessions = plan.ice.iter().flat_map(|ice| &ice.sessions);
    let gifts = plan.ornaments.iter().map(|ornament| ornament.give);
    let today = now.with_timezone(&plan.zone).date_naive();
    let last = sessions.map(|session| session.at.date_naive()).chain(gifts).max();
    last.unwrap_or(today).max(today)
}

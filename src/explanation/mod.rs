//! Why a step is where it is, what clashes where a plan cannot be done, and the
//! ways out that were tried.

pub mod changes;
pub mod conflict;
mod suggestions;
mod why;

use chrono::{DateTime, Utc};

use crate::{
    planfile::Plan,
    prep::{Durations, LayError, schedule::Schedule, solve},
};
use conflict::problems;

pub use suggestions::WayOut;
pub use why::{Why, why};

/// Lays out a plan from `now` on.
///
/// ```
/// use solidby::{explanation::lay_out, planfile, prep::Physics};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/src/cli/starter.toml"));
/// let plan = planfile::read(text).expect("a sound plan");
/// let now = "2026-11-27T15:00:00Z".parse()?;
/// let schedule = lay_out(&plan, now, &Physics::default())?;
/// assert!(schedule.feasible);
/// assert!(schedule.steps.is_sorted_by_key(|step| step.start));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
    let mut schedule = laid.schedule(plan, now, durations);
    if !schedule.feasible {
        schedule.problems = problems(plan, now, durations, &laid)?;
    }
    Ok(schedule)
}

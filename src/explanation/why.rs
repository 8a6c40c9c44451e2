//! The longer chain of reasons for one step: what keeps it from being later,
//! what keeps that from being later, and so on.

use chrono::{DateTime, Utc};

use super::otherwise::{Otherwise, otherwise};
use crate::{
    planfile::Plan,
    prep::{Durations, Laid, LayError, draft::Draft, reasons::others, settled},
    scheduler::{self, ActivityId, Solution},
};

/// Why a step is where it is.
pub struct Chain {
    /// The plan as it was laid out.
    pub laid: Laid,
    /// The wait that was asked for, by its place in the draft; it follows the first task.
    pub wait: Option<usize>,
    /// Each task of the chain once; none when what the step serves could not be planned.
    pub tasks: Vec<ActivityId>,
    /// What the plan would cost with the task that was asked for at another time at home.
    pub otherwise: Option<Otherwise>,
}

/// What is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// A task.
    Task(ActivityId),
    /// A wait, by its place in the draft.
    Wait(usize),
}

/// Why a step is where it is, which is picked among those of the plan as it was laid out.
///
/// # Errors
/// [`LayError`] as for the plan, and that of the picking.
pub fn chain(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    pick: impl Fn(&Laid) -> Result<Asked, LayError>,
) -> Result<Chain, LayError> {
    let laid = settled(plan, now, durations)?;
    let draft = &laid.draft;
    let (wait, task) = match pick(&laid)? {
        Asked::Task(task) => (None, task),
        Asked::Wait(wait) => (Some(wait), draft.spans[wait].after),
    };
    let tasks = follow(draft, &laid.solution, task);
    let otherwise = match wait.is_none() && !tasks.is_empty() {
        true => otherwise(plan, now, durations, (&laid, task))?,
        false => None,
    };
    Ok(Chain { laid, wait, tasks, otherwise })
}

/// A task, then what stands behind it, until a step has been told already or nothing stands
/// behind it.
fn follow(draft: &Draft, solution: &Solution, task: ActivityId) -> Vec<ActivityId> {
    let mut next = Some(task);
    let mut chain = Vec::new();
    while let Some(id) = next {
        let (Some(task), Some(binding)) =
            (draft.tasks.get(id.0), scheduler::binding(&draft.problem, solution, id))
        else {
            break;
        };
        chain.push(id);
        let behind = others(draft, solution, id, &binding);
        next = behind.into_iter().find(|other| !chain.contains(other) && !task.done);
    }
    chain
}

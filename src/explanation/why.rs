//! The longer chain of reasons for one step: what keeps it from being later,
//! what keeps that from being later, and so on.

use chrono::{DateTime, Utc};

use super::otherwise::{Otherwise, otherwise};
use crate::{
    planfile::Plan,
    prep::{
        Durations, Laid, LayError,
        done::unknown,
        draft::{Draft, Task},
        reasons::others,
        settled,
    },
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

/// Why the step called `id` is where it is.
///
/// # Errors
/// [`LayError`] as for the plan, and when no step has that id.
pub fn chain(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    id: &str,
) -> Result<Chain, LayError> {
    let laid = settled(plan, now, durations)?;
    let draft = &laid.draft;
    let called = |task: &Task| task.id == id || task.short == id;
    let (wait, task) = match draft.tasks.iter().position(called) {
        Some(task) => (None, ActivityId(task)),
        None => {
            let mut spans = draft.spans.iter().enumerate();
            let wait = spans.find(|(_, span)| called(&span.task));
            let (wait, span) = wait.ok_or_else(|| unknown(draft, id))?;
            (Some(wait), span.after)
        }
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

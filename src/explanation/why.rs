//! The longer chain of reasons for one step: what keeps it from being later,
//! what keeps that from being later, and so on.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::otherwise::{Otherwise, otherwise};
use crate::{
    planfile::Plan,
    prep::{
        Durations, Laid, LayError,
        done::unknown,
        draft::{Draft, Task},
        reasons::{because, others},
        solve,
    },
    scheduler::{self, ActivityId, Solution},
};

/// One link of the chain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Why {
    /// The step.
    pub id: String,
    /// What is done in it.
    pub what: String,
    /// What keeps it from being later.
    pub because: String,
    /// What the plan would cost with the step that was asked for at another time at home.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub otherwise: Option<Otherwise>,
}

/// Why the step called `id` is where it is, each step of the chain once. Empty
/// when what the step serves could not be planned.
///
/// # Errors
/// [`LayError`] as for the plan, and when no step has that id.
pub fn why(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    id: &str,
) -> Result<Vec<Why>, LayError> {
    let laid = solve(plan, now, durations)?;
    let Laid { draft, solution, .. } = &laid;
    let mut chain = Vec::new();
    let called = |task: &Task| task.id == id || task.short == id;
    let task = match draft.tasks.iter().position(called) {
        Some(task) => ActivityId(task),
        None => {
            let span = draft.spans.iter().find(|span| called(&span.task));
            let span = span.ok_or_else(|| unknown(draft, id))?;
            let begins = draft.tasks.get(span.after.0).map_or("the plan", |task| task.doing);
            chain.push(Why {
                id: id.to_owned(),
                what: span.task.what.clone(),
                because: format!("It follows {begins} by itself."),
                otherwise: None,
            });
            span.after
        }
    };
    let spans = chain.len();
    follow(draft, solution, task, &mut chain);
    if let Some(asked) = chain.first_mut().filter(|_| spans == 0) {
        asked.otherwise = otherwise(plan, now, durations, (&laid, task))?;
    }
    Ok(chain)
}

/// The reason of a task, then that of what stands behind it, until a step has
/// been told already or nothing stands behind it.
fn follow(draft: &Draft, solution: &Solution, task: ActivityId, chain: &mut Vec<Why>) {
    let mut next = Some(task);
    let mut told = vec![false; draft.tasks.len()];
    while let Some(id) = next {
        told[id.0] = true;
        let (Some(task), Some(binding)) =
            (draft.tasks.get(id.0), scheduler::binding(&draft.problem, solution, id))
        else {
            return;
        };
        let because = match task.done {
            true => "It is done.".to_owned(),
            false => because(draft, solution, id, &binding),
        };
        let (called, what) = (task.id.clone(), task.what.clone());
        chain.push(Why { id: called, what, because, otherwise: None });
        let behind = others(draft, solution, id, &binding);
        next = behind.into_iter().find(|other| !told[other.0] && !task.done);
    }
}

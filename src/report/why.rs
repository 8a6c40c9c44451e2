//! The chain of reasons for a step, in words.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::words::{Explained, doing, what};
use crate::{
    explanation::{Chain, Otherwise, chain},
    planfile::Plan,
    prep::{Durations, Laid, LayError, tell::active},
    scheduler::ActivityId,
};

/// The chain of reasons for a step, that step first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reasons {
    /// Each step of it once; empty when what the step serves could not be planned.
    pub why: Vec<Why>,
}

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

/// Why the step called `id` is where it is.
///
/// # Errors
/// [`LayError`] as for the plan, and when no step has that id.
pub fn why(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    id: &str,
) -> Result<Reasons, LayError> {
    let Chain { laid, wait, tasks, otherwise } = chain(plan, now, durations, id)?;
    let span = wait.and_then(|wait| laid.draft.spans.get(wait)).map(|span| {
        let begins = laid.draft.tasks.get(span.after.0).map_or("the plan", doing);
        Why {
            id: id.to_owned(),
            what: what(plan, &span.task),
            because: format!("It follows {begins} by itself."),
            otherwise: None,
        }
    });
    let links = tasks.iter().filter_map(|task| link(plan, &laid, *task));
    let mut links: Vec<Why> = span.into_iter().chain(links).collect();
    if let Some(first) = links.first_mut() {
        first.otherwise = otherwise;
    }
    Ok(Reasons { why: links })
}

fn link(plan: &Plan, laid: &Laid, id: ActivityId) -> Option<Why> {
    let step = active(&laid.draft, &laid.solution, id)?;
    let because = match step.task.done {
        true => "It is done.".to_owned(),
        false => Explained { plan, laid, step: &step }.because(),
    };
    let (id, what) = (step.task.id.clone(), what(plan, step.task));
    Some(Why { id, what, because, otherwise: None })
}

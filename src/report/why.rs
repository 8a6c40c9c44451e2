//! The chain of reasons for a step, in words.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::words::{Explained, doing, goal, what};
use crate::{
    explanation::{Asked, Chain, Otherwise, chain},
    planfile::{Names, NotOne, Plan, one_called},
    prep::{
        Durations, Laid, LayError,
        draft::{Draft, Task},
        tell::active,
    },
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

/// Why a step is where it is: that of this short name or id, or with these words alone.
///
/// # Errors
/// [`LayError`] as for the plan, and when no step is called so, or several are.
pub fn why(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    called: &str,
) -> Result<Reasons, LayError> {
    let pick = |laid: &Laid| asked(plan, laid, called);
    let Chain { laid, wait, tasks, otherwise } = chain(plan, now, durations, pick)?;
    let span = wait.and_then(|wait| laid.draft.spans.get(wait)).map(|span| {
        let begins = laid.draft.tasks.get(span.after.0).map_or("the plan", doing);
        Why {
            id: span.task.id.clone(),
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

/// The step that is called so: one of those that are planned, else a wait, else one of what is not
/// served.
fn asked(plan: &Plan, laid: &Laid, called: &str) -> Result<Asked, LayError> {
    let Laid { draft, solution, .. } = laid;
    let all: Vec<ActivityId> = (0..draft.tasks.len()).map(ActivityId).collect();
    let (planned, rest): (Vec<_>, Vec<_>) =
        all.into_iter().partition(|task| solution.start(*task).is_some());
    let of_tasks = |tasks: &[ActivityId]| {
        let named = tasks
            .iter()
            .map(|task| (names(plan, draft, &draft.tasks[task.0], *task), Asked::Task(*task)));
        one_called(called, &named.collect::<Vec<_>>())
    };
    let of_waits = || {
        let spans = draft.spans.iter().enumerate();
        let named =
            spans.map(|(n, span)| (names(plan, draft, &span.task, span.after), Asked::Wait(n)));
        one_called(called, &named.collect::<Vec<_>>())
    };
    let found = of_tasks(&planned);
    match found {
        Err(NotOne::None { .. }) => Ok(of_waits().or_else(|_| of_tasks(&rest)).or(found)?),
        found => Ok(found?),
    }
}

/// How people may call a task, or a wait after one.
fn names<'a>(plan: &Plan, draft: &Draft, task: &'a Task, of: ActivityId) -> Names<'a> {
    let serves = draft.goals[draft.problem.activities[of.0].goal.0];
    let words = format!("{} {}", what(plan, task), goal(plan, serves));
    Names { short: &task.short, id: &task.id, words }
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

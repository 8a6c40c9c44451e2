//! A plan laid out and told: its schedule with the problems in words.

use chrono::{DateTime, Utc};

use super::suggestions::suggestion;
use crate::{
    explanation::conflict::{MOST_EXPLAINED, Unserved, unserved},
    planfile::Plan,
    prep::{
        Durations, Laid, LayError,
        draft::{Draft, Serves},
        schedule::{Problem, Schedule, Status},
        solve,
    },
    scheduler::GoalId,
};

/// Lays out a plan from `now` on.
///
/// ```
/// use solidby::{planfile, prep::Physics, report::plan::lay_out};
///
/// let text = planfile::starter();
/// let plan = planfile::read(&text).expect("a sound plan");
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
        let explained = unserved(plan, now, durations, &laid)?;
        schedule.problems = problems(plan, &laid, &explained);
        if explained.iter().any(|unserved| whatever_is_chosen(&laid.draft, unserved)) {
            schedule.status = Status::Impossible;
        }
    }
    Ok(schedule)
}

/// Whether the conflict is there however the rounds of ice are chosen.
fn whatever_is_chosen(draft: &Draft, unserved: &Unserved) -> bool {
    let gift = |goal: &GoalId| {
        draft.goals.get(goal.0).is_some_and(|goal| matches!(goal.serves, Serves::Gift { .. }))
    };
    unserved.conflict.as_ref().is_some_and(|conflict| conflict.goals.iter().all(gift))
}

/// What is not served: those explained, and that there are more.
pub fn problems(plan: &Plan, laid: &Laid, explained: &[Unserved]) -> Vec<Problem> {
    let explained = explained.iter().map(|unserved| problem(plan, &laid.draft, unserved));
    let unserved = laid.solution.unserved();
    let more = unserved.iter().skip(MOST_EXPLAINED).map(|goal| Problem {
        what: goal_words(&laid.draft, *goal).to_owned(),
        because: vec![format!(
            "only {MOST_EXPLAINED} are explained at once: mend the first and plan again"
        )],
        ways_out: Vec::new(),
    });
    explained.chain(more).collect()
}

fn goal_words(draft: &Draft, goal: GoalId) -> &str {
    draft.goals.get(goal.0).map_or("", |goal| goal.words.as_str())
}

fn problem(plan: &Plan, draft: &Draft, unserved: &Unserved) -> Problem {
    let mut because = Vec::new();
    if let Some(conflict) = &unserved.conflict {
        let others = conflict.goals.iter().filter(|other| **other != unserved.goal);
        because.extend(others.map(|other| format!("{} is to be kept", goal_words(draft, *other))));
        let facts = conflict.facts.iter().filter_map(|fact| draft.facts.get(fact.0));
        because.extend(facts.cloned());
    }
    Problem {
        what: goal_words(draft, unserved.goal).to_owned(),
        because,
        ways_out: unserved.suggestions.iter().map(|one| suggestion(plan, one)).collect(),
    }
}

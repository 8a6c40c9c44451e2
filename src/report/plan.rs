//! A plan laid out and told: its schedule with the problems in words.

use chrono::{DateTime, Utc};

use super::{blame::blame, suggestions::suggestion};
use crate::{
    explanation::conflict::{MOST_EXPLAINED, Unserved, unserved},
    planfile::Plan,
    prep::{
        Durations, Laid, LayError,
        draft::{Draft, Serves},
        schedule::{Problem, Schedule},
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
        let explained = unserved(plan, now, durations, &laid);
        schedule.problems = problems(plan, &laid, &explained);
    }
    Ok(schedule)
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
    let goal = |serves: &Serves| {
        let goal = draft.goals.iter().find(|goal| goal.serves == *serves);
        goal.map_or("", |goal| goal.words.as_str())
    };
    let mut because: Vec<String> =
        unserved.blame.iter().map(|one| blame(plan, &goal, one)).collect();
    if unserved.cut_short {
        because.push("there was no time left to look for more".to_owned());
    }
    Problem {
        what: goal_words(draft, unserved.goal).to_owned(),
        because,
        ways_out: unserved.suggestions.iter().map(|one| suggestion(plan, one)).collect(),
    }
}

//! A plan laid out and told: its schedule with the problems in words.

use chrono::{DateTime, Utc};

use super::{
    blame::blame,
    phrase,
    suggestions::{suggestion, way_out},
    words::goal,
};
use crate::{
    explanation::{
        Suggestion,
        conflict::{MOST_EXPLAINED, Unserved, WayOut, unserved},
        one_change::{OneChange, one_change},
        surer::surer,
    },
    planfile::Plan,
    prep::{
        Durations, Laid, LayError, made_surer,
        schedule::{Problem, Schedule, Status, Ways},
        served,
    },
    scheduler::GoalId,
    units::in_fraction,
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
    let (plan, laid) = served(plan, now, durations)?;
    let plan = &*plan;
    if !laid.solution.unserved().is_empty() {
        let explained = unserved(plan, now, durations, &laid);
        let number = laid.solution.unserved().len();
        let one_change = one_change(plan, now, durations, (&laid, &explained));
        let one_change =
            one_change.iter().map(|one| (told_one_change(plan, one, number), &one.change));
        return Ok(Schedule {
            problems: problems(plan, &laid, &explained),
            one_change: ways(plan, one_change),
            ..laid.schedule(plan, now, durations)?
        });
    }
    let wished = in_fraction(plan.wishes.sureness);
    let surer_plan = made_surer(plan, now, durations, &laid)?;
    let mut schedule = surer_plan.as_ref().unwrap_or(&laid).schedule(plan, now, durations)?;
    if let Some(problem) = less_sure(&schedule, wished) {
        let ways = ways_out(plan, &surer(plan, now, durations, &laid));
        schedule.problems.push(Problem { ways, ..problem });
    }
    Ok(schedule)
}

/// What is said of a plan that is less sure than was wished.
fn less_sure(schedule: &Schedule, wished: f64) -> Option<Problem> {
    let chance = schedule.promise.chance.as_ref().filter(|chance| chance.all < wished)?;
    let mut goals: Vec<(&String, &f64)> =
        chance.by_goal.iter().filter(|(_, chance)| (100.0 * **chance).round() < 100.0).collect();
    goals.sort_by(|a, b| a.1.total_cmp(b.1));
    let least = goals.iter().take(MOST_EXPLAINED);
    Some(Problem {
        what: format!(
            "The whole plan holds in {} kitchens of 100; {} were wished",
            phrase::in_hundred(chance.all, wished),
            phrase::in_hundred(wished, 1.0)
        ),
        because: least
            .map(|(goal, chance)| {
                format!("{goal}: {} of 100", phrase::in_hundred(**chance, wished))
            })
            .collect(),
        ..Problem::of(Status::Found)
    })
}

/// What is not served: those explained, and that there are more.
pub fn problems(plan: &Plan, laid: &Laid, explained: &[Unserved]) -> Vec<Problem> {
    let explained = explained.iter().map(|unserved| problem(plan, laid, unserved));
    let unserved = laid.solution.unserved();
    let more = unserved.iter().skip(MOST_EXPLAINED).map(|goal| Problem {
        what: goal_words(plan, laid, *goal),
        because: vec![format!(
            "only {MOST_EXPLAINED} are explained at once: mend the first and plan again"
        )],
        cut_short: true,
        ..Problem::of(status(laid, *goal))
    });
    explained.chain(more).collect()
}

fn goal_words(plan: &Plan, laid: &Laid, of: GoalId) -> String {
    laid.draft.goals.get(of.0).map_or_else(String::new, |serves| goal(plan, *serves))
}

/// Whether it is shown that a goal that is not served cannot be.
fn status(laid: &Laid, goal: GoalId) -> Status {
    if laid.shown.contains(&goal) { Status::Impossible } else { Status::NotFound }
}

fn problem(plan: &Plan, laid: &Laid, unserved: &Unserved) -> Problem {
    Problem {
        what: goal_words(plan, laid, unserved.goal),
        because: unserved.blame.iter().map(|one| blame(plan, one)).collect(),
        cut_short: unserved.cut_short,
        ways: ways_out(plan, &unserved.ways_out),
        ..Problem::of(status(laid, unserved.goal))
    }
}

/// A change that serves several things at once, with how many.
fn told_one_change(plan: &Plan, one: &OneChange, unserved: usize) -> String {
    let change = suggestion(plan, &one.change);
    match one.serves == unserved {
        true => format!("{change}: all {unserved}"),
        false => format!("{change}: {} of the {unserved}", one.serves),
    }
}

/// What would help, in words and as changes of the plan file.
fn ways<'a>(plan: &Plan, told: impl Iterator<Item = (String, &'a Suggestion)>) -> Ways {
    let (words, in_file) = told.map(|(words, change)| (words, change.in_file(plan))).unzip();
    Ways { words, in_file }
}

/// The same of ways out.
fn ways_out(plan: &Plan, ways_out: &[WayOut]) -> Ways {
    ways(plan, ways_out.iter().map(|one| (way_out(plan, one), &one.change)))
}

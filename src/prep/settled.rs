//! A plan that holds in more kitchens, looked for where the first is less sure than was wished.

use chrono::{DateTime, Utc};

use super::{
    adjusted::Adjusted,
    chosen::Look,
    durations::Durations,
    error::LayError,
    lay::{Laid, solve, solve_slower},
    replay::Warmed,
};
use crate::{planfile::Plan, units::in_fraction};

/// A plan that leaves something out is not surer.
const ALL: Look = Look { left_out: 0, ..Look::WHOLE };

/// Times that it is planned again with what is known by then of loads in a plan.
const MOST_LEARNT: usize = 4;

/// The share of kitchens in which a plan must hold more, for steps that were told to move (common
/// practice, no source).
const WORTH_MOVING: f64 = 0.05;

/// Makes the steps of a plan and schedules them, as surely as was wished where that can be.
///
/// # Errors
/// As [`solve`].
pub fn settled(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
) -> Result<Laid, LayError> {
    let laid = solve(plan, now, durations)?;
    let all_served = laid.solution.unserved().is_empty();
    let other = if all_served { made_surer(plan, now, durations, &laid)? } else { None };
    Ok(other.unwrap_or(laid))
}

/// A plan that holds in more kitchens than one that is less sure than was wished; none where there
/// is none, or that one is sure enough.
///
/// First all is planned as if it took as long as in the slowest kitchens; then, while there is a
/// plan, with the loads that were seen to take longer in one than alone, as they are and in the
/// slowest kitchens.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range.
pub fn made_surer(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Result<Option<Laid>, LayError> {
    let wished = in_fraction(plan.wishes.sureness);
    let likely = laid.timetable(plan, durations)?.chances.all;
    let mut search = Search { plan, now, durations, best: None, likely };
    let slower = Adjusted::surer(plan, durations);
    // A plan that is followed moves no more than it must.
    let follows = plan.kept.is_some();
    for slower in &slower[..if follows { 1 } else { slower.len() }] {
        if search.likely >= wished {
            return Ok(search.best);
        }
        if let Some(other) = search.planned(slower)? {
            search.take(other)?;
        }
    }
    let mut warmed = Warmed::default();
    warmed.learn(plan, laid, durations)?;
    let usual_then_slowest = [Adjusted::of(durations), Adjusted::slowest(durations)];
    for number in 0..MOST_LEARNT {
        if follows || search.likely >= wished || warmed.is_empty() {
            break;
        }
        let way = &usual_then_slowest[number % 2];
        let Some(other) = search.planned(&way.with(&warmed))? else { break };
        warmed.learn(plan, &other, durations)?;
        search.take(other)?;
        if let Some(best) = search.best.as_ref().filter(|_| search.likely >= wished) {
            // No longer than its loads need: those of the plans before may need more.
            warmed.relearn(plan, best, durations)?;
            search.take_sure(search.planned(&way.with(&warmed))?, wished)?;
        }
    }
    Ok(search.best)
}

/// A search for a surer plan.
struct Search<'a> {
    plan: &'a Plan,
    now: DateTime<Utc>,
    durations: &'a dyn Durations,
    best: Option<Laid>,
    likely: f64,
}

impl Search<'_> {
    /// A plan with changed durations that leaves nothing out.
    fn planned(&self, changed: &Adjusted<'_>) -> Result<Option<Laid>, LayError> {
        let other = solve_slower(self.plan, self.now, (changed, self.durations), ALL)?;
        Ok(Some(other).filter(|other| other.solution.unserved().is_empty()))
    }

    /// Keeps a plan that holds in more kitchens, followed with the true durations.
    fn take(&mut self, other: Laid) -> Result<(), LayError> {
        let likely = other.timetable(self.plan, self.durations)?.chances.all;
        let moves = if self.plan.kept.is_some() { WORTH_MOVING } else { 0.0 };
        if likely > self.likely + moves {
            (self.likely, self.best) = (likely, Some(other));
        }
        Ok(())
    }

    /// Keeps a plan that is as sure as was wished and costs no more.
    fn take_sure(&mut self, other: Option<Laid>, wished: f64) -> Result<(), LayError> {
        let price = |laid: &Option<Laid>| laid.as_ref().and_then(|laid| laid.price);
        let Some(((price, best), laid)) = price(&other).zip(price(&self.best)).zip(other) else {
            return Ok(());
        };
        let likely = laid.timetable(self.plan, self.durations)?.chances.all;
        if likely >= wished && price <= best {
            (self.likely, self.best) = (likely, Some(laid));
        }
        Ok(())
    }
}

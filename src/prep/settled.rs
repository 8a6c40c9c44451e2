//! A plan that holds in more kitchens, looked for where the first is less sure than was wished.

use chrono::{DateTime, Utc};

use super::{
    adjusted::Adjusted,
    choose::Look,
    draft::{LEVELS, LIKELY},
    durations::Durations,
    error::LayError,
    lay::{Laid, solve_slower},
    replay::Warmed,
    solid::served,
};
use crate::{planfile::Plan, units::in_fraction};

/// A plan that leaves something out is not surer.
const ALL: Look = Look { left_out: 0, ..Look::WHOLE };

/// Times that it is planned again with what is known by then of loads in a plan.
const MOST_LEARNT: usize = 4;

/// The share of kitchens in which a plan must hold more, for steps that were told to move (common
/// practice, no source).
const WORTH_MOVING: f64 = 0.05;

/// The share of kitchens in which a plan must hold more, where it is still less sure than was
/// wished, for what it costs more (a choice of ours).
const WORTH_PAYING: f64 = 0.01;

/// Labels of searches for a surer plan after which it is not planned again, about ten seconds: a
/// large class in short hours takes some of them for each (a choice of ours).
const MOST_LABELS: u64 = 5_000_000;

/// Work of the physics after which it is not planned again either, about fifteen seconds on two
/// slow cores: a plan that is followed asks how all freeze that stand together (a choice of ours).
const MOST_WORK: u64 = 1_500;

/// Makes the steps of a plan and schedules them, as surely as was wished where that can be.
///
/// # Errors
/// As [`served`].
pub fn settled(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
) -> Result<Laid, LayError> {
    let (plan, laid) = served(plan, now, durations)?;
    let all_served = laid.solution.unserved().is_empty();
    let other = if all_served { made_surer(&plan, now, durations, &laid)? } else { None };
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
    let likely = laid.timetable(plan, durations)?.chances.all;
    let wished = in_fraction(plan.wishes.sureness);
    let worked = durations.worked_out();
    let mut search = Search { plan, now, durations, wished, best: None, likely, labels: 0, worked };
    // A plan that is followed moves no more than it must.
    match plan.kept {
        Some(_) => search.in_the_slowest_kitchens(1)?,
        None => {
            search.in_the_slowest_kitchens(usize::MAX)?;
            search.with_little_time()?;
            search.with_warmed(laid)?;
        }
    }
    Ok(search.best)
}

/// A search for a surer plan.
struct Search<'a> {
    plan: &'a Plan,
    now: DateTime<Utc>,
    durations: &'a dyn Durations,
    wished: f64,
    best: Option<Laid>,
    likely: f64,
    /// Of all searches so far.
    labels: u64,
    /// The work of the physics before the first of them.
    worked: u64,
}

impl Search<'_> {
    fn is_sure(&self) -> bool {
        self.likely >= self.wished
    }

    fn is_over(&self) -> bool {
        let work = self.durations.worked_out() - self.worked;
        self.is_sure() || self.labels > MOST_LABELS || work > MOST_WORK
    }

    /// Tries so many ways to plan as if all or a part of it took as long as in the slowest kitchens.
    fn in_the_slowest_kitchens(&mut self, most: usize) -> Result<(), LayError> {
        for slower in Adjusted::surer(self.plan, self.durations).iter().take(most) {
            if self.is_over() {
                break;
            }
            if let Some(other) = self.planned(slower)? {
                self.take(other)?;
            }
        }
        Ok(())
    }

    /// Where nothing better was found, and a plan is not even likely to hold, there is a step
    /// between what it was made for and the slower half of the kitchens.
    fn with_little_time(&mut self) -> Result<(), LayError> {
        if self.best.is_none() && self.likely < LEVELS[LIKELY] {
            let slower = Adjusted::not_quickest(self.durations);
            if let Some(other) = self.planned(&slower)? {
                self.take(other)?;
            }
        }
        Ok(())
    }

    /// Tries plans with what following a plan, and then those that it led to, told of their loads.
    fn with_warmed(&mut self, laid: &Laid) -> Result<(), LayError> {
        let mut warmed = Warmed::default();
        warmed.learn(self.plan, laid, self.durations)?;
        let usual_then_slowest = [Adjusted::of(self.durations), Adjusted::slowest(self.durations)];
        for number in 0..MOST_LEARNT {
            if self.is_over() || warmed.is_empty() {
                break;
            }
            let way = &usual_then_slowest[number % 2];
            let Some(other) = self.planned(&way.with(&warmed))? else { break };
            warmed.learn(self.plan, &other, self.durations)?;
            self.take(other)?;
            if let Some(best) = self.best.as_ref().filter(|_| self.is_sure()) {
                // No longer than its loads need: those of the plans before may need more.
                warmed.relearn(self.plan, best, self.durations)?;
                let cheaper = self.planned(&way.with(&warmed))?;
                self.take_cheaper(cheaper)?;
            }
        }
        Ok(())
    }

    /// A plan with changed durations that leaves nothing out.
    fn planned(&mut self, changed: &Adjusted<'_>) -> Result<Option<Laid>, LayError> {
        let other = solve_slower(self.plan, self.now, (changed, self.durations), ALL)?;
        self.labels += other.labels;
        Ok(Some(other).filter(|other| other.solution.unserved().is_empty()))
    }

    /// Keeps a plan that holds in more kitchens, followed with the true durations.
    fn take(&mut self, other: Laid) -> Result<(), LayError> {
        let likely = other.timetable(self.plan, self.durations)?.chances.all;
        let worth = match self.plan.kept {
            Some(_) => WORTH_MOVING,
            None if likely >= self.wished => 0.0,
            None => WORTH_PAYING,
        };
        if likely > self.likely + worth {
            (self.likely, self.best) = (likely, Some(other));
        }
        Ok(())
    }

    /// Keeps a plan that is as sure as was wished and costs no more.
    fn take_cheaper(&mut self, other: Option<Laid>) -> Result<(), LayError> {
        let price = |laid: &Option<Laid>| laid.as_ref().and_then(|laid| laid.price);
        let Some(((price, best), laid)) = price(&other).zip(price(&self.best)).zip(other) else {
            return Ok(());
        };
        let likely = laid.timetable(self.plan, self.durations)?.chances.all;
        if likely >= self.wished && price <= best {
            (self.likely, self.best) = (likely, Some(laid));
        }
        Ok(())
    }
}

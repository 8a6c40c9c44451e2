//! How long blocks take to be firm, asked of the physics a few times and estimated between.

use std::{cell::RefCell, collections::BTreeMap};

use super::{clock::ticks_up, draft::LEVELS, durations::Durations};
use crate::planfile::Plan;

/// What takes longer to freeze is as good as never frozen, in hours (common practice, no
/// source).
const WEEK_H: f64 = 7.0 * 24.0;

/// A straight line this near, relative, is as good as the physics: the time that 256 kitchens
/// give for a level of sureness is known to a few hundredths.
const CLOSE: f64 = 0.01;

/// What a kind of vessels stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct KindOf {
    /// The mould, by its place in the plan.
    pub mould: usize,
    /// The freezer it stands in, likewise.
    pub freezer: usize,
    /// How sure its blocks are, as a place in [`LEVELS`].
    pub level: usize,
}

/// Hours to firm, with a memory.
pub struct Firm<'a> {
    plan: &'a Plan,
    durations: &'a dyn Durations,
    /// By kind and number of moulds, as the physics said.
    asked: RefCell<BTreeMap<(KindOf, u32), f64>>,
}

impl<'a> Firm<'a> {
    /// Nothing asked yet.
    pub fn of(plan: &'a Plan, durations: &'a dyn Durations) -> Self {
        Self { plan, durations, asked: RefCell::default() }
    }

    /// Hours to firm with so many moulds of a kind in the freezer; infinite
    /// where the physics has no answer, where it is more than a week, and where fewer never are.
    fn exact(&self, kind: KindOf, count: u32) -> f64 {
        if self.asked.borrow().range((kind, 0)..(kind, count)).any(|(_, hours)| hours.is_infinite())
        {
            return f64::INFINITY;
        }
        let KindOf { mould, freezer, level } = kind;
        let (mould, freezer) = (&self.plan.moulds[mould], &self.plan.freezers[freezer]);
        let outcomes = self.durations.freeze(mould, freezer, count);
        let hours = outcomes.map_or(f64::INFINITY, |outcomes| outcomes.point(LEVELS[level]));
        let hours = if hours > WEEK_H { f64::INFINITY } else { hours };
        self.asked.borrow_mut().insert((kind, count), hours);
        hours
    }

    /// Hours to firm of what was still wet after so many.
    pub fn left_wet(&self, kind: KindOf, count: u32, wet_h: f64) -> f64 {
        let KindOf { mould, freezer, level } = kind;
        let (mould, freezer) = (&self.plan.moulds[mould], &self.plan.freezers[freezer]);
        let outcomes = self.durations.freeze(mould, freezer, count);
        outcomes.map_or(f64::INFINITY, |it| it.given_longer_than(wet_h).point(LEVELS[level]))
    }

    /// Asks the physics itself for a number of moulds that was only estimated;
    /// whether it takes no longer than the estimate.
    pub fn confirm(&self, kind: KindOf, count: u32) -> bool {
        let estimate = self.estimate(kind, count);
        ticks_up(self.exact(kind, count)) <= ticks_up(estimate)
    }

    /// Asks the physics for numbers of moulds up to `most` until what is between them is known
    /// to half a tick; whether any was not known.
    pub fn ask_each(&self, kind: KindOf, most: u32) -> bool {
        let before = self.asked.borrow().len();
        let powers = std::iter::successors(Some(1), |lower| Some(2 * lower))
            .take_while(|lower| *lower < most);
        for lower in powers {
            self.ask_between(kind, lower, 2 * lower);
        }
        self.asked.borrow().len() > before
    }

    /// Asks in the middle of two numbers, and on both sides of it where the straight line
    /// between them is not [`CLOSE`] there.
    fn ask_between(&self, kind: KindOf, lower: u32, upper: u32) {
        let middle = u32::midpoint(lower, upper);
        if middle == lower {
            return;
        }
        let estimate = self.estimate(kind, middle);
        let known = self.known(kind, middle).unwrap_or_else(|| self.exact(kind, middle));
        if (known - estimate).abs() > CLOSE * known {
            self.ask_between(kind, lower, middle);
            self.ask_between(kind, middle, upper);
        }
    }

    /// The same from the numbers around it that were asked for, straight between them: the
    /// physics is asked for powers of two, a few times more, and not for every number.
    pub fn estimate(&self, kind: KindOf, count: u32) -> f64 {
        if let Some(hours) = self.known(kind, count) {
            return hours;
        }
        let upper = count.next_power_of_two();
        if upper == count {
            return self.exact(kind, count);
        }
        for power in [upper / 2, upper] {
            if self.known(kind, power).is_none() {
                self.exact(kind, power);
            }
        }
        let asked = self.asked.borrow();
        let below = asked.range((kind, 0)..(kind, count)).next_back();
        let above = asked.range((kind, count)..=(kind, upper)).next();
        let (Some(((_, lower), below)), Some(((_, upper), above))) = (below, above) else {
            return f64::INFINITY;
        };
        if below.is_infinite() {
            return f64::INFINITY;
        }
        let share = f64::from(count - lower) / f64::from(upper - lower);
        below + share * (above - below)
    }

    fn known(&self, kind: KindOf, count: u32) -> Option<f64> {
        self.asked.borrow().get(&(kind, count)).copied()
    }
}

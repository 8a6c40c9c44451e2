//! How long blocks take to be firm, asked of the physics a few times and estimated between.

use std::{cell::RefCell, collections::BTreeMap};

use super::{
    clock::ticks_up,
    draft::LEVELS,
    durations::{Durations, Outcomes},
};
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
}

/// A kind as sure as one of the [`LEVELS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sure {
    /// The kind.
    pub kind: KindOf,
    /// The level, by its place.
    pub level: usize,
}

/// Hours to firm, with a memory.
pub struct Firm<'a> {
    plan: &'a Plan,
    durations: &'a dyn Durations,
    /// By mould, freezer and number of moulds, as the physics said.
    asked: RefCell<BTreeMap<(usize, usize, u32), Outcomes>>,
}

impl<'a> Firm<'a> {
    /// Nothing asked yet.
    pub fn of(plan: &'a Plan, durations: &'a dyn Durations) -> Self {
        Self { plan, durations, asked: RefCell::default() }
    }

    /// Hours to firm with so many moulds of a kind in the freezer; infinite
    /// where the physics has no answer, where it is more than a week, and where fewer never are.
    fn exact(&self, of: Sure, count: u32) -> f64 {
        if self.below(of, count).is_some_and(|(_, hours)| hours.is_infinite()) {
            return f64::INFINITY;
        }
        let outcomes = self.outcomes(of, count);
        let hours = point(&outcomes, of);
        self.asked.borrow_mut().insert(place(of, count), outcomes);
        hours
    }

    fn outcomes(&self, Sure { kind, .. }: Sure, count: u32) -> Outcomes {
        let (mould, freezer) = (&self.plan.moulds[kind.mould], &self.plan.freezers[kind.freezer]);
        self.durations.freeze(mould, freezer, count).unwrap_or_else(|_| Outcomes::new(Vec::new()))
    }

    /// Hours to firm of what was still wet after so many.
    pub fn left_wet(&self, of: Sure, count: u32, wet_h: f64) -> f64 {
        self.outcomes(of, count).given_longer_than(wet_h).point(LEVELS[of.level])
    }

    /// Asks the physics itself for a number of moulds that was only estimated;
    /// whether it takes no longer than the estimate.
    pub fn confirm(&self, of: Sure, count: u32) -> bool {
        let estimate = self.estimate(of, count);
        ticks_up(self.exact(of, count)) <= ticks_up(estimate)
    }

    /// Asks the physics for numbers of moulds up to `most` until a straight line between them
    /// is [`CLOSE`].
    pub fn ask_each(&self, of: Sure, most: u32) {
        let powers = std::iter::successors(Some(1), |lower| Some(2 * lower))
            .take_while(|lower| *lower < most);
        for lower in powers {
            self.ask_between(of, lower, 2 * lower);
        }
    }

    /// Asks in the middle of two numbers, and on both sides of it where the straight line
    /// between them is not [`CLOSE`] there.
    fn ask_between(&self, of: Sure, lower: u32, upper: u32) {
        let middle = u32::midpoint(lower, upper);
        if middle == lower {
            return;
        }
        let estimate = self.estimate(of, middle);
        let known = self.known(of, middle).unwrap_or_else(|| self.exact(of, middle));
        // Of what is never ready neither: the last number that is lies on one of the sides.
        let is_close = (known - estimate).abs() <= CLOSE * known;
        if !is_close {
            self.ask_between(of, lower, middle);
            self.ask_between(of, middle, upper);
        }
    }

    /// The same from the numbers around it that were asked for, straight between them: the
    /// physics is asked for powers of two, a few times more, and not for every number.
    pub fn estimate(&self, of: Sure, count: u32) -> f64 {
        if let Some(hours) = self.known(of, count) {
            return hours;
        }
        let upper = count.next_power_of_two();
        if upper == count {
            return self.exact(of, count);
        }
        for power in [upper / 2, upper] {
            if self.known(of, power).is_none() {
                self.exact(of, power);
            }
        }
        let (Some((lower, below)), Some((upper, above))) =
            (self.below(of, count), self.above(of, count, upper))
        else {
            return f64::INFINITY;
        };
        if below.is_infinite() {
            return f64::INFINITY;
        }
        let share = f64::from(count - lower) / f64::from(upper - lower);
        below + share * (above - below)
    }

    fn known(&self, of: Sure, count: u32) -> Option<f64> {
        self.asked.borrow().get(&place(of, count)).map(|outcomes| point(outcomes, of))
    }

    /// The next number below one that was asked for, with its hours.
    fn below(&self, of: Sure, count: u32) -> Option<(u32, f64)> {
        let asked = self.asked.borrow();
        let ((.., lower), outcomes) = asked.range(place(of, 0)..place(of, count)).next_back()?;
        Some((*lower, point(outcomes, of)))
    }

    /// The next number from one on, up to another, that was asked for, with its hours.
    fn above(&self, of: Sure, count: u32, upper: u32) -> Option<(u32, f64)> {
        let asked = self.asked.borrow();
        let ((.., upper), outcomes) = asked.range(place(of, count)..=place(of, upper)).next()?;
        Some((*upper, point(outcomes, of)))
    }
}

/// Where what was asked is kept: it is the same for each level of sureness.
fn place(Sure { kind, .. }: Sure, count: u32) -> (usize, usize, u32) {
    (kind.mould, kind.freezer, count)
}

/// Hours at its level.
fn point(outcomes: &Outcomes, of: Sure) -> f64 {
    let hours = outcomes.point(LEVELS[of.level]);
    if hours > WEEK_H { f64::INFINITY } else { hours }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile::{self, Finish, Freezer, Mould, Ornament, Room};
    use crate::prep::durations::{Coats, Drying, DurationError, FirmDry, Keeping, Process};
    use crate::prep::schedule::Curve;
    use crate::units::ThermodynamicTemperature;

    /// A freezer in which so many moulds take so many hours, and nothing else.
    struct Told {
        hours: fn(u32) -> f64,
        asked: RefCell<Vec<u32>>,
    }

    impl Durations for Told {
        fn freeze(&self, _: &Mould, _: &Freezer, n: u32) -> Result<Outcomes, DurationError> {
            self.asked.borrow_mut().push(n);
            Ok(Outcomes::exactly((self.hours)(n)))
        }

        fn keeping(&self, _: &Mould, _: u32, _: Room) -> Result<Keeping, DurationError> {
            unreachable!()
        }

        fn dry(&self, _: &Drying<'_>) -> Result<FirmDry, DurationError> {
            unreachable!()
        }

        fn course(&self, _: &Plan, _: &Process) -> Option<Curve> {
            unreachable!()
        }

        fn cool(
            &self,
            _: &Ornament,
            _: ThermodynamicTemperature,
            _: Room,
        ) -> Result<f64, DurationError> {
            unreachable!()
        }

        fn coats(&self, _: Finish, _: Room) -> Coats {
            unreachable!()
        }

        fn batches(&self, _: &Ornament, _: u32) -> u32 {
            unreachable!()
        }
    }

    /// What is estimated for 1 to 16 moulds once each was asked for, and what was asked.
    fn estimates(hours: fn(u32) -> f64) -> (Vec<f64>, Vec<u32>) {
        let plan = planfile::read(&planfile::starter()).unwrap();
        let told = Told { hours, asked: RefCell::default() };
        let firm = Firm::of(&plan, &told);
        let kind = Sure { kind: KindOf { mould: 0, freezer: 0 }, level: 0 };
        firm.ask_each(kind, 16);
        let asked = told.asked.borrow().len();
        firm.ask_each(kind, 16);
        assert_eq!(told.asked.borrow().len(), asked, "all is known by now");
        ((1..=16).map(|count| firm.estimate(kind, count)).collect(), told.asked.take())
    }

    #[test]
    fn a_straight_line_is_asked_for_few_numbers() {
        let (found, asked) = estimates(|count| 6.0 + 0.5 * f64::from(count));
        let exact = (1..=16).map(|count| 6.0 + 0.5 * f64::from(count));
        assert!(found.iter().zip(exact).all(|(found, exact)| (found - exact).abs() < 1e-9));
        let mut asked = asked;
        asked.sort_unstable();
        assert_eq!(asked, [1, 2, 3, 4, 6, 8, 12, 16]);
    }

    #[test]
    fn a_bend_is_asked_for_until_it_is_close() {
        let hours = |count: u32| 6.0 + 0.02 * f64::from(count).powi(2);
        let (found, asked) = estimates(hours);
        assert!(asked.len() < 16, "{asked:?}");
        for (found, count) in found.iter().zip(1..=16) {
            assert!((found / hours(count) - 1.0).abs() < 2.0 * CLOSE, "{count}: {found}");
        }
    }

    /// Five are ready and six never: neither more nor fewer are taken for that.
    #[test]
    fn the_last_number_that_is_ever_ready_is_found() {
        let (found, _) = estimates(|count| if count <= 5 { 12.0 } else { f64::INFINITY });
        assert_eq!(found.iter().take_while(|hours| hours.is_finite()).count(), 5, "{found:?}");
    }
}

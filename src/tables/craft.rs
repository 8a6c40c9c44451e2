//! Hands' time of the usual steps, and the limits that turn a number into a word.

use serde::Deserialize;

use super::{load::row, range::Range, step::Step};
use crate::units::{self, Length, Ratio, ThermodynamicTemperature, Time};

/// What a task's second time is counted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Share {
    /// Each mould filled or washed.
    Mould,
    /// Each block of ice.
    Block,
    /// Each piece of dough.
    Piece,
    /// Each child.
    Child,
    /// Each oven tray.
    Tray,
    /// Each batch of dough, one recipe.
    Batch,
}

row! {
    /// A usual step and how long it takes a pair of hands.
    Task {
        step: Step,
        once_min: Range<f64>,
        each_min: Range<f64>,
        each: Share,
    }
}

impl Task {
    /// The step it belongs to.
    pub fn step(&self) -> Step {
        self.step
    }

    /// What the second time is counted by.
    pub fn each(&self) -> Share {
        self.each
    }

    /// Hands' time for `count` of them: once + count x each.
    pub fn hands(&self, count: u32) -> Range<Time> {
        let (once, each, count) = (self.once_min, self.each_min, f64::from(count));
        Range {
            low: units::minutes(once.low + count * each.low),
            typical: units::minutes(once.typical + count * each.typical),
            high: units::minutes(once.high + count * each.high),
        }
    }
}

row! {
    /// A limit: of temperature, contact time, humidity or length.
    Threshold {
        what: String,
        temperature_c: Option<f64>,
        contact_s: Option<f64>,
        humidity: Option<f64>,
        length_mm: Option<f64>,
        times: Option<f64>,
    }
}

impl Threshold {
    /// What it is the limit of, in words.
    pub fn what(&self) -> &str {
        &self.what
    }

    /// Temperature, where it is one of temperature.
    pub fn temperature(&self) -> Option<ThermodynamicTemperature> {
        self.temperature_c.map(units::celsius)
    }

    /// Contact time for which the temperature holds.
    pub fn contact(&self) -> Option<Time> {
        self.contact_s.map(units::seconds)
    }

    /// Relative humidity, where it is one of humidity.
    pub fn humidity(&self) -> Option<Ratio> {
        self.humidity.map(units::fraction)
    }

    /// Length, where it is one of length.
    pub fn length(&self) -> Option<Length> {
        self.length_mm.map(units::millimetres)
    }

    /// How many times as long things take beyond it.
    pub fn times(&self) -> Option<f64> {
        self.times
    }
}

#[cfg(test)]
mod tests {
    use crate::{tables, units::in_minutes};

    #[test]
    fn hands_grow_with_the_count() {
        let task = tables::task("turn out and bag").expect("in the table");
        let eight = task.hands(8);
        assert_eq!(in_minutes(eight.low).round(), 10.0);
        assert_eq!(in_minutes(eight.typical).round(), 15.0);
        assert_eq!(in_minutes(eight.high).round(), 29.0);
    }

    #[test]
    fn a_threshold_limits_something() {
        for limit in tables::thresholds() {
            assert!(
                limit.temperature().is_some()
                    || limit.humidity().is_some()
                    || limit.length().is_some(),
                "{}",
                limit.name()
            );
        }
    }
}

//! Hands' time of the usual steps, and the limits that turn a number into a word.

use serde::Deserialize;

use super::{
    load::{row, stated},
    range::Range,
    step::Step,
};
use crate::units::{self, Ratio, ThermodynamicTemperature, Time};

/// What the second time of a row of work is counted by.
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
    /// Usual work at a step, and how long it takes a pair of hands.
    Work {
        once_min: Range<f64>,
        each_min: Range<f64>,
    }
    read {
        /// The step it belongs to.
        step: Step;
        /// What the second time is counted by.
        each: Share;
    }
}

impl Work {
    /// Usual hours for `count` moulds, blocks, pieces, children or batches.
    pub fn usual_h(&self, count: u32) -> f64 {
        self.usual_h_of(f64::from(count))
    }

    /// The same where small ones count for less than one each.
    pub fn usual_h_of(&self, worth: f64) -> f64 {
        units::in_hours(units::minutes(self.once_min.typical + worth * self.each_min.typical))
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

    /// Temperature, of a row that limits one.
    pub(crate) fn temperature(&self) -> ThermodynamicTemperature {
        units::celsius(self.stated("temperature_c", self.temperature_c))
    }

    /// Contact time for which the temperature holds.
    pub fn contact(&self) -> Option<Time> {
        self.contact_s.map(units::seconds)
    }

    /// Relative humidity, of a row that limits one.
    pub(crate) fn humidity(&self) -> Ratio {
        units::fraction(self.stated("humidity", self.humidity))
    }

    /// How many times as long things take beyond it, of a row that slows them.
    pub(crate) fn times(&self) -> f64 {
        self.stated("times", self.times)
    }

    fn stated(&self, key: &str, value: Option<f64>) -> f64 {
        stated(value.ok_or_else(|| format!("{} states no {key}", self.name())))
    }
}

#[cfg(test)]
mod tests {
    use crate::tables::{self, Threshold};

    #[test]
    fn hands_grow_with_the_count() {
        let task = tables::task("turn out and bag").expect("in the table");
        assert_eq!((60.0 * task.usual_h(8)).round(), 15.0);
    }

    #[test]
    fn a_threshold_limits_something() {
        for limit in tables::thresholds() {
            let limits = [limit.temperature_c, limit.humidity, limit.length_mm];
            assert_eq!(limits.iter().flatten().count(), 1, "{}", limit.name());
        }
    }

    #[test]
    fn the_limits_that_the_program_asks_for_are_stated() {
        assert!(Threshold::child_piece().temperature() < Threshold::adult_piece().temperature());
        assert!(Threshold::child_tray().temperature() < Threshold::adult_tray().temperature());
        assert!(Threshold::damp_paint().humidity() < Threshold::slow_drying().humidity());
        assert_eq!([Threshold::damp_paint().times(), Threshold::cold_paint().times()], [2.0; 2]);
        assert!(Threshold::cold_paint().temperature() < Threshold::child_piece().temperature());
    }
}

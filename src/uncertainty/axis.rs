//! One unknown that a diary learns: its prior, and the coordinate in which outcomes are smooth.

use crate::tables::{Distribution, Unknown};

/// One learnt unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Which.
    pub unknown: Unknown,
    /// Belief before any note.
    pub belief: Distribution,
    /// Least and largest value.
    pub bounds: (f64, f64),
    /// For a temperature above a cold one: how far it may rise until nothing
    /// freezes any more. Times go as one over what is left of it.
    pub vanishes_at: Option<f64>,
}

/// Least of what is left of [`Axis::vanishes_at`], as a share.
const LEAST_LEFT: f64 = 0.03;

impl Axis {
    /// The value at a standard normal score of the prior, within the bounds.
    pub fn value(&self, score: f64) -> f64 {
        self.belief.at_score(score).clamp(self.bounds.0, self.bounds.1)
    }

    /// A number of order one, in which the logarithm of a time is nearly a
    /// polynomial of second degree.
    pub fn coordinate(&self, value: f64) -> f64 {
        if let Some(end) = self.vanishes_at {
            return -3.0 * (1.0 - value / end).max(LEAST_LEFT).ln();
        }
        match self.belief {
            Distribution::Normal { mean, sd } => (value - mean) / sd.max(f64::MIN_POSITIVE),
            Distribution::LogNormal { median, factor } if factor > 1.0 => {
                (value / median).max(1e-9).ln() / factor.ln()
            }
            Distribution::LogNormal { .. } => 0.0,
            Distribution::Uniform { low, high } | Distribution::Triangular { low, high, .. } => {
                (2.0 * value - low - high) / (high - low).max(f64::MIN_POSITIVE)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_coordinate_is_of_order_one_whatever_the_unit() {
        for width in [0.02, 1.0, 40.0] {
            let (low, high) = (5.0, 5.0 + width);
            let belief = Distribution::Uniform { low, high };
            let (unknown, bounds) = (Unknown::ALL[0], (low, high));
            let axis = Axis { unknown, belief, bounds, vanishes_at: None };
            for (value, expected) in [(low, -1.0), (low + 0.25 * width, -0.5), (high, 1.0)] {
                assert!((axis.coordinate(value) - expected).abs() < 1e-9, "{width}: {value}");
            }
        }
    }
}

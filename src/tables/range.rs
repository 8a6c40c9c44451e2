//! A value with the range it usually lies in.

use serde::Deserialize;

/// A typical value and the ends of its usual range; all three equal where the
/// table states one number.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(from = "Written")]
#[serde(bound(deserialize = "Self: From<Written>"))]
pub struct Range<Q> {
    /// Low end.
    pub low: Q,
    /// Typical value.
    pub typical: Q,
    /// High end.
    pub high: Q,
}

/// As it stands in a file: `0.2` or `{ low = 0.1, typical = 0.2, high = 0.5 }`.
#[derive(Deserialize)]
#[serde(untagged)]
pub(super) enum Written {
    One(f64),
    Between { low: f64, typical: f64, high: f64 },
}

impl From<Written> for Range<f64> {
    fn from(written: Written) -> Self {
        match written {
            Written::One(typical) => Self { low: typical, typical, high: typical },
            Written::Between { low, typical, high } => Self { low, typical, high },
        }
    }
}

impl<Q> Range<Q> {
    /// The same range in another quantity: `range.map(units::millimetres)`.
    pub fn map<R>(self, make: impl Fn(Q) -> R) -> Range<R> {
        Range { low: make(self.low), typical: make(self.typical), high: make(self.high) }
    }
}

//! Values that a cook can set: marks of a dial and of a rolling pin.

use super::question::DoughQuestion;
use crate::units::{
    Length, System, ThermodynamicTemperature, celsius, fahrenheit, in_fahrenheit, in_millimetres,
    millimetres,
};

/// A dial setting at or below a temperature: rounded down to 5 degrees of the user's scale.
pub(super) fn setting_below(t: f64, units: System) -> ThermodynamicTemperature {
    let down = |degrees: f64| (degrees / 5.0).floor() * 5.0;
    match units {
        System::Us => fahrenheit(down(in_fahrenheit(celsius(t)))),
        System::Metric => celsius(down(t)),
    }
}

/// The mark of a rolling pin (whole mm, eighths of an inch) nearest to a share of the
/// thickness, if it is thinner and at least the usual least, 3 mm or 1/8 in.
pub(super) fn thinner(asked: &DoughQuestion, share: f64) -> Option<Length> {
    let (mark, least) = match asked.units {
        System::Us => (3.175, 3.175),
        System::Metric => (1.0, 3.0),
    };
    let mm = in_millimetres(asked.thickness);
    let marked = ((share * mm / mark).round() * mark).max(least);
    let below = if marked < mm - 0.1 { marked } else { marked - mark };
    (below >= least - 1e-9).then(|| millimetres(below))
}

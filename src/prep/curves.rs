//! The likeliest course of a freezing and of a drying, for the pictures beside their steps.

use super::{
    durations::DurationError,
    schedule::{Curve, CurveKind},
};
use crate::{
    answers::{
        dough::{self, DoughQuestion},
        ice::Outcome,
    },
    units::{System, in_fraction, in_hours},
};

/// The warmest point of a block until it is firm.
pub fn freezing_curve(likeliest: &Outcome, units: System) -> Curve {
    Curve {
        kind: CurveKind::Freezing,
        units,
        points: likeliest.history.iter().map(|m| [m.time / 3600.0, m.core_c]).collect(),
        done_h: Some(likeliest.ready_h).filter(|h| h.is_finite()),
    }
}

/// The water left in a piece until it is dry, or in one part of that time: from an
/// hour on, for so many hours.
///
/// # Errors
/// [`DurationError`] when the piece is outside the model.
pub fn drying_curve(
    question: &DoughQuestion,
    part: Option<(f64, f64)>,
    units: System,
) -> Result<Curve, DurationError> {
    let course = dough::course(question)?;
    let start = course.first().map_or(1.0, |point| in_fraction(point.mean));
    let done = course.last().map(|point| in_hours(point.time));
    let (from, length) = part.unwrap_or((0.0, f64::INFINITY));
    let within = |h: &f64| (0.0..=length).contains(h);
    let points = course
        .iter()
        .map(|point| [in_hours(point.time) - from, 100.0 * in_fraction(point.mean) / start])
        .filter(|[h, _]| within(h))
        .collect();
    let done_h = done.map(|h| h - from).filter(within);
    Ok(Curve { kind: CurveKind::Drying, units, points, done_h })
}

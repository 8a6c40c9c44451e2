//! The small picture beside a step that freezes or dries something.

use super::palette::ICE;
use crate::prep::schedule::{Curve, CurveKind, Step};
use crate::report::chart::{Chart, Dash, Hours, Level, Line, Mark, Panel, degrees, in_page, unit};
use crate::report::clean::shorten;
use crate::units::Locale;

/// The step's curve as SVG; none where it has too few points to be one.
pub fn curve(step: &Step, locale: Locale, id: String) -> Option<String> {
    let curve = step.curve.as_ref().filter(|curve| curve.points.len() > 1)?;
    let hours = (step.end - step.start).num_seconds() as f64 / 3600.0;
    let drawn = curve.points.iter().map(|[h, _]| *h).filter(|h| h.is_finite()).fold(0.0, f64::max);
    let what = shorten(&step.what, 80);
    let (title, values, level) = match curve.kind {
        CurveKind::Freezing => (
            format!("{what}: the middle of a block"),
            format!("middle of a block, {}", unit(curve.units)),
            Some(degrees(0.0, curve.units)),
        ),
        CurveKind::Drying => {
            (format!("{what}: the water in them"), "% of the water left".into(), None)
        }
    };
    let line = Line {
        name: String::new(),
        points: curve.points.iter().map(|[h, value]| [*h, shown(curve, *value)]).collect(),
        dash: Dash::Solid,
        colour: ICE,
    };
    let levels = level.map(|value| Level { value, name: String::new() });
    let done =
        curve.done_h.filter(|h| h.is_finite()).map(|at| Mark { at, name: done(step, locale, at) });
    let chart = Chart {
        id,
        title,
        finding: finding(step, locale, done.as_ref()),
        time: Hours::clock(&step.start, hours.max(drawn), 4, locale),
        panels: vec![Panel { values, lines: vec![line], levels: levels.into_iter().collect() }],
        spans: Vec::new(),
        marks: done.into_iter().collect(),
    };
    Some(in_page(&chart))
}

/// A value as the reader's thermometer shows it.
fn shown(curve: &Curve, value: f64) -> f64 {
    match curve.kind {
        CurveKind::Freezing => degrees(value, curve.units),
        CurveKind::Drying => value,
    }
}

fn done(step: &Step, locale: Locale, hours: f64) -> String {
    // To five minutes: more would say more than is known.
    let seconds = (hours.clamp(0.0, 1e5) * 12.0).round() as i64 * 300;
    let at = step.start + chrono::TimeDelta::seconds(seconds);
    let at = if at.date_naive() == step.start.date_naive() {
        locale.time(&at)
    } else {
        locale.day_and_time(&at)
    };
    format!("most likely done {at}")
}

fn finding(step: &Step, locale: Locale, done: Option<&Mark>) -> String {
    let end = locale.day_and_time(&step.end);
    match done {
        Some(done) => format!("{}; planned until {end}.", done.name),
        None => format!("Not done within this step, which ends {end}."),
    }
}

//! A block over the night: core and air, when it is solid, when it must be.

use super::{Chart, Dash, Filling, Hours, Level, Line, Mark, Panel, Span, end_of};
use crate::answers::ice::{IceAnswer, IceQuestion};
use chrono::DateTime;

use crate::report::ice::{Answered, headline};
use crate::report::sheet::palette::{CLAY, ICE};
use crate::units::{
    Locale, System, celsius, in_celsius, in_fahrenheit, kilograms, show_mass, zone::Zone,
};

/// The chart of `solidby ice`.
pub fn ice(answered: &Answered) -> Chart {
    let Answered { answer, question, times, locale } = answered;
    let (times, locale, units) = (*times, *locale, locale.units);
    let by = times.by.map(|by| (by - times.filled).num_seconds() as f64 / 3600.0);
    let end = end(answer, by);
    let line =
        |name: &str, value: fn(&crate::freezing::freeze::Moment) -> f64, dash, colour| Line {
            name: name.to_owned(),
            points: answer
                .history
                .iter()
                .map(|m| [m.time / 3600.0, degrees(value(m), units)])
                .collect(),
            dash,
            colour,
        };
    let lines = vec![
        line("middle", |moment| moment.core_c, Dash::Solid, ICE),
        line("freezer", |moment| moment.air_c, Dash::Long, CLAY),
    ];
    let zero = degrees(0.0, units);
    Chart {
        id: "ice".to_owned(),
        title: title(answer, question, units),
        finding: finding(answered),
        time: Hours::clock(&times.filled, end, 6, locale),
        panels: vec![Panel {
            values: unit(units).to_owned(),
            lines,
            levels: vec![Level { value: zero, name: format!("{zero:.0} {}", unit(units)) }],
        }],
        spans: spans(answered, end > 24.0),
        marks: by
            .zip(times.by)
            .map(|(at, by)| Mark::needed(at, &clock(by, at > 24.0, locale), end))
            .into_iter()
            .collect(),
    }
}

/// Degrees on the reader's thermometer.
pub fn degrees(c: f64, units: System) -> f64 {
    match units {
        System::Us => in_fahrenheit(celsius(c)),
        System::Metric => in_celsius(celsius(c)),
    }
}

/// The unit of [`degrees`].
pub fn unit(units: System) -> &'static str {
    match units {
        System::Us => "°F",
        System::Metric => "°C",
    }
}

/// All of the line, of the band as far as it is finite, and the deadline.
fn end(answer: &IceAnswer, by: Option<f64>) -> f64 {
    let line = answer.history.last().map_or(1.0, |moment| moment.time / 3600.0);
    let band = answer.solid_h.map_or(line, |band| {
        let last = [band.p95, 1.3 * band.p50].into_iter().find(|h| h.is_finite());
        last.unwrap_or(line)
    });
    end_of(line.max(band), by)
}

/// A time, with its day where there are several.
fn clock(at: DateTime<Zone>, long: bool, locale: Locale) -> String {
    let day = if long { format!("{} ", at.format("%a")) } else { String::new() };
    format!("{day}{}", locale.time(&at))
}

fn spans(Answered { answer, times, locale, .. }: &Answered, long: bool) -> Vec<Span> {
    let Some(band) = answer.solid_h.filter(|band| band.p50.is_finite()) else { return Vec::new() };
    // To five minutes, outwards: more would say more than is known.
    let rounded = |h: f64, round: fn(f64) -> f64| {
        if !h.is_finite() {
            return "never".to_owned();
        }
        let filled = times.filled.timestamp() as f64;
        let late = 300.0 * round((filled + 3600.0 * h) / 300.0) - filled;
        let at = times.filled + chrono::Duration::seconds(late as i64);
        clock(at, long, *locale)
    };
    let (low, middle) = (rounded(band.p05, f64::floor), rounded(band.p50, f64::round));
    let name = format!("solid about {middle} ({low} to {})", rounded(band.p95, f64::ceil));
    vec![Span { from: band.p05, middle: band.p50, to: band.p95, name, filling: Filling::Plain }]
}

fn title(answer: &IceAnswer, question: &IceQuestion, units: System) -> String {
    let each = show_mass(kilograms(answer.mass_kg), units);
    match question.count {
        1 => format!("A block of {each} freezing"),
        count => format!("{count} blocks of {each} each, freezing"),
    }
}

fn finding(answered: &Answered) -> String {
    let band = match answered.answer.solid_h {
        Some(band) if band.p50.is_finite() => " Shaded: solid in 9 of 10 cases.",
        _ => "",
    };
    format!("{}{band}", headline(answered))
}

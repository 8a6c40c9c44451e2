//! Axes: round numbers for values, full hours and midnights for the clock.

use chrono::{DateTime, DurationRound, TimeDelta, TimeZone, Timelike};

use crate::units::Locale;

/// A place on an axis that is named.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// Where, in the axis's own unit.
    pub at: f64,
    /// Its name.
    pub label: String,
}

/// No axis of values is shorter: 4 degrees, 4 % of water.
const LEAST_SPAN: f64 = 4.0;

/// An axis of values, between round numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Values {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Named places, the lowest first.
    pub ticks: Vec<Tick>,
}

impl Values {
    /// The axis that covers all of `values` with at most `most` steps of 1, 2 or
    /// 5 times a power of ten.
    pub fn covering(values: impl Iterator<Item = f64>, most: usize) -> Self {
        let (low, high) = values
            .filter(|value| value.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        let (low, high) = if low <= high { (low, high) } else { (0.0, 0.0) };
        // What hardly changes is not blown up to look as if it did.
        let more = (0.5 * (LEAST_SPAN - (high - low))).max(0.0);
        let (low, high) = (low - more, high + more);
        let step = round_step((high - low) / most.max(1) as f64);
        let (first, last) = ((low / step).floor() as i64, (high / step).ceil() as i64);
        let at = |n: i64| n as f64 * step;
        let label = |value: f64| {
            let digits = if step < 1.0 { 1 } else { 0 };
            format!("{value:.digits$}").replace('-', "\u{2212}")
        };
        let ticks = (first..=last).map(|n| Tick { at: at(n), label: label(at(n)) }).collect();
        Self { low: at(first), high: at(last), ticks }
    }
}

/// The least of 1, 2, 5, 10 … that is no less than `least`.
fn round_step(least: f64) -> f64 {
    let power = 10f64.powf(least.max(0.1).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * power).find(|s| *s >= least).unwrap_or(power)
}

/// An axis of time from 0 on, in hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Hours {
    /// Its length.
    pub end: f64,
    /// Named places.
    pub ticks: Vec<Tick>,
    /// Days below them, where the clock is shown.
    pub days: Vec<Tick>,
    /// What it counts; empty for the clock, which needs no word.
    pub unit: &'static str,
}

impl Hours {
    /// Hours or days since the start.
    pub fn since(end: f64, most: usize) -> Self {
        let end = sound(end);
        let (unit, size) = if end > 96.0 { ("days", 24.0) } else { ("hours", 1.0) };
        let least = end / size / most.max(1) as f64;
        let steps = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0];
        let step = steps.into_iter().find(|step| *step >= least).unwrap_or(round_step(least));
        let count = (end / size / step).floor() as usize;
        let ticks = (0..=count).map(|n| n as f64 * step);
        let ticks = ticks.map(|at| Tick { at: at * size, label: format!("{at}") }).collect();
        Self { end, ticks, days: Vec::new(), unit }
    }

    /// The clock on the wall, from `start` on.
    pub fn clock<Z: TimeZone>(start: &DateTime<Z>, end: f64, most: usize, locale: Locale) -> Self
    where
        Z::Offset: std::fmt::Display,
    {
        let end = sound(end);
        let least = end / most.max(1) as f64;
        let steps = [1, 2, 3, 6, 12, 24, 48, 96, 240];
        let step = steps.into_iter().find(|step| f64::from(*step) >= least).unwrap_or(1000);
        let hours = |at: &DateTime<Z>| (at.clone() - start.clone()).num_seconds() as f64 / 3600.0;
        let mut ticks = Vec::new();
        let mut days = vec![Tick { at: 0.0, label: locale.day(start) }];
        // Quarters of an hour, as zones are apart by no less.
        let quarter = TimeDelta::minutes(15);
        let mut at = start.clone().duration_trunc(quarter).unwrap_or_else(|_| start.clone());
        let mut nights = 0;
        while hours(&at) <= end {
            let midnight = at.hour() == 0 && at.minute() == 0;
            nights += u32::from(midnight);
            let whole = at.minute() == 0 && at.hour().is_multiple_of(step.min(24));
            let due = step <= 24 || (midnight && (nights - 1).is_multiple_of(step / 24));
            if hours(&at) >= 0.0 && whole && due {
                let label = match step < 24 {
                    true => locale.hour(&at),
                    false => at.format("%a %-d").to_string(),
                };
                ticks.push(Tick { at: hours(&at), label });
                if midnight && step < 24 {
                    days.push(Tick { at: hours(&at), label: locale.day(&at) });
                }
            }
            at += quarter;
        }
        if step >= 24 {
            days.clear();
        }
        Self { end, ticks, days, unit: "" }
    }
}

/// A length that can be drawn: a year at most.
fn sound(end: f64) -> f64 {
    if end.is_finite() { end.clamp(0.25, 8800.0) } else { 24.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(ticks: &[Tick]) -> Vec<&str> {
        ticks.iter().map(|tick| tick.label.as_str()).collect()
    }

    #[test]
    fn values_stand_on_round_numbers() {
        let axis = Values::covering([-18.0, 14.6].into_iter(), 5);
        assert_eq!((axis.low, axis.high), (-20.0, 20.0));
        assert_eq!(labels(&axis.ticks), ["\u{2212}20", "\u{2212}10", "0", "10", "20"]);
        let empty = Values::covering([f64::NAN, f64::INFINITY].into_iter(), 5);
        assert!(empty.low < empty.high && empty.ticks.len() < 8);
    }

    #[test]
    fn the_clock_shows_full_hours_and_the_day_at_midnight() {
        let start = DateTime::parse_from_rfc3339("2026-12-06T20:05:00-07:00").unwrap();
        let axis = Hours::clock(&start, 11.0, 6, Locale::default());
        assert_eq!(labels(&axis.ticks), ["22:00", "00:00", "02:00", "04:00", "06:00"]);
        assert_eq!(labels(&axis.days), ["Sun 6 Dec", "Mon 7 Dec"]);
        let week = Hours::clock(&start, 150.0, 6, Locale::default());
        assert_eq!(labels(&week.ticks)[..2], ["Mon 7", "Wed 9"]);
    }

    #[test]
    fn a_clock_change_moves_the_hours() {
        let start = chrono_tz::Europe::Berlin.with_ymd_and_hms(2026, 10, 24, 23, 0, 0).unwrap();
        let axis = Hours::clock(&start, 6.0, 6, Locale::default());
        // 02:00 comes twice in that night.
        assert_eq!(labels(&axis.ticks)[3..5], ["02:00", "02:00"]);
    }

    #[test]
    fn long_times_are_counted_in_days() {
        assert_eq!(Hours::since(2.2, 6).unit, "hours");
        let days = Hours::since(200.0, 6);
        assert_eq!((days.unit, labels(&days.ticks)[1]), ("days", "2"));
    }
}

//! Short phrases that calendar and sheet share: days, times, durations, chances.

use chrono::{DateTime, Datelike, NaiveDate};
use chrono_tz::Tz;

pub use crate::prep::steps::{day_words as day, time_words as day_and_clock};
use crate::uncertainty::Verdict;

/// `Wednesday 9 December`.
pub fn long_day(date: NaiveDate) -> String {
    format!("{} {} {}", date.format("%A"), date.day(), date.format("%B"))
}

/// `07:40`, on the wall clock of its zone.
pub fn clock(at: DateTime<Tz>) -> String {
    at.format("%H:%M").to_string()
}

/// `2 h 30 min`, to the minute; days from 48 h on.
pub fn duration(hours: f64) -> String {
    let minutes = (hours * 60.0).round() as i64;
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, _) if h >= 48 => format!("{} days", (h as f64 / 24.0).round()),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

/// How much later a step could begin, in a sentence; nothing to say below a quarter of an hour.
pub fn slack(hours: f64) -> Option<String> {
    let room = hours.is_finite() && hours >= 0.25;
    room.then(|| format!("Could begin up to {} later.", duration(hours)))
}

/// A chance in words and per cent, never rounded to certainty:
/// `likely (about 87 %)`, with a space that does not break.
pub fn chance(chance: f64) -> String {
    let word = match Verdict::from(chance) {
        Verdict::Sure => "very likely",
        Verdict::Likely => "likely",
        Verdict::Even => "could go either way",
        Verdict::Unlikely => "unlikely",
        Verdict::No => "hardly possible",
    };
    match (chance * 100.0).round() as i64 {
        100.. => format!("{word} (over 99\u{a0}%)"),
        ..=0 => format!("{word} (under 1\u{a0}%)"),
        percent => format!("{word} (about {percent}\u{a0}%)"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_read_like_a_kitchen_clock() {
        let read = [(0.5, "30 min"), (2.0, "2 h"), (2.51, "2 h 31 min"), (72.2, "3 days")];
        for (hours, text) in read {
            assert_eq!(duration(hours), text);
        }
        assert_eq!(slack(2.5).as_deref(), Some("Could begin up to 2 h 30 min later."));
        assert!([0.0, f64::INFINITY, f64::NAN].into_iter().all(|hours| slack(hours).is_none()));
    }

    #[test]
    fn a_chance_is_never_certain() {
        assert_eq!(chance(1.0), "very likely (over 99\u{a0}%)");
        assert_eq!(chance(0.87), "likely (about 87\u{a0}%)");
        assert_eq!(chance(0.0), "hardly possible (under 1\u{a0}%)");
    }

    #[test]
    fn days_are_named() {
        let date = NaiveDate::from_ymd_opt(2026, 12, 9).unwrap();
        assert_eq!(
            (day(date), long_day(date)),
            ("Wed 9 Dec".into(), "Wednesday 9 December".into())
        );
    }
}

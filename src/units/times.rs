//! Points in time as people type them, laid in a zone: RFC 3339, `20:00`, `8:00 pm`,
//! `today 20:00`, `tonight 8:00`, `tomorrow 07:00`, `Tue 07:00`, `Dec 9 9:30 am`.

use std::{
    fmt::{self, Display, Formatter},
    ops::RangeInclusive,
};

use chrono::{
    DateTime, Datelike, Days, Duration, Month, NaiveDate, NaiveDateTime, NaiveTime, TimeZone,
    Weekday,
};
use thiserror::Error;

use super::Locale;
use super::zone::{Skipped, Zone, instant};

/// Years in which a kitchen's times can lie.
pub const YEARS: RangeInclusive<i32> = 1970..=2199;

/// How long ago a bare time may be for it to be the one that is meant.
const STILL_MEANT: Duration = Duration::hours(6);

/// Why a time cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TimeError {
    /// In no form that is known, or in no year of [`YEARS`].
    NotATime(String),
    /// A day without a time of day.
    NoTimeOfDay(String),
    /// Its order of month and day can be read both ways.
    TwoReadings {
        /// As typed.
        typed: String,
        /// Both.
        readings: [NaiveDateTime; 2],
    },
    /// A clock change leaves it out.
    Skipped(#[from] Skipped),
    /// It has not passed yet, where only what has happened is asked for.
    ToCome(String),
}

impl TimeError {
    /// What is wrong and what would be right, on the reader's clock.
    pub fn told(&self, locale: Locale) -> String {
        match self {
            Self::NotATime(typed) => format!(
                "“{typed}” is not a time; for example 20:00, “8:00 pm”, “tomorrow 07:00”, \
                 “Tue 07:00” or 2026-12-08T07:00:00"
            ),
            Self::NoTimeOfDay(day) => {
                format!("“{day}” has no time of day; for example “{day} 9:30 am” or “{day} 20:00”")
            }
            Self::TwoReadings { typed, readings } => {
                let [one, other] =
                    readings.map(|at| format!("“{} {}”", locale.date(&at), locale.time(&at)));
                format!("“{typed}” can mean {one} or {other}; write one of these")
            }
            Self::Skipped(skipped) => skipped.told(locale),
            Self::ToCome(typed) => {
                format!("“{typed}” is still to come; this is about what has happened")
            }
        }
    }
}

impl Display for TimeError {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told(Locale::default()))
    }
}

/// A typed time; a bare one is the next such time after `after`.
///
/// # Errors
/// [`TimeError`].
pub fn read_time(
    text: &str,
    now: DateTime<Zone>,
    after: DateTime<Zone>,
) -> Result<DateTime<Zone>, TimeError> {
    let zone = now.timezone();
    let text = text.trim().trim_matches(['“', '”', '‘', '’', '"', '\'']);
    if let Some(written) = full(text.trim(), zone) {
        return Ok(written?);
    }
    let lost = || TimeError::NotATime(text.to_owned());
    let words = text.to_lowercase();
    let (day, time) = day_and_time(&words).ok_or_else(|| match is_day(&words) {
        true => TimeError::NoTimeOfDay(text.to_owned()),
        false => lost(),
    })?;
    let today = now.date_naive();
    let on = |day: NaiveDate| instant(&zone, day.and_time(time)).map_err(TimeError::from);
    let at = match day[..] {
        [] => match on(after.date_naive()) {
            Ok(at) if at > after => at,
            Err(error) if time > after.time() => return Err(error),
            _ => on(after.date_naive() + Days::new(1))?,
        },
        ["yesterday"] => on(today - Days::new(1))?,
        ["today" | "tonight"] => on(today)?,
        ["tomorrow"] => on(today + Days::new(1))?,
        [one] => match one.parse::<Weekday>() {
            Ok(wanted) => {
                let ahead = wanted.days_since(today.weekday());
                let at = on(today + Days::new(u64::from(ahead)))?;
                if at > now { at } else { on(at.date_naive() + Days::new(7))? }
            }
            Err(_) => on(slashed(text, one, today, time)?)?,
        },
        [a, b] => on(month_and_day(a, b).and_then(|of| next_day(of, today)).ok_or_else(lost)?)?,
        _ => return Err(lost()),
    };
    Some(at).filter(|at| YEARS.contains(&at.year())).ok_or_else(lost)
}

/// A typed time at which something was or is begun; a bare one is the last before `by`,
/// or, where nothing is said of that, the next after six hours ago: who says at 20:05
/// that it was filled at 20:00 means today.
///
/// # Errors
/// [`TimeError`].
pub fn read_start(
    text: &str,
    now: DateTime<Zone>,
    by: Option<DateTime<Zone>>,
) -> Result<DateTime<Zone>, TimeError> {
    match by {
        Some(by) => last(text, now, by - Duration::seconds(1)),
        None => read_time(text, now, now - STILL_MEANT),
    }
}

/// A typed time that has passed; a bare one, a day of the week and a date mean the last one.
///
/// # Errors
/// [`TimeError`].
pub fn read_past(text: &str, now: DateTime<Zone>) -> Result<DateTime<Zone>, TimeError> {
    let mut at = last(text, now, now)?;
    let relative = ["today", "tonight", "tomorrow"];
    let words = text.to_lowercase();
    let named = !relative.iter().any(|word| words.contains(word));
    for days in [7, 366] {
        if at > now && named {
            let before = now - Duration::days(days);
            at = read_time(text, before, before)?;
        }
    }
    if at > now { Err(TimeError::ToCome(text.to_owned())) } else { Ok(at) }
}

/// The last such time until then, where it is a bare one. A day has at most 26 hours.
fn last(
    text: &str,
    now: DateTime<Zone>,
    until: DateTime<Zone>,
) -> Result<DateTime<Zone>, TimeError> {
    let early = read_time(text, now, until - Duration::hours(26))?;
    let late = read_time(text, now, early)?;
    Ok(if late <= until { late } else { early })
}

/// A date-time with all its parts; one without an offset is laid in the zone.
pub fn full(text: &str, zone: Zone) -> Option<Result<DateTime<Zone>, Skipped>> {
    let within = |year: i32| YEARS.contains(&year);
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return within(at.year()).then(|| Ok(at.with_timezone(&zone)));
    }
    let local = ["%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M"]
        .iter()
        .find_map(|format| NaiveDateTime::parse_from_str(text, format).ok())?;
    within(local.year()).then(|| instant(&zone, local))
}

/// Whether it is a time of day alone.
pub fn is_bare(text: &str) -> bool {
    day_and_time(&text.to_lowercase()).is_some_and(|(day, _)| day.is_empty())
}

/// Whether it is a day alone, as people say it.
fn is_day(text: &str) -> bool {
    match text.split_whitespace().collect::<Vec<_>>()[..] {
        [one] => {
            ["today", "tonight", "tomorrow", "yesterday"].contains(&one)
                || one.parse::<Weekday>().is_ok()
                || NaiveDate::parse_from_str(one, "%Y-%m-%d").is_ok()
        }
        [a, b] => month_and_day(a, b).is_some(),
        _ => false,
    }
}

/// The words of the day, and the time behind them or before them.
fn day_and_time(text: &str) -> Option<(Vec<&str>, NaiveTime)> {
    let mut words: Vec<&str> = text.split_whitespace().collect();
    day_then_time(words.clone()).or_else(|| {
        let half = words.get(1).is_some_and(|word| ["am", "pm"].contains(word));
        let time = if half { 2 } else { 1 };
        if words.len() <= time {
            return None;
        }
        words.rotate_left(time);
        day_then_time(words)
    })
}

fn day_then_time(mut words: Vec<&str>) -> Option<(Vec<&str>, NaiveTime)> {
    let mut last = words.pop()?.to_owned();
    if ["am", "pm"].contains(&last.as_str()) {
        last.insert_str(0, words.pop()?);
    }
    let time = match words[..] {
        ["tonight"] => this_evening(&last)?,
        _ => time_of_day(&last)?,
    };
    Some((words, time))
}

/// A time of day such as `07:15`, `6:15pm`, `9 am` or `noon`.
pub fn time_of_day(text: &str) -> Option<NaiveTime> {
    let text = text.trim().to_ascii_lowercase();
    if text == "noon" {
        return NaiveTime::from_hms_opt(12, 0, 0);
    }
    if let Ok(time) = NaiveTime::parse_from_str(&text, "%H:%M") {
        return Some(time);
    }
    let (clock, half) = text.split_at_checked(text.len().checked_sub(2)?)?;
    let clock = clock.trim();
    let minutes = if clock.contains(':') { "" } else { ":00" };
    NaiveTime::parse_from_str(&format!("{clock}{minutes} {half}"), "%I:%M %p").ok()
}

/// The same, where `8:00` is eight in the evening.
fn this_evening(text: &str) -> Option<NaiveTime> {
    let evening = NaiveTime::from_hms_opt(16, 0, 0)?;
    let later = || time_of_day(&format!("{text}pm"));
    time_of_day(text).filter(|at| *at >= evening).or_else(later).filter(|at| *at >= evening)
}

/// `Dec 9` or `9 December`, in two words.
pub fn month_and_day(a: &str, b: &str) -> Option<(u32, u32)> {
    let of = |month: &str, day: &str| {
        Some((month.parse::<Month>().ok()?.number_from_month(), day.parse().ok()?))
    };
    of(a, b).or_else(|| of(b, a))
}

/// The next day of this month and day, today or later; 29 February may be years away.
pub fn next_day((month, day): (u32, u32), today: NaiveDate) -> Option<NaiveDate> {
    (0..9)
        .filter_map(|years| NaiveDate::from_ymd_opt(today.year() + years, month, day))
        .find(|date| *date >= today)
}

/// `12/24`, which has one reading only; `12/9` has two.
fn slashed(
    typed: &str,
    day: &str,
    today: NaiveDate,
    time: NaiveTime,
) -> Result<NaiveDate, TimeError> {
    let lost = || TimeError::NotATime(typed.to_owned());
    let parts = day.split_once('/').and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
    let (a, b): (u32, u32) = parts.ok_or_else(lost)?;
    match (next_day((a, b), today), next_day((b, a), today)) {
        (Some(first), Some(second)) if first != second => Err(TimeError::TwoReadings {
            typed: typed.to_owned(),
            readings: [first.and_time(time), second.and_time(time)],
        }),
        (Some(date), _) | (None, Some(date)) => Ok(date),
        (None, None) => Err(lost()),
    }
}

/// Hours from one instant to another.
pub fn hours_between<A: TimeZone, B: TimeZone>(from: DateTime<A>, to: DateTime<B>) -> f64 {
    to.signed_duration_since(from).num_seconds() as f64 / 3600.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lay(text: &str) -> DateTime<Zone> {
        let at = DateTime::parse_from_rfc3339(text).unwrap();
        at.with_timezone(&Zone::Offset(*at.offset()))
    }

    fn read(text: &str) -> String {
        let now = lay("2026-12-06T18:00:00-07:00");
        read_time(text, now, now).unwrap().to_rfc3339()
    }

    #[test]
    fn times_people_type() {
        for (text, means) in [
            ("20:00", "2026-12-06T20:00:00-07:00"),
            ("07:00", "2026-12-07T07:00:00-07:00"),
            ("8:00 pm", "2026-12-06T20:00:00-07:00"),
            ("6:40am", "2026-12-07T06:40:00-07:00"),
            ("12 am", "2026-12-07T00:00:00-07:00"),
            ("tonight 8:00", "2026-12-06T20:00:00-07:00"),
            ("tonight 20:30", "2026-12-06T20:30:00-07:00"),
            ("tomorrow 07:00", "2026-12-07T07:00:00-07:00"),
            ("Tomorrow 7 AM", "2026-12-07T07:00:00-07:00"),
            ("Tue 07:00", "2026-12-08T07:00:00-07:00"),
            ("7 am tomorrow", "2026-12-07T07:00:00-07:00"),
            ("07:00 Tue", "2026-12-08T07:00:00-07:00"),
            ("8:00 tonight", "2026-12-06T20:00:00-07:00"),
            ("9:30 am Dec 9", "2026-12-09T09:30:00-07:00"),
            ("Sun 07:00", "2026-12-13T07:00:00-07:00"),
            ("Dec 9 9:30 am", "2026-12-09T09:30:00-07:00"),
            ("9 December 09:30", "2026-12-09T09:30:00-07:00"),
            ("12/24 9:30 am", "2026-12-24T09:30:00-07:00"),
            ("Dec 5 09:30", "2027-12-05T09:30:00-07:00"),
            ("2026-12-08T07:00:00", "2026-12-08T07:00:00-07:00"),
            ("2026-12-08T07:00:00Z", "2026-12-08T00:00:00-07:00"),
        ] {
            assert_eq!(read(text), means, "{text}");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let now = lay("2026-12-06T18:00:00Z");
        for text in [
            "",
            "7",
            "25:00",
            "13 pm",
            "tonight 8:00 am",
            "someday 07:00",
            "2026-13-01T00:00:00",
            "Feb 30 07:00",
            "13/13 07:00",
            "a b c 07:00",
            "é 07:00",
            "+262142-12-31T23:59",
            "1969-12-31T12:00:00Z",
            "2200-01-02T00:00:00",
        ] {
            let refused = read_time(text, now, now);
            assert_eq!(refused, Err(TimeError::NotATime(text.to_owned())), "{text}");
        }
    }

    #[test]
    fn an_order_of_month_and_day_that_can_be_read_both_ways_is_refused_with_both() {
        let now = lay("2026-12-06T18:00:00Z");
        let words = read_time("12/9 09:30", now, now).unwrap_err().to_string();
        assert!(words.contains("“9 Dec 09:30” or “12 Sep 09:30”"), "{words}");
        assert!(read_time("12/12 09:30", now, now).is_ok());
    }

    #[test]
    fn a_bare_start_is_the_one_that_makes_sense() {
        let now = lay("2026-12-06T20:05:00-07:00");
        let by = |text: &str| Some(lay(text));
        for (by, means) in [
            (None, "2026-12-06T20:00:00-07:00"),
            (by("2026-12-07T07:00:00-07:00"), "2026-12-06T20:00:00-07:00"),
            (by("2026-12-09T07:00:00-07:00"), "2026-12-08T20:00:00-07:00"),
            (by("2026-12-07T20:00:00-07:00"), "2026-12-06T20:00:00-07:00"),
        ] {
            assert_eq!(read_start("20:00", now, by).unwrap().to_rfc3339(), means, "{by:?}");
        }
        assert_eq!(
            read_start("13:00", now, None).unwrap().to_rfc3339(),
            "2026-12-07T13:00:00-07:00"
        );
    }

    #[test]
    fn what_has_happened() {
        let now = lay("2026-12-06T18:00:00-07:00");
        let past = |text: &str| read_past(text, now).map(|at| at.to_rfc3339());
        assert_eq!(past("20:00").unwrap(), "2026-12-05T20:00:00-07:00");
        assert_eq!(past("Fri 20:00").unwrap(), "2026-12-04T20:00:00-07:00");
        assert_eq!(past("Dec 5 8 pm").unwrap(), "2026-12-05T20:00:00-07:00");
        assert_eq!(past("2 Jan 20:00").unwrap(), "2026-01-02T20:00:00-07:00");
        assert!(matches!(past("tomorrow 07:00"), Err(TimeError::ToCome(_))));
        assert!(
            matches!(past("7 am tomorrow"), Err(TimeError::ToCome(_))),
            "not that of a week ago"
        );
    }

    #[test]
    fn times_around_a_clock_change() {
        // IANA time zone database: America/New_York changes on 2027-03-14 and 2027-11-07.
        let zone = Zone::Named(chrono_tz::America::New_York);
        let now = |text: &str| lay(text).with_timezone(&zone);
        let spring = now("2027-03-13T20:00:00-05:00");
        let read = |text: &str, now| read_time(text, now, now).map(|at| at.to_rfc3339());
        assert_eq!(read("07:00", spring).unwrap(), "2027-03-14T07:00:00-04:00");
        let words = read("02:30", spring).unwrap_err().to_string();
        assert!(words.contains("01:59") && words.contains("03:00"), "{words}");
        let autumn = now("2027-11-06T20:00:00-04:00");
        assert_eq!(read("07:00", autumn).unwrap(), "2027-11-07T07:00:00-05:00");
        assert_eq!(read("01:30", autumn).unwrap(), "2027-11-07T01:30:00-04:00");
    }
}

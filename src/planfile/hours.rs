//! When hands are free: `daily 18:30-21:30`, `Mon-Fri 08:00-12:30`,
//! `Tue Thu 08:00-12:00`, `2026-12-05 09:00-17:00`; and days:
//! `2026-12-21 to 2027-01-01`.

use std::{ops::RangeInclusive, str::FromStr};

use chrono::{Datelike, NaiveDate, NaiveTime, Weekday};
use thiserror::Error;

/// Why hours or days could not be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum HoursError {
    /// Not days followed by two times of day.
    #[error("“{0}” is not hours; they look like “Mon-Fri 08:00-12:30” or “daily 18:30-21:30”")]
    NotHours(String),
    /// A word that names no day.
    #[error("“{0}” is not a day; days look like “Mon Wed Fri”, “Mon-Fri” or “daily”")]
    NotADay(String),
    /// The end is not after the start.
    #[error("“{0}” ends before it starts; hours over midnight are written as two entries")]
    Backwards(String),
    /// Not a date or two dates.
    #[error("“{0}” is not a range of days; it looks like “2026-12-21 to 2027-01-01”")]
    NotADate(String),
}

/// Days of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Days(u8);

impl Days {
    /// Every day.
    pub const DAILY: Self = Self(0x7f);

    /// Whether a day of the week is among them.
    pub fn include(self, day: Weekday) -> bool {
        self.0 & (1 << day.num_days_from_monday()) != 0
    }
}

impl FromStr for Days {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        let mut days = 0;
        for word in text.split([' ', ',']).filter(|word| !word.is_empty()) {
            days |= day_word(word)?;
        }
        if days == 0 { Err(HoursError::NotADay(text.to_owned())) } else { Ok(Self(days)) }
    }
}

fn day_word(word: &str) -> Result<u8, HoursError> {
    if word.eq_ignore_ascii_case("daily") {
        return Ok(Days::DAILY.0);
    }
    let day = |name: &str| {
        name.parse::<Weekday>()
            .map(|day| day.num_days_from_monday())
            .map_err(|_| HoursError::NotADay(word.to_owned()))
    };
    let Some((first, last)) = word.split_once(['-', '–']) else { return Ok(1 << day(word)?) };
    let (first, last) = (day(first)?, day(last)?);
    // "Fri-Mon" runs over the week's end.
    Ok((0..=(last + 7 - first) % 7).fold(0, |days, step| days | 1 << ((first + step) % 7)))
}

/// On which days an opening holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Span {
    /// On days of the week.
    Weekly(Days),
    /// On certain dates.
    Dates(RangeInclusive<NaiveDate>),
}

/// When hands are free: some days, from one time of day to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// On which days.
    pub on: Span,
    /// From.
    pub from: NaiveTime,
    /// Until, on the same day.
    pub until: NaiveTime,
}

impl Opening {
    /// Whether it holds on that day.
    pub fn on(&self, day: NaiveDate) -> bool {
        match &self.on {
            Span::Weekly(days) => days.include(day.weekday()),
            Span::Dates(dates) => dates.contains(&day),
        }
    }
}

impl FromStr for Opening {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        let wrong = || HoursError::NotHours(text.to_owned());
        let (days, times) = text.trim().rsplit_once(' ').ok_or_else(wrong)?;
        let (from, until) = times.split_once(['-', '–']).ok_or_else(wrong)?;
        let from = time_of_day(from).ok_or_else(wrong)?;
        let until = time_of_day(until).ok_or_else(wrong)?;
        if until <= from {
            return Err(HoursError::Backwards(text.to_owned()));
        }
        let on = if days.starts_with(|c: char| c.is_ascii_digit()) {
            Span::Dates(dates(days)?)
        } else {
            Span::Weekly(days.parse()?)
        };
        Ok(Self { on, from, until })
    }
}

/// A time of day such as `07:15`.
pub fn time_of_day(text: &str) -> Option<NaiveTime> {
    NaiveTime::parse_from_str(text.trim(), "%H:%M").ok()
}

/// One date, or two joined by `to`.
///
/// # Errors
/// [`HoursError`] when a date does not exist or the range runs backwards.
pub fn dates(text: &str) -> Result<RangeInclusive<NaiveDate>, HoursError> {
    let wrong = || HoursError::NotADate(text.to_owned());
    let date = |text: &str| NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").map_err(|_| wrong());
    let range = match text.split_once(" to ") {
        Some((first, last)) => date(first)?..=date(last)?,
        None => date(text)?..=date(text)?,
    };
    if range.is_empty() { Err(wrong()) } else { Ok(range) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_alone_in_lists_and_ranges() {
        let open: Opening = "Mon-Wed Fri 08:00-12:30".parse().unwrap();
        let days: Vec<bool> =
            (7..14).map(|day| open.on(NaiveDate::from_ymd_opt(2026, 12, day).unwrap())).collect();
        assert_eq!(days, [true, true, true, false, true, false, false]);
        let weekend: Days = "Sat-Mon".parse().unwrap();
        assert!(weekend.include(Weekday::Sun) && !weekend.include(Weekday::Tue));
    }

    #[test]
    fn single_dates() {
        let open: Opening = "2026-12-05 09:00-17:00".parse().unwrap();
        assert!(open.on(NaiveDate::from_ymd_opt(2026, 12, 5).unwrap()));
        assert!(!open.on(NaiveDate::from_ymd_opt(2026, 12, 6).unwrap()));
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["", "daily", "daily 9-10", "Mon 25:00-26:00", "Mon 08:00"] {
            assert!(matches!(text.parse::<Opening>(), Err(HoursError::NotHours(_))), "{text}");
        }
        assert!(matches!("Mox 08:00-09:00".parse::<Opening>(), Err(HoursError::NotADay(_))));
        assert!(matches!("Mon 21:00-06:00".parse::<Opening>(), Err(HoursError::Backwards(_))));
        assert!(dates("2026-02-30").is_err());
        assert!(dates("2027-01-01 to 2026-12-21").is_err());
    }
}

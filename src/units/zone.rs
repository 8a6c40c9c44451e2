//! Local wall-clock time to an instant, also on the two nights that change.

use std::fmt::{self, Display, Formatter};

use chrono::{
    DateTime, Datelike, Duration, FixedOffset, MappedLocalTime, NaiveDate, NaiveDateTime, Offset,
    TimeZone, Utc,
};
use chrono_tz::Tz;
use thiserror::Error;

use super::Locale;

/// Where wall clocks are read. A [`DateTime`] in it has the right offset on both
/// sides of a clock change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// A zone of the IANA database.
    Named(Tz),
    /// The offset that a time was typed with, where no zone agrees with it.
    Offset(FixedOffset),
}

/// The offset of a [`Zone`] at one instant.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct OffsetIn {
    zone: Zone,
    offset: FixedOffset,
}

impl Offset for OffsetIn {
    fn fix(&self) -> FixedOffset {
        self.offset
    }
}

impl fmt::Display for OffsetIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.offset, f)
    }
}

impl fmt::Debug for OffsetIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.offset, f)
    }
}

impl TimeZone for Zone {
    type Offset = OffsetIn;

    fn from_offset(offset: &OffsetIn) -> Self {
        offset.zone
    }

    fn offset_from_local_date(&self, local: &NaiveDate) -> MappedLocalTime<OffsetIn> {
        self.offset_from_local_datetime(&local.and_time(chrono::NaiveTime::MIN))
    }

    fn offset_from_local_datetime(&self, local: &NaiveDateTime) -> MappedLocalTime<OffsetIn> {
        match self {
            Self::Named(zone) => zone.offset_from_local_datetime(local).map(|at| at.fix()),
            Self::Offset(offset) => MappedLocalTime::Single(*offset),
        }
        .map(|offset| OffsetIn { zone: *self, offset })
    }

    fn offset_from_utc_date(&self, utc: &NaiveDate) -> OffsetIn {
        self.offset_from_utc_datetime(&utc.and_time(chrono::NaiveTime::MIN))
    }

    fn offset_from_utc_datetime(&self, utc: &NaiveDateTime) -> OffsetIn {
        let offset = match self {
            Self::Named(zone) => zone.offset_from_utc_datetime(utc).fix(),
            Self::Offset(offset) => *offset,
        };
        OffsetIn { zone: *self, offset }
    }
}

impl Zone {
    /// Its name; an offset has none.
    pub fn name(&self) -> Option<&'static str> {
        match self {
            Self::Named(zone) => Some(zone.name()),
            Self::Offset(_) => None,
        }
    }

    /// The zone where it has the offset of `at` at that instant, else that offset alone.
    pub fn agreeing_with(self, at: DateTime<FixedOffset>) -> Self {
        match self.offset_from_utc_datetime(&at.naive_utc()).fix() == *at.offset() {
            true => self,
            false => Self::Offset(*at.offset()),
        }
    }
}

/// A wall-clock time that a clock change leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub struct Skipped {
    /// The time.
    pub typed: NaiveDateTime,
    /// The last minute before it.
    pub last: NaiveDateTime,
    /// The first after it.
    pub next: NaiveDateTime,
}

impl Skipped {
    /// What is wrong and what would be right, on the reader's clock.
    pub fn told(&self, locale: Locale) -> String {
        let [typed, last, next] = [self.typed, self.last, self.next].map(|at| locale.time(&at));
        format!(
            "there is no {typed} on {} {}: the clocks go from {last} to {next}; use one of these",
            locale.day(&self.typed),
            self.typed.year()
        )
    }
}

impl Display for Skipped {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told(Locale::default()))
    }
}

/// The instant of a wall-clock time in a zone; one that happens twice means the first.
///
/// # Errors
/// [`Skipped`].
pub fn instant<Z: TimeZone>(zone: &Z, local: NaiveDateTime) -> Result<DateTime<Z>, Skipped> {
    match zone.from_local_datetime(&local) {
        MappedLocalTime::Single(at) | MappedLocalTime::Ambiguous(at, _) => Ok(at),
        MappedLocalTime::None => {
            let (last, next) = around_the_gap(zone, local);
            Err(Skipped { typed: local, last, next })
        }
    }
}

/// No gap in the zone database is longer than a day (Samoa skipped 2011-12-30) and
/// none begins between two minutes.
fn around_the_gap<Z: TimeZone>(zone: &Z, local: NaiveDateTime) -> (NaiveDateTime, NaiveDateTime) {
    let exists = |at: &NaiveDateTime| zone.from_local_datetime(at).earliest().is_some();
    let minutes = |sign: i64| (1..=2 * 24 * 60).map(move |n| local + Duration::minutes(sign * n));
    let last = minutes(-1).find(exists).unwrap_or(local);
    (last, minutes(1).find(exists).unwrap_or(local))
}

/// The instant of a wall-clock time in a zone.
///
/// A time that happens twice means the first; a time that is skipped is read
/// with the offset before the gap (02:30 becomes 03:30). Source: RFC 5545
/// section 3.3.5.
pub fn resolve(zone: Tz, local: NaiveDateTime) -> DateTime<Tz> {
    instant(&zone, local).unwrap_or_else(|skipped| after_the_gap(zone, skipped))
}

fn after_the_gap(zone: Tz, Skipped { typed, last, .. }: Skipped) -> DateTime<Tz> {
    let before = zone.from_local_datetime(&last).earliest();
    let offset = before.map_or(Utc.fix(), |at| at.offset().fix());
    zone.from_utc_datetime(&(typed - offset))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(year: i32, month: u32, day: u32, hour: u32, minute: u32) -> NaiveDateTime {
        NaiveDate::from_ymd_opt(year, month, day).unwrap().and_hms_opt(hour, minute, 0).unwrap()
    }

    #[test]
    fn skipped_and_repeated_times() {
        // IANA time zone database: Europe/Berlin changes on 2027-03-28 and 2026-10-25.
        let berlin = chrono_tz::Europe::Berlin;
        let skipped = resolve(berlin, at(2027, 3, 28, 2, 30));
        assert_eq!(skipped.to_rfc3339(), "2027-03-28T03:30:00+02:00");
        let repeated = resolve(berlin, at(2026, 10, 25, 2, 30));
        assert_eq!(repeated.to_rfc3339(), "2026-10-25T02:30:00+02:00");
        let zone = Zone::Named(berlin);
        assert_eq!(instant(&zone, at(2026, 10, 25, 2, 30)).unwrap(), repeated);
        let refused = instant(&zone, at(2027, 3, 28, 2, 30)).unwrap_err();
        assert_eq!((refused.last, refused.next), (at(2027, 3, 28, 1, 59), at(2027, 3, 28, 3, 0)));
    }

    #[test]
    fn a_whole_day_was_skipped_once() {
        // IANA time zone database: Pacific/Apia went from 2011-12-29 to 2011-12-31.
        let skipped = resolve(chrono_tz::Pacific::Apia, at(2011, 12, 30, 9, 0));
        assert_eq!(skipped.to_rfc3339(), "2011-12-31T09:00:00+14:00");
    }

    #[test]
    fn hours_added_cross_a_clock_change() {
        // IANA time zone database: America/New_York changes on 2027-03-14.
        let zone = Zone::Named(chrono_tz::America::New_York);
        let evening = instant(&zone, at(2027, 3, 13, 20, 0)).unwrap();
        assert_eq!(evening.to_rfc3339(), "2027-03-13T20:00:00-05:00");
        let later = evening + Duration::hours(11);
        assert_eq!(later.to_rfc3339(), "2027-03-14T08:00:00-04:00");
    }

    #[test]
    fn a_typed_offset_keeps_the_zone_that_has_it() {
        let zone = Zone::Named(chrono_tz::America::New_York);
        let typed = |text: &str| DateTime::parse_from_rfc3339(text).unwrap();
        assert_eq!(zone.agreeing_with(typed("2027-03-13T20:00:00-05:00")), zone);
        let other = zone.agreeing_with(typed("2027-03-13T20:00:00-07:00"));
        assert_eq!(other, Zone::Offset(FixedOffset::west_opt(7 * 3600).unwrap()));
    }
}

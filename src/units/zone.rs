//! Local wall-clock time to an instant, also on the two nights that change.

use chrono::{DateTime, Duration, MappedLocalTime, NaiveDateTime, TimeZone};
use chrono_tz::Tz;

/// The instant of a wall-clock time in a zone.
///
/// A time that happens twice means the first; a time that is skipped is read
/// with the offset before the gap (02:30 becomes 03:30). Source: RFC 5545
/// section 3.3.5.
pub fn resolve(zone: Tz, local: NaiveDateTime) -> DateTime<Tz> {
    match zone.from_local_datetime(&local) {
        MappedLocalTime::Single(at) | MappedLocalTime::Ambiguous(at, _) => at,
        MappedLocalTime::None => after_the_gap(zone, local),
    }
}

/// No gap in the zone database is longer than a day (Samoa skipped 2011-12-30).
fn after_the_gap(zone: Tz, local: NaiveDateTime) -> DateTime<Tz> {
    let day = Duration::days(1);
    let before = zone.from_utc_datetime(&(local - day - day)).offset().to_owned();
    let offset = chrono::Offset::fix(&before).local_minus_utc();
    zone.from_utc_datetime(&(local - Duration::seconds(i64::from(offset))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

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
    }

    #[test]
    fn a_whole_day_was_skipped_once() {
        // IANA time zone database: Pacific/Apia went from 2011-12-29 to 2011-12-31.
        let skipped = resolve(chrono_tz::Pacific::Apia, at(2011, 12, 30, 9, 0));
        assert_eq!(skipped.to_rfc3339(), "2011-12-31T09:00:00+14:00");
    }
}

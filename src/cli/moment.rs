//! Points in time as people type them: RFC 3339, `20:00`, `today 20:00`,
//! `tomorrow 07:00`, `Tue 07:00`.

use chrono::{
    DateTime, Datelike, Days, FixedOffset, Local, NaiveDate, NaiveDateTime, NaiveTime, Offset,
    TimeZone, Utc, Weekday,
};

use super::failure::Failure;

/// The zone of a question asked on the command line.
///
/// With `--now` and an offset it is that offset, else the machine's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    now: DateTime<FixedOffset>,
}

impl Moment {
    /// The clock, or what `--now` says.
    ///
    /// # Errors
    /// An input failure when `--now` is not a date-time.
    pub fn new(now: Option<&str>) -> Result<Self, Failure> {
        let now = match now {
            Some(text) => instant(text).ok_or_else(|| {
                Failure::input(format!(
                    "--now: “{text}” is not a date and time between 1900 and 2199; for example 2026-11-27T08:00:00"
                ))
            })?,
            None => return Ok(Self::clock()),
        };
        if !YEARS.contains(&now.year()) {
            let message = format!("the clock says {now}; set it, or say when it is with --now");
            return Err(Failure::other(message));
        }
        Ok(Self { now })
    }

    /// What the machine's clock says.
    pub fn clock() -> Self {
        Self { now: Local::now().fixed_offset() }
    }

    /// Now.
    pub fn now(self) -> DateTime<FixedOffset> {
        self.now
    }

    /// A typed time; a bare one is the next such time after `after`.
    ///
    /// # Errors
    /// An input failure that names `option`.
    pub fn read(
        self,
        option: &str,
        text: &str,
        after: DateTime<FixedOffset>,
    ) -> Result<DateTime<FixedOffset>, Failure> {
        self.find(text.trim(), after).ok_or_else(|| {
            Failure::input(format!(
                "{option}: “{text}” is not a time; for example 20:00, “tomorrow 07:00”, \
                 “Tue 07:00” or 2026-12-08T07:00:00"
            ))
        })
    }

    /// A typed time that has passed; a bare one is the last such time.
    ///
    /// # Errors
    /// An input failure that names `option`.
    pub fn read_past(self, option: &str, text: &str) -> Result<DateTime<FixedOffset>, Failure> {
        let at = self.read(option, text, self.now - Days::new(1))?;
        let named =
            text.trim().split_once(' ').is_some_and(|(day, _)| day.parse::<Weekday>().is_ok());
        let at = if named && at > self.now { at - Days::new(7) } else { at };
        if at > self.now {
            return Err(Failure::input(format!(
                "{option}: “{text}” is still to come; a note is about what has happened"
            )));
        }
        Ok(at)
    }

    fn find(self, text: &str, after: DateTime<FixedOffset>) -> Option<DateTime<FixedOffset>> {
        if let Some(at) = instant_in(text, *self.now.offset()) {
            return Some(at);
        }
        let today = self.now.date_naive();
        let Some((day, time)) = text.split_once(' ') else {
            let time = time_of_day(text)?;
            let at = self.on(after.date_naive(), time)?;
            return if at > after {
                Some(at)
            } else {
                self.on(after.date_naive() + Days::new(1), time)
            };
        };
        let time = time_of_day(time.trim())?;
        match day.to_lowercase().as_str() {
            "yesterday" => self.on(today - Days::new(1), time),
            "today" => self.on(today, time),
            "tomorrow" => self.on(today + Days::new(1), time),
            name => {
                let wanted: Weekday = name.parse().ok()?;
                let ahead = (7 + wanted.num_days_from_monday()
                    - today.weekday().num_days_from_monday())
                    % 7;
                let at = self.on(today + Days::new(u64::from(ahead)), time)?;
                if at > self.now { Some(at) } else { self.on(at.date_naive() + Days::new(7), time) }
            }
        }
    }

    fn on(self, day: NaiveDate, time: NaiveTime) -> Option<DateTime<FixedOffset>> {
        self.now.offset().from_local_datetime(&day.and_time(time)).single()
    }
}

fn time_of_day(text: &str) -> Option<NaiveTime> {
    NaiveTime::parse_from_str(text, "%H:%M").ok()
}

/// Years in which a kitchen's times can lie; the arithmetic of days is safe there.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// A full date-time, with an offset or in the machine's zone.
fn instant(text: &str) -> Option<DateTime<FixedOffset>> {
    let written = DateTime::parse_from_rfc3339(text).ok().or_else(|| {
        let local = local(text)?;
        Local.from_local_datetime(&local).earliest().map(|at| at.fixed_offset())
    });
    written.filter(|at| YEARS.contains(&at.year()))
}

fn instant_in(text: &str, offset: FixedOffset) -> Option<DateTime<FixedOffset>> {
    let written = DateTime::parse_from_rfc3339(text)
        .ok()
        .or_else(|| offset.from_local_datetime(&local(text)?).single());
    written.filter(|at| YEARS.contains(&at.year()))
}

fn local(text: &str) -> Option<NaiveDateTime> {
    ["%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M"]
        .iter()
        .find_map(|format| NaiveDateTime::parse_from_str(text, format).ok())
        .filter(|at| YEARS.contains(&at.year()))
}

/// `--now` for a plan: read in the plan's zone when it has no offset.
///
/// # Errors
/// An input failure when it is not a date-time.
pub fn now_in(zone: chrono_tz::Tz, now: Option<&str>) -> Result<DateTime<Utc>, Failure> {
    if let Some(local) = now.and_then(local) {
        return Ok(crate::units::zone::resolve(zone, local).with_timezone(&Utc));
    }
    Moment::new(now).map(|moment| moment.now().with_timezone(&Utc))
}

/// Hours from one instant to another.
pub fn hours_between(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    (to - from).num_seconds() as f64 / 3600.0
}

/// An instant some hours later, for people.
pub fn later(from: DateTime<FixedOffset>, hours: f64) -> DateTime<FixedOffset> {
    let zone = from.offset().fix();
    let seconds = (hours * 3600.0).clamp(-1e10, 1e10) as i64;
    (from + chrono::Duration::seconds(seconds)).with_timezone(&zone)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        let moment = Moment::new(Some("2026-12-06T18:00:00-07:00")).unwrap();
        moment.read("--by", text, moment.now()).unwrap().to_rfc3339()
    }

    #[test]
    fn times_people_type() {
        assert_eq!(read("20:00"), "2026-12-06T20:00:00-07:00");
        assert_eq!(read("07:00"), "2026-12-07T07:00:00-07:00");
        assert_eq!(read("tomorrow 07:00"), "2026-12-07T07:00:00-07:00");
        assert_eq!(read("Tue 07:00"), "2026-12-08T07:00:00-07:00");
        assert_eq!(read("Sun 07:00"), "2026-12-13T07:00:00-07:00");
        assert_eq!(read("2026-12-08T07:00:00"), "2026-12-08T07:00:00-07:00");
        assert_eq!(read("2026-12-08T07:00:00Z"), "2026-12-08T07:00:00+00:00");
    }

    #[test]
    fn nonsense_is_refused() {
        let moment = Moment::new(Some("2026-12-06T18:00:00Z")).unwrap();
        for text in
            ["", "7", "25:00", "someday 07:00", "2026-13-01T00:00:00", "+262142-12-31T23:59"]
        {
            assert!(moment.read("--by", text, moment.now()).is_err(), "{text}");
        }
        assert!(Moment::new(Some("yesterday")).is_err());
        for far in ["1899-12-31T12:00:00Z", "2200-01-02T00:00:00", "+262142-12-31T23:59:59"] {
            assert!(Moment::new(Some(far)).is_err(), "{far}");
            assert!(now_in(chrono_tz::UTC, Some(far)).is_err(), "{far}");
        }
        assert!(Moment::new(Some("1969-07-20T20:00:00Z")).is_ok());
    }
}

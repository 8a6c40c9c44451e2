//! Instants to the planner's ticks of five minutes and back, and the windows
//! that the plan's hours open.
//!
//! Ticks count from `--now` in UTC, so that nights of 23 and 25 hours count right.

use std::ops::Range;

use chrono::{DateTime, Days, Duration, NaiveDate, NaiveTime, TimeZone, Utc};
use chrono_tz::Tz;

use crate::{
    planfile::{Absence, Group, Opening, Plan, WAY, Wishes},
    units::zone::resolve,
};

pub use crate::scheduler::Tick;

/// Seconds in a tick: finer than anybody keeps time in a kitchen.
pub const TICK_S: i64 = 300;

/// A wait that never ends, in ticks.
pub const NEVER: Tick = 50_000_000;

/// The plan's time line.
#[derive(Debug, Clone, Copy)]
pub struct Clock {
    zone: Tz,
    epoch: DateTime<Utc>,
    last: NaiveDate,
}

impl Clock {
    /// A time line from `now` on, to the end of the day `last`.
    pub fn new(zone: Tz, now: DateTime<Utc>, last: NaiveDate) -> Self {
        let seconds = now.timestamp().div_euclid(TICK_S) * TICK_S;
        let floor = Utc.timestamp_opt(seconds, 0).single().unwrap_or(now);
        let epoch = if floor < now { floor + Duration::seconds(TICK_S) } else { floor };
        Self { zone, epoch, last }
    }

    /// The zone of the plan.
    pub fn zone(&self) -> Tz {
        self.zone
    }

    /// The last tick of the time line.
    pub fn horizon(&self) -> Tick {
        self.floor(self.midnight(self.last + Days::new(1)))
    }

    /// The instant of a tick.
    pub fn instant(&self, tick: Tick) -> DateTime<Tz> {
        (self.epoch + Duration::seconds(i64::from(tick) * TICK_S)).with_timezone(&self.zone)
    }

    /// The last tick at or before an instant.
    pub fn floor(&self, at: DateTime<Tz>) -> Tick {
        let seconds = (at.with_timezone(&Utc) - self.epoch).num_seconds();
        seconds.div_euclid(TICK_S).clamp(i64::from(Tick::MIN / 4), i64::from(Tick::MAX / 4)) as Tick
    }

    /// The first tick at or after an instant.
    pub fn ceil(&self, at: DateTime<Tz>) -> Tick {
        self.floor(at + Duration::seconds(TICK_S - 1))
    }

    /// The first tick at or after a time of a day.
    pub fn at(&self, day: NaiveDate, time: NaiveTime) -> Tick {
        self.ceil(resolve(self.zone, day.and_time(time)))
    }

    /// The hours of a date between which she likes to work.
    pub fn liked(&self, wishes: &Wishes, day: NaiveDate) -> Range<Tick> {
        self.at(day, wishes.earliest)..self.at(day, wishes.latest)
    }

    /// When hands are free in a place of the plan: where children are, on no day without class; at
    /// home not while hers are in class or on the way, unless home has hands of its own.
    pub fn hours(&self, plan: &Plan, number: usize) -> Vec<Range<Tick>> {
        let open = |day: NaiveDate| !plan.is_room(number) || !plan.is_closed(day);
        let Some(place) = plan.places.get(number) else { return Vec::new() };
        if !plan.is_home(number) || place.hands.is_some() {
            return self.open(&plan.away, &place.hours, open);
        }
        let elsewhere = plan.groups.iter().filter(|group| !plan.is_home(group.place));
        let class: Vec<Range<Tick>> =
            elsewhere.flat_map(|group| self.class(plan, group, |_| true)).collect();
        let way = ticks_up(WAY.num_minutes() as f64 / 60.0);
        // Each entry by itself, so that one more never takes away from another: one that ends
        // before class opens has the way in it.
        let entries = place.hours.iter().map(std::slice::from_ref);
        let windows = entries.flat_map(|entry| self.open(&plan.away, entry, open));
        let free = windows.flat_map(|window| {
            let meets = |class: &&Range<Tick>| class.start < window.end && window.start < class.end;
            class.iter().filter(meets).fold(vec![window.clone()], |free, class| {
                without(free, &(class.start - way..class.end + way))
            })
        });
        let mut free: Vec<Range<Tick>> = free.collect();
        free.sort_by_key(|window| window.start);
        joined(free)
    }

    /// When a group is in class, on the days that `keep` picks.
    pub fn class(
        &self,
        plan: &Plan,
        group: &Group,
        keep: impl Fn(NaiveDate) -> bool,
    ) -> Vec<Range<Tick>> {
        let hours = plan.group_hours(group);
        self.open(&plan.away, &hours, |day| plan.meets(group, day) && keep(day))
    }

    fn open(
        &self,
        away: &[Absence],
        hours: &[Opening],
        keep: impl Fn(NaiveDate) -> bool,
    ) -> Vec<Range<Tick>> {
        let first = self.instant(0).date_naive();
        let days = first.iter_days().take_while(|day| *day <= self.last).filter(|day| keep(*day));
        let mut windows: Vec<Range<Tick>> = days
            .flat_map(|day| {
                hours.iter().filter(move |open| open.on(day)).map(move |open| {
                    let from = resolve(self.zone, day.and_time(open.from));
                    let until = resolve(self.zone, day.and_time(open.until));
                    // What goes on until midnight ends a second before it.
                    self.ceil(from).max(0)..self.floor(until + Duration::seconds(1))
                })
            })
            .filter(|window| !window.is_empty())
            .collect();
        windows.sort_by_key(|window| window.start);
        self.absences(away).into_iter().fold(joined(windows), |open, away| without(open, &away))
    }

    /// When she is away.
    fn absences(&self, away: &[Absence]) -> Vec<Range<Tick>> {
        let days = self.instant(0).date_naive().iter_days().take_while(|day| *day <= self.last);
        days.flat_map(|day| {
            away.iter().filter_map(move |absence| {
                let (from, until) = absence.on(day)?;
                let until = until.map(|until| resolve(self.zone, day.and_time(until)));
                let until = until.unwrap_or_else(|| self.midnight(day + Days::new(1)));
                Some(self.floor(resolve(self.zone, day.and_time(from)))..self.ceil(until))
            })
        })
        .collect()
    }

    fn midnight(&self, day: NaiveDate) -> DateTime<Tz> {
        resolve(self.zone, day.and_time(NaiveTime::MIN))
    }
}

/// Sorted windows with those that touch or overlap made one.
pub fn joined(windows: Vec<Range<Tick>>) -> Vec<Range<Tick>> {
    let mut joined: Vec<Range<Tick>> = Vec::with_capacity(windows.len());
    for window in windows {
        match joined.last_mut() {
            Some(last) if window.start <= last.end => last.end = last.end.max(window.end),
            _ => joined.push(window),
        }
    }
    joined
}

/// What is left of windows outside another one.
pub fn without(windows: Vec<Range<Tick>>, out: &Range<Tick>) -> Vec<Range<Tick>> {
    let left = |window: Range<Tick>| {
        [window.start..window.end.min(out.start), window.start.max(out.end)..window.end]
    };
    windows.into_iter().flat_map(left).filter(|window| !window.is_empty()).collect()
}

/// Ticks for a number of hours, rounded up.
pub fn ticks_up(hours: f64) -> Tick {
    (hours * 3600.0 / TICK_S as f64 - 1e-9).ceil().clamp(0.0, 1e8) as Tick
}

/// Ticks for a number of hours, rounded down.
pub fn ticks_down(hours: f64) -> Tick {
    (hours * 3600.0 / TICK_S as f64 + 1e-9).floor().clamp(0.0, 1e8) as Tick
}

/// Hours of a number of ticks.
pub fn hours_of(ticks: Tick) -> f64 {
    f64::from(ticks) * TICK_S as f64 / 3600.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    fn clock(zone: Tz, now: &str, last: NaiveDate) -> Clock {
        Clock::new(zone, now.parse().unwrap(), last)
    }

    fn hours(hours: &[&str]) -> Vec<Opening> {
        hours.iter().map(|open| open.parse().unwrap()).collect()
    }

    #[test]
    fn now_is_rounded_up_to_a_tick() {
        let clock = clock(Tz::UTC, "2026-12-01T08:01:00Z", day(2026, 12, 2));
        assert_eq!(clock.instant(0).to_rfc3339(), "2026-12-01T08:05:00+00:00");
    }

    #[test]
    fn nights_of_23_and_25_hours() {
        // IANA: Europe/Vienna goes to summer time on 2027-03-28, back on 2026-10-25.
        let zone = chrono_tz::Europe::Vienna;
        let home = hours(&["daily 21:00-22:00", "daily 07:00-08:00"]);
        for (now, last, hours) in [
            ("2027-03-27T12:00:00Z", day(2027, 3, 28), 9.0),
            ("2026-10-24T12:00:00Z", day(2026, 10, 25), 11.0),
            ("2026-12-01T12:00:00Z", day(2026, 12, 2), 10.0),
        ] {
            let windows = clock(zone, now, last).open(&[], &home, |_| true);
            // From 21:00 in the evening to 07:00 in the morning.
            assert_eq!(hours_of(windows[1].start - windows[0].start), hours, "{now}");
        }
    }

    #[test]
    fn half_hour_zones_year_end_and_leap_day() {
        let zone = chrono_tz::Asia::Kolkata;
        let clock = clock(zone, "2027-12-31T00:00:00Z", day(2028, 2, 29));
        let windows = clock.open(&[], &hours(&["daily 18:30-21:30"]), |_| true);
        assert_eq!(clock.instant(windows[0].start).to_rfc3339(), "2027-12-31T18:30:00+05:30");
        assert_eq!(clock.instant(windows[1].start).to_rfc3339(), "2028-01-01T18:30:00+05:30");
        let last = windows.last().unwrap();
        assert_eq!(clock.instant(last.start).to_rfc3339(), "2028-02-29T18:30:00+05:30");
    }

    #[test]
    fn zones_that_changed_their_rules_or_shift_by_half_an_hour() {
        // IANA: Sao Paulo went to summer time on 2018-11-04 (at midnight) and no
        // more from 2019 on; Mexico City went back for the last time on
        // 2022-10-30; Lord Howe shifts by half an hour, on 2026-10-04 and
        // 2027-04-04; Kathmandu is at +05:45 all year.
        let home = hours(&["daily 21:00-22:00", "daily 07:00-08:00"]);
        for (zone, now, last, hours) in [
            (chrono_tz::America::Sao_Paulo, "2018-11-03T12:00:00Z", day(2018, 11, 4), 9.0),
            (chrono_tz::America::Sao_Paulo, "2019-11-02T12:00:00Z", day(2019, 11, 3), 10.0),
            (chrono_tz::America::Mexico_City, "2022-10-29T15:00:00Z", day(2022, 10, 30), 11.0),
            (chrono_tz::America::Mexico_City, "2023-10-28T15:00:00Z", day(2023, 10, 29), 10.0),
            (chrono_tz::Australia::Lord_Howe, "2026-10-03T00:00:00Z", day(2026, 10, 4), 9.5),
            (chrono_tz::Australia::Lord_Howe, "2027-04-03T00:00:00Z", day(2027, 4, 4), 10.5),
            (chrono_tz::Asia::Kathmandu, "2026-12-31T06:00:00Z", day(2027, 1, 1), 10.0),
        ] {
            let windows = clock(zone, now, last).open(&[], &home, |_| true);
            assert_eq!(hours_of(windows[1].start - windows[0].start), hours, "{zone} {now}");
        }
    }

    #[test]
    fn a_day_may_begin_at_one_in_the_morning() {
        // IANA: in Sao Paulo 2018-11-04 began at 01:00, 03:00 UTC.
        let zone = chrono_tz::America::Sao_Paulo;
        let clock = clock(zone, "2018-11-03T03:00:00Z", day(2018, 11, 3));
        assert_eq!(clock.instant(clock.horizon()).to_rfc3339(), "2018-11-04T01:00:00-02:00");
        assert_eq!(hours_of(clock.horizon()), 24.0);
    }

    #[test]
    fn overlapping_hours_join() {
        let clock = clock(Tz::UTC, "2026-12-01T00:00:00Z", day(2026, 12, 1));
        let windows = clock.open(&[], &hours(&["daily 08:00-10:00", "Tue 09:00-12:00"]), |_| true);
        assert_eq!(windows.len(), 1);
        assert_eq!(hours_of(windows[0].end - windows[0].start), 4.0);
    }

    #[test]
    fn nobody_works_while_she_is_away() {
        let clock = clock(Tz::UTC, "2026-12-01T00:00:00Z", day(2026, 12, 3));
        let home = hours(&["daily 10:00-20:00"]);
        let open = |away: &[&str]| {
            let away: Vec<Absence> =
                away.iter().map(|text| Absence::near(text, None).unwrap()).collect();
            let windows = clock.open(&away, &home, |_| true).into_iter();
            windows.map(|w| (hours_of(w.start), hours_of(w.end))).collect::<Vec<_>>()
        };
        assert_eq!(open(&["2026-12-01 to 2026-12-02"]), [(58.0, 68.0)]);
        assert_eq!(
            open(&["2026-12-01 afternoon", "2026-12-02 morning", "2026-12-03 evening"]),
            [(10.0, 12.0), (18.0, 20.0), (36.0, 44.0), (58.0, 66.0)]
        );
    }

    #[test]
    fn hours_round_to_the_safe_side() {
        assert_eq!(ticks_up(1.0), 12);
        assert_eq!(ticks_up(1.001), 13);
        assert_eq!(ticks_down(1.999), 23);
    }
}

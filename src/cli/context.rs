//! What every command is given: the options of all commands, and the outside.

use std::sync::Arc;

use chrono::{DateTime, Datelike};
use chrono_tz::{TZ_VARIANTS, Tz};

use clap::Args;

use super::{
    failure::Failure,
    typed::{Dial, clock, system},
};
use crate::{
    host::Host,
    report::faults::Wrong,
    tables,
    units::{
        Locale, System, TimeError, YEARS, full, in_hours, is_bare, read_start, read_time,
        zone::Zone,
    },
};

/// Options of every command.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "With every command")]
pub struct Common {
    /// Print one JSON document and nothing else
    #[arg(long, global = true)]
    pub json: bool,
    /// Units to print in: us or metric
    #[arg(long, global = true, value_name = "SYSTEM", value_parser = system)]
    pub units: Option<System>,
    /// Clock to print times by: 12 or 24 hours; as the units have it when not given
    #[arg(long, global = true, value_name = "HOURS", value_parser = clock)]
    pub clock: Option<Dial>,
    /// Stop the clock at this time, as in 2026-11-27T08:00:00
    #[arg(long, global = true, value_name = "DATE-TIME")]
    pub now: Option<String>,
    /// Zone of the times you type and read, as in America/Denver; that of this computer when not given
    #[arg(long, global = true, value_name = "NAME")]
    pub zone: Option<String>,
}

/// What every command is given.
#[derive(Clone, Copy)]
pub struct Context<'a> {
    /// The outside; `serve` keeps it.
    pub host: &'a Arc<dyn Host>,
    /// The options of all commands.
    pub common: &'a Common,
}

impl<'a> Context<'a> {
    /// The outside.
    pub fn host(&self) -> &'a dyn Host {
        &**self.host
    }

    /// How the reader says units and times.
    pub fn locale(&self) -> Locale {
        Locale::of(self.common.units.unwrap_or_default(), self.twelve_hours())
    }

    /// Whether a clock of 12 hours is asked for.
    pub fn twelve_hours(&self) -> Option<bool> {
        self.common.clock.map(|dial| dial == Dial::Twelve)
    }

    /// Now, in the zone of what is asked: `--zone`, else the one that the surroundings
    /// state, else UTC. Where `--now` has an offset that this zone does not have then,
    /// the offset is the zone.
    ///
    /// # Errors
    /// A zone that does not exist, a `--now` that is no time, a clock that is centuries wrong.
    pub fn now(&self) -> Result<DateTime<Zone>, Failure> {
        let now = self.in_zone(self.zone(None)?)?;
        let typed = self.common.now.as_deref().filter(|_| self.common.zone.is_none());
        let typed = typed.and_then(|typed| DateTime::parse_from_rfc3339(typed).ok());
        Ok(typed.map_or(now, |typed| now.with_timezone(&now.timezone().agreeing_with(typed))))
    }

    /// What is wrong with the time typed for an option, on the reader's clock.
    pub fn timed(self, option: &'static str) -> impl Fn(TimeError) -> Failure {
        let locale = self.locale();
        move |error| Failure::of(option, Wrong::NoTime(error, locale))
    }

    /// From when (`--at`, else now) until when (`--by`, where it is given).
    ///
    /// # Errors
    /// A time that is none, or an end that is not after its start.
    pub fn span(
        self,
        at: Option<&str>,
        by: Option<&str>,
        now: DateTime<Zone>,
    ) -> Result<(DateTime<Zone>, Option<DateTime<Zone>>), Failure> {
        let read_by = |after| {
            let read = by.map(|text| read_time(text, now, after)).transpose();
            read.map_err(self.timed("by"))
        };
        let until = read_by(now)?;
        let from = match at {
            Some(text) => read_start(text, now, until).map_err(self.timed("at"))?,
            None => now,
        };
        // Only a bare start is found from the end; else the end is found from the start.
        let until = if at.is_some_and(is_bare) && from <= now { until } else { read_by(from)? };
        if until.is_some_and(|until| until <= from) {
            return Err(Failure::of("by", Wrong::NotAfter { other: "at" }));
        }
        Ok((from, until))
    }

    /// Now, in the zone of a plan where `--zone` names no other.
    ///
    /// # Errors
    /// As [`Self::now`].
    pub fn now_for(&self, plan: Tz) -> Result<DateTime<Zone>, Failure> {
        self.in_zone(self.zone(Some(plan))?)
    }

    fn in_zone(&self, zone: Zone) -> Result<DateTime<Zone>, Failure> {
        if let Some(typed) = &self.common.now {
            return match full(typed, zone) {
                Some(now) => now.map_err(|skipped| self.timed("now")(skipped.into())),
                None => Err(Failure::of(
                    "now",
                    Wrong::Typed(format!(
                        "“{typed}” is not a date and time between {} and {}; for example 2026-11-27T08:00:00",
                        YEARS.start(),
                        YEARS.end()
                    )),
                )),
            };
        }
        let now = self.host.now();
        if !YEARS.contains(&now.year()) {
            let message = format!("the clock says {now}; set it, or say when it is with --now");
            return Err(Failure::other(message));
        }
        Ok(now.with_timezone(&zone))
    }

    fn zone(&self, plan: Option<Tz>) -> Result<Zone, Failure> {
        if let Some(name) = &self.common.zone {
            return named(name)
                .map(Zone::Named)
                .map_err(|wrong| Failure::of("zone", Wrong::Typed(wrong)));
        }
        match (plan, self.host.zone()) {
            (Some(zone), _) => Ok(Zone::Named(zone)),
            (None, None) => Ok(Zone::Named(Tz::UTC)),
            (None, Some(name)) => named(&name).map(Zone::Named).map_err(|wrong| {
                Failure::input(format!("the zone of this computer (TZ): {wrong}; or say --zone"))
            }),
        }
    }
}

fn named(name: &str) -> Result<Tz, String> {
    let near = || tables::nearest(name, TZ_VARIANTS.iter().map(|zone| zone.name()));
    name.parse().map_err(|_| match near() {
        Some(near) => format!("there is no zone “{name}”; did you mean “{near}”?"),
        None => format!("there is no zone “{name}”; use a name such as “America/Denver”"),
    })
}

/// An instant some hours later, for people.
pub fn later(from: DateTime<Zone>, time: crate::units::Time) -> DateTime<Zone> {
    from + chrono::Duration::seconds((in_hours(time) * 3600.0).clamp(-1e9, 1e9) as i64)
}

//! The whole plan as one picture across its days: whose hands are wanted when, what stands in
//! which freezer and oven, what dries, and the hours that all of it is for.

use chrono::{DateTime, Datelike, Days, NaiveTime, TimeDelta, Weekday};
use chrono_tz::Tz;
use serde::Serialize;

use super::band::{Lane, kind, lanes};
use crate::{
    prep::schedule::{Attention, Schedule, Step, stands_in},
    report::clean::one_line,
    tables::Step as Kind,
    units::zone::resolve,
};

/// Width of a day, CSS pixels.
const DAY: f64 = 56.0;
/// A picture of more days would not be looked at.
const MOST_DAYS: u64 = 120;
/// Height of a lane and of the names of the days above, CSS pixels.
const LANE: u32 = 40;
const NAMES: u32 = 26;
/// A bar is at least so wide, CSS pixels.
const NARROWEST: f64 = 4.0;

/// The picture, ready to place.
#[derive(Debug, Serialize)]
pub struct Weeks {
    width: String,
    height: u32,
    day: f64,
    days: Vec<Day>,
    lanes: Vec<Lane<Bar>>,
    /// What it shows, for those who do not see it.
    summary: String,
}

#[derive(Debug, Serialize)]
struct Day {
    x: String,
    /// The day of the week and of the month, short.
    name: String,
    /// Whether it is a Saturday or Sunday.
    weekend: bool,
}

#[derive(Debug, Clone, Serialize)]
struct Bar {
    x: String,
    width: String,
    kind: &'static str,
}

/// The picture of a schedule; none of one that has no steps or fits into a day.
pub fn weeks(schedule: &Schedule) -> Option<Weeks> {
    let first = schedule.steps.iter().map(|step| step.start).min()?;
    let last = schedule.steps.iter().map(|step| step.end).max()?;
    let span = Span { from: first, zone: schedule.timezone };
    let count = (last.date_naive() - first.date_naive()).num_days() as u64 + 1;
    if !(2..=MOST_DAYS).contains(&count) {
        return None;
    }
    let steps = schedule.steps.iter().filter(|step| !stands_in(&step.id));
    let mut lanes = lanes(steps.map(|step| (step, span.bar(step))), |n| NAMES + n * LANE);
    // What it is all for stands over the rest.
    lanes.iter_mut().for_each(|lane| lane.bars.sort_by_key(|bar| bar.kind == "promise"));
    Some(Weeks {
        width: format!("{:.0}", count as f64 * DAY),
        height: NAMES + lanes.len() as u32 * LANE,
        day: DAY,
        days: (0..count).filter_map(|n| span.day(n)).collect(),
        lanes,
        summary: summary(schedule, count),
    })
}

/// From the first midnight on.
struct Span {
    from: DateTime<Tz>,
    zone: Tz,
}

impl Span {
    /// Pixels from the left: each day is as wide as the others, whatever the clocks do.
    fn x(&self, at: DateTime<Tz>) -> f64 {
        let date = at.date_naive();
        let midnight = resolve(self.zone, date.and_time(NaiveTime::MIN));
        let next = resolve(self.zone, (date + Days::new(1)).and_time(NaiveTime::MIN));
        let seconds = |span: TimeDelta| span.num_seconds() as f64;
        let days = (date - self.from.date_naive()).num_days() as f64;
        DAY * (days + seconds(at - midnight) / seconds(next - midnight).max(1.0))
    }

    fn bar(&self, step: &Step) -> Bar {
        let x = self.x(step.start);
        let (kind, least) = match step.kind {
            Kind::Use | Kind::Give => ("promise", 2.0 * NARROWEST),
            _ => (kind(step.attention), NARROWEST),
        };
        let width = (self.x(step.end) - x).max(least);
        Bar { x: format!("{x:.1}"), width: format!("{width:.1}"), kind }
    }

    fn day(&self, n: u64) -> Option<Day> {
        let date = self.from.date_naive().checked_add_days(Days::new(n))?;
        Some(Day {
            x: format!("{:.0}", n as f64 * DAY),
            name: date.format("%a %-d").to_string(),
            weekend: matches!(date.weekday(), Weekday::Sat | Weekday::Sun),
        })
    }
}

/// What is seen at a glance.
fn summary(schedule: &Schedule, days: u64) -> String {
    let mut busy: Vec<_> = schedule
        .steps
        .iter()
        .filter(|step| step.attention != Attention::None && !step.follow.reserve)
        .map(|step| step.start.date_naive())
        .collect();
    busy.dedup();
    let promises = schedule.steps.iter().filter(|step| matches!(step.kind, Kind::Use | Kind::Give));
    let promises: Vec<String> = promises
        .map(|step| format!("{} {}", schedule.locale.day(&step.start), one_line(&step.what)))
        .collect();
    format!("{days} days, something to do on {} of them. {}.", busy.len(), promises.join("; "))
}

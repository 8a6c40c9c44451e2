//! A day as a band of time: one lane for somebody's hands at each place, one for each oven and freezer.

use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta};
use chrono_tz::Tz;
use serde::Serialize;

use crate::prep::schedule::{Attention, Schedule, Step};
use crate::report::clean::{one_line, shorten};
use crate::units::Locale;
use crate::units::zone::resolve;

/// A bar at least this wide can be seen on paper, in per cent of the day.
const NARROWEST: f64 = 0.8;
/// Height of a lane and of the hours below, in CSS pixels.
const LANE: u32 = 34;
const HOURS: u32 = 18;

/// The picture of one day, ready to place.
#[derive(Debug, Serialize)]
pub struct Band {
    lanes: Vec<Lane<Bar>>,
    hours: Vec<Hour>,
    height: u32,
    /// The finding in a sentence, for those who do not see the picture.
    summary: String,
}

/// What one pair of hands does, or one thing.
#[derive(Debug, Serialize)]
pub struct Lane<B> {
    label: String,
    top: u32,
    /// In the order of the steps.
    pub bars: Vec<B>,
}

/// Left edge and width in per cent of the day's length.
#[derive(Debug, Clone, Serialize)]
struct Bar {
    x: String,
    width: String,
    /// `hands`, `watch` or `alone`.
    kind: &'static str,
    #[serde(skip)]
    words: String,
}

#[derive(Debug, Serialize)]
struct Hour {
    x: String,
    label: String,
    anchor: &'static str,
}

/// The band of a day; `None` when nothing goes on.
pub fn band(schedule: &Schedule, date: NaiveDate) -> Option<Band> {
    let day = Day::of((schedule.timezone, schedule.locale), date)?;
    let bars = schedule.steps.iter().filter_map(|step| Some((step, day.bar(step)?)));
    let lanes = lanes(bars, |n| n * LANE);
    if lanes.is_empty() {
        return None;
    }
    let summary = lanes.iter().map(Lane::words).collect::<Vec<_>>().join(" ");
    let height = lanes.len() as u32 * LANE + HOURS;
    Some(Band { lanes, hours: day.hours(), height, summary })
}

/// The bars of steps in lanes, hands first, then things; within them by name, so that days look
/// alike. `top` is where the n-th begins.
pub fn lanes<'a, B: Clone>(
    bars: impl Iterator<Item = (&'a Step, B)>,
    top: impl Fn(u32) -> u32,
) -> Vec<Lane<B>> {
    let mut lanes: Vec<Lane<B>> = Vec::new();
    for (step, bar) in bars {
        for label in labels(step) {
            let bar = bar.clone();
            match lanes.iter_mut().find(|lane| lane.label == label) {
                Some(lane) => lane.bars.push(bar),
                None => lanes.push(Lane { label, top: 0, bars: vec![bar] }),
            }
        }
    }
    lanes.sort_by_key(|lane| (!lane.label.starts_with("You"), lane.label.clone()));
    for (n, lane) in (0u32..).zip(lanes.iter_mut()) {
        lane.top = top(n);
    }
    lanes
}

impl Lane<Bar> {
    fn words(&self) -> String {
        let bars: Vec<_> = self.bars.iter().map(|bar| bar.words.as_str()).collect();
        format!("{}: {}.", self.label, bars.join("; "))
    }
}

/// The lanes a step is drawn in.
fn labels(step: &Step) -> Vec<String> {
    let mut labels: Vec<String> = step.uses.iter().map(|thing| shorten(thing, 40)).collect();
    if step.attention == Attention::None {
        if labels.is_empty() {
            labels.push("By itself".to_owned());
        }
    } else {
        labels.push(format!("You, {}", shorten(&step.place, 40)));
    }
    labels.sort();
    labels.dedup();
    labels
}

/// A local day, which a clock change makes 23 or 25 hours long.
struct Day {
    date: NaiveDate,
    from: DateTime<Tz>,
    to: DateTime<Tz>,
    locale: Locale,
}

impl Day {
    fn of((zone, locale): (Tz, Locale), date: NaiveDate) -> Option<Self> {
        let next = date.checked_add_days(Days::new(1))?;
        let midnight = |date: NaiveDate| resolve(zone, date.and_time(NaiveTime::MIN));
        Some(Self { date, from: midnight(date), to: midnight(next), locale })
    }

    /// Per cent of the day that has passed.
    fn share(&self, at: DateTime<Tz>) -> f64 {
        let length = (self.to - self.from).num_seconds().max(1);
        100.0 * (at - self.from).num_seconds() as f64 / length as f64
    }

    fn bar(&self, step: &Step) -> Option<Bar> {
        let (start, end) = (step.start.max(self.from), step.end.min(self.to));
        if start >= self.to || end < start {
            return None;
        }
        let x = self.share(start).min(100.0 - NARROWEST);
        let width = (self.share(end) - x).max(NARROWEST);
        let since =
            if step.start < self.from { "from the day before" } else { &self.locale.time(&start) };
        let until = if step.end > self.to { "into the next day" } else { &self.locale.time(&end) };
        Some(Bar {
            x: format!("{x:.1}"),
            width: format!("{width:.1}"),
            kind: kind(step.attention),
            words: format!("{} {since} to {until}", one_line(&step.what)),
        })
    }

    fn hours(&self) -> Vec<Hour> {
        let marks = [(0, "start"), (6, "middle"), (12, "middle"), (18, "middle"), (24, "end")];
        let mark = |(hour, anchor): (i64, &'static str)| {
            let wall = self.date.and_time(NaiveTime::MIN) + TimeDelta::hours(hour);
            let at = resolve(self.from.timezone(), wall);
            let label = match hour {
                24 if !self.locale.twelve_hours => "24:00".to_owned(),
                _ => self.locale.hour(&wall),
            };
            Hour { x: format!("{:.1}", self.share(at)), label, anchor }
        };
        marks.into_iter().map(mark).collect()
    }
}

/// The class of a bar or row.
pub fn kind(attention: Attention) -> &'static str {
    match attention {
        Attention::Hands => "hands",
        Attention::Watch => "watch",
        Attention::None => "alone",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeZone;

    #[test]
    fn a_long_day_is_drawn_to_its_own_length() {
        let zone = chrono_tz::Europe::Berlin;
        let day =
            Day::of((zone, Locale::default()), NaiveDate::from_ymd_opt(2026, 10, 25).unwrap())
                .unwrap();
        assert_eq!((day.to - day.from).num_hours(), 25);
        // Noon comes 13 hours after midnight.
        let noon = zone.with_ymd_and_hms(2026, 10, 25, 12, 0, 0).unwrap();
        assert!((day.share(noon) - 52.0).abs() < 1e-9);
    }
}

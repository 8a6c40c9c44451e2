//! The sheet's words: a schedule cut into days, rows, lists and sources.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveDate};
use chrono_tz::Tz;
use serde::Serialize;

use super::band::{Band, band};
use super::row::Row;
use crate::planfile::HOME;
use crate::prep::schedule::{Attention, Carry, Caution, Purchase, Schedule, Step};
use crate::report::carry::carry_words;
use crate::report::clean::{named, one_line};
use crate::report::in_the_way::{InTheWay, ONE_CHANGE};
use crate::report::phrase;
use crate::units::Locale;

/// Everything the template places, cleaned and ready to print.
#[derive(Debug, Serialize)]
pub struct View<'a> {
    title: String,
    /// When it was computed, on the plan's wall clock.
    computed: String,
    zone: String,
    feasible: bool,
    /// The first and last day.
    span: Option<String>,
    /// The least sure step, in words.
    least_sure: Option<String>,
    problems: Vec<InTheWay<'a>>,
    /// What serves all that is in the way, and what stands above it.
    one_change: &'a [String],
    one_change_words: &'static str,
    today: Option<Day<'a>>,
    today_date: String,
    /// The first thing after today.
    next: Option<String>,
    days: Vec<Day<'a>>,
    shopping: Vec<Buying<'a>>,
    notes: &'a [String],
    /// Every caution with its source; rows refer to them by number.
    cautions: Vec<InFull<'a>>,
}

/// One day of the plan.
#[derive(Debug, Serialize)]
struct Day<'a> {
    /// `2026-12-09`, also its anchor.
    date: String,
    name: String,
    /// `Wed 9 Dec`.
    short: String,
    glance: Vec<Glance>,
    carry: Vec<Leaving<'a>>,
    back: Vec<Leaving<'a>>,
    rows: Vec<Row<'a>>,
    band: Option<Band>,
}

/// One line of the day in short.
#[derive(Debug, Serialize)]
struct Glance {
    #[serde(skip)]
    at: DateTime<Tz>,
    time: String,
    words: String,
}

/// What leaves the house, and when on the clock.
#[derive(Debug, Serialize)]
struct Leaving<'a> {
    time: String,
    words: String,
    /// Where from or where to, where that is not home.
    away: Option<&'a str>,
    #[serde(flatten)]
    carry: &'a Carry,
}

/// A caution in full.
#[derive(Debug, Serialize)]
struct InFull<'a> {
    title: &'a str,
    text: &'a str,
    source: &'a str,
}

impl<'a> InFull<'a> {
    fn of(caution: &'a Caution) -> Self {
        Self { title: &caution.title, text: &caution.said, source: &caution.source }
    }
}

/// What to buy, and by which day in words.
#[derive(Debug, Serialize)]
struct Buying<'a> {
    day: String,
    #[serde(flatten)]
    purchase: &'a Purchase,
}

impl<'a> View<'a> {
    pub fn of(schedule: &'a Schedule) -> Self {
        let locale = schedule.locale;
        let now = schedule.computed.with_timezone(&schedule.timezone);
        let today = now.date_naive();
        let dates = dates(schedule);
        let mut cautions = Vec::new();
        let mut day = |date: &NaiveDate| Day::of(schedule, *date, &mut cautions);
        // Today first: cautions are numbered in the order of reading.
        let today_rows = dates.get(&today).map(&mut day);
        let days = dates.iter().filter(|date| **date != today).map(day).collect();
        let next = schedule
            .shown()
            .into_iter()
            .find(|step| step.start.date_naive() > today && step.attention != Attention::None);
        Self {
            title: named(&schedule.title),
            computed: locale.day_and_time(&now),
            zone: schedule.timezone.name().to_owned(),
            feasible: schedule.feasible,
            span: span(&dates, locale),
            least_sure: least_sure(schedule),
            problems: InTheWay::all(&schedule.problems),
            one_change: &schedule.one_change.words,
            one_change_words: ONE_CHANGE,
            today: today_rows,
            today_date: locale.long_day(&today),
            next: next.map(|s| format!("{}: {}", locale.day_and_time(&s.start), one_line(&s.what))),
            days,
            shopping: schedule
                .shopping
                .iter()
                .map(|purchase| Buying { day: locale.day(&purchase.needed), purchase })
                .collect(),
            notes: &schedule.notes,
            cautions: cautions.into_iter().map(InFull::of).collect(),
        }
    }
}

/// Every day on which something begins, ends by itself, or leaves the house.
fn dates(schedule: &Schedule) -> BTreeSet<NaiveDate> {
    let starts = schedule.shown().into_iter().map(|step| step.start.date_naive());
    let ends = schedule.steps.iter().filter(|s| ends_later(s)).map(|step| step.end.date_naive());
    let leaves = schedule.carry.iter().map(|carry| carry.leave.date_naive());
    starts.chain(ends).chain(leaves).collect()
}

fn ends_later(step: &Step) -> bool {
    step.attention == Attention::None && step.end.date_naive() > step.start.date_naive()
}

fn span(dates: &BTreeSet<NaiveDate>, locale: Locale) -> Option<String> {
    let (first, last) = (*dates.first()?, *dates.last()?);
    if first == last {
        Some(locale.day(&first))
    } else {
        Some(format!("{} to {}", locale.day(&first), locale.day(&last)))
    }
}

fn least_sure(schedule: &Schedule) -> Option<String> {
    let rated = schedule.steps.iter().filter_map(|step| Some((step.chance?, step)));
    let (chance, step) = rated.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let when = schedule.locale.day(&step.start);
    Some(format!("{} ({when}): {}", one_line(&step.what), phrase::chance(chance)))
}

impl<'a> Day<'a> {
    fn of(schedule: &'a Schedule, date: NaiveDate, known: &mut Vec<&'a Caution>) -> Self {
        let locale = schedule.locale;
        let begun = schedule.shown().into_iter().filter(|step| step.start.date_naive() == date);
        let mut rows: Vec<Row> = begun
            .enumerate()
            .map(|(n, step)| Row::of(step, locale, known, format!("curve-{date}-{n}")))
            .collect();
        let ended = schedule.steps.iter().filter(|s| ends_later(s) && s.end.date_naive() == date);
        rows.extend(ended.map(|step| Row::ending(step, locale)));
        rows.sort_by_key(|row| row.at);
        let leaving = schedule.carry.iter().filter(|carry| carry.leave.date_naive() == date);
        let leaving: Vec<&Carry> = leaving.collect();
        let back = schedule.back.iter().filter(|carry| carry.leave.date_naive() == date);
        let leave = |back: bool| {
            move |carry: &'a Carry| {
                let words = carry_words(&carry.place, back);
                let away = Some(carry.place.as_str()).filter(|place| *place != HOME);
                Leaving { time: locale.time(&carry.leave), words, away, carry }
            }
        };
        Self {
            glance: glance(&rows, &leaving, locale),
            date: date.to_string(),
            name: locale.long_day(&date),
            short: locale.day(&date),
            carry: leaving.into_iter().map(leave(false)).collect(),
            back: back.map(leave(true)).collect(),
            rows,
            band: band(schedule, date),
        }
    }
}

/// What to do on a day and what is done by then, in time order.
fn glance(rows: &[Row<'_>], leaving: &[&Carry], locale: Locale) -> Vec<Glance> {
    let done = |row: &Row| if row.kind == "done" { "done: " } else { "" };
    let steps = rows.iter().filter(|row| row.kind != "alone").map(|row| Glance {
        at: row.at,
        time: row.time.clone(),
        words: format!("{}{}", done(row), row.what),
    });
    let leaves = leaving.iter().map(|carry| Glance {
        at: carry.leave,
        time: locale.time(&carry.leave),
        words: format!("leave, with things to carry: {}", one_line(&carry.goal)),
    });
    let mut all: Vec<Glance> = leaves.chain(steps).collect();
    all.sort_by_key(|line| line.at);
    all
}

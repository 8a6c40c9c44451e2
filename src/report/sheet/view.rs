//! The sheet's words: a schedule cut into days, rows, lists and sources.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveDate};
use chrono_tz::Tz;
use serde::Serialize;

use super::band::{Band, band};
use super::row::Row;
use crate::prep::schedule::{Attention, Carry, Caution, Schedule, Step};
use crate::report::clean::{clean, named, one_line};
use crate::report::phrase;

/// Everything the template places, cleaned and ready to print.
#[derive(Debug, Serialize)]
pub struct View {
    title: String,
    /// When it was computed, on the plan's wall clock.
    computed: String,
    zone: String,
    feasible: bool,
    /// The first and last day.
    span: Option<String>,
    /// The least sure step, in words.
    least_sure: Option<String>,
    problems: Vec<Trouble>,
    today: Option<Day>,
    today_date: String,
    /// The first thing after today.
    next: Option<String>,
    days: Vec<Day>,
    shopping: Vec<Purchase>,
    notes: Vec<String>,
    /// Every caution with its source; rows refer to them by number.
    cautions: Vec<Listed>,
}

#[derive(Debug, Serialize)]
struct Trouble {
    what: String,
    because: Vec<String>,
    ways_out: Vec<String>,
}

/// One day of the plan.
#[derive(Debug, Serialize)]
struct Day {
    /// `2026-12-09`, also its anchor.
    date: String,
    name: String,
    /// `Wed 9 Dec`.
    short: String,
    glance: Vec<Glance>,
    carry: Vec<Leaving>,
    rows: Vec<Row>,
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

#[derive(Debug, Serialize)]
struct Leaving {
    time: String,
    goal: String,
    items: Vec<String>,
}

/// A caution in the list at the end.
#[derive(Debug, Serialize)]
struct Listed {
    title: String,
    text: String,
    source: String,
}

#[derive(Debug, Serialize)]
struct Purchase {
    what: String,
    amount: String,
    needed: String,
    instant: String,
}

impl View {
    /// The sheet of a schedule.
    pub fn of(schedule: &Schedule) -> Self {
        let now = schedule.computed.with_timezone(&schedule.timezone);
        let today = now.date_naive();
        let dates = dates(schedule);
        let mut cautions = Vec::new();
        let mut day = |date: &NaiveDate| Day::of(schedule, *date, &mut cautions);
        // Today first: cautions are numbered in the order of reading.
        let today_rows = dates.get(&today).map(&mut day);
        let days = dates.iter().filter(|date| **date != today).map(day).collect();
        let next = schedule
            .steps
            .iter()
            .find(|step| step.start.date_naive() > today && step.attention != Attention::None);
        Self {
            title: named(&schedule.title),
            computed: phrase::day_and_clock(now),
            zone: schedule.timezone.name().to_owned(),
            feasible: schedule.feasible,
            span: span(&dates),
            least_sure: least_sure(schedule),
            problems: schedule.problems.iter().map(Trouble::of).collect(),
            today: today_rows,
            today_date: phrase::long_day(today),
            next: next
                .map(|s| format!("{}: {}", phrase::day_and_clock(s.start), one_line(&s.what))),
            days,
            shopping: schedule.shopping.iter().map(Purchase::of).collect(),
            notes: schedule.notes.iter().map(|note| clean(note)).collect(),
            cautions: cautions.into_iter().map(Listed::of).collect(),
        }
    }
}

/// Every day on which something begins, ends by itself, or leaves the house.
fn dates(schedule: &Schedule) -> BTreeSet<NaiveDate> {
    let starts = schedule.steps.iter().map(|step| step.start.date_naive());
    let ends = schedule.steps.iter().filter(|s| ends_later(s)).map(|step| step.end.date_naive());
    let leaves = schedule.carry.iter().map(|carry| carry.leave.date_naive());
    starts.chain(ends).chain(leaves).collect()
}

fn ends_later(step: &Step) -> bool {
    step.attention == Attention::None && step.end.date_naive() > step.start.date_naive()
}

fn span(dates: &BTreeSet<NaiveDate>) -> Option<String> {
    let (first, last) = (*dates.first()?, *dates.last()?);
    if first == last {
        Some(phrase::day(first))
    } else {
        Some(format!("{} to {}", phrase::day(first), phrase::day(last)))
    }
}

fn least_sure(schedule: &Schedule) -> Option<String> {
    let rated = schedule.steps.iter().filter_map(|step| Some((step.chance?, step)));
    let (chance, step) = rated.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let when = phrase::day(step.start.date_naive());
    Some(format!("{} ({when}): {}", one_line(&step.what), phrase::chance(chance)))
}

impl Trouble {
    fn of(problem: &crate::prep::schedule::Problem) -> Self {
        let lines = |all: &[String]| all.iter().map(|line| clean(line)).collect();
        Self {
            what: clean(&problem.what),
            because: lines(&problem.because),
            ways_out: lines(&problem.ways_out),
        }
    }
}

impl Day {
    fn of<'a>(schedule: &'a Schedule, date: NaiveDate, known: &mut Vec<&'a Caution>) -> Self {
        let begun = schedule.steps.iter().filter(|step| step.start.date_naive() == date);
        let mut rows: Vec<Row> = begun
            .enumerate()
            .map(|(n, step)| Row::of(step, known, format!("curve-{date}-{n}")))
            .collect();
        let ended = schedule.steps.iter().filter(|s| ends_later(s) && s.end.date_naive() == date);
        rows.extend(ended.map(Row::ending));
        rows.sort_by_key(|row| row.at);
        let leaving = schedule.carry.iter().filter(|carry| carry.leave.date_naive() == date);
        let leaving: Vec<&Carry> = leaving.collect();
        Self {
            glance: glance(&rows, &leaving),
            date: date.to_string(),
            name: phrase::long_day(date),
            short: phrase::day(date),
            carry: leaving.into_iter().map(Leaving::of).collect(),
            rows,
            band: band(schedule, date),
        }
    }
}

/// What to do on a day and what is done by then, in time order.
fn glance(rows: &[Row], leaving: &[&Carry]) -> Vec<Glance> {
    let done = |row: &Row| if row.kind == "done" { "done: " } else { "" };
    let steps = rows.iter().filter(|row| row.kind != "alone").map(|row| Glance {
        at: row.at,
        time: row.time.clone(),
        words: format!("{}{}", done(row), row.what),
    });
    let leaves = leaving.iter().map(|carry| Glance {
        at: carry.leave,
        time: phrase::clock(carry.leave),
        words: format!("leave, with things to carry: {}", one_line(&carry.goal)),
    });
    let mut all: Vec<Glance> = leaves.chain(steps).collect();
    all.sort_by_key(|line| line.at);
    all
}

impl Leaving {
    fn of(carry: &Carry) -> Self {
        Self {
            time: phrase::clock(carry.leave),
            goal: one_line(&carry.goal),
            items: carry.items.iter().map(|item| named(item)).collect(),
        }
    }
}

impl Listed {
    fn of(caution: &Caution) -> Self {
        Self {
            title: one_line(&caution.title),
            text: clean(&caution.text),
            source: clean(&caution.source),
        }
    }
}

impl Purchase {
    fn of(purchase: &crate::prep::schedule::Purchase) -> Self {
        Self {
            what: named(&purchase.amount.what),
            amount: one_line(&purchase.amount.text),
            needed: phrase::day(purchase.needed),
            instant: purchase.needed.to_string(),
        }
    }
}

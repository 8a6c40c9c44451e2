//! One row of the sheet: a step with its words, or the end of one that began on an earlier day.

use chrono::DateTime;
use chrono_tz::Tz;
use serde::Serialize;

use super::band::kind;
use super::curve::curve;
use crate::prep::schedule::{Amount, Attention, Caution, Step};
use crate::report::clean::{named, one_line};
use crate::report::phrase;
use crate::units::Locale;

/// A step, or the end of a step that began on an earlier day.
#[derive(Debug, Serialize)]
pub struct Row<'a> {
    #[serde(skip)]
    pub at: DateTime<Tz>,
    /// The moment for machines.
    instant: String,
    pub time: String,
    /// When it ends, where that is another day.
    until: Option<String>,
    /// `hands`, `watch`, `alone` or `done`.
    pub kind: &'static str,
    pub what: String,
    goal: String,
    place: &'a str,
    amounts: &'a [Amount],
    bring: &'a [String],
    /// What is looked at, and what can go wrong.
    risks: Vec<String>,
    because: &'a str,
    slack: Option<String>,
    chance: Option<String>,
    cautions: Vec<Minded<'a>>,
    /// SVG, ready to place.
    curve: Option<String>,
}

/// A caution at its step: one short line, and its number at the end, where it is in full.
#[derive(Debug, Serialize)]
struct Minded<'a> {
    number: usize,
    short: &'a str,
}

impl<'a> Row<'a> {
    /// The row of a step; `id` is that of its curve.
    pub fn of(step: &'a Step, locale: Locale, known: &mut Vec<&'a Caution>, id: String) -> Self {
        let same_day = step.start.date_naive() == step.end.date_naive();
        let alone = step.attention == Attention::None;
        let looks = step.looks_there().filter(|_| step.is_look()).map(|look| look.see.clone());
        let time = match (same_day, step.start < step.end) {
            (true, true) => locale.times(&step.start, &step.end),
            _ => locale.time(&step.start),
        };
        Self {
            time,
            until: (!same_day).then(|| locale.day_and_time(&step.end)),
            amounts: &step.amounts,
            bring: &step.bring,
            risks: looks.chain(step.follow.risks.iter().map(phrase::risk)).collect(),
            because: &step.because,
            slack: phrase::slack(step.slack_h).filter(|_| !alone && !step.is_look()),
            chance: step.chance.map(phrase::chance),
            cautions: step.cautions.iter().map(|caution| minded(caution, known)).collect(),
            curve: curve(step, locale, id),
            ..Self::at(step.start, kind(step.attention), step, locale)
        }
    }

    /// The morning after: what went on by itself is done.
    pub fn ending(step: &'a Step, locale: Locale) -> Self {
        Self::at(step.end, "done", step, locale)
    }

    fn at(at: DateTime<Tz>, kind: &'static str, step: &'a Step, locale: Locale) -> Self {
        Self {
            at,
            instant: at.to_rfc3339(),
            time: locale.time(&at),
            until: None,
            kind,
            what: named(&step.what),
            goal: goal(step),
            place: &step.place,
            amounts: &[],
            bring: &[],
            risks: Vec::new(),
            because: "",
            slack: None,
            chance: None,
            cautions: Vec::new(),
            curve: None,
        }
    }
}

fn goal(step: &Step) -> String {
    let goal = one_line(&step.goal);
    match &step.group {
        Some(group) if !goal.contains(&one_line(group)) => {
            format!("{goal}, {}", one_line(group))
        }
        _ => goal,
    }
}

fn minded<'a>(caution: &'a Caution, known: &mut Vec<&'a Caution>) -> Minded<'a> {
    let place = known.iter().position(|other| *other == caution);
    let n = place.unwrap_or(known.len());
    if place.is_none() {
        known.push(caution);
    }
    Minded { number: n + 1, short: &caution.short }
}

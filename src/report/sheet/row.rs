//! One row of the sheet: a step with its words, or the end of one that began on an earlier day.

use chrono::DateTime;
use chrono_tz::Tz;
use serde::Serialize;

use super::band::kind;
use super::curve::curve;
use crate::prep::schedule::{Amount, Attention, Caution, Step};
use crate::report::clean::{clean, named, one_line};
use crate::report::phrase;

/// A step, or the end of a step that began on an earlier day.
#[derive(Debug, Serialize)]
pub struct Row {
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
    place: String,
    amounts: Vec<Quantity>,
    bring: Vec<String>,
    because: String,
    slack: Option<String>,
    chance: Option<String>,
    cautions: Vec<Minded>,
    /// SVG, ready to place.
    curve: Option<String>,
}

#[derive(Debug, Serialize)]
struct Quantity {
    what: String,
    text: String,
}

/// A caution at its step, in full where it comes first, else by its title and number.
#[derive(Debug, Serialize)]
struct Minded {
    number: usize,
    title: String,
    text: Option<String>,
}

impl Row {
    /// The row of a step; `id` is that of its curve.
    pub fn of<'a>(step: &'a Step, known: &mut Vec<&'a Caution>, id: String) -> Self {
        let same_day = step.start.date_naive() == step.end.date_naive();
        let alone = step.attention == Attention::None;
        let time = match (same_day, step.start < step.end) {
            (true, true) => format!("{}–{}", phrase::clock(step.start), phrase::clock(step.end)),
            _ => phrase::clock(step.start),
        };
        Self {
            at: step.start,
            instant: step.start.to_rfc3339(),
            time,
            until: (!same_day).then(|| phrase::day_and_clock(step.end)),
            kind: kind(step.attention),
            what: named(&step.what),
            goal: goal(step),
            place: one_line(&step.place),
            amounts: step.amounts.iter().map(Quantity::of).collect(),
            bring: step.bring.iter().map(|thing| one_line(thing)).collect(),
            because: clean(&step.because),
            slack: phrase::slack(step.slack_h).filter(|_| !alone),
            chance: step.chance.map(phrase::chance),
            cautions: step.cautions.iter().map(|caution| Minded::of(caution, known)).collect(),
            curve: curve(step, id),
        }
    }

    /// The morning after: what went on by itself is done.
    pub fn ending(step: &Step) -> Self {
        Self {
            at: step.end,
            instant: step.end.to_rfc3339(),
            time: phrase::clock(step.end),
            until: None,
            kind: "done",
            what: named(&step.what),
            goal: goal(step),
            place: one_line(&step.place),
            amounts: Vec::new(),
            bring: Vec::new(),
            because: String::new(),
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

impl Minded {
    fn of<'a>(caution: &'a Caution, known: &mut Vec<&'a Caution>) -> Self {
        let title = one_line(&caution.title);
        match known.iter().position(|other| *other == caution) {
            Some(n) => Self { number: n + 1, title, text: None },
            None => {
                known.push(caution);
                Self { number: known.len(), title, text: Some(clean(&caution.text)) }
            }
        }
    }
}

impl Quantity {
    fn of(amount: &Amount) -> Self {
        Self { what: one_line(&amount.what), text: one_line(&amount.text) }
    }
}

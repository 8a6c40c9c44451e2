//! The answer on ice in words: will it be solid, when, what would help.

use anstyle::Style;
use chrono::{DateTime, FixedOffset};

use super::{
    answers::{self, band, time},
    lines::{Lines, styles},
    phrase,
};
use crate::{
    ask::ice::{IceAnswer, IceQuestion},
    units::{System, in_hours, kilograms, show_mass},
};

/// When it is filled and when it must be solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    /// Filled.
    pub filled: DateTime<FixedOffset>,
    /// Needed, where that was asked.
    pub by: Option<DateTime<FixedOffset>>,
}

/// The answer of `solidby ice`.
pub fn ice(
    answer: &IceAnswer,
    question: &IceQuestion,
    times: Times,
    units: System,
    width: usize,
) -> String {
    let mut lines = Lines::new(width);
    lines.line(&headline(answer, times), styles::ANSWER);
    lines.blank();
    let mut row = |head: &str, words: &str| {
        lines.hang(&format!("  {head:<10}"), "            ", words, Style::new());
    };
    match (&answer.solid_h, &answer.ready_h) {
        (Some(solid), Some(ready)) => {
            row("solid", &band(solid));
            row("ready", &format!("{}: firm to turn out", band(ready)));
        }
        _ => {
            row("solid", &time(answer.nominal.solid_h));
            row("ready", &time(answer.nominal.ready_h));
        }
    }
    if let (Some(by), Some(lead)) = (times.by, answer.lead()) {
        let fill = by - chrono::Duration::seconds((in_hours(lead) * 3600.0) as i64);
        row("fill by", &format!("{} to be sure", clock(fill)));
    }
    if let Some(last) = answer.looks.last() {
        let times = answer.looks.iter().map(|look| clock(hours_after(times, look.look.after_h)));
        let times = times.collect::<Vec<_>>().join(" and ");
        let share = 100.0 * last.look.teaches;
        row(
            "look",
            &format!(
                "{times}: noted in the diary, it teaches most ({share:.0} % of what is still open)"
            ),
        );
    }
    let each = show_mass(kilograms(answer.mass_kg), units);
    row(
        "water",
        &format!(
            "{each} a block, {} block{}",
            question.count,
            if question.count == 1 { "" } else { "s" }
        ),
    );
    answers::helps(&mut lines, &answer.helps);
    answers::unsure(&mut lines, &answer.unsure);
    answers::cautions(&mut lines, &answer.cautions);
    answers::notes(&mut lines, &answer.notes);
    lines.finish()
}

fn hours_after(times: Times, h: f64) -> DateTime<FixedOffset> {
    times.filled + chrono::Duration::seconds((h * 3600.0) as i64)
}

pub(super) fn headline(answer: &IceAnswer, times: Times) -> String {
    let after = |h: f64| hours_after(times, h);
    match (times.by, answer.chance) {
        (Some(by), Some(chance)) => {
            format!("Solid by {}: {}.", clock(by), phrase::chance(chance))
        }
        _ => match answer.solid_h {
            Some(band) if band.p95.is_finite() => format!(
                "Filled {}: solid about {}, by {} to be sure.",
                clock(times.filled),
                clock(after(band.p50)),
                clock(after(band.p95))
            ),
            Some(band) if band.p50.is_finite() => {
                format!("Solid about {}, but not for sure at all.", clock(after(band.p50)))
            }
            Some(_) => "Not solid, most likely never in this freezer.".to_owned(),
            None => format!("Solid after {} in these conditions.", time(answer.nominal.solid_h)),
        },
    }
}

/// `Mon 7 Dec 06:40`.
fn clock(at: DateTime<FixedOffset>) -> String {
    at.format("%a %-d %b %H:%M").to_string()
}

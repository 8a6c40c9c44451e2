//! The answer on ice in words: will it be solid, when, what would help.

use chrono::DateTime;

use super::{
    answers::{self, Row, Said, band, cares, time},
    faults::Reader,
    phrase,
};
use crate::{
    answers::ice::{IceAnswer, IceQuestion},
    units::{Locale, in_hours, kilograms, show_mass, zone::Zone},
};

/// When it is filled and when it must be solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    /// Filled.
    pub filled: DateTime<Zone>,
    /// Needed, where that was asked.
    pub by: Option<DateTime<Zone>>,
}

/// A question on ice answered, with what words and pictures of it need.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The answer.
    pub answer: IceAnswer,
    /// What was asked, with what a diary knows of it.
    pub question: IceQuestion,
    /// When it is filled and when needed.
    pub times: Times,
    /// How its reader says units and times.
    pub locale: Locale,
}

/// The answer of `solidby ice`.
pub fn ice(answered: &Answered, width: usize) -> String {
    said(answered, Reader::Terminal).lines(12, width)
}

/// The answer of `solidby ice` in words, for who reads it.
pub fn said(answered: &Answered, reader: Reader<'_>) -> Said {
    let Answered { answer, question, times, locale } = answered;
    let clock = |at| locale.day_and_time(&at);
    let mut rows = Vec::new();
    match (&answer.solid_h, &answer.ready_h) {
        (Some(solid), Some(ready)) => {
            rows.push(Row::of("solid", band(solid)));
            rows.push(Row::of("ready", format!("{}: firm to turn out", band(ready))));
        }
        _ => {
            rows.push(Row::of("solid", time(answer.nominal.solid_h)));
            rows.push(Row::of("ready", time(answer.nominal.ready_h)));
        }
    }
    if let (Some(by), Some(lead)) = (times.by, answer.lead()) {
        let fill = by - chrono::Duration::seconds((in_hours(lead) * 3600.0) as i64);
        rows.push(Row::of("fill by", format!("{} to be sure", clock(fill))));
    }
    if let Some(last) = answer.looks.last() {
        let looks = answer.looks.iter().map(|look| clock(hours_after(*times, look.look.after_h)));
        let looks = looks.collect::<Vec<_>>().join(" and ");
        let share = 100.0 * last.look.teaches;
        let words = format!(
            "{looks}: noted in the diary, it teaches most ({share:.0} % of what is still open)"
        );
        rows.push(Row::of("look", words));
    }
    let each = show_mass(kilograms(answer.mass_kg), locale.units);
    let plural = if question.count == 1 { "" } else { "s" };
    rows.push(Row::of("water", format!("{each} a block, {} block{plural}", question.count)));
    Said {
        headline: headline(answered),
        rows,
        helps: answers::helps(&answer.helps),
        unsure: answers::unsure(&answer.unsure, reader),
        cautions: cares(&answer.cautions, *locale),
        notes: answer.notes.iter().map(|note| reader.note(note)).collect(),
        ..Said::default()
    }
    .spelled(*locale)
}

fn hours_after(times: Times, h: f64) -> DateTime<Zone> {
    times.filled + chrono::Duration::seconds((h * 3600.0) as i64)
}

pub(super) fn headline(answered: &Answered) -> String {
    let Answered { answer, times, locale, .. } = answered;
    let (times, clock) = (*times, |at: DateTime<Zone>| locale.day_and_time(&at));
    let after = |h: f64| hours_after(times, h);
    match (times.by, answer.chance) {
        (Some(by), Some(chance)) => {
            format!("Firm by {}: {}.", clock(by), phrase::chance(chance))
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

//! The answers on dough in words: how long, what to weigh, what can go wrong; and
//! when a baked piece may be touched.

use super::{
    answers::{self, Row, Said, band, cares, time},
    faults::Reader,
};
use crate::{
    answers::{
        cool::CoolAnswer,
        dough::{Coat, DoughAndWays, DoughAnswer, DoughQuestion, Level, RiskId, Way},
    },
    uncertainty::Band,
    units::{Locale, System, Time, grams, millimetres, show_length, show_mass},
};

/// A question on dough answered, with what words and pictures of it need.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The answer, and ways where there is a time to keep.
    pub both: DoughAndWays,
    /// What was asked, with what a diary knows of it.
    pub question: DoughQuestion,
    /// From when it goes in to when it must be dry.
    pub available: Option<Time>,
    /// How its reader says units and times.
    pub locale: Locale,
}

/// The answer of `solidby dough`.
pub fn dough(answered: &Answered, width: usize) -> String {
    said(answered, Reader::Terminal).lines(10, width)
}

/// The answer of `solidby dough` in words, for who reads it.
pub fn said(answered: &Answered, reader: Reader<'_>) -> Said {
    let DoughAndWays { answer, ways } = &answered.both;
    let units = answered.question.units;
    let mut rows = Vec::new();
    if let Some(hard) = &answer.hard_h {
        let words = format!("{}: holds its shape, may be painted", band(hard));
        rows.push(Row::of("firm", words));
    }
    if let Some(dry) = &answer.dry_h {
        rows.push(Row::of("dry", format!("{}: no damp core, may be sealed", band(dry))));
    }
    if let Some(turn) = answer.turn_h {
        rows.push(Row::of("turn", format!("after {}", time(turn))));
    }
    if let (Some(firm), Some(dry)) = (answer.weigh_g.firm, answer.weigh_g.dry) {
        let weights = |units| [answer.weigh_g.wet, firm, dry].map(|g| show_mass(grams(g), units));
        // Whole and tenths of ounces may not tell the two apart.
        let [wet, firm, dry] = match weights(units) {
            [_, firm, dry] if firm == dry => weights(System::Metric),
            apart => apart,
        };
        let words = format!("one piece is {wet} wet, firm at {firm}, and {dry} when it is dry");
        rows.push(Row::of("weigh", words));
    }
    rows.extend(answer.risks.iter().map(|risk| {
        let level = match risk.level {
            Level::Some => "may happen",
            Level::High => "likely",
        };
        Row { head: "risk", words: format!("{} ({level})", risk.text), care: true }
    }));
    rows.push(Row::of("coats", coats(&answer.coats)));
    let thickest = ways.as_ref().and_then(|ways| ways.thickest_mm).map(|thickest| {
        let thickest = show_length(millimetres(thickest), units);
        format!("The thickest piece ready in time this way is {thickest}.")
    });
    Said {
        headline: dough_headline(answer),
        rows,
        ways: ways.iter().flat_map(|ways| &ways.ways).map(way_words).collect(),
        of_ways: thickest,
        helps: answers::helps(&answer.helps),
        unsure: answers::unsure(&answer.unsure, reader),
        cautions: cares(&answer.cautions, answered.locale),
        notes: answer.notes.iter().map(|note| reader.note(note)).collect(),
    }
    .spelled(answered.locale)
}

pub(super) fn dough_headline(answer: &DoughAnswer) -> String {
    let firm = answer.hard_h.filter(|firm| firm.p50.is_finite());
    match (&answer.dry_h, &answer.reason) {
        (Some(dry), _) if dry.p95.is_finite() && differ(firm, dry) => format!(
            "Firm in {}, dry in {}, most likely; allow {} to be sure that it is dry.",
            time(firm.map_or(dry.p50, |firm| firm.p50)),
            time(dry.p50),
            time(dry.p95)
        ),
        (Some(dry), _) if dry.p95.is_finite() => {
            format!("Dry in {}, most likely; allow {} to be sure.", time(dry.p50), time(dry.p95))
        }
        (Some(dry), _) => {
            format!("Dry in {} at best; in some rooms like yours never.", time(dry.p05))
        }
        (None, Some(reason)) => match firm {
            Some(firm) => format!("Firm in {}, but never dry. {reason}", time(firm.p50)),
            None => format!("Never dries. {reason}"),
        },
        (None, None) => "Never dries.".to_owned(),
    }
}

/// Whether firm and dry are two times in words.
fn differ(firm: Option<Band>, dry: &Band) -> bool {
    firm.is_some_and(|firm| time(firm.p50) != time(dry.p50))
}

/// A way to have it dry in time.
fn way_words(way: &Way) -> String {
    let in_time = if way.in_time == Some(true) { "in time" } else { "too late" };
    let dry = way.dry_h.map_or("never".to_owned(), |band| time(band.p95));
    let watched = match way.watched_h {
        h if h > 0.0 => format!(", oven watched {}", time(h)),
        _ => String::new(),
    };
    let risks: Vec<&str> = way.risks.iter().map(|risk| risk_word(risk.id)).collect();
    let risks =
        if risks.is_empty() { String::new() } else { format!("; mind: {}", risks.join(", ")) };
    format!("{}: {in_time}, {dry} to be sure{watched}{risks}", way.change)
}

fn risk_word(id: RiskId) -> &'static str {
    match id {
        RiskId::Puff => "may puff",
        RiskId::Brown => "may brown",
        RiskId::Crack => "may crack",
        RiskId::Humid => "humid room",
    }
}

/// How long each coat dries afterwards.
fn coats(coats: &[Coat]) -> String {
    let words: Vec<String> = coats
        .iter()
        .map(|coat| match coat.next_h {
            Some(h) => format!("{} {}", coat.finish, time(h)),
            None => format!("{} never in this room", coat.finish),
        })
        .collect();
    format!("{} until the next step", words.join(", "))
}

/// The answer of `solidby cool`.
pub fn cool(answer: &CoolAnswer, locale: Locale, width: usize) -> String {
    let bands = &answer.bands;
    let child = bands.piece_child_min.p95.max(bands.tray_child_min.p95);
    let rows = [
        ("piece, child", &bands.piece_child_min),
        ("tray, child", &bands.tray_child_min),
        ("piece, adult", &bands.piece_adult_min),
        ("tray, adult", &bands.tray_adult_min),
    ]
    .map(|(what, Band { p50, p95, .. })| {
        let words = format!("{} most likely, {} to be sure", time(p50 / 60.0), time(p95 / 60.0));
        Row::of(what, words)
    });
    let said = Said {
        headline: format!(
            "A child may touch it after {}; until then keep piece and tray out of reach.",
            time(child / 60.0)
        ),
        rows: rows.to_vec(),
        cautions: cares(&answer.cautions, locale),
        notes: answer.notes.clone(),
        ..Said::default()
    };
    said.spelled(locale).lines(16, width)
}

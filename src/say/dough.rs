//! The answers on dough in words: how long, what to weigh, what can go wrong; and
//! when a baked piece may be touched.

use super::{
    answers::{self, band, time},
    lines::{Lines, styles},
};
use crate::{
    ask::{
        cool::CoolAnswer,
        dough::{Coat, DoughAnswer, Level, RiskId, WaysOut},
    },
    units::{System, grams, millimetres, show_length, show_mass},
};
use anstyle::Style;

/// The answer of `solidby dough`.
pub fn dough(answer: &DoughAnswer, ways: Option<&WaysOut>, units: System, width: usize) -> String {
    let mut lines = Lines::new(width);
    lines.line(&dough_headline(answer), styles::ANSWER);
    lines.blank();
    if let Some(hard) = &answer.hard_h {
        lines.hang(
            "  hard    ",
            "          ",
            &format!("{}: holds its shape, safe to handle", band(hard)),
            Style::new(),
        );
    }
    if let Some(dry) = &answer.dry_h {
        lines.hang(
            "  dry     ",
            "          ",
            &format!("{}: ready to paint", band(dry)),
            Style::new(),
        );
    }
    if let Some(turn) = answer.turn_h {
        lines.hang("  turn    ", "          ", &format!("after {}", time(turn)), Style::new());
    }
    if let Some(dry) = answer.weigh_g.dry {
        let words = format!(
            "one piece goes from {} to {}: when it is that light, it is dry",
            show_mass(grams(answer.weigh_g.wet), units),
            show_mass(grams(dry), units)
        );
        lines.hang("  weigh   ", "          ", &words, Style::new());
    }
    for risk in &answer.risks {
        let level = match risk.level {
            Level::Some => "may happen",
            Level::High => "likely",
        };
        lines.hang(
            "  risk    ",
            "          ",
            &format!("{} ({level})", risk.text),
            styles::CAUTION,
        );
    }
    coats(&mut lines, &answer.coats);
    if let Some(ways) = ways {
        print_ways(&mut lines, ways, units);
    }
    answers::helps(&mut lines, &answer.helps);
    answers::unsure(&mut lines, &answer.unsure);
    answers::cautions(&mut lines, &answer.cautions);
    answers::notes(&mut lines, &answer.notes);
    lines.finish()
}

pub(super) fn dough_headline(answer: &DoughAnswer) -> String {
    match (&answer.dry_h, &answer.reason) {
        (Some(dry), _) if dry.p95.is_finite() => {
            format!("Dry in {}, most likely; allow {} to be sure.", time(dry.p50), time(dry.p95))
        }
        (Some(dry), _) => {
            format!("Dry in {} at best; in some rooms like yours never.", time(dry.p05))
        }
        (None, Some(reason)) => format!("Never dries. {reason}"),
        (None, None) => "Never dries.".to_owned(),
    }
}

/// The ways to have it dry in time, the best first.
fn print_ways(lines: &mut Lines, ways: &WaysOut, units: System) {
    lines.blank();
    lines.line("Ways to have it dry, the best first", styles::HEADING);
    for way in &ways.ways {
        let in_time = if way.in_time == Some(true) { "in time" } else { "too late" };
        let dry = way.dry_h.map_or("never".to_owned(), |band| time(band.p95));
        let watched = match way.watched_h {
            h if h > 0.0 => format!(", oven watched {}", time(h)),
            _ => String::new(),
        };
        let risks: Vec<&str> = way.risks.iter().map(|risk| risk_word(risk.id)).collect();
        let risks =
            if risks.is_empty() { String::new() } else { format!("; mind: {}", risks.join(", ")) };
        let words = format!("{}: {in_time}, {dry} to be sure{watched}{risks}", way.change);
        lines.hang("  - ", "    ", &words, Style::new());
    }
    if let Some(thickest) = ways.thickest_mm {
        let words = format!(
            "The thickest piece ready in time this way is {}.",
            show_length(millimetres(thickest), units)
        );
        lines.line(&words, Style::new());
    }
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
fn coats(lines: &mut Lines, coats: &[Coat]) {
    let words: Vec<String> = coats
        .iter()
        .map(|coat| match coat.next_h {
            Some(h) => format!("{} {}", coat.finish, time(h)),
            None => format!("{} never in this room", coat.finish),
        })
        .collect();
    let words = format!("{} until the next step", words.join(", "));
    lines.hang("  coats   ", "          ", &words, Style::new());
}

/// The answer of `solidby cool`.
pub fn cool(answer: &CoolAnswer, width: usize) -> String {
    let mut lines = Lines::new(width);
    let child = answer.bands.piece_child_min.p95.max(answer.bands.tray_child_min.p95);
    let headline = format!(
        "A child may touch it after {}; until then keep piece and tray out of reach.",
        time(child / 60.0)
    );
    lines.line(&headline, styles::ANSWER);
    lines.blank();
    for (what, band) in [
        ("piece, child", &answer.bands.piece_child_min),
        ("tray, child", &answer.bands.tray_child_min),
        ("piece, adult", &answer.bands.piece_adult_min),
        ("tray, adult", &answer.bands.tray_adult_min),
    ] {
        let words =
            format!("{} most likely, {} to be sure", time(band.p50 / 60.0), time(band.p95 / 60.0));
        lines.hang(&format!("  {what:<14}"), "                ", &words, Style::new());
    }
    answers::cautions(&mut lines, &answer.cautions);
    answers::notes(&mut lines, &answer.notes);
    lines.finish()
}

//! The answers on dough in words: how long, what to weigh, what can go wrong.

use super::lines::{Lines, styles};
use crate::{
    ask::{
        CautionText, Help, Unsure,
        cool::CoolAnswer,
        dough::{DoughAnswer, Level},
    },
    belief::Band,
    units::{System, grams, hours, show_duration, show_mass},
};
use anstyle::Style;

/// The answer of `solidby dough`.
pub fn dough(answer: &DoughAnswer, units: System, width: usize) -> String {
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
    helps(&mut lines, &answer.helps);
    unsure(&mut lines, &answer.unsure);
    cautions(&mut lines, &answer.cautions);
    notes(&mut lines, &answer.notes);
    lines.finish()
}

fn dough_headline(answer: &DoughAnswer) -> String {
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
    cautions(&mut lines, &answer.cautions);
    notes(&mut lines, &answer.notes);
    lines.finish()
}

/// `4 h 35 min most likely (2 h 50 min to 8 h)`.
pub fn band(band: &Band) -> String {
    format!("{} most likely ({} to {})", time(band.p50), time(band.p05), time(band.p95))
}

/// A number of hours in words; never where it is infinite.
pub fn time(h: f64) -> String {
    if h.is_finite() { show_duration(hours(h)) } else { "never".to_owned() }
}

/// What would help, the best first.
pub fn helps(lines: &mut Lines, helps: &[Help]) {
    if helps.is_empty() {
        return;
    }
    lines.blank();
    lines.line("What would help", styles::HEADING);
    for help in helps {
        let words = format!("{} (saves {})", help.change, time(help.saves_h));
        lines.hang("  + ", "    ", &words, Style::new());
    }
}

/// What widens the band, the widest first.
pub fn unsure(lines: &mut Lines, unsure: &[Unsure]) {
    if unsure.is_empty() {
        return;
    }
    lines.blank();
    lines.line("What makes this unsure", styles::HEADING);
    for unknown in unsure.iter().take(3) {
        let words =
            format!("{} ({:.0} % of it). {}", unknown.input, 100.0 * unknown.share, unknown.narrow);
        lines.hang("  ? ", "    ", &words, Style::new());
    }
}

/// Words of care with their sources.
pub fn cautions(lines: &mut Lines, cautions: &[CautionText]) {
    if cautions.is_empty() {
        return;
    }
    lines.blank();
    lines.line("Mind", styles::HEADING);
    for caution in cautions {
        let words = format!("{} [{}]", caution.text, caution.source);
        lines.hang("  ! ", "    ", &words, styles::CAUTION);
    }
}

/// What was assumed.
pub fn notes(lines: &mut Lines, notes: &[String]) {
    if notes.is_empty() {
        return;
    }
    lines.blank();
    for note in notes {
        lines.line(note, styles::QUIET);
    }
}

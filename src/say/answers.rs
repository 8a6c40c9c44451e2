//! What the answers share in words: bands, helps, what is unsure, cautions.

use anstyle::Style;

use super::lines::{Lines, styles};
use crate::{
    ask::{CautionText, Help, Unsure},
    belief::Band,
    units::{hours, show_duration},
};

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
    for Help { change, saves_h } in helps {
        let words = match saves_h.is_finite() {
            true => format!("{change} (saves {})", time(*saves_h)),
            false => format!("{change} (then it gets done at all)"),
        };
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
    for Unsure { input, share, narrow } in unsure.iter().take(3) {
        let words = format!("{input} ({:.0} % of it). {narrow}", 100.0 * share);
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
    for CautionText { text, source, .. } in cautions {
        let words = format!("{text} [{source}]");
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

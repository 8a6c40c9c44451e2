//! What the answers share in words: bands, helps, what is unsure, cautions.

use anstyle::Style;
use serde::Serialize;

use super::{
    faults::Reader,
    lines::{Lines, styles},
};
use crate::{
    answers::{CautionText, Help, Unsure},
    uncertainty::Band,
    units::{Locale, hours, show_duration},
};

/// `4 h 35 min most likely (2 h 50 min to 8 h)`.
pub fn band(band: &Band) -> String {
    format!("{} most likely ({} to {})", time(band.p50), time(band.p05), time(band.p95))
}

/// A number of hours in words; never where it is infinite.
pub fn time(h: f64) -> String {
    if h.is_finite() { show_duration(hours(h)) } else { "never".to_owned() }
}

/// An answer in words, before it is set as lines or as a page.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Said {
    /// The answer in one sentence.
    pub headline: String,
    /// What it consists of.
    pub rows: Vec<Row>,
    /// Ways to the same end, the best first.
    pub ways: Vec<String>,
    /// What else there is to know of the ways.
    pub of_ways: Option<String>,
    /// What would help, the best first.
    pub helps: Vec<String>,
    /// What widens the band, the widest first.
    pub unsure: Vec<String>,
    /// Words of care with their sources.
    pub cautions: Vec<Care>,
    /// What was assumed.
    pub notes: Vec<String>,
}

/// A word of care.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Care {
    /// The act that is wanted, in one line.
    pub short: String,
    /// All of it.
    pub text: String,
    /// Where it is from.
    pub source: &'static str,
}

/// The cautions of an answer as they are said to its reader.
pub fn cares(cautions: &[CautionText], locale: Locale) -> Vec<Care> {
    let one = |CautionText { row, source, .. }: &CautionText| Care {
        short: row.short_in(locale),
        text: row.text_in(locale),
        source,
    };
    cautions.iter().map(one).collect()
}

/// A part of an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// What it is about, in a word.
    pub head: &'static str,
    /// The words.
    pub words: String,
    /// Whether it needs care.
    pub care: bool,
}

impl Row {
    /// A row that needs no care.
    pub fn of(head: &'static str, words: String) -> Self {
        Self { head, words, care: false }
    }
}

impl Said {
    /// The same as it is spelled where its reader lives.
    pub fn spelled(mut self, locale: Locale) -> Self {
        let parts = [&mut self.ways, &mut self.helps, &mut self.unsure, &mut self.notes];
        let words = parts.into_iter().flatten().chain([&mut self.headline]);
        let words = words.chain(self.rows.iter_mut().map(|row| &mut row.words));
        for words in words.chain(&mut self.of_ways) {
            *words = locale.spelled(words);
        }
        self
    }

    /// Set as lines, the words of the rows from column `column` on.
    pub fn lines(&self, column: usize, width: usize) -> String {
        let (mut lines, plain) = (Lines::new(width), Style::new());
        lines.line(&self.headline, styles::ANSWER);
        lines.blank();
        for row in &self.rows {
            let style = if row.care { styles::CAUTION } else { plain };
            lines.row(&format!("  {}", row.head), column, &row.words, style);
        }
        lines.list("Ways to have it dry, the best first", "  - ", &self.ways, plain);
        if let Some(words) = &self.of_ways {
            lines.line(words, plain);
        }
        lines.list("What would help", "  + ", &self.helps, plain);
        lines.list("What makes this unsure", "  ? ", &self.unsure, plain);
        let minded = self.cautions.iter().map(|it| format!("{} [{}]", it.text, it.source));
        lines.list("Mind", "  ! ", &minded.collect::<Vec<_>>(), styles::CAUTION);
        if !self.notes.is_empty() {
            lines.blank();
        }
        for note in &self.notes {
            lines.line(note, styles::QUIET);
        }
        lines.finish()
    }
}

/// What would help, with what it saves.
pub fn helps(helps: &[Help]) -> Vec<String> {
    let one = |Help { change, saves_h }: &Help| match saves_h.is_finite() {
        true => format!("{change} (saves {})", time(*saves_h)),
        false => format!("{change} (then it gets done at all)"),
    };
    helps.iter().map(one).collect()
}

/// The three that widen the band most.
pub fn unsure(unsure: &[Unsure], reader: Reader<'_>) -> Vec<String> {
    let one = |Unsure { input, share, narrow }: &Unsure| {
        let narrow = narrow.naming(|field| reader.field(field));
        format!("{input} ({:.0} % of it). {narrow}", 100.0 * share)
    };
    unsure.iter().take(3).map(one).collect()
}

//! The diary in words: notes foretold and seen, with a small picture; what they teach.

use anstyle::Style;
use serde::Serialize;

use super::{
    answers::{band, time},
    lines::{Lines, styles},
};
use crate::{
    answers::{
        Look,
        diary::{Fit, HALF_LIFE_DAYS, Noted},
    },
    uncertainty::Band,
};

/// The whole diary, as JSON has it.
#[derive(Debug, Serialize)]
pub struct Shown {
    /// Where the diary lies.
    pub diary: String,
    /// Each freezer, and each oven.
    pub appliances: Vec<Appliance>,
}

/// A freezer or an oven with its notes.
#[derive(Debug, Serialize)]
pub struct Appliance {
    /// `freezer` or `oven`.
    pub kind: &'static str,
    /// What it is called.
    pub called: String,
    /// Its notes, the oldest first.
    pub notes: Vec<NoteShown>,
    /// What they teach; nothing when none counts.
    pub fit: Option<Fit>,
    /// When to look next time, hours after it went in.
    pub looks: Vec<Look>,
}

/// A note in its own words.
#[derive(Debug, Clone, Serialize)]
pub struct NoteTold {
    /// Its place in the file, from 1.
    pub number: usize,
    /// When it went in.
    pub at: String,
    /// What was made.
    pub made: String,
    /// What was seen: hours after it went in, and what.
    pub seen: Vec<(f64, String)>,
}

impl NoteTold {
    /// `wet after 9 h, solid after 11 h`.
    pub fn seen_words(&self) -> String {
        let seen = self.seen.iter().map(|(h, what)| format!("{what} after {}", time(*h)));
        seen.collect::<Vec<_>>().join(", ")
    }
}

/// One note, with what became of it.
#[derive(Debug, Serialize)]
pub struct NoteShown {
    /// In its own words.
    #[serde(flatten)]
    pub told: NoteTold,
    /// What became of it.
    #[serde(flatten)]
    pub noted: Noted,
}

impl Appliance {
    /// From its notes and their fit.
    pub fn new(
        ice: bool,
        called: String,
        notes: Vec<NoteTold>,
        fit: Option<Fit>,
        looks: Vec<Look>,
    ) -> Self {
        let noted = |n: usize| fit.as_ref().and_then(|fit| fit.notes.get(n)).copied();
        let shown = |(n, told)| NoteShown { told, noted: noted(n).unwrap_or_default() };
        let notes = notes.into_iter().enumerate().map(shown).collect();
        Self { kind: if ice { "freezer" } else { "oven" }, called, notes, fit, looks }
    }

    fn done(&self) -> &'static str {
        if self.kind == "freezer" { "solid" } else { "hard" }
    }
}

/// `solidby diary show`.
pub fn show_words(shown: &Shown, width: usize) -> String {
    in_words(shown, width, |lines, appliance| {
        lines.line(&format!("The {} “{}”", appliance.kind, appliance.called), styles::HEADING);
        let longest = longest(appliance);
        for note in &appliance.notes {
            lines.blank();
            show_note(lines, note, appliance.done(), longest);
        }
    })
}

/// Each appliance in words, an empty line between them.
fn in_words(shown: &Shown, width: usize, one: impl Fn(&mut Lines, &Appliance)) -> String {
    let mut lines = Lines::new(width);
    if shown.appliances.is_empty() {
        lines.line("There are no notes up to now.", styles::ANSWER);
        let begins = format!("“solidby diary add ice …” begins the diary in {}.", shown.diary);
        lines.line(&begins, Style::new());
    }
    for (n, appliance) in shown.appliances.iter().enumerate() {
        if n > 0 {
            lines.blank();
        }
        one(&mut lines, appliance);
    }
    lines.finish()
}

/// The last hour that any picture of an appliance has to show.
fn longest(appliance: &Appliance) -> f64 {
    let ends = appliance.notes.iter().flat_map(|note| {
        let foretold = note.noted.before_h.map_or(0.0, |band| band.p95);
        note.told.seen.iter().map(|(h, _)| *h).chain([foretold])
    });
    ends.filter(|h| h.is_finite()).fold(1.0, f64::max)
}

fn show_note(lines: &mut Lines, note: &NoteShown, done: &str, longest: f64) {
    let NoteShown { told, noted } = note;
    let odd = if noted.odd { ", which disagrees with the rest" } else { "" };
    lines.hang("  ", "    ", &format!("{}: {}{odd}", told.at, told.made), styles::ANSWER);
    if noted.weight == 0.0 {
        let words = "does not count: another setting or dough, or nothing to learn from";
        lines.hang("    ", "    ", words, styles::QUIET);
    }
    let seen = if told.seen.is_empty() { "nothing".to_owned() } else { told.seen_words() };
    lines.row("    seen", 14, &seen, Style::new());
    for (head, foretold) in [("    before", &noted.before_h), ("    by notes", &noted.after_h)] {
        if let Some(foretold) = foretold {
            lines.row(head, 14, &format!("{done} after {}", band(foretold)), Style::new());
        }
    }
    if let Some(foretold) = noted.after_h.or(noted.before_h) {
        for picture in pictures(told, &foretold, longest) {
            lines.exact(&format!("    {picture}"));
        }
    }
}

/// Columns of the small picture.
const COLUMNS: usize = 60;

/// The looks over the band foretold, on one scale of time.
fn pictures(note: &NoteTold, foretold: &Band, longest: f64) -> [String; 2] {
    let column = |h: f64| {
        ((h / longest) * (COLUMNS - 1) as f64).round().clamp(0.0, (COLUMNS - 1) as f64) as usize
    };
    let mut looks = vec![' '; COLUMNS];
    for (h, what) in &note.seen {
        looks[column(*h)] = what.chars().next().unwrap_or(' ');
    }
    let mut bar = vec!['·'; COLUMNS];
    let (low, high) = (column(foretold.p05), column(foretold.p95));
    bar[low..=high].fill('=');
    bar[column(foretold.p50)] = '|';
    let text = |cells: Vec<char>| cells.into_iter().collect::<String>().trim_end().to_owned();
    [text(looks), format!("{}  {}", text(bar), time(longest))]
}

/// `solidby diary fit`.
pub fn fit_words(shown: &Shown, width: usize) -> String {
    in_words(shown, width, fit_one)
}

fn fit_one(lines: &mut Lines, appliance: &Appliance) {
    let counted = appliance.notes.iter().filter(|note| note.noted.weight > 0.0).count();
    let all = appliance.notes.len();
    let heading = format!("The {} “{}”", appliance.kind, appliance.called);
    lines.line(&format!("{heading}: {counted} of {all} notes count."), styles::ANSWER);
    let Some(fit) = &appliance.fit else { return };
    lines.blank();
    for unknown in &fit.unknowns {
        let unit = if unknown.unit == "1" { String::new() } else { format!(" {}", unknown.unit) };
        let range = |band: &Band| format!("{:.2} to {:.2}{unit}", band.p05, band.p95);
        let words = format!(
            "{}: {} before, {} now, most likely {:.2}{unit}",
            unknown.about,
            range(&unknown.before),
            range(&unknown.after),
            unknown.after.p50
        );
        lines.hang("  ", "    ", &words, Style::new());
    }
    lines.blank();
    let effort = &fit.effort;
    let words = format!(
        "Of {} kitchens tried, {:.0} fit these notes. A note counts half after {HALF_LIFE_DAYS:.0} days.",
        effort.draws, effort.effective_at_first
    );
    lines.line(&words, styles::QUIET);
    for note in appliance.notes.iter().filter(|note| note.noted.odd) {
        let doubt = 100.0 * note.noted.doubt.unwrap_or(0.0);
        let words = format!(
            "The note of {} disagrees with the rest ({doubt:.0} of 100 that it is wrong): check its times, or delete it.",
            note.told.at
        );
        lines.line(&words, styles::CAUTION);
    }
    if !appliance.looks.is_empty() {
        let times: Vec<String> = appliance.looks.iter().map(|look| time(look.after_h)).collect();
        let last = appliance.looks.last().map_or(0.0, |look| 100.0 * look.teaches);
        let words = format!(
            "The next look at the same blocks teaches most {} after filling: {last:.0} % of what is still open.",
            times.join(" and ")
        );
        lines.line(&words, Style::new());
    }
}

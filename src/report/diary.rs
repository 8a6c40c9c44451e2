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
        diary::{Belief, Fit, HALF_LIFE_DAYS, Noted},
    },
    tables::Unknown,
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
    pub fit: Option<FitShown>,
    /// When to look next time, hours after it went in.
    pub looks: Vec<Look>,
}

/// A note in its own words.
#[derive(Debug, Clone)]
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

/// One note.
#[derive(Debug, Serialize)]
pub struct NoteShown {
    /// Its place in the file, from 1.
    pub number: usize,
    /// When it went in.
    pub at: String,
    /// What was made.
    pub made: String,
    /// What was seen: hours after it went in, and what.
    pub seen: Vec<(f64, String)>,
    /// Hours until solid or hard, by the tables alone.
    pub before_h: Option<Band>,
    /// The same by all notes.
    pub after_h: Option<Band>,
    /// How much it still counts.
    pub weight: f64,
    /// The chance that it is wrong.
    pub doubt: Option<f64>,
    /// Whether it disagrees with the rest.
    pub odd: bool,
}

/// What the notes teach.
#[derive(Debug, Serialize)]
pub struct FitShown {
    /// Each unknown before and after.
    pub unknowns: Vec<UnknownShown>,
    /// Draws that the weights were laid on.
    pub draws: usize,
    /// How many of them were effective with the first weights.
    pub effective_at_first: f64,
    /// How many are effective now.
    pub effective: f64,
    /// How often the draws were moved to where the weights are.
    pub moves: usize,
}

/// One unknown.
#[derive(Debug, Serialize)]
pub struct UnknownShown {
    /// Which.
    pub name: Unknown,
    /// What it is.
    pub about: String,
    /// Its unit.
    pub unit: String,
    /// By the tables.
    pub before: Band,
    /// By the notes.
    pub after: Band,
}

impl Appliance {
    /// From its notes and their fit.
    pub fn new(
        ice: bool,
        called: String,
        notes: &[NoteTold],
        fit: Option<Fit>,
        looks: Vec<Look>,
    ) -> Self {
        let shown = |(n, told): (usize, &NoteTold)| {
            let noted = fit.as_ref().and_then(|fit| fit.notes.get(n));
            NoteShown {
                number: told.number,
                at: told.at.clone(),
                made: told.made.clone(),
                seen: told.seen.clone(),
                before_h: noted.and_then(|noted| noted.before),
                after_h: noted.and_then(|noted| noted.after),
                weight: noted.map_or(0.0, |noted| noted.weight),
                doubt: noted.and_then(|noted| noted.doubt),
                odd: noted.is_some_and(Noted::is_odd),
            }
        };
        Self {
            kind: if ice { "freezer" } else { "oven" },
            called,
            notes: notes.iter().enumerate().map(shown).collect(),
            fit: fit.as_ref().map(fit_shown),
            looks,
        }
    }

    fn done(&self) -> &'static str {
        if self.kind == "freezer" { "solid" } else { "hard" }
    }
}

fn fit_shown(fit: &Fit) -> FitShown {
    let unknown = |belief: &Belief| UnknownShown {
        name: belief.row.unknown(),
        about: belief.row.about().to_owned(),
        unit: belief.row.unit().to_owned(),
        before: belief.before,
        after: belief.after,
    };
    FitShown {
        unknowns: fit.beliefs.iter().map(unknown).collect(),
        draws: fit.points,
        effective_at_first: fit.first_effective,
        effective: fit.effective,
        moves: fit.moves,
    }
}

/// `solidby diary show`.
pub fn show_words(shown: &Shown, width: usize) -> String {
    let mut lines = Lines::new(width);
    if shown.appliances.is_empty() {
        return nothing(shown, lines);
    }
    for (n, appliance) in shown.appliances.iter().enumerate() {
        if n > 0 {
            lines.blank();
        }
        lines.line(&format!("The {} “{}”", appliance.kind, appliance.called), styles::HEADING);
        let longest = longest(appliance);
        for note in &appliance.notes {
            lines.blank();
            show_note(&mut lines, note, appliance.done(), longest);
        }
    }
    lines.finish()
}

fn nothing(shown: &Shown, mut lines: Lines) -> String {
    lines.line("There are no notes up to now.", styles::ANSWER);
    lines.line(
        &format!("“solidby diary add ice …” begins the diary in {}.", shown.diary),
        Style::new(),
    );
    lines.finish()
}

/// The last hour that any picture of an appliance has to show.
fn longest(appliance: &Appliance) -> f64 {
    let ends = appliance.notes.iter().flat_map(|note| {
        let foretold = note.before_h.map_or(0.0, |band| band.p95);
        note.seen.iter().map(|(h, _)| *h).chain([foretold])
    });
    ends.filter(|h| h.is_finite()).fold(1.0, f64::max)
}

fn show_note(lines: &mut Lines, note: &NoteShown, done: &str, longest: f64) {
    let odd = if note.odd { ", which disagrees with the rest" } else { "" };
    lines.hang("  ", "    ", &format!("{}: {}{odd}", note.at, note.made), styles::ANSWER);
    if note.weight == 0.0 {
        let words = "does not count: another setting or dough, or nothing to learn from";
        lines.hang("    ", "    ", words, styles::QUIET);
    }
    let seen: Vec<String> =
        note.seen.iter().map(|(h, what)| format!("{what} after {}", time(*h))).collect();
    let seen = if seen.is_empty() { "nothing".to_owned() } else { seen.join(", ") };
    let mut row = |head: &str, words: &str| {
        lines.hang(&format!("    {head:<10}"), "              ", words, Style::new());
    };
    row("seen", &seen);
    for (head, foretold) in [("before", &note.before_h), ("by notes", &note.after_h)] {
        if let Some(foretold) = foretold {
            row(head, &format!("{done} after {}", band(foretold)));
        }
    }
    if let Some(foretold) = note.after_h.or(note.before_h) {
        for picture in pictures(note, &foretold, longest) {
            lines.exact(&format!("    {picture}"));
        }
    }
}

/// Columns of the small picture.
const COLUMNS: usize = 60;

/// The looks over the band foretold, on one scale of time.
fn pictures(note: &NoteShown, foretold: &Band, longest: f64) -> [String; 2] {
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
    let mut lines = Lines::new(width);
    if shown.appliances.is_empty() {
        return nothing(shown, lines);
    }
    for (n, appliance) in shown.appliances.iter().enumerate() {
        if n > 0 {
            lines.blank();
        }
        fit_one(&mut lines, appliance);
    }
    lines.finish()
}

fn fit_one(lines: &mut Lines, appliance: &Appliance) {
    let counted = appliance.notes.iter().filter(|note| note.weight > 0.0).count();
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
    let moved = match fit.moves {
        0 => String::new(),
        n => format!(", {:.0} after moving them {n} times", fit.effective),
    };
    let words = format!(
        "Weights: {:.0} of {} draws effective{moved}. A note counts half after {HALF_LIFE_DAYS:.0} days.",
        fit.effective_at_first, fit.draws
    );
    lines.line(&words, styles::QUIET);
    for note in appliance.notes.iter().filter(|note| note.odd) {
        let doubt = 100.0 * note.doubt.unwrap_or(0.0);
        let words = format!(
            "The note of {} disagrees with the rest ({doubt:.0} of 100 that it is wrong): check its times, or delete it.",
            note.at
        );
        lines.line(&words, styles::CAUTION);
    }
    if !appliance.looks.is_empty() {
        let times: Vec<String> = appliance.looks.iter().map(|look| time(look.after_h)).collect();
        let last = appliance.looks.last().map_or(0.0, |look| 100.0 * look.teaches);
        let words = format!(
            "The next look at the same blocks teaches most {} after filling: on average {last:.0} % of what is still open.",
            times.join(" and ")
        );
        lines.line(&words, Style::new());
    }
}

//! The diary in words: notes foretold and seen, with a small picture; what they teach.

use anstyle::Style;
use chrono::DateTime;
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
    uncertainty::Band,
    units::{Locale, celsius, show_temperature},
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
    /// When it went in, as its reader says it: `Tue Nov 24 6:00 pm`.
    pub fn when(&self, locale: Locale) -> String {
        let at = DateTime::parse_from_rfc3339(&self.at);
        at.map_or_else(|_| self.at.clone(), |at| locale.day_and_time(&at))
    }

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
pub fn show_words(shown: &Shown, locale: Locale, width: usize) -> String {
    in_words(shown, (locale, width), |lines, appliance| {
        lines.line(&format!("The {} “{}”", appliance.kind, appliance.called), styles::HEADING);
        let longest = longest(appliance);
        for note in &appliance.notes {
            lines.blank();
            show_note(lines, note, (appliance.done(), longest), locale);
        }
    })
}

/// Each appliance in words, an empty line between them.
fn in_words(
    shown: &Shown,
    (locale, width): (Locale, usize),
    one: impl Fn(&mut Lines, &Appliance),
) -> String {
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
    locale.spelled(&lines.finish())
}

/// The last hour that any picture of an appliance has to show.
fn longest(appliance: &Appliance) -> f64 {
    let ends = appliance.notes.iter().flat_map(|note| {
        let foretold = note.noted.before_h.map_or(0.0, |band| band.p95);
        note.told.seen.iter().map(|(h, _)| *h).chain([foretold])
    });
    ends.filter(|h| h.is_finite()).fold(1.0, f64::max)
}

fn show_note(lines: &mut Lines, note: &NoteShown, (done, longest): (&str, f64), locale: Locale) {
    let NoteShown { told, noted } = note;
    let odd = if noted.odd { ", which disagrees with the rest" } else { "" };
    lines.hang("  ", "    ", &format!("{}: {}{odd}", told.when(locale), told.made), styles::ANSWER);
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

/// An unknown is told of whose range the notes have made narrower by as much.
const TOLD: f64 = 0.05;

/// `solidby diary fit`.
pub fn fit_words(shown: &Shown, locale: Locale, width: usize) -> String {
    in_words(shown, (locale, width), |lines, appliance| fit_one(lines, appliance, locale))
}

fn fit_one(lines: &mut Lines, appliance: &Appliance, locale: Locale) {
    let counting = || appliance.notes.iter().filter(|note| note.noted.weight > 0.0);
    let (counted, all) = (counting().count(), appliance.notes.len());
    let heading = format!("The {} “{}”", appliance.kind, appliance.called);
    lines.line(&format!("{heading}: {counted} of {all} notes count."), styles::ANSWER);
    let Some(fit) = &appliance.fit else { return };
    let newest = counting().next_back().map(|note| (note, note.noted.before_h, note.noted.after_h));
    if let Some((note, Some(before), Some(after))) = newest {
        let what = format!("{}, as on {}:", note.told.made, note.told.when(locale));
        lines.hang("  ", "    ", &what, Style::new());
        for (head, foretold) in [("    now", after), ("    before", before)] {
            lines.row(
                head,
                12,
                &format!("{} after {}", appliance.done(), band(&foretold)),
                Style::new(),
            );
        }
    }
    let mut learnt = fit.unknowns.iter().filter(|it| it.narrower() >= TOLD).peekable();
    match learnt.peek() {
        Some(_) => lines.hang("  ", "  ", "What the notes tell of it:", Style::new()),
        None => lines.hang("  ", "  ", "The notes tell little of it up to now.", Style::new()),
    }
    for belief in learnt {
        lines.hang("    ", "      ", &belief_words(belief, locale), Style::new());
    }
    for note in appliance.notes.iter().filter(|note| note.noted.odd) {
        let doubt = 100.0 * note.noted.doubt.unwrap_or(0.0);
        let words = format!(
            "The note of {} disagrees with the rest ({doubt:.0} of 100 that it is wrong): check its times, or delete it.",
            note.told.when(locale)
        );
        lines.hang("  ", "  ", &words, styles::CAUTION);
    }
    if !appliance.looks.is_empty() {
        let times: Vec<String> = appliance.looks.iter().map(|look| time(look.after_h)).collect();
        let words = format!(
            "Next time, a look {} after filling tells most. A note counts half after {HALF_LIFE_DAYS:.0} days.",
            times.join(" and ")
        );
        lines.hang("  ", "  ", &words, styles::QUIET);
    }
}

/// `how well …: 0.6 to 1.1, most likely 0.8 (0.5 to 1.8 before the notes)`.
fn belief_words(belief: &Belief, locale: Locale) -> String {
    let number = |value: f64| match belief.unit {
        "K" => locale.degrees_apart(value),
        "°C" => show_temperature(celsius(value), locale.units),
        "share" => format!("{:.0} %", 100.0 * value),
        "1" => format!("{value:.2}"),
        unit => format!("{value:.2} {unit}"),
    };
    let range = |band: &Band| format!("{} to {}", number(band.p05), number(band.p95));
    format!(
        "{}: {}, most likely {} ({} before the notes)",
        belief.about,
        range(&belief.after),
        number(belief.after.p50),
        range(&belief.before)
    )
}

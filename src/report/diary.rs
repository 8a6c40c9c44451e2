//! The diary in words: notes foretold and seen, with a small picture; what they teach.

use anstyle::Style;
use chrono::DateTime;
use serde::Serialize;

use super::{
    answers::{band, time},
    lines::{Lines, styles},
    phrase,
};
use crate::{
    answers::{
        Look, Note,
        diary::{Belief, Fit, HALF_LIFE_DAYS, Noted, Says, Taker},
    },
    prep::learn::Learnt,
    uncertainty::Band,
    units::{Locale, Spelling, celsius, show_temperature},
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
    /// A freezer, an oven, or a room in which dough dries.
    pub kind: Taker,
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
        kind: Taker,
        called: String,
        notes: Vec<NoteTold>,
        fit: Option<Fit>,
        looks: Vec<Look>,
    ) -> Self {
        let noted = |n: usize| fit.as_ref().and_then(|fit| fit.notes.get(n)).copied();
        let shown = |(n, told)| NoteShown { told, noted: noted(n).unwrap_or_default() };
        let notes = notes.into_iter().enumerate().map(shown).collect();
        Self { kind, called, notes, fit, looks }
    }

    /// `The freezer “kitchen”`.
    pub fn heading(&self) -> String {
        let called = &self.called;
        match self.kind {
            Taker::Freezer => format!("The freezer “{called}”"),
            Taker::Oven => format!("The oven “{called}”"),
            Taker::OvenAndRoom => format!("The oven “{called}” and its room"),
            Taker::Room => format!("Dough dried in the room of “{called}”"),
        }
    }

    /// What its notes say that no kitchen of the tables does, or that they contradict each other.
    pub fn warning(&self) -> Option<String> {
        let fit = self.fit.as_ref()?;
        trouble(fit.says, self.kind, (&said_by(fit.counted(), &self.called), fit.counted()))
    }

    fn done(&self) -> &'static str {
        if self.kind == Taker::Freezer { "solid" } else { "hard" }
    }
}

/// `solidby diary show`.
pub fn show_words(shown: &Shown, locale: Locale, width: usize) -> String {
    in_words(shown, (locale, width), |lines, appliance| {
        lines.line(&appliance.heading(), styles::HEADING);
        if let Some(warning) = appliance.warning() {
            lines.hang("  ", "  ", &warning, styles::CAUTION);
        }
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
    let own = shown.appliances.iter().map(|appliance| appliance.called.as_str());
    Spelling::of(locale, own).words(&lines.finish())
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
    let heading = appliance.heading();
    lines.line(&format!("{heading}: {counted} of {all} notes count."), styles::ANSWER);
    let Some(fit) = &appliance.fit else { return };
    if let Some(warning) = appliance.warning() {
        lines.hang("  ", "  ", &warning, styles::CAUTION);
    }
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

/// `Your 3 notes on “kitchen”`.
fn said_by(counted: usize, called: &str) -> String {
    let plural = if counted == 1 { "" } else { "s" };
    format!("Your {counted} note{plural} on “{called}”")
}

/// Two looks of one note that cannot both be, hours after it went in and what was seen.
pub fn cannot_both_be([earlier, later]: [(f64, &str); 2], why: Impossible) -> String {
    let look = |(h, what): (f64, &str)| match h {
        h if h > 0.0 => format!("“{what}” after {}", time(h)),
        _ => format!("“{what}” at first"),
    };
    let why = match why {
        Impossible::FrozenThenWet => "what is frozen through is not wet later",
        Impossible::SofterOrHeavier => "drying dough grows neither softer nor heavier",
        Impossible::TooLight => "so much of the dough is not water",
    };
    format!(
        "{} and {} cannot both be: {why}. Correct the one that is wrong.",
        look(earlier),
        look(later)
    )
}

/// Why two looks cannot both be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Impossible {
    /// Of ice.
    FrozenThenWet,
    /// Of dough.
    SofterOrHeavier,
    /// Of dough.
    TooLight,
}

/// What a diary teaches an answer: from how many notes that count, or why nothing was learnt.
pub fn learnt(counted: Option<(usize, Says)>, kind: Taker, called: &str) -> Note {
    let Some((counted, says)) = counted else {
        let why = "are on another setting: nothing was learnt from them";
        return format!("The notes on “{called}” in your diary {why}.").into();
    };
    let plural = if counted == 1 { "" } else { "s" };
    let usual = || format!("Learnt from {counted} note{plural} on “{called}” in your diary.");
    let words = trouble(says, kind, (&said_by(counted, called), counted)).unwrap_or_else(usual);
    Note { words, left_out_by: Some("no-diary"), first: true }
}

/// The same for a plan, where some of it was seen since it is followed.
pub fn learnt_for_plan(Learnt { of, called, counted, seen }: &Learnt) -> String {
    let (Some((counted, says)), seen @ 1..) = (*counted, *seen) else {
        return learnt(*counted, *of, called).into();
    };
    let looks = match seen {
        1 => "1 look at this plan".to_owned(),
        _ => format!("{seen} looks at this plan"),
    };
    let notes = counted.saturating_sub(seen);
    let and = if notes > 0 { format!(" and {notes} of your diary") } else { String::new() };
    let by = phrase::capital(&format!("{looks}{and} on “{called}”"));
    trouble(says, *of, (&by, counted))
        .unwrap_or_else(|| format!("Learnt of “{called}” from {looks}{and}."))
}

/// What so many notes, by what they are called, say that no kitchen of the tables does, and what to
/// look at; or that they contradict each other. Nothing where they are as notes are.
fn trouble(says: Says, kind: Taker, (by, counted): (&str, usize)) -> Option<String> {
    let times = match says {
        Says::Usual => return None,
        Says::Divided { odd } => {
            return Some(format!(
                "{by} contradict each other ({odd} of them the rest): hardly anything is known \
                 from them. Check their times and dates; “solidby diary fit” names them."
            ));
        }
        Says::Trouble { times } => times,
    };
    let check = match (kind, times > 1.0) {
        (Taker::Freezer, true) => {
            "whether the freezer is warmer than said (a thermometer beside the moulds tells), its \
             door ajar, or its fan or vent blocked"
        }
        (Taker::Freezer, false) => {
            "whether the freezer is colder than said, and the size of the blocks"
        }
        (Taker::Oven | Taker::OvenAndRoom, true) => {
            "whether the oven is colder than set (an oven thermometer tells), or the pieces \
             thicker than said"
        }
        (Taker::Oven | Taker::OvenAndRoom, false) => {
            "whether the oven is hotter than set, or the pieces thinner than said"
        }
        (Taker::Room, true) => {
            "whether the room is damper or colder than said, or the pieces thicker"
        }
        (Taker::Room, false) => {
            "whether the room is drier or warmer than said, or the pieces thinner"
        }
    };
    let say = if counted == 1 { "says" } else { "say" };
    Some(format!(
        "{by} {say} that it takes {}. The answer follows that and is a rough guess. Check {check}, \
         and the times in the diary.",
        so_many_times(times)
    ))
}

/// `about 2.4 times as long as usual, longer than in any kitchen like yours`.
fn so_many_times(times: f64) -> String {
    match times {
        ten if ten >= 9.95 => format!("about {ten:.0} times as long as usual, {LONGER}"),
        longer if longer > 1.0 => format!("about {longer:.1} times as long as usual, {LONGER}"),
        sooner => {
            let share = (100.0 * sooner).max(1.0);
            format!("about {share:.0} % of the usual time, less than in any kitchen like yours")
        }
    }
}

const LONGER: &str = "longer than in any kitchen like yours";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trouble_is_told_with_what_to_check() {
        let told = |says, kind| learnt(Some((10, says)), kind, "kitchen").words;
        let slow = told(Says::Trouble { times: 2.41 }, Taker::Freezer);
        for words in
            ["Your 10 notes", "say that it takes about 2.4 times as long as usual", "door ajar"]
        {
            assert!(slow.contains(words), "{slow}");
        }
        assert!(!slow.contains("Learnt"), "{slow}");
        let quick = told(Says::Trouble { times: 0.3 }, Taker::Oven);
        assert!(quick.contains("about 30 % of the usual time"), "{quick}");
        let divided = told(Says::Divided { odd: 5 }, Taker::Room);
        assert!(divided.contains("contradict each other (5 of them the rest)"), "{divided}");
        assert!(told(Says::Usual, Taker::Oven).starts_with("Learnt from 10 notes"));
    }
}

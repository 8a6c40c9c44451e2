//! What the answers share in words: bands, helps, what is unsure, cautions.

use anstyle::Style;
use chrono::{DateTime, Duration};
use serde::Serialize;

use super::{
    faults::Reader,
    lines::{Lines, styles},
    phrase,
};
use crate::{
    answers::{CautionText, Help, Unsure},
    uncertainty::{Band, Verdict},
    units::{Locale, hours, show_duration, zone::Zone},
};

/// Lines of a short answer.
const SCREEN: usize = 14;

/// So many ways and helps stand in a short answer.
const SHORT: usize = 3;

/// `4 h 35 min most likely (2 h 50 min to 8 h)`; never where no kitchen sees it.
pub fn band(band: &Band) -> String {
    if band.p05.is_infinite() {
        return time(band.p05);
    }
    format!("{} most likely ({} to {})", time(band.p50), time(band.p05), time(band.p95))
}

/// From here on hours, and from four weeks on days, are more than anybody knows, h.
const DAYS_ALONE_H: f64 = 240.0;
const WEEKS_ALONE_H: f64 = 672.0;

/// A number of hours in words; never where it is infinite.
pub fn time(h: f64) -> String {
    match h {
        h if h.is_infinite() => "never".to_owned(),
        h if h >= WEEKS_ALONE_H => format!("about {:.0} weeks", h / 168.0),
        h if h >= DAYS_ALONE_H => format!("about {:.0} days", h / 24.0),
        h => show_duration(hours(h)),
    }
}

/// Yes or no, as far as a chance allows; a rough guess is never sure.
pub fn yes_or_no(chance: f64, rough: bool) -> &'static str {
    match phrase::verdict(chance) {
        Verdict::Sure if !rough => "Yes",
        Verdict::Sure | Verdict::Likely => "Probably",
        Verdict::Even => "Perhaps",
        Verdict::Unlikely => "Probably not",
        Verdict::No if rough => "Probably not",
        Verdict::No => "No",
    }
}

/// A band of hours from a start as times of day: `about 11:20 pm (9:55 pm to Mon 1:05 am)`,
/// to five minutes and outwards.
pub fn about(from: DateTime<Zone>, band: &Band, locale: Locale) -> String {
    let at = |h: f64, round| clock_after(from, h, round, locale);
    let (low, middle) = (at(band.p05, f64::floor), at(band.p50, f64::round));
    format!("about {middle} ({low} to {})", at(band.p95, f64::ceil))
}

/// The time of day so many hours later, to five minutes; never where that never comes.
pub fn clock_after(from: DateTime<Zone>, h: f64, round: fn(f64) -> f64, locale: Locale) -> String {
    if !h.is_finite() {
        return "never".to_owned();
    }
    let seconds = 300.0 * round((from.timestamp() as f64 + 3600.0 * h) / 300.0);
    let at = from + Duration::seconds(seconds as i64 - from.timestamp());
    locale.from_day(&from, &at)
}

/// How much of an answer is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Length {
    /// What to know and to do.
    Short,
    /// All of it.
    Whole,
}

/// In how many words a screen says an answer.
#[derive(Debug, Clone, Copy)]
struct Form {
    /// Whether words of care are the acts that are wanted, or only what they are about.
    acts: bool,
    /// Whether rows have all their words.
    rows_in_full: bool,
    /// How many ways and helps are named.
    ways: usize,
}

/// From the one with the most words on.
const FORMS: [Form; 4] = [
    Form { acts: true, rows_in_full: true, ways: SHORT },
    Form { acts: false, rows_in_full: true, ways: SHORT },
    Form { acts: false, rows_in_full: false, ways: SHORT },
    Form { acts: false, rows_in_full: false, ways: 1 },
];

/// An answer in words, before it is set as lines or as a page.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Said {
    /// The answer in one sentence.
    pub headline: String,
    /// What has to be known of how the question was taken.
    pub taken: Vec<String>,
    /// What it consists of.
    pub rows: Vec<Row>,
    /// Ways to the same end, the best first.
    pub ways: Vec<String>,
    /// What else there is to know of the ways.
    pub of_ways: Option<String>,
    /// What would help, the best first.
    pub helps: Vec<String>,
    /// What to ask next in a terminal, where that is more than for all of it.
    #[serde(skip)]
    pub next: &'static str,
    /// Whether a short answer does without help.
    pub well: bool,
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
    /// What it is about.
    pub title: String,
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
        title: locale.spelled(&row.title),
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
    /// The same in a few words, for a screen that has no room for all of it.
    #[serde(skip)]
    pub brief: Option<String>,
    /// Whether it needs care.
    pub care: bool,
    /// Whether a short answer does without it.
    pub aside: bool,
}

impl Row {
    /// A row that needs no care.
    pub fn of(head: &'static str, words: String) -> Self {
        Self { head, words, brief: None, care: false, aside: false }
    }

    /// A row that a short answer does without.
    pub fn aside(head: &'static str, words: String) -> Self {
        Self { aside: true, ..Self::of(head, words) }
    }

    /// Sets it in some of its words.
    fn set(&self, lines: &mut Lines, column: usize, words: &str) {
        let style = if self.care { styles::CAUTION } else { Style::new() };
        lines.row(&format!("  {}", self.head), column, words, style);
    }
}

impl Said {
    /// The same as it is spelled where its reader lives.
    pub fn spelled(mut self, locale: Locale) -> Self {
        let Self { headline, taken, rows, ways, of_ways, helps, unsure, notes, .. } = &mut self;
        let lists = [taken, ways, helps, unsure, notes].into_iter().flatten();
        let rows = rows.iter_mut().flat_map(|row| row.brief.iter_mut().chain([&mut row.words]));
        for words in lists.chain(rows).chain(of_ways).chain([headline]) {
            *words = locale.spelled(words);
        }
        self
    }

    /// Set as lines, the words of the rows from column `column` on.
    pub fn lines(&self, column: usize, width: usize, length: Length) -> String {
        match length {
            Length::Short => self.short(column, width),
            Length::Whole => self.whole(column, width),
        }
    }

    /// A screen: the answer, what to do, what to mind; in as many words as it has room for.
    fn short(&self, column: usize, width: usize) -> String {
        let mut screen = Lines::new(width);
        for form in FORMS {
            screen = self.screen(column, width, form);
            if screen.count() <= SCREEN {
                break;
            }
        }
        screen.finish()
    }

    fn screen(&self, column: usize, width: usize, form: Form) -> Lines {
        let mut lines = Lines::new(width);
        lines.line(&self.headline, styles::ANSWER);
        for row in self.rows.iter().filter(|row| !row.aside) {
            let brief = row.brief.as_ref().filter(|_| !form.rows_in_full);
            row.set(&mut lines, column, brief.unwrap_or(&row.words));
        }
        for way in self.ways.iter().take(form.ways) {
            lines.hang("  - ", "    ", way, Style::new());
        }
        let helps: Vec<&str> = self.helps.iter().take(form.ways).map(String::as_str).collect();
        if !helps.is_empty() && !self.well {
            lines.row("  helps", column, &format!("{}.", helps.join("; ")), Style::new());
        }
        match form.acts {
            true => self.minded(&mut lines, column, |care| care.short.clone()),
            // What each is about; how to have the acts is said last.
            false => self.minded(&mut lines, column, |care| format!("{};", care.title)),
        }
        self.end(&mut lines);
        lines
    }

    fn minded(&self, lines: &mut Lines, column: usize, words: impl Fn(&Care) -> String) {
        let words: Vec<String> = self.cautions.iter().map(words).collect();
        if !words.is_empty() {
            let words = words.join(" ");
            lines.row("  mind", column, words.trim_end_matches(';'), styles::CAUTION);
        }
    }

    fn end(&self, lines: &mut Lines) {
        self.told(lines);
        let next =
            if self.next.is_empty() { "--more says all there is to say." } else { self.next };
        lines.line(next, styles::QUIET);
    }

    /// All of it, the cautions with their sources.
    fn whole(&self, column: usize, width: usize) -> String {
        let (mut lines, plain) = (Lines::new(width), Style::new());
        lines.line(&self.headline, styles::ANSWER);
        self.told(&mut lines);
        lines.blank();
        for row in &self.rows {
            row.set(&mut lines, column, &row.words);
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

    fn told(&self, lines: &mut Lines) {
        for words in &self.taken {
            lines.line(words, styles::QUIET);
        }
    }
}

/// What would help: with the chance that it gives where that is known, else with what it
/// saves.
pub fn helps(helps: &[Help]) -> Vec<String> {
    let one = |Help { change, saves_h, chance }: &Help| match (chance, saves_h.is_finite()) {
        (Some(chance), _) => format!("{change}: then {}", phrase::chance(*chance)),
        (None, true) => format!("{change} (saves {})", time(*saves_h)),
        (None, false) => format!("{change} (then it gets done at all)"),
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

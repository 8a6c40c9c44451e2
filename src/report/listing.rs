//! The plan as a day-by-day list for a terminal.
//!
//! A step is a line: what, where, for what. Below it stand its amounts and what goes on by
//! itself from then on, and each word of care where it comes first, in one short line with a
//! number; steps that need it again name the number.

use std::collections::{BTreeMap, BTreeSet};

use anstyle::Style;
use chrono::{DateTime, FixedOffset, NaiveDate};

use super::{
    lines::{Lines, styles},
    phrase,
};
use crate::{
    explanation::{Why, changes::Changes},
    prep::schedule::{Attention, Caution, Schedule, Step},
    tables::Step as Kind,
    units::Locale,
};

/// How much of the plan is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Detail {
    /// Columns.
    pub width: usize,
    /// Whether each step says why it is where it is.
    pub reasons: bool,
    /// Whether the words of care stand at the end in full, with their sources.
    pub more: bool,
}

/// The whole plan.
pub fn listing(schedule: &Schedule, changes: Option<&Changes>, detail: Detail) -> String {
    let mut lines = Lines::new(detail.width);
    lines.line(&answer(schedule), styles::ANSWER);
    problems(&mut lines, schedule);
    if let Some(changes) = changes {
        changed(&mut lines, changes, schedule.locale);
    }
    let led = led(&schedule.steps);
    let mut days =
        Days { lines: &mut lines, locale: schedule.locale, detail, day: None, minded: Vec::new() };
    for (step, after) in schedule.steps.iter().zip(&led) {
        if let Some(after) = after {
            days.step(step, after);
        }
    }
    let minded = days.minded;
    carried(&mut lines, schedule);
    bought(&mut lines, schedule);
    if detail.more {
        in_full(&mut lines, &minded);
    }
    lines.blank();
    for note in &schedule.notes {
        lines.line(note, styles::QUIET);
    }
    if !minded.is_empty() && !detail.more {
        lines.line(
            "!1, !2 …: to be minded again, as said at its first step; --more says all of it.",
            styles::QUIET,
        );
    }
    schedule.locale.spelled(&lines.finish())
}

/// The chain of reasons for one step, one paragraph a step.
pub fn chain_of_reasons(chain: &[Why], locale: Locale, width: usize) -> String {
    let mut lines = Lines::new(width);
    if chain.is_empty() {
        lines.line("That step is not in the plan: what it serves cannot be done.", Style::new());
    }
    for (n, why) in chain.iter().enumerate() {
        let head = if n == 0 { "" } else { "  then " };
        lines.hang(head, "", &format!("{} ({})", why.what, why.id), styles::ANSWER);
        lines.hang("    ", "    ", &why.because, Style::new());
    }
    locale.spelled(&lines.finish())
}

/// What moved, what is new, what is gone.
fn changed(lines: &mut Lines, changes: &Changes, locale: Locale) {
    let short = |at: DateTime<FixedOffset>| locale.day_and_time(&at);
    if changes.is_empty() {
        lines.blank();
        lines.line("Nothing changed since the earlier plan.", styles::HEADING);
        return;
    }
    lines.section("Changed since the earlier plan", 9, moved_words(changes), Style::new());
}

/// Each change: its kind, and what was when.
pub fn moved_words(changes: &Changes) -> Vec<(String, String)> {
    let moved = changes.moved.iter().map(|step| {
        let times = format!("{} → {}", short(step.from), short(step.to));
        ("  moved", format!("{}: {times}", step.what))
    });
    let new = changes.new.iter();
    let new = new.map(|step| ("  new", format!("{}: {}", step.what, short(step.start))));
    let gone = changes.gone.iter();
    let gone = gone.map(|step| ("  gone", format!("{}: was {}", step.what, short(step.start))));
    moved.chain(new).chain(gone).map(|(head, words)| (head.to_owned(), words)).collect()
}

/// The first line: is everything in time, and when it begins.
fn answer(schedule: &Schedule) -> String {
    let title = &schedule.title;
    let undone = if schedule.feasible { 0 } else { schedule.problems.len() };
    let start = schedule.steps.iter().find(|step| step.attention != Attention::None);
    match start {
        _ if undone > 0 => format!("{title}: {undone} of the plan's goals cannot be met."),
        Some(first) => {
            let what = &first.what;
            format!(
                "{title}: all in time. First, {}: {what}.",
                schedule.locale.day_and_time(&first.start)
            )
        }
        None => format!("{title}: nothing left to do."),
    }
}

fn problems(lines: &mut Lines, schedule: &Schedule) {
    for problem in &schedule.problems {
        lines.blank();
        if schedule.feasible {
            lines.line(&format!("{}.", problem.what), styles::CAUTION);
            for fact in &problem.because {
                lines.hang("  - ", "    ", fact, Style::new());
            }
            continue;
        }
        lines.line(&format!("{} cannot be done.", problem.what), styles::CAUTION);
        if !problem.because.is_empty() {
            lines.line("These cannot all hold, so one of them has to give:", styles::QUIET);
            for fact in &problem.because {
                lines.hang("  - ", "    ", fact, Style::new());
            }
        }
        if problem.ways_out.is_empty() {
            lines.line("None of the changes tried was enough.", styles::QUIET);
        } else {
            lines.line("Ways out, each tried:", styles::QUIET);
            for way in &problem.ways_out {
                lines.hang("  + ", "    ", way, Style::new());
            }
        }
    }
}

/// The days being set.
struct Days<'a, 's> {
    lines: &'a mut Lines,
    locale: Locale,
    detail: Detail,
    /// The day of the last step.
    day: Option<NaiveDate>,
    /// The cautions so far; each is called by its place, from 1.
    minded: Vec<&'s Caution>,
}

impl<'s> Days<'_, 's> {
    fn step(&mut self, step: &'s Step, after: &[&'s Step]) {
        let locale = self.locale;
        let today = step.start.date_naive();
        if self.day.replace(today) != Some(today) {
            self.lines.line(&locale.heading(&today), styles::HEADING);
        }
        let alone = step.attention == Attention::None;
        let (time, style) = match alone {
            true => (locale.time(&step.start), styles::QUIET),
            false => (locale.times(&step.start, &step.end), styles::ANSWER),
        };
        let cautions = std::iter::once(step).chain(after.iter().copied());
        let (new, again) = self.numbered(cautions.flat_map(|step| &step.cautions));
        let column = if locale.twelve_hours { 20 } else { 15 };
        let indent = " ".repeat(column);
        let (done, about) = what(step, locale);
        let below = below(step, after, locale).join("; ");
        let whole = format!("{done}; {below}{about}{again}");
        let head = format!("  {time}");
        if below.is_empty() || column + whole.chars().count() > self.detail.width.min(100) {
            self.lines.row(&head, column, &format!("{done}{about}{again}"), style);
            if !below.is_empty() {
                self.lines.hang(&indent, &indent, &below, Style::new());
            }
        } else {
            self.lines.row(&head, column, &whole, style);
        }
        if self.detail.reasons && !alone {
            self.lines.hang(&indent, &indent, &step.because, styles::QUIET);
        }
        for (number, caution) in new {
            let head = format!("{:>width$} ", format!("!{number}"), width = column - 1);
            self.lines.row(&head, column, &caution.short, styles::CAUTION);
        }
    }

    /// Cautions that come first, with their numbers, and in words the numbers of those that came before.
    fn numbered(
        &mut self,
        cautions: impl Iterator<Item = &'s Caution>,
    ) -> (Vec<(usize, &'s Caution)>, String) {
        let (mut new, mut again) = (Vec::new(), BTreeSet::new());
        let before = self.minded.len();
        for caution in cautions {
            match self.minded.iter().position(|known| known.id == caution.id) {
                Some(place) if place < before => drop(again.insert(place + 1)),
                Some(_) => {}
                None => {
                    self.minded.push(caution);
                    new.push((self.minded.len(), caution));
                }
            }
        }
        let again: Vec<usize> = again.into_iter().collect();
        let runs = again.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
            [first, _, .., last] => format!(" !{first}–{last}"),
            few => few.iter().map(|number| format!(" !{number}")).collect(),
        });
        (new, runs.collect())
    }
}

/// For each step what begins by itself as it ends; none for what is told at such a step.
fn led(steps: &[Step]) -> Vec<Option<Vec<&Step>>> {
    let ends = |(n, step): (usize, &'_ Step)| {
        (step.attention != Attention::None).then(|| ((step.end, step.goal.clone()), n))
    };
    let leaders: BTreeMap<_, usize> = steps.iter().enumerate().filter_map(ends).collect();
    let mut led: Vec<Option<Vec<&Step>>> = vec![Some(Vec::new()); steps.len()];
    for (n, step) in steps.iter().enumerate() {
        let leader = leaders.get(&(step.start, step.goal.clone()));
        let Some(leader) = leader.filter(|_| step.attention == Attention::None) else { continue };
        if let Some(Some(after)) = led.get_mut(*leader) {
            after.push(step);
            led[n] = None;
        }
    }
    led
}

/// What is done; where, where that is not home, and for what.
fn what(step: &Step, locale: Locale) -> (String, String) {
    let done = match step.attention {
        Attention::None => {
            format!("{} until {}", step.what, locale.from_day(&step.start, &step.end))
        }
        Attention::Watch => format!("{} (stay near)", step.what),
        Attention::Hands => step.what.clone(),
    };
    // What is said already, and that it is at home, goes without saying.
    let told = |words: &String| step.what.contains(words) || step.goal.contains(words);
    let place = Some(&step.place).filter(|place| *place != "home");
    let group = step.group.as_ref().filter(|group| !told(group));
    let parts = place.into_iter().chain([&step.goal]).chain(group);
    (done, parts.map(|part| format!(" · {part}")).collect())
}

/// Amounts, what goes on by itself, how sure it is.
fn below(step: &Step, after: &[&Step], locale: Locale) -> Vec<String> {
    // Of what is all but certain nothing is said.
    let sure = |chance: Option<f64>| chance.filter(|chance| *chance < 0.995).map(phrase::percent);
    let dries: Vec<&Step> =
        after.iter().copied().filter(|after| after.kind == Kind::AirDry).collect();
    let amounts = step.amounts.iter().map(|amount| format!("{} {}", amount.what, amount.text));
    let goes_on = after.iter().map(|after| {
        let until = locale.from_day(&step.end, &after.end);
        let sure = sure(after.chance).map_or(String::new(), |sure| format!(" ({sure})"));
        format!("{} by {until}{sure}", ended(after, &dries))
    });
    let own = sure(step.chance).map(|sure| format!("done in time: {sure}"));
    amounts.chain(goes_on).chain(own).collect()
}

/// What something is once what goes on by itself has ended; of two waits of drying pieces
/// the first ends as they are firm.
fn ended<'s>(step: &'s Step, dries: &[&Step]) -> &'s str {
    match step.kind {
        Kind::Freeze => "frozen",
        Kind::Cool => "cool",
        Kind::AirDry if dries.iter().any(|other| other.end > step.end) => "firm",
        Kind::AirDry => "dry through",
        Kind::Dry => "dry",
        Kind::Temper => "wet",
        _ => &step.what,
    }
}

/// The words of care by their numbers, in full.
fn in_full(lines: &mut Lines, minded: &[&Caution]) {
    let rows = minded.iter().enumerate().map(|(n, caution)| {
        (format!("  !{}", n + 1), format!("{} [{}]", caution.said, caution.source))
    });
    lines.section("To mind, in full", 6, rows, styles::CAUTION);
}

fn carried(lines: &mut Lines, schedule: &Schedule) {
    let rows = schedule.carry.iter().map(|carry| {
        let day = |other: &&crate::prep::schedule::Carry| {
            other.leave.date_naive() == carry.leave.date_naive()
        };
        let items = carry.items.join("; ");
        let words = match schedule.carry.iter().filter(day).count() {
            1 => items,
            _ => format!("{}: {items}", carry.goal),
        };
        (format!("  {}", schedule.locale.day_and_time(&carry.leave)), words)
    });
    let column = if schedule.locale.twelve_hours { 21 } else { 19 };
    lines.section("To carry", column, rows, Style::new());
}

/// What to buy, a line a day.
fn bought(lines: &mut Lines, schedule: &Schedule) {
    let rows = schedule.shopping.chunk_by(|a, b| a.needed == b.needed).map(|day| {
        let words = day.iter().map(|line| match line.amount.count {
            Some(_) => line.amount.text.clone(),
            None => format!("{}: {}", line.amount.what, line.amount.text),
        });
        let words = words.collect::<Vec<_>>().join("; ");
        (format!("  by {}", schedule.locale.day(&day[0].needed)), words)
    });
    lines.section("To buy", 19, rows, Style::new());
}

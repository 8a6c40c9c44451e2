//! The plan as a day-by-day list for a terminal.

use std::collections::BTreeSet;

use anstyle::Style;
use chrono::{DateTime, FixedOffset, NaiveDate};

use super::{
    lines::{Lines, styles},
    phrase,
};
use crate::{
    explanation::{Why, changes::Changes},
    prep::schedule::{Attention, Schedule, Step},
    units::Locale,
};

/// How much of the plan is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Detail {
    /// Columns.
    pub width: usize,
    /// Whether each step says why it is where it is.
    pub reasons: bool,
}

/// The whole plan.
pub fn listing(schedule: &Schedule, changes: Option<&Changes>, detail: Detail) -> String {
    let mut lines = Lines::new(detail.width);
    lines.line(&answer(schedule), styles::ANSWER);
    problems(&mut lines, schedule);
    if let Some(changes) = changes {
        changed(&mut lines, changes, schedule.locale);
    }
    let mut day: Option<NaiveDate> = None;
    let mut said = BTreeSet::new();
    for step in &schedule.steps {
        let today = step.start.date_naive();
        if day != Some(today) {
            day = Some(today);
            lines.blank();
            lines.line(&schedule.locale.heading(&today), styles::HEADING);
        }
        print_step(&mut lines, step, (detail, schedule.locale), &mut said);
    }
    carried(&mut lines, schedule);
    bought(&mut lines, schedule);
    for note in &schedule.notes {
        lines.blank();
        lines.line(note, styles::QUIET);
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

fn print_step(
    lines: &mut Lines,
    step: &Step,
    (detail, locale): (Detail, Locale),
    said: &mut BTreeSet<String>,
) {
    let indent = " ".repeat(if locale.twelve_hours { 22 } else { 15 });
    let until = if step.end.date_naive() == step.start.date_naive() {
        locale.time(&step.end)
    } else {
        locale.day_and_time(&step.end)
    };
    let quiet = step.attention == Attention::None;
    let (head, style) = match quiet {
        true => (locale.time(&step.start), styles::QUIET),
        false => (locale.times(&step.start, &step.end), styles::ANSWER),
    };
    let head = format!("{:<width$}", format!("  {head}"), width = indent.len());
    let what = if quiet { format!("{} until {until}", step.what) } else { step.what.clone() };
    lines.hang(&head, &indent, &what, style);
    let who = match &step.group {
        Some(group) => format!("{} · {} · {}", step.place, group, step.goal),
        None => format!("{} · {}", step.place, step.goal),
    };
    let watch = if step.attention == Attention::Watch { " · stay near" } else { "" };
    let mut below = |words: &str, style| lines.hang(&indent, &indent, words, style);
    if !quiet {
        below(&format!("{who}{watch}"), Style::new());
    }
    for amount in &step.amounts {
        below(&format!("{}: {}", amount.what, amount.text), Style::new());
    }
    if let Some(chance) = step.chance {
        below(&format!("Done in time: {}.", phrase::chance(chance)), Style::new());
    }
    if detail.reasons && !quiet {
        below(&step.because, styles::QUIET);
    }
    let (new, known): (Vec<_>, Vec<_>) =
        step.cautions.iter().partition(|caution| said.insert(caution.id.clone()));
    for caution in new {
        below(&format!("Mind: {} [{}]", caution.text, caution.source), styles::CAUTION);
    }
    if !known.is_empty() {
        let titles: Vec<&str> = known.iter().map(|caution| caution.title.as_str()).collect();
        below(&format!("Mind again: {}.", titles.join(", ")), styles::CAUTION);
    }
}

fn carried(lines: &mut Lines, schedule: &Schedule) {
    let rows = schedule.carry.iter().map(|carry| {
        let words = format!("{}: {}", carry.goal, carry.items.join("; "));
        (format!("  {}", schedule.locale.day_and_time(&carry.leave)), words)
    });
    lines.section(
        "To carry",
        if schedule.locale.twelve_hours { 22 } else { 19 },
        rows,
        Style::new(),
    );
}

fn bought(lines: &mut Lines, schedule: &Schedule) {
    let rows = schedule.shopping.iter().map(|line| {
        let words = match line.amount.count {
            Some(_) => line.amount.text.clone(),
            None => format!("{}: {}", line.amount.what, line.amount.text),
        };
        (format!("  by {}", schedule.locale.day(&line.needed)), words)
    });
    lines.section("To buy", 19, rows, Style::new());
}

//! The plan as a day-by-day list for a terminal.
//!
//! A step is a line: what, where, for what. Below it stand its amounts and what goes on by
//! itself from then on, and each word of care where it comes first, in one short line with a
//! number; steps that need it again name the number.

use anstyle::Style;
use chrono::{DateTime, FixedOffset};

use super::{
    carry::carry_words,
    in_the_way::{InTheWay, ONE_CHANGE, undone},
    lines::{Lines, styles},
    phrase,
    told::{Told, ToldStep, marks},
    why::Why,
};
use crate::{
    explanation::{Otherwise, changes::Changes},
    planfile::HOME,
    prep::schedule::{Attention, Carry, Caution, Schedule},
    tables::Term,
    units::{Locale, Spelling},
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
    for words in &schedule.without {
        lines.line(&format!("{words}."), styles::CAUTION);
    }
    if let Some(changes) = changes {
        changed(&mut lines, changes, schedule.locale);
    }
    if !schedule.problems.is_empty() || changes.is_some() {
        lines.blank();
    }
    let Told { steps, minded, .. } = Told::of(schedule);
    for day in steps.chunk_by(|a, b| a.day == b.day) {
        for (n, step) in day.iter().enumerate() {
            if n == 0 {
                lines.line(&schedule.locale.heading(&step.day), styles::HEADING);
            }
            told_step(&mut lines, step, schedule.locale, detail);
        }
    }
    carried(&mut lines, schedule, ("To carry", false));
    bought(&mut lines, schedule);
    if detail.more {
        carried(&mut lines, schedule, ("To bring home", true));
        in_full(&mut lines, &minded);
    }
    lines.blank();
    // Where it is less than was wished, that stands at the head.
    if let Some(chance) = schedule.promise.chance.as_ref().filter(|_| schedule.problems.is_empty())
    {
        let words = format!("All of it in time: {}, of 256 kitchens.", phrase::chance(chance.all));
        lines.line(&words, styles::QUIET);
    }
    // What sessions go without stands at the head.
    let without =
        |note: &str| schedule.without.iter().any(|words| note.trim_end_matches('.') == words);
    for note in schedule.notes.iter().filter(|note| !without(note)) {
        lines.line(note, styles::QUIET);
    }
    if !minded.is_empty() && !detail.more {
        lines.line(
            "!1, !2 …: minded again, as said at its first step; --more says all, and how to look.",
            styles::QUIET,
        );
    }
    schedule.spelling.words(&lines.finish())
}

/// The chain of reasons for one step, one paragraph a step.
pub fn chain_of_reasons(chain: &[Why], spelling: &Spelling, width: usize) -> String {
    let mut lines = Lines::new(width);
    if chain.is_empty() {
        lines.line("That step is not in the plan: what it serves cannot be done.", Style::new());
    }
    for (n, why) in chain.iter().enumerate() {
        let head = if n == 0 { "" } else { "  then " };
        lines.hang(head, "", &format!("{} ({})", why.what, why.id), styles::ANSWER);
        lines.hang("    ", "    ", &why.because, Style::new());
        if let Some(otherwise) = &why.otherwise {
            lines.hang("    ", "    ", &otherwise_words(otherwise), Style::new());
        }
    }
    spelling.words(&lines.finish())
}

/// What another time at home would cost; an hour of hands counts sixty minutes.
fn otherwise_words(otherwise: &Otherwise) -> String {
    let Some(more) = otherwise.more else {
        return "Without that time at home no plan for everything is found.".to_owned();
    };
    if more < 1.0 {
        return "Another time at home would do as well.".to_owned();
    }
    let dearer = otherwise.terms.iter().filter(|term| term.more >= 1.0);
    let dearer = dearer.map(|term| format!("{} ({:.0})", paid_for(term.what), term.more));
    format!(
        "At any other time at home the plan is worse, as by {more:.0} min more of work: {}.",
        dearer.collect::<Vec<_>>().join(", ")
    )
}

fn paid_for(what: Term) -> &'static str {
    match what {
        Term::Sitting => "more times at home",
        Term::Hands => "more work and waiting",
        Term::OddHour => "early or late hours",
        Term::DayKept => "blocks kept longer",
        Term::Round => "more fillings",
        Term::OvenHour | Term::OvenReserved => "more time beside the oven",
        Term::DayLying => "pieces that lie about longer",
        Term::BufferFirst | Term::BufferSecond | Term::BufferThird => "gifts finished later",
        Term::CarriedAgain => "pieces carried twice",
        Term::Moved | Term::MovedHalfDay => "steps that move",
    }
}

/// What moved, what is new, what is gone.
fn changed(lines: &mut Lines, changes: &Changes, locale: Locale) {
    if changes.is_empty() {
        lines.blank();
        lines.line("Nothing changed since the earlier plan.", styles::HEADING);
        return;
    }
    lines.section("Changed since the earlier plan", 9, moved_words(changes, locale), Style::new());
}

/// Each change: its kind, and what was when.
pub fn moved_words(changes: &Changes, locale: Locale) -> Vec<(String, String)> {
    let short = |at: DateTime<FixedOffset>| locale.day_and_time(&at);
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
    let start = schedule.steps.iter().find(|step| step.attention != Attention::None);
    match start {
        _ if !schedule.feasible && !schedule.problems.is_empty() => {
            format!("{title}: {}.", undone(&schedule.problems))
        }
        Some(first) => {
            let (what, start) = (&first.what, schedule.locale.day_and_time(&first.start));
            // What falls short of the wish stands below; it is not said to be sure before that.
            let unsure = schedule.promise.chance.as_ref().filter(|_| !schedule.problems.is_empty());
            let chance = unsure
                .map(|chance| format!(": {}", phrase::chance_beside(chance.all, chance.wished)));
            let in_time = format!("all in time{}", chance.unwrap_or_default());
            format!("{title}: {in_time}. First, {start}: {what}.")
        }
        None => format!("{title}: nothing left to do."),
    }
}

fn problems(lines: &mut Lines, schedule: &Schedule) {
    if !schedule.one_change.words.is_empty() {
        lines.blank();
        lines.line(ONE_CHANGE, styles::QUIET);
        list(lines, "  + ", &schedule.one_change.words);
    }
    for told in InTheWay::all(&schedule.problems) {
        lines.blank();
        for heading in &told.headings {
            lines.line(&format!("{heading}."), styles::CAUTION);
        }
        if !schedule.feasible {
            lines.line(told.reason, styles::QUIET);
        }
        list(lines, "  - ", told.because);
        if !told.ways.is_empty() {
            lines.line(told.try_this, styles::QUIET);
            list(lines, "  + ", told.ways);
        } else if !schedule.feasible {
            lines.line(told.no_ways, styles::QUIET);
        }
    }
}

fn list(lines: &mut Lines, mark: &str, entries: &[String]) {
    for entry in entries {
        lines.hang(mark, "    ", entry, Style::new());
    }
}

/// A step with what stands below it.
fn told_step(lines: &mut Lines, told: &ToldStep<'_>, locale: Locale, detail: Detail) {
    let step = told.step;
    let alone = step.attention == Attention::None;
    let time = match alone || step.is_look() {
        true => locale.time(&step.start),
        false => locale.times(&step.start, &step.end),
    };
    let style = if alone { styles::QUIET } else { styles::ANSWER };
    let column = if locale.twelve_hours { 20 } else { 15 };
    let (head, indent) = (format!("  {time}"), " ".repeat(column));
    let look = told.look.map(|look| if detail.more { look.in_full() } else { "look".to_owned() });
    let below: Vec<String> = look.into_iter().chain(told.below.iter().cloned()).collect();
    let (below, behind) = (below.join("; "), format!("{}{}", told.about, marks(&told.again)));
    let whole = format!("{}; {below}{behind}", told.done);
    if below.is_empty() || column + whole.chars().count() > detail.width.min(100) {
        lines.row(&head, column, &format!("{}{behind}", told.done), style);
        if !below.is_empty() {
            lines.hang(&indent, &indent, &below, Style::new());
        }
    } else {
        lines.row(&head, column, &whole, style);
    }
    if detail.reasons && !alone && !step.is_look() {
        lines.hang(&indent, &indent, &step.because, styles::QUIET);
    }
    for (number, caution) in &told.new {
        let head = format!("{:>width$} ", format!("!{number}"), width = column - 1);
        lines.row(&head, column, &caution.short, styles::CAUTION);
    }
}

/// The words of care by their numbers, in full.
fn in_full(lines: &mut Lines, minded: &[&Caution]) {
    let rows = minded.iter().enumerate().map(|(n, caution)| {
        (format!("  !{}", n + 1), format!("{} [{}]", caution.said, caution.source))
    });
    lines.section("To mind, in full", 6, rows, styles::CAUTION);
}

/// What leaves a place or class, a line a time and goal.
fn carried(lines: &mut Lines, schedule: &Schedule, (head, back): (&str, bool)) {
    let lists = if back { &schedule.back } else { &schedule.carry };
    let rows = lists.iter().map(|carry| {
        let day = |other: &&Carry| other.leave.date_naive() == carry.leave.date_naive();
        let several = lists.iter().filter(day).count() > 1;
        let goal = several.then(|| carry.goal.clone());
        let way = (carry.place != HOME).then(|| carry_words(&carry.place, back));
        let words: Vec<String> =
            goal.into_iter().chain(way).chain([carry.items.join("; ")]).collect();
        (format!("  {}", schedule.locale.day_and_time(&carry.leave)), words.join(": "))
    });
    let rows: Vec<(String, String)> = rows.collect();
    let longest = rows.iter().map(|(time, _)| time.chars().count()).max();
    lines.section(head, longest.map_or(0, |longest| longest + 1), rows, Style::new());
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

//! What of a plan stands in the calendar, and in which words.

use std::collections::HashMap;

use chrono::{DateTime, Days, TimeDelta, Utc};
use chrono_tz::Tz;

use super::Options;
use super::entry::{Component, Entry, span, uid};
use crate::planfile::HOME;
use crate::prep::schedule::{Attention, Carry, LookAt, Schedule, Step};
use crate::report::clean::{one_line, shorten};
use crate::report::phrase;
use crate::units::zone::resolve;
use crate::units::{Locale, Spelling};

/// Longest summary, in characters: more is cut off by a phone's day view.
const SUMMARY: usize = 60;
/// How long an event lasts that is only a moment.
const MOMENT: TimeDelta = TimeDelta::minutes(5);
/// How long it takes to set out what must be carried.
const SET_OUT: TimeDelta = TimeDelta::minutes(15);

/// Everything that the calendar has of the plan, earliest first.
pub fn entries(schedule: &Schedule, options: &Options) -> Vec<Entry> {
    let mut book = Book {
        title: &schedule.title,
        locale: schedule.locale,
        spelling: &schedule.spelling,
        options,
        seen: HashMap::new(),
        entries: Vec::new(),
    };
    let tasks = options.kind == Component::Task;
    for step in &schedule.steps {
        match step.attention {
            // What happens by itself needs nobody; where it is looked at, that is a step's.
            Attention::None => {}
            _ if tasks && step.follow.reserve => {}
            _ if tasks => book.attended(step, "#task"),
            _ => book.attended(step, ""),
        }
    }
    for look in &schedule.looks {
        match tasks {
            true => book.attended(look, "#task"),
            false => book.look(look),
        }
    }
    for carry in schedule.carry.iter().filter(|_| !tasks) {
        book.evening_before(carry);
    }
    book.entries.sort_by_key(|entry| (entry.start, entry.end, entry.uid));
    book.entries
}

/// Collects entries and keeps their identifiers apart.
struct Book<'a> {
    title: &'a str,
    locale: Locale,
    spelling: &'a Spelling,
    options: &'a Options,
    seen: HashMap<String, usize>,
    entries: Vec<Entry>,
}

impl Book<'_> {
    /// The identifier of `key`; a key that comes again is numbered.
    fn uid(&mut self, key: String) -> uuid::Uuid {
        let times = self.seen.entry(key.clone()).or_default();
        *times += 1;
        if *times == 1 { uid(self.title, &key) } else { uid(self.title, &format!("{key}#{times}")) }
    }

    /// A step as it stands, silent.
    fn step(&mut self, step: &Step, suffix: &str) -> Entry {
        let (start, end) = span(step.start.to_utc(), step.end.to_utc(), MOMENT);
        Entry {
            uid: self.uid(format!("{}{suffix}", step.id)),
            start,
            end,
            summary: self.spelling.words(&brief(&step.what)),
            description: self.spelling.words(&describe(step)),
            categories: categories(step),
            busy: !step.follow.reserve,
            tentative: step.follow.reserve,
            alarm_min: None,
        }
    }

    fn attended(&mut self, step: &Step, suffix: &str) {
        let entry = self.step(step, suffix);
        let alarm_min = self.options.reminder_min.filter(|_| !step.follow.reserve);
        self.entries.push(Entry { alarm_min, ..entry });
    }

    /// A look elsewhere than the step that it is for.
    fn look(&mut self, step: &Step) {
        let see: Vec<String> = step.looks_there().map(seen).collect();
        let words = [brief(&step.what), see.join("\n")].map(|words| self.spelling.words(&words));
        self.reminder(step.id.clone(), (step.start.to_utc(), MOMENT), words, "look");
    }

    fn evening_before(&mut self, carry: &Carry) {
        let Some(start) = evening_before(carry.leave) else { return };
        let summary = brief(&format!("Set out for tomorrow: {}", carry.goal));
        let words = [summary, describe_carry(carry, self.locale)];
        self.reminder(format!("carry#{}", carry.goal), (start, SET_OUT), words, "carry");
    }

    /// What is told as it begins and keeps no time free.
    fn reminder(
        &mut self,
        name: String,
        (start, lasts): (DateTime<Utc>, TimeDelta),
        [summary, description]: [String; 2],
        category: &str,
    ) {
        let entry = Entry {
            uid: self.uid(name),
            start,
            end: start + lasts,
            summary,
            description,
            categories: vec![category.to_owned()],
            busy: false,
            tentative: false,
            alarm_min: self.options.reminder_min.and(Some(0)),
        };
        self.entries.push(entry);
    }
}

/// A look in plain lines.
fn seen(look: &LookAt) -> String {
    let ready = phrase::percent(look.chance);
    format!("Ready looks so ({ready}): {}\nIf not: {}", look.see, look.if_not)
}

/// A summary's one line.
pub fn brief(text: &str) -> String {
    shorten(text, SUMMARY)
}

fn categories(step: &Step) -> Vec<String> {
    let kind = match step.attention {
        Attention::Hands => "hands",
        Attention::Watch => "watch",
        Attention::None => "by itself",
    };
    [kind.to_owned(), one_line(&step.place)].into_iter().filter(|c| !c.is_empty()).collect()
}

/// The step in plain lines: what, for whom, how much, what with, why, what to mind.
fn describe(step: &Step) -> String {
    let goal = match &step.group {
        Some(group) if !step.goal.contains(group.as_str()) => {
            format!("{} ({group})", step.goal)
        }
        _ => step.goal.clone(),
    };
    let mut lines = vec![format!("For: {goal}"), format!("Where: {}", step.place)];
    if brief(&step.what) != one_line(&step.what) {
        lines.insert(0, step.what.clone());
    }
    list(&mut lines, "Amounts:", step.amounts.iter().map(|a| format!("{}: {}", a.what, a.text)));
    list(&mut lines, "Have ready:", step.bring.iter().cloned());
    list(&mut lines, "To bring home as class ends:", step.take_back.iter().cloned());
    if !step.because.is_empty() {
        lines.push(format!("Why now: {}", step.because));
    }
    if step.attention != Attention::None {
        lines.extend(phrase::slack(step.slack_h));
    }
    lines.extend(step.looks_there().map(seen));
    lines.extend(step.follow.risks.iter().map(phrase::risk));
    if let Some(needed) = step.follow.needed {
        lines.push(format!("Only if needed: {}.", phrase::percent(needed)));
    }
    if let Some(chance) = step.chance {
        lines.push(format!("Done in time: {}.", phrase::chance(chance)));
    }
    list(&mut lines, "Take care:", step.cautions.iter().map(|caution| caution.short.clone()));
    lines.join("\n")
}

fn describe_carry(carry: &Carry, locale: Locale) -> String {
    let from = if carry.place == HOME { "house" } else { &carry.place };
    let mut lines = vec![format!("Leaves the {from} {}.", locale.day_and_time(&carry.leave))];
    list(&mut lines, "To carry:", carry.items.iter().cloned());
    lines.push("What is frozen stays in the freezer until you go.".to_owned());
    lines.join("\n")
}

fn list(lines: &mut Vec<String>, head: &str, items: impl Iterator<Item = String>) {
    let mut items = items.peekable();
    if items.peek().is_some() {
        lines.push(head.to_owned());
        lines.extend(items.map(|item| format!("- {item}")));
    }
}

/// When to be told what must be carried: at 20:00 on the wall clock of the day before `leave`.
fn evening_before(leave: DateTime<Tz>) -> Option<DateTime<Utc>> {
    let day = leave.date_naive().checked_sub_days(Days::new(1))?;
    Some(resolve(leave.timezone(), day.and_hms_opt(20, 0, 0)?).to_utc())
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeZone;
    use chrono_tz::Europe::Berlin;

    #[test]
    fn the_evening_before_is_on_the_wall_clock() {
        // The night has 25 hours.
        let leave = Berlin.with_ymd_and_hms(2026, 10, 25, 7, 40, 0).unwrap();
        let at = evening_before(leave).unwrap();
        assert_eq!(at.to_rfc3339(), "2026-10-24T18:00:00+00:00");
    }
}

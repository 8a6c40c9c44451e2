//! The sheet's face: the days with boxes to tick, what to carry, what to look at and what to
//! buy, short enough for two weeks on one side of paper. The rest is an appendix.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::planfile::HOME;
use crate::prep::schedule::{Attention, Carry as Leaving, Schedule, Step};
use crate::report::carry::carry_words;
use crate::report::clean::{named, one_line};
use crate::report::told::{Look, Told, ToldStep, marks};
use crate::tables::Step as Kind;
use crate::units::Locale;

/// Everything that the face of the sheet places.
#[derive(Debug, Serialize)]
pub struct Brief {
    days: Vec<Day>,
    /// What to buy by which day.
    shopping: Vec<Buying>,
    /// Words of care in one line each; steps refer to them by their place, from 1.
    minded: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Day {
    /// `2026-12-09`, for ids.
    date: String,
    name: String,
    lines: Vec<Line>,
}

#[derive(Debug, Serialize)]
struct Line {
    #[serde(skip)]
    at: chrono::DateTime<chrono_tz::Tz>,
    time: String,
    /// `do`, `leave`, or `alone` for what happens by itself and has no box.
    kind: &'static str,
    words: String,
    /// Where, where that is not home, and for whom.
    about: String,
    /// Amounts, what goes on from then on, what to look at.
    rest: String,
    /// Numbers of the words of care.
    marks: String,
}

#[derive(Debug, Serialize)]
struct Buying {
    day: String,
    items: Vec<String>,
}

impl Brief {
    /// Of a plan.
    pub fn of(schedule: &Schedule) -> Self {
        let locale = schedule.locale;
        let told = Told::of(schedule);
        let on_the_way = |carry: &&Leaving| {
            let same = |step: &ToldStep<'_>| is_way(step, carry);
            !told.steps.iter().any(same)
        };
        let leaving = schedule.carry.iter().filter(on_the_way).map(|carry| Line {
            at: carry.leave,
            time: locale.time(&carry.leave),
            kind: "leave",
            words: carry_words(&carry.place, false),
            about: String::new(),
            rest: items(carry),
            marks: String::new(),
        });
        let steps = told.steps.iter().map(|step| {
            let way = schedule.carry.iter().find(|carry| is_way(step, carry));
            line(schedule, step, way)
        });
        let mut lines: Vec<Line> = steps.chain(leaving).collect();
        lines.sort_by_key(|line| line.at);
        Self {
            days: days(lines, locale),
            shopping: shopping(schedule),
            minded: told.minded.iter().map(|caution| caution.short.clone()).collect(),
        }
    }
}

/// Whether a step is the way on which a list is carried.
fn is_way(step: &ToldStep<'_>, carry: &Leaving) -> bool {
    let step = step.step;
    step.kind == Kind::Carry && step.start == carry.leave && step.goal == carry.goal
}

fn items(carry: &Leaving) -> String {
    carry.items.iter().map(|item| one_line(item)).collect::<Vec<_>>().join("; ")
}

fn line(schedule: &Schedule, told: &ToldStep<'_>, way: Option<&Leaving>) -> Line {
    let (step, locale) = (told.step, schedule.locale);
    let mut numbers = told.again.clone();
    numbers.extend(told.new.iter().map(|(number, _)| number));
    let look = told.look.map(Look::in_full);
    let mut rest: Vec<String> = look.into_iter().chain(told.below.iter().cloned()).collect();
    if step.attention == Attention::Watch {
        rest.insert(0, format!("until {}", locale.time(&step.end)));
    }
    // The cool box is brought home without a word.
    if !step.take_back.is_empty() && !is_ice(step.kind) {
        rest.push("bring home".to_owned());
    }
    let (words, about, rest) = match way {
        Some(carry) => (carry_words(&carry.place, false), String::new(), items(carry)),
        None => (named(&told.done), about(schedule, told), rest.join("; ")),
    };
    Line {
        at: step.start,
        time: locale.time(&step.start),
        kind: if step.attention == Attention::None { "alone" } else { "do" },
        words,
        about,
        rest,
        marks: marks(&numbers).trim_start().to_owned(),
    }
}

/// Where a step is and for whom; for what, where the group has more than one thing of its kind.
fn about(schedule: &Schedule, told: &ToldStep<'_>) -> String {
    let step = told.step;
    let alike =
        |other: &&Step| other.group == step.group && is_ice(other.kind) == is_ice(step.kind);
    let goals: BTreeSet<&str> =
        schedule.steps.iter().filter(alike).map(|other| other.goal.as_str()).collect();
    let goal = Some(&step.goal).filter(|_| goals.len() > 1);
    let place = Some(&step.place).filter(|place| *place != HOME);
    let told =
        |group: &&String| step.what.contains(*group) || goal.is_some_and(|it| it.contains(*group));
    let group = step.group.as_ref().filter(|group| !told(group));
    let parts =
        place.into_iter().chain(goal).chain(group).map(|part| format!(" · {}", one_line(part)));
    parts.collect()
}

fn is_ice(kind: Kind) -> bool {
    use Kind::*;
    matches!(kind, Wash | Fill | Freeze | TurnOut | Pack | Carry | Temper | Use | Rinse)
}

fn days(lines: Vec<Line>, locale: Locale) -> Vec<Day> {
    let mut days: Vec<Day> = Vec::new();
    for line in lines {
        let date = line.at.date_naive().to_string();
        match days.last_mut().filter(|day| day.date == date) {
            Some(day) => day.lines.push(line),
            None => days.push(Day { name: locale.heading(&line.at), date, lines: vec![line] }),
        }
    }
    days
}

fn shopping(schedule: &Schedule) -> Vec<Buying> {
    let of_a_day = schedule.shopping.chunk_by(|a, b| a.needed == b.needed);
    of_a_day
        .map(|day| Buying {
            day: schedule.locale.day(&day[0].needed),
            items: day
                .iter()
                .map(|line| match line.amount.count {
                    Some(_) => named(&line.amount.text),
                    None => format!("{} {}", named(&line.amount.what), line.amount.text),
                })
                .collect(),
        })
        .collect()
}

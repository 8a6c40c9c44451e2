//! What is said after something was told: what changed, and what to do now.

use anstyle::Style;
use chrono::TimeDelta;

use super::{
    in_the_way::heading,
    lines::{Lines, styles},
    listing::moved_words,
    phrase,
    words::pieces,
};
use crate::{
    explanation::changes::Changes,
    planfile::{Happened, KeptStep, Moment},
    prep::schedule::{Attention, Schedule},
    tables::Step as Kind,
    units::{self, Locale, show_piece},
};

/// Something that was told, or taken back.
#[derive(Debug, Clone)]
pub struct News {
    /// What the step does.
    pub what: String,
    /// What was told of it.
    pub happened: Happened,
    /// Whether it was taken back.
    pub back: bool,
    /// Whether it says only that the pieces are ready for the step.
    pub ready: bool,
    /// The mixing of its dough, where that may have to be done anew.
    pub mixing: Option<String>,
    /// When it was planned to be done, where that is long ago and nobody said when it was.
    pub planned: Option<Moment>,
}

/// What was told, and what came of it.
#[derive(Debug, Clone)]
pub struct Answered {
    /// What was told.
    pub told: Vec<News>,
    /// The plan from now on.
    pub schedule: Schedule,
    /// What changed in it.
    pub changes: Changes,
}

/// Lines about what changed, at most.
const MOST_CHANGED: usize = 4;

/// What was told, in at most five lines what changed, and what to do now.
pub fn did(
    told: &[News],
    (schedule, changes): (&Schedule, &Changes),
    file: &str,
    width: usize,
) -> String {
    let mut lines = Lines::new(width);
    for one in told {
        let head = if one.back { "Taken back" } else { "Noted" };
        lines.line(&format!("{head}: {}.", seen(one, schedule)), styles::ANSWER);
        if let Some((doubt, at)) = doubt(one, schedule) {
            let step = &one.happened.step;
            let words = format!("{doubt} Then say: solidby did {file} {step} --at '{at}'");
            lines.line(&words, styles::CAUTION);
        }
    }
    changed(&mut lines, changes, schedule.locale);
    let chance = schedule.promise.chance.as_ref();
    if let Some(chance) = chance.filter(|_| schedule.problems.is_empty()) {
        let words = format!("All of the plan in time: {}.", phrase::chance(chance.all));
        lines.line(&words, Style::new());
    }
    for problem in &schedule.problems {
        lines.line(&format!("{}.", heading(problem)), styles::CAUTION);
        for way in problem.ways.words.iter().take(MOST_CHANGED) {
            lines.hang("  + ", "    ", way, Style::new());
        }
    }
    for words in &schedule.without {
        lines.line(&format!("{words}."), styles::CAUTION);
    }
    let mixing = told.iter().filter_map(|one| one.mixing.as_ref());
    for mixing in mixing.filter(|_| !schedule.feasible) {
        let words = format!("or with new dough: solidby did {file} {mixing} --skipped");
        lines.hang("  + ", "    ", &words, Style::new());
    }
    now(&mut lines, schedule);
    schedule.spelling.clone().in_file(file).words(&lines.finish())
}

/// What is asked where a step is told long after it was planned, and when that was, to be typed:
/// `Taken as done Sun Dec 6 8:00 pm. Was it done Sun Dec 6 7:15 am, as planned?`
pub fn doubt(news: &News, schedule: &Schedule) -> Option<(String, String)> {
    let (locale, zone) = (schedule.locale, schedule.timezone);
    let [taken, planned] = [news.happened.at, news.planned?].map(|at| at.0.with_timezone(&zone));
    let words = [taken, planned].map(|at| locale.day_and_time(&at));
    // A time alone is the last one.
    let typed = match taken - planned < TimeDelta::days(1) {
        true => locale.time(&planned),
        false => planned.format("%Y-%m-%dT%H:%M").to_string(),
    };
    let [taken, planned] = words;
    Some((format!("Taken as done {taken}. Was it done {planned}, as planned?"), typed))
}

/// Why a step cannot have been done: what comes before it and is not done, in time order.
pub fn too_early(step: &KeptStep, lacking: &[&KeptStep]) -> String {
    let named = |step: &&KeptStep| format!("{} [{}]", step.what, step.short);
    let mut first: Vec<String> = lacking.iter().take(MOST_CHANGED).map(named).collect();
    if lacking.len() > MOST_CHANGED {
        first.push(format!("and {} more", lacking.len() - MOST_CHANGED));
    }
    let first = first.join("; ");
    format!("“{}” comes after what is not done yet; tell that first: {first}", step.what)
}

/// Why one piece cannot weigh so much, in grams: less than with no water left, more than wet.
pub fn no_such_weight([least, most]: [f64; 2]) -> String {
    let [least, most] = [least, most].map(|mass| show_piece(units::grams(mass)));
    format!("one piece weighs from {least}, with no water left in it, to {most}, as it is cut")
}

/// Why a step cannot have left blocks wet, and what is to do instead where it fills moulds.
pub fn no_wet_blocks(step: &KeptStep) -> String {
    let none = format!("“{}” has no blocks that could be wet", step.what);
    match step.kind {
        Kind::Fill => format!(
            "{none} yet: say so when they are turned out. Where a mould leaks, lower its “own” in the plan file"
        ),
        _ => none,
    }
}

/// What was told of a step: `Fill 4 fox molds: done Mon Dec 7 6:35 pm`.
pub fn seen(news: &News, schedule: &Schedule) -> String {
    let News { what, happened, ready, .. } = news;
    let when = |at: Moment| schedule.locale.day_and_time(&at.0.with_timezone(&schedule.timezone));
    let at = when(happened.at);
    let state = match happened {
        _ if happened.skipped => "not done".to_owned(),
        Happened { until: Some(until), .. } => format!("it takes until {}", when(*until)),
        Happened { wet: Some(0), .. } => format!("none wet {at}"),
        Happened { wet: Some(wet), .. } => format!("{} still wet {at}", pieces(*wet, "block")),
        Happened { soft: true, weight_g: Some(grams), .. } => {
            format!("still soft {at}, one piece {}", show_piece(units::grams(*grams)))
        }
        _ if happened.soft => format!("still soft {at}"),
        Happened { weight_g: Some(grams), .. } if *ready => {
            format!("ready for it {at}, one piece {}", show_piece(units::grams(*grams)))
        }
        Happened { weight_g: Some(grams), .. } => {
            format!("done {at}, one piece {}", show_piece(units::grams(*grams)))
        }
        _ => format!("done {at}"),
    };
    format!("{what}: {state}")
}

fn changed(lines: &mut Lines, changes: &Changes, locale: Locale) {
    let all = moved_words(changes, locale);
    if all.is_empty() {
        lines.line("Nothing else moves.", Style::new());
    }
    let shown = if all.len() > MOST_CHANGED + 1 { MOST_CHANGED } else { all.len() };
    for (head, words) in &all[..shown] {
        lines.row(head, 9, words, Style::new());
    }
    if all.len() > shown {
        let rest = format!("  and {} more: solidby plan shows them", all.len() - shown);
        lines.line(&rest, styles::QUIET);
    }
}

/// The next step with hands, with its look.
fn now(lines: &mut Lines, schedule: &Schedule) {
    let hands = |attention| attention != Attention::None;
    let next = schedule.steps.iter().find(|step| hands(step.attention) && !step.follow.reserve);
    let Some(next) = next else {
        lines.line("Nothing is left to do.", Style::new());
        return;
    };
    let words = format!(
        "{}: {}  [{}]",
        schedule.locale.day_and_time(&next.start),
        next.what,
        next.follow.short
    );
    lines.hang("Next: ", "      ", &words, styles::ANSWER);
    if let Some(look) = next.looks_there().next() {
        lines.hang("      ", "      ", &format!("Look: {}", look.see), Style::new());
    }
}

//! What is said after something was told: what changed, and what to do now.

use anstyle::Style;

use super::{
    in_the_way::heading,
    lines::{Lines, styles},
    listing::moved_words,
    phrase,
    words::pieces,
};
use crate::{
    explanation::changes::Changes,
    planfile::Happened,
    prep::schedule::{Attention, Schedule},
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
pub fn did(told: &[News], schedule: &Schedule, changes: &Changes, width: usize) -> String {
    let mut lines = Lines::new(width);
    for one in told {
        let head = if one.back { "Taken back" } else { "Noted" };
        lines.line(&format!("{head}: {}.", seen(one, schedule)), styles::ANSWER);
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
    now(&mut lines, schedule);
    schedule.locale.spelled(&lines.finish())
}

/// What was told of a step: `Fill 4 fox molds: done Mon Dec 7 6:35 pm`.
pub fn seen(news: &News, schedule: &Schedule) -> String {
    let News { what, happened, .. } = news;
    let when = |at: crate::planfile::Moment| {
        schedule.locale.day_and_time(&at.0.with_timezone(&schedule.timezone))
    };
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
    if let Some(look) = next.follow.looks.first() {
        lines.hang("      ", "      ", &format!("Look: {}", look.see), Style::new());
    }
}

//! How likely what is planned holds, counted over the kitchens.

use std::collections::BTreeMap;

use super::Kitchens;
use crate::{
    prep::{
        clock::Tick,
        draft::{Draft, RARE},
        durations::Process,
    },
    scheduler::Solution,
};

/// How likely each promise of a plan holds, and each wait is over in time.
pub struct Chances {
    /// That every promise holds.
    pub all: f64,
    /// By goal: that it is served.
    pub goals: Vec<f64>,
    /// By wait of the draft: that it is over when the step begins that waits for it.
    pub waits: BTreeMap<usize, f64>,
    /// By the wait of a first round that may not be over: how likely the later rounds of its
    /// freezer are not ready either, where it was and where it was not.
    pub later: BTreeMap<usize, Later>,
}

/// How likely later rounds are not ready in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Later {
    /// Where the first was ready.
    pub after_ready: f64,
    /// Where it was not.
    pub after_wet: f64,
}

impl Chances {
    /// Counts them.
    pub fn of(
        draft: &Draft,
        solution: &Solution,
        kitchens: &Kitchens,
        served: &[Vec<bool>],
    ) -> Self {
        let planned: Vec<bool> =
            (0..draft.goals.len()).map(|goal| solution.levels[goal].is_some()).collect();
        let whole = |one: &&Vec<bool>| one.iter().zip(&planned).all(|(it, own)| *it || !own);
        let goal = |goal: usize| share(served.iter().map(|one| one[goal]));
        let needed = |span: usize| solution.start(draft.spans[span].before);
        let ready = |span: usize, kitchen: usize, by: Tick| {
            kitchens.ready(span, kitchen).is_none_or(|ready| ready <= by)
        };
        let mut waits = BTreeMap::new();
        for span in 0..draft.spans.len() {
            if let (Some(all), Some(by)) = (kitchens.all(span), needed(span)) {
                waits.insert(span, share(all.iter().map(|ready| *ready <= by)));
            }
        }
        let mut chances = Self {
            all: share(served.iter().map(|one| whole(&one))),
            goals: (0..draft.goals.len()).map(goal).collect(),
            waits,
            later: BTreeMap::new(),
        };
        for (first, others) in rounds(draft, solution, kitchens) {
            let by = needed(first).unwrap_or(0);
            let any_wet = |kitchen: usize| {
                others.iter().any(|other| !ready(*other, kitchen, needed(*other).unwrap_or(0)))
            };
            let of = |was_ready: bool| {
                let own =
                    (0..served.len()).filter(|kitchen| ready(first, *kitchen, by) == was_ready);
                share(own.map(any_wet))
            };
            if !others.is_empty() && chances.waits.get(&first).is_some_and(|p| *p < 1.0 - RARE) {
                chances.later.insert(first, Later { after_ready: of(true), after_wet: of(false) });
            }
        }
        chances
    }
}

/// By freezer: the round that is turned out first, and the others.
fn rounds(draft: &Draft, solution: &Solution, kitchens: &Kitchens) -> Vec<(usize, Vec<usize>)> {
    let mut freezers: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (number, span) in draft.spans.iter().enumerate() {
        let Some(Process::Freezing { freezer, .. }) = &span.task.process else { continue };
        if kitchens.all(number).is_some() {
            freezers.entry(&freezer.name).or_default().push(number);
        }
    }
    let ordered = freezers.into_values().filter_map(|mut own| {
        own.sort_by_key(|span| solution.start(draft.spans[*span].before));
        let (first, others) = own.split_first()?;
        Some((*first, others.to_vec()))
    });
    ordered.collect()
}

/// The share of those that hold; none hold of none.
fn share(held: impl Iterator<Item = bool>) -> f64 {
    let (mut all, mut hold) = (0.0, 0.0);
    for one in held {
        all += 1.0;
        hold += f64::from(u8::from(one));
    }
    if all > 0.0 { hold / all } else { 0.0 }
}

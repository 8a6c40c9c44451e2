//! Several loads in one freezer over many kitchens: what a plan puts into it, and when.

use std::ops::Range;

use rayon::prelude::*;

use super::note::LEARNT;
use super::question::IceQuestion;
use super::scenario::{Outcome, run_together};
use crate::answers::AskError;
use crate::freezing::{mesh::Resolution, pattern::Pattern};
use crate::tables::Unknown;
use crate::uncertainty::{Draw, RUNS, walk};
use crate::units::{Time, in_hours};

/// After so many hours without a new load the freezer is as if nothing had been in it: all is
/// frozen by then, or hardly gives off heat any more.
const APART_H: f64 = 60.0;

/// Freezes each question's blocks from when they go into the freezer of the first, in
/// some kitchens of the sequence: for each load the outcome in each of them, hours from its
/// filling. Loads come in the order in which they go in.
///
/// What belongs to the freezer is one thing for all loads of a kitchen; water, filling and
/// supercooling differ from load to load.
///
/// # Errors
/// As [`super::answer`].
pub fn together(
    loads: &[(IceQuestion, Time)],
    kitchens: Range<usize>,
) -> Result<Vec<Vec<Outcome>>, AskError> {
    let Some((first, _)) = loads.first() else { return Ok(Vec::new()) };
    let of = kitchens.end.next_multiple_of(RUNS);
    let mut known: Vec<Known<'_>> = Vec::new();
    let mut own = Vec::with_capacity(loads.len());
    for (question, _) in loads {
        let place = known.iter().position(|known| known.question == question);
        own.push(place.unwrap_or(known.len()));
        if place.is_none() {
            known.push(Known::of(question, of)?);
        }
    }
    let parts = apart(loads);
    let outcomes: Vec<Vec<Outcome>> = kitchens
        .into_par_iter()
        .map(|kitchen| {
            let draw = |load: usize| own_draw(&known[0], &known[own[load]], kitchen, load);
            let freezer = first.scenario(&draw(0))?.freezer;
            let mut outcomes = Vec::with_capacity(loads.len());
            for part in &parts {
                let load = |n: usize| {
                    let (question, since) = &loads[n];
                    let scenario = question.scenario(&draw(n))?;
                    let grid = question.grid(&scenario, &known[own[n]].coarse);
                    Ok((scenario, grid, *since - loads[part.start].1))
                };
                let scenarios = part.clone().map(load).collect::<Result<Vec<_>, AskError>>()?;
                outcomes.extend(run_together(&freezer, &scenarios)?);
            }
            Ok(outcomes)
        })
        .collect::<Result<_, AskError>>()?;
    let corrected = |load: usize| {
        let [solid, ready] = known[own[load]].finer;
        let finer = |kitchen: &Vec<Outcome>| {
            let mut outcome = kitchen[load].clone();
            outcome.solid_h *= solid;
            outcome.ready_h = (outcome.ready_h * ready).max(outcome.solid_h);
            outcome
        };
        outcomes.iter().map(finer).collect()
    };
    Ok((0..loads.len()).map(corrected).collect())
}

/// What is the same for all loads of one question.
struct Known<'a> {
    question: &'a IceQuestion,
    draws: Vec<Draw>,
    /// The grid of its blocks.
    coarse: Pattern,
    /// How much longer the working grid takes than the coarse one, until solid and until ready.
    finer: [f64; 2],
}

impl<'a> Known<'a> {
    fn of(question: &'a IceQuestion, draws: usize) -> Result<Self, AskError> {
        question.check()?;
        let unknowns = question.unknowns()?;
        let alone = question.scenario(unknowns.centre())?;
        let [fine, coarse] = [Resolution::Working, Resolution::Coarse]
            .map(|resolution| alone.run(resolution, false));
        let (fine, coarse) = (fine?, coarse?);
        let finer = [fine.solid_h / coarse.solid_h, fine.ready_h / coarse.ready_h]
            .map(|gap| if gap.is_finite() { gap } else { 1.0 });
        let coarse = Pattern::of(&alone.body, Resolution::Coarse);
        Ok(Self { question, draws: unknowns.draws(draws), coarse, finer })
    }
}

/// The loads that have to do with each other, as ranges of the list.
fn apart(loads: &[(IceQuestion, Time)]) -> Vec<Range<usize>> {
    let mut parts: Vec<Range<usize>> = Vec::new();
    for n in 0..loads.len() {
        match parts.last_mut() {
            Some(part) if in_hours(loads[n].1 - loads[n - 1].1) < APART_H => part.end = n + 1,
            _ => parts.push(n..n + 1),
        }
    }
    parts
}

/// The draw of a load in a kitchen: what is constant for the freezer from the first load, the
/// rest by another walk through the sequence for each load, so that no two go alike.
fn own_draw(first: &Known<'_>, own: &Known<'_>, kitchen: usize, load: usize) -> Draw {
    let mut draw = own.draws[walk(kitchen, 2 * load + 1, 97 * load)].clone();
    let freezer = &first.draws[kitchen];
    for unknown in LEARNT.into_iter().chain([Unknown::FreezerHumidity]) {
        draw[unknown] = freezer[unknown];
    }
    draw
}

//! Several loads in one freezer over many kitchens: what a plan puts into it, and when.

use std::ops::Range;

use rayon::prelude::*;

use super::note::LEARNT;
use super::question::IceQuestion;
use super::scenario::{Filled, Outcome, run_together};
use crate::answers::AskError;
use crate::freezing::{mesh::Resolution, pattern::Pattern};
use crate::surroundings::freezer::Freezer;
use crate::tables::Unknown;
use crate::uncertainty::{Draw, RUNS, walk};
use crate::units::{Time, in_hours};

/// Kitchens that one thread takes at a time: they go side by side.
const SHARE: usize = 32;

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
    let all = Loads::of(loads, kitchens.end.next_multiple_of(RUNS))?;
    let kitchens: Vec<usize> = kitchens.collect();
    let shares = kitchens.par_chunks(SHARE).map(|share| all.freeze(share));
    let shares: Vec<Vec<Vec<Outcome>>> = shares.collect::<Result<_, AskError>>()?;
    let outcomes: Vec<Vec<Outcome>> = shares.into_iter().flatten().collect();
    let of = |load: usize| outcomes.iter().map(|each| all.corrected(load, &each[load])).collect();
    Ok((0..loads.len()).map(of).collect())
}

/// Loads in the order in which they go in, and what is known of them.
struct Loads<'a> {
    loads: &'a [(IceQuestion, Time)],
    known: Vec<Known<'a>>,
    /// By load: its place among what is known.
    own: Vec<usize>,
}

impl<'a> Loads<'a> {
    fn of(loads: &'a [(IceQuestion, Time)], draws: usize) -> Result<Self, AskError> {
        let mut known: Vec<Known<'_>> = Vec::new();
        let mut own = Vec::with_capacity(loads.len());
        for (question, _) in loads {
            let place = known.iter().position(|known| known.question == question);
            own.push(place.unwrap_or(known.len()));
            if place.is_none() {
                known.push(Known::of(question, draws)?);
            }
        }
        Ok(Self { loads, known, own })
    }

    /// Freezes all loads in some kitchens: what comes of each, by kitchen.
    fn freeze(&self, kitchens: &[usize]) -> Result<Vec<Vec<Outcome>>, AskError> {
        let mut outcomes = vec![Vec::with_capacity(self.loads.len()); kitchens.len()];
        for part in apart(self.loads) {
            let filled = kitchens.iter().map(|kitchen| self.filled(*kitchen, part.clone()));
            let filled = filled.collect::<Result<Vec<_>, AskError>>()?;
            for (all, own) in outcomes.iter_mut().zip(run_together(&filled)?) {
                all.extend(own);
            }
        }
        Ok(outcomes)
    }

    /// The freezer of a kitchen, and what goes into it from the first load of a part on.
    fn filled(
        &self,
        kitchen: usize,
        part: Range<usize>,
    ) -> Result<(Freezer, Vec<Filled<'_>>), AskError> {
        let scenario = |load: usize| {
            let draw = own_draw(&self.known[0], &self.known[self.own[load]], kitchen, load);
            self.loads[load].0.scenario(&draw)
        };
        let (first, freezer) = (self.loads[part.start].1, scenario(0)?.freezer);
        let load = |n: usize| {
            let (question, since) = &self.loads[n];
            let scenario = scenario(n)?;
            let grid = question.grid(&scenario, &self.known[self.own[n]].coarse);
            Ok((scenario, grid, *since - first))
        };
        Ok((freezer, part.map(load).collect::<Result<_, AskError>>()?))
    }

    /// An outcome of a load with what the finer grid adds.
    fn corrected(&self, load: usize, outcome: &Outcome) -> Outcome {
        let [solid, ready] = self.known[self.own[load]].finer;
        let mut outcome = outcome.clone();
        outcome.solid_h *= solid;
        outcome.ready_h = (outcome.ready_h * ready).max(outcome.solid_h);
        outcome
    }
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

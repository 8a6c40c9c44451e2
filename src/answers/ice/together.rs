//! Several loads in one freezer over many kitchens: what a plan puts into it, and when.

use std::ops::Range;

use rayon::prelude::*;

use super::band::renewal;
use super::note::LEARNT;
use super::question::IceQuestion;
use super::scenario::{Filled, Outcome, in_shares, run_together};
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

/// What stays the same of a mould, however often it is filled.
const OF_A_MOULD: [Unknown; 4] =
    [Unknown::MouldShape, Unknown::ShapeLength, Unknown::SizeError, Unknown::WallThickness];

/// Freezes each question's blocks from when they go into the freezer of the first, in
/// some kitchens of the sequence: for each load the outcome in each of them, hours from its
/// filling. Loads come in the order in which they go in.
///
/// What belongs to the freezer is one thing for all loads of a kitchen, and what belongs to a
/// mould for all of that mould; water, filling and supercooling differ from load to load.
///
/// # Errors
/// As [`super::answer`].
pub fn together(
    loads: &[(IceQuestion, Time)],
    kitchens: Range<usize>,
) -> Result<Vec<Vec<Outcome>>, AskError> {
    let all = Loads::of(loads, kitchens.end.next_multiple_of(RUNS))?;
    let kitchens: Vec<usize> = kitchens.collect();
    let shape = |kitchen: &usize| all.draw(*kitchen, 0)[Unknown::MouldShape];
    let shapes: Vec<f64> = kitchens.iter().map(shape).collect();
    let outcomes = in_shares(&shapes, SHARE, |share| {
        all.freeze(&share.iter().map(|n| kitchens[*n]).collect::<Vec<_>>())
    })?;
    let of = |load: usize| outcomes.iter().map(|each| all.corrected(load, &each[load])).collect();
    Ok((0..loads.len()).map(of).collect())
}

/// Loads in the order in which they go in, and what is known of them.
struct Loads<'a> {
    loads: &'a [(IceQuestion, Time)],
    known: Vec<Known>,
    /// By load: its place among what is known.
    own: Vec<usize>,
    /// By load: the first load of the same mould.
    mould: Vec<usize>,
}

impl<'a> Loads<'a> {
    fn of(loads: &'a [(IceQuestion, Time)], draws: usize) -> Result<Self, AskError> {
        let mut questions: Vec<&IceQuestion> = Vec::new();
        let (mut own, mut mould) = (Vec::with_capacity(loads.len()), Vec::new());
        for (question, _) in loads {
            let place = questions.iter().position(|known| *known == question);
            own.push(place.unwrap_or(questions.len()));
            if place.is_none() {
                questions.push(question);
            }
            let count = question.count;
            let same = |(other, _): &(IceQuestion, Time)| {
                *question == IceQuestion { count, ..other.clone() }
            };
            mould.push(loads.iter().position(same).unwrap_or_default());
        }
        let known = questions.into_par_iter().map(|question| Known::of(question, draws));
        Ok(Self { loads, known: known.collect::<Result<_, AskError>>()?, own, mould })
    }

    /// Freezes all loads in some kitchens: what comes of each, by kitchen.
    fn freeze(&self, kitchens: &[usize]) -> Result<Vec<Vec<Outcome>>, AskError> {
        let mut outcomes = vec![Vec::with_capacity(self.loads.len()); kitchens.len()];
        for part in apart(self.loads) {
            let filled = kitchens.iter().map(|kitchen| self.filled(*kitchen, part.clone()));
            let filled = filled.collect::<Result<Vec<_>, AskError>>()?;
            let quickest = part.map(|load| self.known[self.own[load]].solid_h);
            let period = period(quickest.fold(f64::INFINITY, f64::min));
            for (all, own) in outcomes.iter_mut().zip(run_together(&filled, period)?) {
                all.extend(own);
            }
        }
        Ok(outcomes)
    }

    /// The draw of a load in a kitchen: what is constant for the freezer from the first load,
    /// for the mould from its first, the rest by another walk through the sequence for each
    /// load, so that no two go alike.
    fn draw(&self, kitchen: usize, load: usize) -> Draw {
        let walked =
            |load: usize| &self.known[self.own[load]].draws[walk(kitchen, 2 * load + 1, 97 * load)];
        let mut draw = walked(load).clone();
        let (freezer, mould) = (&self.known[0].draws[kitchen], walked(self.mould[load]));
        for unknown in LEARNT.into_iter().chain([Unknown::FreezerHumidity]) {
            draw[unknown] = freezer[unknown];
        }
        draw.in_that_of(freezer);
        for unknown in OF_A_MOULD {
            draw[unknown] = mould[unknown];
        }
        draw
    }

    /// The freezer of a kitchen, and what goes into it from the first load of a part on.
    fn filled(
        &self,
        kitchen: usize,
        part: Range<usize>,
    ) -> Result<(Freezer, Vec<Filled<'_>>), AskError> {
        let scenario = |load: usize| self.loads[load].0.scenario(&self.draw(kitchen, load));
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
struct Known {
    draws: Vec<Draw>,
    /// Hours until solid at the middle of the unknowns; infinite when never.
    solid_h: f64,
    /// The grid of its blocks.
    coarse: Pattern,
    /// How much longer the working grid takes than the coarse one, until solid and until ready.
    finer: [f64; 2],
}

impl Known {
    fn of(question: &IceQuestion, draws: usize) -> Result<Self, AskError> {
        question.check()?;
        let unknowns = question.unknowns()?;
        let alone = question.scenario(unknowns.centre())?;
        let fine = alone.run(Resolution::Working, false)?;
        let coarse = Pattern::of(&alone.body, Resolution::Coarse);
        let coarser = alone.run_on(&coarse, period(fine.solid_h), false)?;
        let finer = [fine.solid_h / coarser.solid_h, fine.ready_h / coarser.ready_h]
            .map(|gap| if gap.is_finite() { gap } else { 1.0 });
        Ok(Self { draws: unknowns.draws(draws), solid_h: fine.solid_h, coarse, finer })
    }
}

/// The renewals of a replay, in which an evening is read to a few minutes: fewer than of a run for
/// a band, which `tests/physics/freezing_in_kitchens.rs` holds them to.
fn period(solid_h: f64) -> Time {
    renewal(solid_h, 60.0, [0.1, 0.2])
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

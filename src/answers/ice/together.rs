//! Several loads in one freezer over many kitchens: what a plan puts into it, and when.

use rayon::prelude::*;

use super::note::LEARNT;
use super::question::IceQuestion;
use super::scenario::{Outcome, Scenario, run_together};
use crate::answers::AskError;
use crate::freezing::mesh::Resolution;
use crate::tables::Unknown;
use crate::uncertainty::{Draw, RUNS};
use crate::units::Time;

/// Freezes each question's blocks from when they go into the freezer of the first, in
/// [`RUNS`] kitchens: for each load the outcome in every kitchen, hours from its filling.
///
/// What belongs to the freezer is one thing for all loads of a kitchen; water, filling and
/// supercooling differ from load to load.
///
/// # Errors
/// As [`super::answer`].
pub fn together(loads: &[(IceQuestion, Time)]) -> Result<Vec<Vec<Outcome>>, AskError> {
    let Some((first, _)) = loads.first() else { return Ok(Vec::new()) };
    let mut draws = Vec::with_capacity(loads.len());
    let mut finer = Vec::with_capacity(loads.len());
    for (question, _) in loads {
        question.check()?;
        let unknowns = question.unknowns()?;
        let alone = question.scenario(unknowns.centre())?;
        let [fine, coarse] = [Resolution::Working, Resolution::Coarse]
            .map(|resolution| alone.run(resolution, false));
        finer.push(gap(&fine?, &coarse?));
        draws.push(unknowns.draws(RUNS));
    }
    let kitchens: Vec<Vec<Outcome>> = (0..RUNS)
        .into_par_iter()
        .map(|kitchen| {
            let own = |load: usize| own_draw(&draws, kitchen, load);
            let freezer = first.scenario(&own(0))?.freezer;
            let scenarios: Vec<(Scenario, Time)> = loads
                .iter()
                .enumerate()
                .map(|(n, (question, since))| Ok((question.scenario(&own(n))?, *since)))
                .collect::<Result<_, AskError>>()?;
            run_together(&freezer, &scenarios)
        })
        .collect::<Result<_, AskError>>()?;
    let corrected = |load: usize| {
        let [solid, ready] = finer[load];
        let of = |kitchen: &Vec<Outcome>| {
            let mut outcome = kitchen[load].clone();
            outcome.solid_h *= solid;
            outcome.ready_h = (outcome.ready_h * ready).max(outcome.solid_h);
            outcome
        };
        kitchens.iter().map(of).collect()
    };
    Ok((0..loads.len()).map(corrected).collect())
}

/// How much longer the working grid takes than the coarse one.
fn gap(fine: &Outcome, coarse: &Outcome) -> [f64; 2] {
    [fine.solid_h / coarse.solid_h, fine.ready_h / coarse.ready_h]
        .map(|gap| if gap.is_finite() { gap } else { 1.0 })
}

/// The draw of a load in a kitchen: what is constant for the freezer from the first load, the
/// rest by another walk through the sequence for each load, so that no two go alike.
fn own_draw(draws: &[Vec<Draw>], kitchen: usize, load: usize) -> Draw {
    // Odd strides visit every draw of a power of two once.
    let mut own = draws[load][(kitchen * (2 * load + 1) + 97 * load) % RUNS].clone();
    let freezer = &draws[0][kitchen];
    for unknown in LEARNT.into_iter().chain([Unknown::FreezerHumidity]) {
        own[unknown] = freezer[unknown];
    }
    own
}

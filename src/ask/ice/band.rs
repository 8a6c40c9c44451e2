//! Many kitchens at once: a coarse solve of each, corrected by a finer one.

use rayon::prelude::*;

use super::question::{IceError, IceQuestion};
use super::scenario::{Outcome, Scenario};
use super::unknowns::Unknowns;
use crate::belief::RUNS;
use crate::block::mesh::{Pattern, Resolution};
use crate::units::{Time, hours};

/// What many draws of the unknowns give, one entry a draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// The draws, a value for each unknown.
    pub draws: Vec<Vec<f64>>,
    /// Hours until solid, infinite when never.
    pub solid_h: Vec<f64>,
    /// Hours until ready, infinite when never.
    pub ready_h: Vec<f64>,
}

/// Freezes 256 kitchens on the coarse grid, each time multiplied by the ratio
/// of the working to the coarse grid at the central inputs.
///
/// # Errors
/// [`IceError`] when the question's shape or liquid cannot be.
pub fn bands(
    question: &IceQuestion,
    unknowns: &Unknowns,
    central: &Outcome,
) -> Result<Bands, IceError> {
    let middle = unknowns.scenario(question, &unknowns.central())?;
    let pattern = Pattern::of(&middle.shape, Resolution::Coarse);
    let period = period(central.solid_h);
    let run = |scenario: &Scenario| scenario.run_on(&pattern, period, false);
    let coarse = run(&middle)?;
    let ratio = |fine: f64, coarse: f64| {
        let ratio = fine / coarse;
        if ratio.is_finite() && ratio > 0.0 { ratio } else { 1.0 }
    };
    let solid = ratio(central.solid_h, coarse.solid_h);
    let ready = ratio(central.ready_h, coarse.ready_h);
    let draws = unknowns.draws(RUNS);
    let outcomes: Vec<Outcome> = draws
        .par_iter()
        .map(|draw| run(&unknowns.scenario(question, draw)?))
        .collect::<Result<_, IceError>>()?;
    Ok(Bands {
        solid_h: outcomes.iter().map(|o| o.solid_h * solid).collect(),
        ready_h: outcomes.iter().map(|o| o.ready_h * ready).collect(),
        draws,
    })
}

/// How often the films of a coarse run are renewed: the same number of times
/// for a small block and a large one.
fn period(solid_h: f64) -> Time {
    const RENEWALS: f64 = 80.0;
    hours((solid_h / RENEWALS).clamp(0.02, 0.5))
}

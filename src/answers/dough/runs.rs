//! The runs behind an answer: the central one, and one a draw.

use rayon::prelude::*;

use super::inputs::Inputs;
use super::question::Checked;
use crate::drying::solver::{NeverDry, Outcome};
use crate::uncertainty::{Draw, Unknowns};
use crate::units::{Ratio, Time, in_hours, percents};

impl Checked<'_> {
    /// Central run; a turned piece finds its half-way time here.
    pub(super) fn nominal(&self, unknowns: &Unknowns) -> (Inputs, Outcome) {
        let inputs = Inputs::of(self, unknowns.centre());
        let outcome = inputs.run(self, None);
        (inputs, outcome)
    }

    /// Share of the wet mass lost in balance with the room; from an oven into a room too
    /// moist for a balance, with one of 70 %, as [`crate::drying::solver::Drying::goals`] has it.
    pub(super) fn mass_loss(&self, inputs: &Inputs) -> Option<Ratio> {
        let room = inputs.room;
        let loss = |humidity| inputs.recipe.mass_loss(room.air, humidity);
        loss(room.humidity).or_else(|| self.oven.and_then(|_| loss(percents(70.0))))
    }

    /// Hours until hard and until dry in each of these draws.
    pub(super) fn outcomes(&self, draws: &[Draw], turn_at: Option<Time>) -> Vec<[f64; 2]> {
        let hours_or_never = |time: Result<Time, NeverDry>| time.map_or(f64::INFINITY, in_hours);
        draws
            .par_iter()
            .map(|draw| {
                let outcome = Inputs::of(self, draw).run(self, turn_at);
                [hours_or_never(outcome.firm), hours_or_never(outcome.dry)]
            })
            .collect()
    }
}

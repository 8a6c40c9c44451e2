//! The planner's durations from the physics of this crate.

use super::{durations::*, file::*, schedule::Amount};
use crate::units::*;

/// stand-in
#[derive(Default)]
pub struct Physics {}

impl Durations for Physics {
    fn freeze(&self, _: &Plan, _: &Mould, _: &Freezer, _: u32) -> Result<Outcomes, DurationError> {
        Ok(Outcomes::new((0..100).map(|n| 6.0 + 0.04 * n as f64).collect()))
    }
    fn keeping(&self, _: &Plan, _: &Mould) -> Result<Keeping, DurationError> {
        Ok(Keeping { temper_h: 0.25, cool_box_h: 5.0 })
    }
    fn dry(&self, d: &Drying<'_>) -> Result<Outcomes, DurationError> {
        Ok(match d.heat {
            Heat::Air => Outcomes::new((0..100).map(|n| 60.0 + 1.2 * n as f64).collect()),
            Heat::Oven { .. } => Outcomes::new((0..100).map(|n| 4.0 + 0.05 * n as f64).collect()),
        })
    }
    fn cool(
        &self,
        _: &Ornament,
        _: ThermodynamicTemperature,
        _: Room,
    ) -> Result<f64, DurationError> {
        Ok(0.5)
    }
    fn coat(&self, f: Finish, _: Room) -> f64 {
        if f == Finish::Wrap { 0.0 } else { 24.0 }
    }
    fn dough(&self, _: &Plan, _: &Ornament, _: u32) -> Vec<Amount> {
        vec![]
    }
    fn batches(&self, _: &Ornament, _: u32) -> u32 {
        1
    }
}

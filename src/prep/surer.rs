//! The physics of slow kitchens, for a plan that has to hold in more of them.

use super::{
    durations::{Drying, DurationError, Durations, FirmDry, Keeping, Outcomes, Process},
    schedule::{Amount, Curve},
};
use crate::{
    planfile::{Finish, Freezer, Mould, Ornament, Plan, Room},
    units::ThermodynamicTemperature,
};

/// The share of kitchens that is planned for: what is sure in the slowest fifth of them, 95 in
/// 100, holds in 99 of 100 of all.
const SLOWEST: f64 = 0.2;

/// Durations as in the slowest kitchens.
pub struct Surer<'a>(pub &'a dyn Durations);

impl Durations for Surer<'_> {
    fn freeze(
        &self,
        mould: &Mould,
        freezer: &Freezer,
        count: u32,
    ) -> Result<Outcomes, DurationError> {
        Ok(self.0.freeze(mould, freezer, count)?.slowest(SLOWEST))
    }

    fn keeping(&self, mould: &Mould, room: Room) -> Result<Keeping, DurationError> {
        self.0.keeping(mould, room)
    }

    fn dry(&self, drying: &Drying<'_>) -> Result<FirmDry, DurationError> {
        let FirmDry { firm, dry } = self.0.dry(drying)?;
        Ok(FirmDry { firm: firm.slowest(SLOWEST), dry: dry.slowest(SLOWEST) })
    }

    fn course(&self, plan: &Plan, process: &Process) -> Option<Curve> {
        self.0.course(plan, process)
    }

    fn cool(
        &self,
        ornament: &Ornament,
        from: ThermodynamicTemperature,
        room: Room,
    ) -> Result<f64, DurationError> {
        self.0.cool(ornament, from, room)
    }

    fn coat(&self, finish: Finish, room: Room) -> f64 {
        self.0.coat(finish, room)
    }

    fn dough(&self, plan: &Plan, ornament: &Ornament, count: u32) -> Vec<Amount> {
        self.0.dough(plan, ornament, count)
    }

    fn batches(&self, ornament: &Ornament, count: u32) -> u32 {
        self.0.batches(ornament, count)
    }
}

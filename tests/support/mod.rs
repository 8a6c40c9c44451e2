//! What several test files share: durations that do not depend on the physics,
//! and plans to lay out.

use solidby::{
    planfile::{self, Finish, Freezer, Mould, Ornament, Plan, Room},
    prep::{
        durations::{Coats, Drying, DurationError, Durations, FirmDry, Keeping, Outcomes, Process},
        schedule::Curve,
    },
    units::ThermodynamicTemperature,
};

/// Durations that are the same for everything, so that a test knows them.
pub struct Fixed {
    /// Hours until a block is firm, for certain.
    pub freeze_h: f64,
    /// Hours until a piece is firm and dry, in oven or room.
    pub dry_h: f64,
    /// The percentage of kitchens in which it takes a month.
    pub slow: usize,
    /// Hours that a block stands on the table until it softens.
    pub table_h: f64,
}

impl Default for Fixed {
    fn default() -> Self {
        Self { freeze_h: 9.0, dry_h: 5.0, slow: 0, table_h: 2.0 }
    }
}

/// What a piece takes where it dries slowly.
const MONTH_H: f64 = 30.0 * 24.0;

impl Durations for Fixed {
    fn freeze(&self, _: &Mould, _: &Freezer, _: u32) -> Result<Outcomes, DurationError> {
        Ok(Outcomes::exactly(self.freeze_h))
    }

    fn keeping(&self, _: &Mould, _: u32, _: Room) -> Result<Keeping, DurationError> {
        Ok(Keeping { temper_h: 0.25, table_h: self.table_h, cool_box_h: 6.0 })
    }

    fn dry(&self, _: &Drying<'_>) -> Result<FirmDry, DurationError> {
        let hours = |kitchen| if kitchen < self.slow { MONTH_H } else { self.dry_h };
        let hours = Outcomes::new((0..100).map(hours).collect());
        Ok(FirmDry { firm: hours.clone(), dry: hours })
    }

    fn course(&self, _: &Plan, _: &Process) -> Option<Curve> {
        None
    }

    fn cool(
        &self,
        _: &Ornament,
        _: ThermodynamicTemperature,
        _: Room,
    ) -> Result<f64, DurationError> {
        Ok(0.5)
    }

    fn coats(&self, finish: Finish, _: Room) -> Coats {
        let next_h = if finish == Finish::Wrap { 0.0 } else { 24.0 };
        Coats { count: 1, again_h: 0.0, next_h }
    }

    fn batches(&self, _: &Ornament, _: u32) -> u32 {
        1
    }
}

/// Reads a plan that must be sound.
pub fn plan(text: &str) -> Plan {
    planfile::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

//! The physics with some of it taking no time, to see what stands in the way.

use crate::{
    planfile::{Finish, Freezer, Mould, Ornament, Plan, Room},
    prep::{
        Durations,
        durations::{Drying, DurationError, FirmDry, Keeping, Outcomes, Process},
        schedule::{Amount, Curve},
    },
    units::ThermodynamicTemperature,
};

/// Days that a cool box keeps blocks where that is let go.
const KEPT_DAYS: f64 = 10.0;

/// What takes no time any more.
#[derive(Clone, Copy, Default)]
pub struct LetGo {
    /// Blocks freeze at once.
    pub freezing: bool,
    /// A cool box keeps them for days.
    pub cool_box: bool,
    /// Pieces are firm and dry at once.
    pub drying: bool,
    /// Coats dry at once.
    pub coats: bool,
}

/// The physics, some of it taking no time.
pub struct Quick<'a> {
    /// It.
    pub inner: &'a dyn Durations,
    /// What takes no time.
    pub let_go: LetGo,
}

impl Durations for Quick<'_> {
    fn freeze(
        &self,
        mould: &Mould,
        freezer: &Freezer,
        count: u32,
    ) -> Result<Outcomes, DurationError> {
        match self.let_go.freezing {
            true => Ok(Outcomes::exactly(0.0)),
            false => self.inner.freeze(mould, freezer, count),
        }
    }

    fn keeping(&self, mould: &Mould, room: Room) -> Result<Keeping, DurationError> {
        let keeping = self.inner.keeping(mould, room)?;
        let days = if self.let_go.cool_box { KEPT_DAYS } else { 0.0 };
        Ok(Keeping { cool_box_h: keeping.cool_box_h + 24.0 * days, ..keeping })
    }

    fn dry(&self, drying: &Drying<'_>) -> Result<FirmDry, DurationError> {
        let at_once = || Outcomes::exactly(0.0);
        match self.let_go.drying {
            true => Ok(FirmDry { firm: at_once(), dry: at_once() }),
            false => self.inner.dry(drying),
        }
    }

    fn course(&self, plan: &Plan, process: &Process) -> Option<Curve> {
        self.inner.course(plan, process)
    }

    fn cool(
        &self,
        ornament: &Ornament,
        from: ThermodynamicTemperature,
        room: Room,
    ) -> Result<f64, DurationError> {
        self.inner.cool(ornament, from, room)
    }

    fn coat(&self, finish: Finish, room: Room) -> f64 {
        if self.let_go.coats { 0.0 } else { self.inner.coat(finish, room) }
    }

    fn dough(&self, plan: &Plan, ornament: &Ornament, count: u32) -> Vec<Amount> {
        self.inner.dough(plan, ornament, count)
    }

    fn batches(&self, ornament: &Ornament, count: u32) -> u32 {
        self.inner.batches(ornament, count)
    }
}

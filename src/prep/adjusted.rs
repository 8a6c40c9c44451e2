//! The physics with some of its durations changed: to see what stands in the way of a plan, or
//! for one that has to hold in more kitchens.

use super::{
    durations::{Coats, Drying, DurationError, Durations, FirmDry, Keeping, Outcomes, Process},
    replay::Warmed,
    schedule::Curve,
};
use crate::{
    drying::recipe::Amounts,
    planfile::{Finish, Freezer, Mould, Ornament, Plan, Room},
    units::ThermodynamicTemperature,
};

/// The share of kitchens that a surer plan is made for: what is sure in the slowest fifth of
/// them, 95 in 100, holds in 99 of 100 of all.
const SLOWEST: f64 = 0.2;

/// The same where no plan, or none that is as sure, is found for so few of them: what is sure in
/// the slower half holds in 97 of 100.
const SLOWER: f64 = 0.5;

/// The same where not even that leaves a plan: all but the quickest fifth (all three chosen here, on
/// classes that were invented).
const NOT_QUICKEST: f64 = 0.8;

/// How outcomes are changed.
pub type Change = fn(Outcomes) -> Outcomes;

/// The physics, some of it changed.
pub struct Adjusted<'a> {
    /// It.
    pub inner: &'a dyn Durations,
    /// Loads that take longer than each does alone.
    pub warmed: Warmed,
    /// How blocks freeze.
    pub freezing: Change,
    /// How pieces dry; none where as they do.
    pub drying: Option<Change>,
    /// Hours that a cool box keeps blocks beyond its own.
    pub cool_box_h: f64,
    /// Whether coats dry at once.
    pub no_coats: bool,
}

impl<'a> Adjusted<'a> {
    /// Nothing changed yet.
    pub fn of(inner: &'a dyn Durations) -> Self {
        let same: Change = |own| own;
        let warmed = Warmed::default();
        Self { inner, warmed, freezing: same, drying: None, cool_box_h: 0.0, no_coats: false }
    }

    /// The same where some loads take longer than each does alone.
    pub fn with(&self, warmed: &Warmed) -> Self {
        Self { warmed: warmed.clone(), ..*self }
    }

    /// As in the slowest kitchens.
    pub fn slowest(inner: &'a dyn Durations) -> Self {
        let slowest: Change = |own| own.slowest(SLOWEST);
        Self { freezing: slowest, drying: Some(slowest), ..Self::of(inner) }
    }

    /// As in all kitchens but the quickest, for a plan with little time.
    pub fn not_quickest(inner: &'a dyn Durations) -> Self {
        let slower: Change = |own| own.slowest(NOT_QUICKEST);
        Self { freezing: slower, drying: Some(slower), ..Self::of(inner) }
    }

    /// As in the slowest kitchens: all of it, and one alone where the other has no more time; then
    /// the same of the slower half, which leaves more time.
    pub fn surer(plan: &Plan, inner: &'a dyn Durations) -> Vec<Self> {
        let slower: Change = |own| own.slowest(SLOWER);
        let half = Self { freezing: slower, drying: Some(slower), ..Self::of(inner) };
        let both = [Self::slowest(inner), half];
        if plan.ice.is_empty() || plan.ornaments.is_empty() {
            return both.into();
        }
        let each = both.into_iter().flat_map(|all| {
            let freezing = Self { freezing: all.freezing, ..Self::of(inner) };
            let drying = Self { drying: all.drying, ..Self::of(inner) };
            [all, freezing, drying]
        });
        each.collect()
    }
}

impl Durations for Adjusted<'_> {
    fn freeze(
        &self,
        mould: &Mould,
        freezer: &Freezer,
        count: u32,
    ) -> Result<Outcomes, DurationError> {
        let own = match self.warmed.get(mould, freezer, count) {
            Some(warmed) => warmed.clone(),
            None => self.inner.freeze(mould, freezer, count)?,
        };
        Ok((self.freezing)(own))
    }

    fn keeping(&self, mould: &Mould, count: u32, room: Room) -> Result<Keeping, DurationError> {
        let keeping = self.inner.keeping(mould, count, room)?;
        Ok(Keeping { cool_box_h: keeping.cool_box_h + self.cool_box_h, ..keeping })
    }

    fn dry(&self, drying: &Drying<'_>) -> Result<FirmDry, DurationError> {
        let FirmDry { firm, dry } = self.inner.dry(drying)?;
        Ok(match self.drying {
            Some(changed) => FirmDry { firm: changed(firm), dry: changed(dry) },
            None => FirmDry { firm, dry },
        })
    }

    fn dry_in_kitchens(&self, drying: &Drying<'_>) -> Result<Vec<[f64; 2]>, DurationError> {
        match self.drying {
            Some(_) => Ok(self.dry(drying)?.in_kitchens()),
            None => self.inner.dry_in_kitchens(drying),
        }
    }

    fn course(&self, plan: &Plan, process: &Process) -> Option<Curve> {
        self.inner.course(plan, process)
    }

    fn worked_out(&self) -> u64 {
        self.inner.worked_out()
    }

    fn cool(
        &self,
        ornament: &Ornament,
        from: ThermodynamicTemperature,
        room: Room,
    ) -> Result<f64, DurationError> {
        self.inner.cool(ornament, from, room)
    }

    fn coats(&self, finish: Finish, room: Room) -> Coats {
        let coats = self.inner.coats(finish, room);
        if self.no_coats { Coats { count: coats.count, ..Coats::DRY } } else { coats }
    }

    fn dough(&self, ornament: &Ornament, count: u32) -> Option<Amounts> {
        self.inner.dough(ornament, count)
    }

    fn batches(&self, ornament: &Ornament, count: u32) -> u32 {
        self.inner.batches(ornament, count)
    }
}

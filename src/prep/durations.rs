//! The one question the planner asks of the physics: how long does this take,
//! and how sure is that?

use chrono::NaiveDate;
use thiserror::Error;

use super::schedule::Curve;
use crate::answers::{
    AskError,
    dough::{Risk, WeighGrams},
};
use crate::drying::recipe::Amounts;
use crate::planfile::{Finish, Freezer, Mould, Ornament, Oven, Plan, Room};
use crate::tables;
use crate::uncertainty::{RUNS, Rest};
use crate::units::{ThermodynamicTemperature, Time, in_hours};

/// The chance at which something counts as sure.
pub const SURE: f64 = 0.95;

/// The shortest time on the rack between two stretches in the oven, in hours: from one
/// evening to the next morning (common practice, no source).
pub const REST_H: f64 = 12.0;

/// Equally likely hours that one thing may take, shortest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcomes(Vec<f64>);

impl Outcomes {
    /// From hours in any order; one that never comes is infinite. An empty
    /// list counts as never.
    pub fn new(mut hours: Vec<f64>) -> Self {
        if hours.is_empty() {
            hours.push(f64::INFINITY);
        }
        hours.sort_by(f64::total_cmp);
        Self(hours)
    }

    /// A duration that is known.
    pub fn exactly(hours: f64) -> Self {
        Self(vec![hours])
    }

    /// The hours after which a share `chance` of them is done, rounded to the
    /// next outcome above; infinite when they never are.
    pub fn point(&self, chance: f64) -> f64 {
        let rank = (chance * self.0.len() as f64).ceil() as usize;
        self.0.get(rank.saturating_sub(1)).copied().unwrap_or(f64::INFINITY)
    }

    /// The hours after which it is sure.
    pub fn sure(&self) -> f64 {
        self.point(SURE)
    }

    /// The slowest of them, as a share.
    pub fn slowest(&self, share: f64) -> Self {
        let quick = ((1.0 - share) * self.0.len() as f64) as usize;
        Self::new(self.0.get(quick..).unwrap_or_default().to_vec())
    }

    /// Those that are left where it was not over after some hours.
    pub fn given_longer_than(&self, hours: f64) -> Self {
        Self::new(match Rest::after(&self.0, hours) {
            Rest::Runs(on) => on.into_iter().map(|n| self.0[n]).collect(),
            Rest::Tail(times) => times,
        })
    }

    /// What is left of them after some hours, at least `least`.
    pub fn left_after(&self, hours: f64, least: f64) -> Self {
        Self(self.0.iter().map(|outcome| (outcome - hours).max(least)).collect())
    }

    /// The share done within `hours`.
    pub fn chance(&self, hours: f64) -> f64 {
        let done = self.0.partition_point(|outcome| *outcome <= hours);
        done as f64 / self.0.len() as f64
    }
}

/// Kitchens in which a plan is tried.
pub const KITCHENS: usize = RUNS;

impl Outcomes {
    /// One for each of the [`KITCHENS`], shortest first.
    pub fn in_kitchens(&self) -> Vec<f64> {
        let chance = |kitchen: usize| (kitchen as f64 + 0.5) / KITCHENS as f64;
        (0..KITCHENS).map(|kitchen| self.point(chance(kitchen))).collect()
    }
}

/// What goes into a freezer at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loaded<'a> {
    /// The mould.
    pub mould: &'a Mould,
    /// How many of it.
    pub count: u32,
    /// When, in hours since whenever.
    pub at_h: f64,
}

/// How long a block keeps once it is out of the freezer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Keeping {
    /// Hours on the table until its face is at 0 °C and no longer sticks.
    pub temper_h: f64,
    /// Hours on the table until it begins to soften.
    pub table_h: f64,
    /// Hours in a closed cool box until it begins to soften.
    pub cool_box_h: f64,
}

/// The coats of one finish on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coats {
    /// How many.
    pub count: u32,
    /// Hours between two of them; infinite where they do not dry.
    pub again_h: f64,
    /// Hours after the last, until the next step; infinite where it does not dry.
    pub next_h: f64,
}

impl Coats {
    /// What is done once and needs not dry.
    pub const DRY: Self = Self { count: 1, again_h: 0.0, next_h: 0.0 };

    /// Hours that all of them dry.
    pub fn all_h(&self) -> f64 {
        (1..self.count).map(|_| self.again_h).sum::<f64>() + self.next_h
    }
}

/// What is dried, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drying<'a> {
    /// The piece.
    pub ornament: &'a Ornament,
    /// How many at once.
    pub pieces: u32,
    /// The air at home.
    pub room: Room,
    /// How.
    pub heat: Heat,
}

/// Where a piece dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat {
    /// In the room, on a rack.
    Air,
    /// In an oven, then on a rack in the room.
    Oven {
        /// Its kind.
        kind: &'static tables::Oven,
        /// The setting.
        at: ThermodynamicTemperature,
        /// How long at a stretch.
        lasts: Time,
        /// How many stretches, [`REST_H`] on the rack between two of them.
        times: u32,
    },
}

impl Heat {
    /// Hours from the first of the oven to its last: stretches, and the rests between.
    pub fn until_out_h(self) -> f64 {
        match self {
            Self::Air => 0.0,
            Self::Oven { lasts, times, .. } => {
                f64::from(times) * in_hours(lasts) + f64::from(times.saturating_sub(1)) * REST_H
            }
        }
    }
}

/// What goes on during a step, as far as there is a curve of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Process {
    /// Blocks freeze.
    Freezing {
        /// In this mould.
        mould: Mould,
        /// In this freezer.
        freezer: Freezer,
        /// So many at once, with what freezes beside them.
        count: u32,
        /// So many of them were filled together.
        filled: u32,
    },
    /// Pieces dry.
    Drying {
        /// The piece.
        ornament: Box<Ornament>,
        /// How many at once.
        pieces: u32,
        /// How.
        heat: Heat,
        /// Hours since the drying began at which the step begins, and its length;
        /// all of it where there is none.
        part: Option<(f64, f64)>,
    },
}

/// When pieces are firm, and when they are dry through, in hours since they began to dry.
#[derive(Debug, Clone, PartialEq)]
pub struct FirmDry {
    /// Firm: they may be handled and painted.
    pub firm: Outcomes,
    /// Dry through: they may be sealed.
    pub dry: Outcomes,
}

impl FirmDry {
    /// Both for each of the [`KITCHENS`], shortest first: a kitchen that is slow in one is slow in
    /// the other.
    pub fn in_kitchens(&self) -> Vec<[f64; 2]> {
        let pairs = self.firm.in_kitchens().into_iter().zip(self.dry.in_kitchens());
        pairs.map(|(firm, dry)| [firm, dry]).collect()
    }
}

/// What decides whether pieces go into the oven again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Until {
    /// They go in until they are firm, and dry on the rack.
    Firm,
    /// They go in until they are dry through.
    Dry,
}

impl Until {
    /// The hours that decide it, of those until firm and until dry.
    pub fn of(self, run: &[f64; 2]) -> f64 {
        match self {
            Self::Firm => run[0],
            Self::Dry => run[1],
        }
    }
}

/// Something of the plan has no duration.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DurationError {
    /// The physics could not answer.
    #[error(transparent)]
    Physics(#[from] AskError),
    /// No class rolls so many.
    #[error("“{ornament}” is {pieces} pieces; a batch has at most {most}")]
    TooManyPieces {
        /// The ornament.
        ornament: String,
        /// Its pieces, spares included.
        pieces: u32,
        /// The limit.
        most: u32,
    },
    /// A piece does not fit the tray of its oven.
    #[error("“{ornament}” is larger than the tray")]
    LargerThanTray {
        /// The ornament.
        ornament: String,
    },
    /// A group is not there to be given its pieces.
    #[error("{group} has no class day in the week before {due}")]
    NoClassBefore {
        /// The group.
        group: String,
        /// The day of the gift.
        due: NaiveDate,
    },
}

/// How long the things of the trade take. The answers for one plan do not change
/// while it is laid out.
pub trait Durations {
    /// Hours from filling until a block is firm to turn out, with `count`
    /// moulds freezing at once.
    ///
    /// # Errors
    /// [`DurationError`] when the mould or the freezer is outside the model.
    fn freeze(
        &self,
        mould: &Mould,
        freezer: &Freezer,
        count: u32,
    ) -> Result<Outcomes, DurationError>;

    /// Hours until each load is firm that goes into one freezer, in each of the [`KITCHENS`]:
    /// there what belongs to the freezer is the same for all loads, which wait for each
    /// other where its power is short. Loads come in the order in which they go in.
    ///
    /// # Errors
    /// As [`Self::freeze`].
    fn freeze_together(
        &self,
        freezer: &Freezer,
        loads: &[Loaded<'_>],
    ) -> Result<Vec<Vec<f64>>, DurationError> {
        let alone = |load: &Loaded<'_>| self.freeze(load.mould, freezer, load.count);
        loads.iter().map(|load| Ok(alone(load)?.in_kitchens())).collect()
    }

    /// How long each of `count` blocks keeps that are in the cool box together, and on the table.
    /// More of them never keep less.
    ///
    /// # Errors
    /// [`DurationError`] when the mould is outside the model.
    fn keeping(&self, mould: &Mould, count: u32, room: Room) -> Result<Keeping, DurationError>;

    /// When a piece is firm and when it is dry.
    ///
    /// # Errors
    /// [`DurationError`] when the piece is outside the model.
    fn dry(&self, drying: &Drying<'_>) -> Result<FirmDry, DurationError>;

    /// Hours until a piece is firm and until it is dry in each of the [`KITCHENS`].
    ///
    /// # Errors
    /// As [`Self::dry`].
    fn dry_in_kitchens(&self, drying: &Drying<'_>) -> Result<Vec<[f64; 2]>, DurationError> {
        Ok(self.dry(drying)?.in_kitchens())
    }

    /// What one piece weighs wet, firm and dry; none where it cannot be told.
    fn weights(&self, _: &Drying<'_>) -> Option<WeighGrams> {
        None
    }

    /// What can go wrong in the oven, in the plan's units; nothing where it cannot be told.
    fn risks(&self, _: &Plan, _: &Drying<'_>) -> Vec<Risk> {
        Vec::new()
    }

    /// The likeliest course of what goes on during a step of the plan; none where
    /// it cannot be told.
    fn course(&self, plan: &Plan, process: &Process) -> Option<Curve>;

    /// The work done so far for answers that were not remembered, about in hours of a freezing
    /// that was followed.
    fn worked_out(&self) -> u64 {
        0
    }

    /// Hours until a baked piece and its tray are cool enough for a child.
    ///
    /// # Errors
    /// [`DurationError`] when the piece is outside the model.
    fn cool(
        &self,
        ornament: &Ornament,
        from: ThermodynamicTemperature,
        room: Room,
    ) -> Result<f64, DurationError>;

    /// How many coats of a finish a piece gets, and how long each dries.
    fn coats(&self, finish: Finish, room: Room) -> Coats;

    /// What goes into the dough for at least `count` pieces, as it is measured out; none where it
    /// cannot be told.
    fn dough(&self, _: &Ornament, _: u32) -> Option<Amounts> {
        None
    }

    /// Batches of the recipe that `count` pieces take, rounded up.
    fn batches(&self, ornament: &Ornament, count: u32) -> u32;

    /// Pieces that fit on the trays of an oven at once, a centimetre between two of them.
    fn pieces_at_once(&self, ornament: &Ornament, oven: &Oven) -> u32 {
        let gap = crate::units::millimetres(10.0);
        let pitch = ornament.across + gap;
        let fit = |side: crate::units::Length| {
            crate::units::in_fraction((side + gap) / pitch).floor().max(0.0) as u32
        };
        fit(oven.tray.0) * fit(oven.tray.1) * oven.trays
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_and_chances_agree() {
        let outcomes = Outcomes::new((1..=100).rev().map(f64::from).collect());
        assert_eq!(outcomes.point(0.95), 95.0);
        assert_eq!(outcomes.chance(95.0), 0.95);
        assert_eq!(outcomes.chance(94.999), 0.94);
        assert_eq!(outcomes.chance(0.5), 0.0);
        assert_eq!(Outcomes::new(Vec::new()).point(0.5), f64::INFINITY);
    }
}

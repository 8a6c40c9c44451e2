//! Facts of a plan that can be in the way of it.

use crate::{prep::draft::Serves, units::ThermodynamicTemperature};

/// A fact of the plan that is in the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Blame {
    /// Something else is kept.
    Kept(Serves),
    /// A freezer is too warm for a mould ever to be sure; where it is known, the warmest
    /// air that would do.
    TooWarm {
        /// The freezer, by its place in the plan.
        freezer: usize,
        /// That air.
        warmest: Option<ThermodynamicTemperature>,
    },
    /// Blocks of an ice activity freeze within so many hours, with a chance.
    Freezing {
        /// They.
        hours: f64,
        /// It.
        chance: f64,
    },
    /// There are so many of a mould.
    Moulds(usize),
    /// A freezer has only so much room.
    Room(usize),
    /// Hands are free in a place only in its hours.
    Hours(usize),
    /// She is away for a time, by its place in the plan.
    Away(usize),
    /// Ice is made only so many dates ahead.
    Ahead,
    /// A session begins when it does, counted from now.
    Begins {
        /// The ice activity.
        ice: usize,
        /// Its session.
        session: usize,
    },
    /// The cool box keeps blocks only so many hours.
    CoolBox(f64),
    /// There is one pair of hands for a place.
    OneHands(usize),
    /// Pieces of a batch dry through within so many hours, with a chance.
    Drying {
        /// They.
        hours: f64,
        /// It.
        chance: f64,
        /// Whether they are in the oven first.
        baked: bool,
    },
    /// Coats take so many hours to dry, all together.
    Coats(f64),
    /// A batch is given by its day.
    Given(usize),
    /// A group meets only on its days.
    Meets(usize),
    /// An oven takes only so many pieces at a time.
    Oven(usize),
    /// Parents are asked for the photos of a batch a week ahead.
    Photos(usize),
}

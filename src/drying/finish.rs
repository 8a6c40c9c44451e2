//! How long a wet coat of paint, glue or sealer takes on salt dough.

use crate::drying::solver::{Room, drying_limit};
use crate::tables::{Finish, Threshold};
use crate::transfer::mass_transfer::{Surroundings, WetWith, constant_rate};
use crate::units::{Time, hours, in_hours, seconds};

/// A coat until another may go on, and until the next step may follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatTime {
    /// By evaporation: the coat dissolves salt at once and dries as slowly as brine.
    /// Infinite in air as moist as brine.
    pub by_brine: Time,
    /// Until another coat of the same by common practice, doubled in a damp or cold room.
    pub again_by_practice: Time,
    /// Until another kind of step by common practice, doubled likewise.
    pub next_by_practice: Time,
}

impl CoatTime {
    /// Until another coat of the same: by brine or by practice, whichever is longer.
    pub fn until_again(&self) -> Time {
        self.by_brine.max(self.again_by_practice)
    }

    /// Until another kind of step: by brine or by practice, whichever is longer.
    pub fn until_next(&self) -> Time {
        self.by_brine.max(self.next_by_practice)
    }
}

/// Time of one coat in surroundings that are `room`'s air with the film of the piece.
pub fn coat_time(finish: &Finish, room: &Room, around: &Surroundings) -> CoatTime {
    let water = finish.wet_coat().typical.value;
    let by_brine = if room.humidity >= drying_limit(room.air) {
        seconds(f64::INFINITY)
    } else {
        seconds(water / constant_rate(around, WetWith::SaturatedBrine).flux)
    };
    let (damp, cold) = (Threshold::damp_paint(), Threshold::cold_paint());
    let slowed = [
        (room.humidity > damp.humidity(), damp.times()),
        (room.air < cold.temperature(), cold.times()),
    ];
    let times = slowed.iter().filter(|(slows, _)| *slows).map(|(_, times)| *times);
    let times = times.fold(1.0, f64::max);
    let practice = |usual: Time| hours(in_hours(usual) * times);
    CoatTime {
        by_brine,
        again_by_practice: practice(finish.recoat().typical),
        next_by_practice: practice(finish.before_next().typical),
    }
}

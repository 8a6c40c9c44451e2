//! A room in which a piece lies or hangs to dry.

use crate::drying::solver::{Room, Stage};
use crate::properties::air::DryAir;
use crate::transfer::convection::{Past, forced_si};
use crate::transfer::mass_transfer::{Radiation, Surroundings};
use crate::transfer::psychrometrics::vapour_pressure;
use crate::units::{
    HeatTransfer, Length, Pressure, Time, film, fraction, in_kelvins, in_metres, in_pascals,
};

/// Air speed over things that lie in a room, m/s. Source: ASHRAE Applications gives 0.05
/// to 0.15 for still pools indoors, from memory.
const DRAUGHT: f64 = 0.1;
/// Emissivity of dough and of kitchen walls. Source: heat-transfer textbooks, from memory.
pub(crate) const EMISSIVITY: f64 = 0.9;

/// Convective film of a piece of this size in the slow draught of a room: a plate in
/// a stream of 0.1 m/s.
///
/// ```
/// use solidby::{drying::solver::Room, surroundings::room::room_film, units::*};
///
/// let room = Room { air: celsius(20.0), humidity: percents(45.0) };
/// let film = room_film(&room, millimetres(75.0), pascals(101_325.0));
/// assert!((2.0..8.0).contains(&in_film(film)), "{} W/m²K", in_film(film));
/// ```
pub fn room_film(room: &Room, across: Length, pressure: Pressure) -> HeatTransfer {
    let air = DryAir::at_si(in_kelvins(room.air), in_pascals(pressure));
    film(forced_si(Past::Plate, in_metres(across), DRAUGHT, &air))
}

/// Drying in a room for a time; as the last stage, for as long as it takes.
pub fn in_room(room: &Room, film: HeatTransfer, pressure: Pressure, lasts: Time) -> Stage {
    Stage {
        around: Surroundings {
            air: room.air,
            vapour: vapour_pressure(room.air, room.humidity),
            pressure,
            film,
            radiation: Radiation::Grey(fraction(EMISSIVITY)),
        },
        warm_up: None,
        lasts,
        own_vapour: 0.0,
        underside: fraction(0.0),
    }
}

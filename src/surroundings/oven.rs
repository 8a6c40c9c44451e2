//! An oven: film, warm-up, and the moisture of its air from load and venting.

use crate::drying::solver::{Room, Stage};
use crate::properties::moist_air::STANDARD_ATMOSPHERE;
use crate::surroundings::room::EMISSIVITY;
use crate::transfer::mass_transfer::{Radiation, Surroundings, vapour_concentration};
use crate::transfer::psychrometrics::{humidity_ratio, vapour_pressure, vapour_pressure_of_ratio};
use crate::units::{
    Area, HeatTransfer, Pressure, Ratio, ThermodynamicTemperature, Time, film, fraction, in_film,
    in_fraction, in_kelvins, in_minutes, in_pascals, minutes, seconds,
};

/// An oven as it really is: what its dial says plus its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oven {
    /// Mean temperature of its air.
    pub air: ThermodynamicTemperature,
    /// Convective film at sea level.
    pub film: HeatTransfer,
    /// From switching on, with the pieces in it, to within 5 % of the rise.
    pub warm_up: Time,
    /// Water per kg of dry air with a full tray in it.
    pub full_tray_moisture: Ratio,
}

/// A full tray: exposed area and flux. Source: half of a 0.33 x 0.46 m tray covered, and
/// the constant-rate flux at 93 °C, 1.20 kg/m²h, computed here from the balance of heat and
/// vapour over a face wet with saturated brine, 8 W/m²K by convection and 8 by radiation.
const FULL_TRAY_AREA: f64 = 0.075;
const FULL_TRAY_FLUX: f64 = 1.20 / 3600.0;

impl Oven {
    /// Drying in the oven, pieces with this exposed area in it, fed by the room's air.
    ///
    /// The vent draws as much air as gives a full tray the stated moisture; a smaller load
    /// leaves drier air. A natural-convection film falls with the root of air density
    /// (Nu ~ Ra^(1/4), Ra ~ ρ²).
    pub fn stage(&self, room: &Room, exposed: Area, pressure: Pressure) -> Stage {
        let incoming = vapour_pressure(room.air, room.humidity);
        let thin_air = (in_pascals(pressure) / STANDARD_ATMOSPHERE).sqrt();
        Stage {
            around: Surroundings {
                air: self.air,
                // Vapour pressure is kept as the room's air is warmed.
                vapour: incoming,
                pressure,
                film: film(in_film(self.film) * thin_air),
                radiation: Radiation::Grey(fraction(EMISSIVITY)),
            },
            // 5 % of the rise is left after three time constants.
            warm_up: Some((room.air, minutes(in_minutes(self.warm_up) / 3.0))),
            lasts: seconds(0.0),
            own_vapour: exposed.value * self.stays_per_flux(incoming, pressure),
            underside: fraction(0.0),
        }
    }

    /// Vapour concentration that stays in the air per kg/s evaporated, s/m³.
    fn stays_per_flux(&self, incoming: Pressure, pressure: Pressure) -> f64 {
        let base = in_fraction(humidity_ratio(incoming, pressure));
        let full = in_fraction(self.full_tray_moisture).max(base);
        let kelvin = in_kelvins(self.air);
        let concentration = |ratio: f64| {
            vapour_concentration(
                in_pascals(vapour_pressure_of_ratio(fraction(ratio), pressure)),
                kelvin,
            )
        };
        (concentration(full) - concentration(base)) / (FULL_TRAY_AREA * FULL_TRAY_FLUX)
    }
}

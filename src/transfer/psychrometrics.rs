//! Moist air: vapour pressure, humidity ratio, and pressure with altitude.

use crate::properties::moist_air::{STANDARD_ATMOSPHERE, saturation_pressure_pa};
use crate::units::{
    Length, Pressure, Ratio, ThermodynamicTemperature, fraction, in_fraction, in_kelvins,
    in_metres, in_pascals, pascals,
};

/// Molar mass of water over that of dry air. Source: ASHRAE Fundamentals (2017) ch. 1.
const MASS_RATIO: f64 = 0.621_945;

/// Air pressure at an altitude.
///
/// p = 101 325 (1 - 2.25577e-5 Z)^5.2559, -5 to 11 km.
/// Source: ASHRAE Fundamentals (2017) ch. 1 eq. 3.
pub fn standard_pressure(altitude: Length) -> Pressure {
    let below_top = (1.0 - 2.255_77e-5 * in_metres(altitude)).max(0.0);
    pascals(STANDARD_ATMOSPHERE * below_top.powf(5.2559))
}

/// Pressure of the vapour in air of a relative humidity.
pub fn vapour_pressure(temperature: ThermodynamicTemperature, humidity: Ratio) -> Pressure {
    pascals(in_fraction(humidity) * saturation_pressure_pa(in_kelvins(temperature)))
}

/// Water per kg of dry air: W = 0.621945 p_w / (p - p_w); infinite once vapour fills the air.
pub fn humidity_ratio(vapour: Pressure, pressure: Pressure) -> Ratio {
    let (vapour, pressure) = (in_pascals(vapour), in_pascals(pressure));
    fraction(if vapour < pressure {
        MASS_RATIO * vapour / (pressure - vapour)
    } else {
        f64::INFINITY
    })
}

/// Vapour pressure of air with this much water per kg of dry air.
pub fn vapour_pressure_of_ratio(ratio: Ratio, pressure: Pressure) -> Pressure {
    let w = in_fraction(ratio);
    pascals(in_pascals(pressure) * w / (MASS_RATIO + w))
}

//! Moist air: humidity ratio, wet bulb, dew point, and pressure with altitude.

use crate::properties::bisection::turn;
use crate::properties::moist_air::{STANDARD_ATMOSPHERE, saturation_pressure_pa};
use crate::units::{
    Length, Pressure, Ratio, ThermodynamicTemperature, celsius, fraction, in_celsius, in_fraction,
    in_kelvins, in_metres, in_pascals, kelvins, pascals,
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

/// Relative humidity of air that holds vapour at a pressure.
pub fn relative_humidity(temperature: ThermodynamicTemperature, vapour: Pressure) -> Ratio {
    fraction(in_pascals(vapour) / saturation_pressure_pa(in_kelvins(temperature)))
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

/// Enthalpy of moist air, J per kg of dry air, from 0 °C: 1006 t + W (2.501e6 + 1860 t).
///
/// Source: ASHRAE Fundamentals (2017) ch. 1 eq. 30.
fn enthalpy(t: f64, w: f64) -> f64 {
    1006.0 * t + w * (2.501e6 + 1860.0 * t)
}

/// Humidity ratio from dry-bulb and wet-bulb temperature, t and t_wb above freezing.
///
/// Adiabatic saturation. Source: ASHRAE Fundamentals (2017) ch. 1 eq. 33.
pub fn ratio_from_wet_bulb(
    dry_bulb: ThermodynamicTemperature,
    wet_bulb: ThermodynamicTemperature,
    pressure: Pressure,
) -> Ratio {
    let (t, wet) = (in_celsius(dry_bulb), in_celsius(wet_bulb));
    let saturated = in_fraction(humidity_ratio(
        pascals(saturation_pressure_pa(in_kelvins(wet_bulb))),
        pressure,
    ));
    fraction(
        ((2501.0 - 2.326 * wet) * saturated - 1.006 * (t - wet))
            / (2501.0 + 1.86 * t - 4.186 * wet),
    )
}

/// Wet-bulb temperature of air, found so that [`ratio_from_wet_bulb`] gives its humidity.
///
/// ```
/// use solidby::{transfer::psychrometrics::{standard_pressure, wet_bulb}, units::*};
///
/// let pressure = standard_pressure(metres(0.0));
/// let wet = wet_bulb(celsius(20.0), percents(50.0), pressure);
/// assert!((in_celsius(wet) - 13.8).abs() < 0.1);
/// ```
pub fn wet_bulb(
    dry_bulb: ThermodynamicTemperature,
    humidity: Ratio,
    pressure: Pressure,
) -> ThermodynamicTemperature {
    let wanted = in_fraction(humidity_ratio(vapour_pressure(dry_bulb, humidity), pressure));
    let ratio = |wet: f64| in_fraction(ratio_from_wet_bulb(dry_bulb, celsius(wet), pressure));
    let dry = in_celsius(dry_bulb);
    celsius(turn(0.0_f64.min(dry), dry, 60, |wet| ratio(wet) < wanted))
}

/// The temperature at which vapour at this pressure begins to condense.
pub fn dew_point(vapour: Pressure) -> ThermodynamicTemperature {
    let wanted = in_pascals(vapour);
    kelvins(turn(233.15, 473.15, 60, |t| saturation_pressure_pa(t) < wanted))
}

/// Enthalpy of moist air per kg of dry air, from 0 °C, J/kg; see ASHRAE (2017) ch. 1 eq. 30.
pub fn moist_air_enthalpy(
    dry_bulb: ThermodynamicTemperature,
    ratio: Ratio,
) -> crate::units::AvailableEnergy {
    crate::units::joules_per_kilogram(enthalpy(in_celsius(dry_bulb), in_fraction(ratio)))
}

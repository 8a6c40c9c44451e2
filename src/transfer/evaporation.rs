//! Heat carried off by the vapour from open water or open ice, as extra kelvins on the convective film.

use crate::properties::moist_air::{heat_of_evaporation_j, saturation_pressure_pa};

/// Lewis number of water vapour in air to the power of two thirds.
/// Le = 0.86, a working value, no source; computed here, with the diffusivity of Marrero &
/// Mason (1972), it is 0.88 at 20 °C and 0.86 at 60 °C.
const LEWIS_TWO_THIRDS: f64 = 0.904;

/// Molar mass of water over that of dry air.
const MOLAR_RATIO: f64 = 0.622;

/// Heat capacity of moist air, J/kg K.
const AIR_HEAT: f64 = 1005.0;

/// Heat of sublimation of ice at 0 °C, J/kg: 2.501e6 of evaporation and 0.333e6 of melting.
/// Source: IAPWS-95 and R10-06, rounded.
const HEAT_OF_SUBLIMATION: f64 = 2.834e6;

/// Kelvins by which sublimation widens the difference that drives the convective film of
/// open ice, 0 °C and below; negative when vapour settles on it as frost.
///
/// ΔT = (L_sub/c_p)(0.622/p)(p_ice(T_s) − p_v)/Le^(2/3)
///
/// Ice at 0 °C has the vapour pressure of water at 0 °C: a skin of ice does not stop the
/// loss from an open top.
///
/// Source: as `evaporative_k`, with the vapour pressure over ice.
pub(crate) fn sublimation_k(excess: f64, pressure: f64) -> f64 {
    HEAT_OF_SUBLIMATION / AIR_HEAT * MOLAR_RATIO / pressure * excess / LEWIS_TWO_THIRDS
}

/// Pressure of water vapour over ice, Pa from °C, −50 to 0 °C, 0.5 %.
///
/// p = 611.2 exp(22.46 t/(272.62 + t)) Pa, t in °C.
///
/// Source: Magnus form of Sonntag (1990), as WMO-No. 8 annex 4.B (from memory).
pub(crate) fn over_ice_pa(celsius: f64) -> f64 {
    611.2 * (22.46 * celsius / (272.62 + celsius)).exp()
}

/// Kelvins by which evaporation widens the difference that drives the convective film of open
/// water, from °C and Pa; negative when vapour condenses on it.
///
/// ΔT = (h_fg/c_p)(0.622/p)(p_s − p_v)/Le^(2/3)
///
/// Source: Chilton & Colburn's analogy of heat and mass transfer.
pub(crate) fn evaporative_k(surface: f64, vapour: f64, pressure: f64) -> f64 {
    let wet = saturation_pressure_pa(surface.max(0.0) + 273.15);
    let heat = heat_of_evaporation_j(surface.max(0.0));
    heat / AIR_HEAT * MOLAR_RATIO / pressure * (wet - vapour) / LEWIS_TWO_THIRDS
}

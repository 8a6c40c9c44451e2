//! Liquid water at atmospheric pressure: density, heat capacity, conductivity, enthalpy.

use crate::units::{MassDensity, ThermodynamicTemperature, in_celsius, kilograms_per_cubic_metre};

/// Heat capacity as a polynomial in °C, J/kg K, 0 to 80 °C: a fit, within 1 J/kg K, of
/// IAPWS-95 values (computed here through CoolProp; 60 and 80 °C from memory).
const SPECIFIC_HEAT: [f64; 5] = [4219.2, -3.2165, 0.093414, -0.0011627, 5.6774e-06];

/// Density of air-free water, 0 to 40 °C (1e-6) and to 1e-3 at 80 °C.
///
/// Source: Tanaka et al. (2001), Metrologia 38, 301, eq. 1 (coefficients from memory).
pub fn density(temperature: ThermodynamicTemperature) -> MassDensity {
    kilograms_per_cubic_metre(density_si(in_celsius(temperature)))
}

/// As [`density`], kg/m³ from °C.
pub(crate) fn density_si(celsius: f64) -> f64 {
    let fall = (celsius - 3.983_035).powi(2) * (celsius + 301.797);
    999.974_95 * (1.0 - fall / (522_528.9 * (celsius + 69.348_81)))
}

/// Heat given off in cooling to 0 °C, J/kg from °C, to 80 °C; below 0 °C, to the eutectic of brine,
/// the fit is carried on for what stays liquid (4219 to 4340 J/kg K, as supercooled water).
pub(crate) fn enthalpy_si(celsius: f64) -> f64 {
    let terms = SPECIFIC_HEAT.iter().enumerate().rev();
    terms.fold(0.0, |sum, (power, c)| (sum + c / (power + 1) as f64) * celsius)
}

/// Thermal conductivity, W/m K from kelvins, 0 to 110 °C, 1.5 %.
///
/// λ = 1.6630 T*^−1.15 − 1.7781 T*^−3.4 + 1.1567 T*^−6 − 0.432115 T*^−7.6 W/m K, T* = T/300 K.
///
/// Source: IAPWS R15-11 (2011), eq. for 0.1 MPa (coefficients from memory).
pub(crate) fn conductivity_si(kelvin: f64) -> f64 {
    let reduced = kelvin / 300.0;
    1.6630 * reduced.powf(-1.15) - 1.7781 * reduced.powf(-3.4) + 1.1567 * reduced.powi(-6)
        - 0.432_115 * reduced.powf(-7.6)
}

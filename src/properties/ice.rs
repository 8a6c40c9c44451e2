//! Ice Ih at atmospheric pressure: density, heat capacity, conductivity, latent heat.

/// Latent heat of fusion at 0 °C and 1 atm, J/kg.
/// Source: Feistel & Wagner (2006), J. Phys. Chem. Ref. Data 35, 1021; IAPWS R10-06.
pub const LATENT_HEAT: f64 = 333_426.5;

/// Density of ice at 0 °C, kg/m³. Source: IAPWS R10-06.
pub const DENSITY_AT_FREEZING: f64 = 916.722;

/// Volume of ice over that of the water it came from, both at 0 °C.
/// Source: IAPWS R10-06 and IAPWS-95.
pub const EXPANSION: f64 = 1.090_67;

/// Heat capacity c₀ + c₁ T, J/kg K with T in °C, −40 to 0 °C, within 3 J/kg K.
/// Source: fit of IAPWS R10-06, computed here with the package `iapws`.
pub(crate) const SPECIFIC_HEAT: [f64; 2] = [2096.7, 7.36];

/// Enthalpy above ice at 0 °C (negative below), J/kg from °C, −40 to 0 °C.
pub(crate) fn enthalpy_si(celsius: f64) -> f64 {
    (SPECIFIC_HEAT[0] + 0.5 * SPECIFIC_HEAT[1] * celsius) * celsius
}

/// Thermal conductivity, 1.16 (1.91 − 8.66e-3 T + 2.97e-5 T²) W/m K, T in °C; ±3 %.
///
/// Source: Yen et al. (1991), as a book chapter on sea ice prints it (eq. 2.21).
pub(crate) fn conductivity_si(celsius: f64) -> f64 {
    1.16 * (1.91 - 8.66e-3 * celsius + 2.97e-5 * celsius * celsius)
}

//! Water vapour: saturation pressure, heat of evaporation, diffusion in air.

use crate::units::{Pressure, ThermodynamicTemperature, in_kelvins, pascals};

/// Molar mass of water, kg/mol. Source: IAPWS R7-97.
pub(crate) const WATER_MOLAR_MASS: f64 = 0.018_015_268;
/// Molar gas constant, J/mol K. Source: CODATA 2018, rounded.
pub(crate) const GAS_CONSTANT: f64 = 8.314_463;
/// The standard atmosphere, Pa. Source: NIST SP 811.
pub(crate) const STANDARD_ATMOSPHERE: f64 = 101_325.0;

/// Pressure of water vapour over liquid water at rest.
///
/// ```
/// use solidby::{properties::moist_air::saturation_pressure, units::{celsius, in_pascals}};
///
/// let boiling = saturation_pressure(celsius(100.0));
/// assert!((in_pascals(boiling) - 101_419.0).abs() < 60.0);
/// ```
///
/// Valid 0 to 200 °C, within 0.03 % of the published table.
/// Source: Hyland & Wexler (1983), as ASHRAE Fundamentals (2017) ch. 1 eq. 6, coefficients from memory.
pub fn saturation_pressure(temperature: ThermodynamicTemperature) -> Pressure {
    pascals(saturation_pressure_pa(in_kelvins(temperature)))
}

/// [`saturation_pressure`] on plain numbers, K to Pa.
pub(crate) fn saturation_pressure_pa(t: f64) -> f64 {
    (-5.800_220_6e3 / t + 1.391_499_3 - 4.864_023_9e-2 * t + 4.176_476_8e-5 * t * t
        - 1.445_209_3e-8 * t * t * t
        + 6.545_967_3 * t.ln())
    .exp()
}

/// Heat taken by a kilogram of water as it evaporates, °C to J/kg.
///
/// Cubic through eight tabulated values from 0 to 120 °C, within 0.1 kJ/kg of each.
/// Source of the values: computed here, IAPWS-95 through CoolProp.
pub(crate) fn heat_of_evaporation_j(t: f64) -> f64 {
    2.500_918_2e6 + t * (-2.378_407e3 + t * (0.626_946 - t * 1.296_162e-2))
}

/// How fast water vapour diffuses in still air, at K and Pa, m²/s.
///
/// D = 1.87e-10 T^2.072 / p (atm), 282 to 450 K.
/// Source: Marrero & Mason (1972), J. Phys. Chem. Ref. Data 1:3, from memory.
pub(crate) fn vapour_diffusivity_si(t: f64, pressure: f64) -> f64 {
    1.87e-10 * t.powf(2.072) * STANDARD_ATMOSPHERE / pressure
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn heat_of_evaporation_of_the_tables() {
        // Computed with IAPWS-95 through CoolProp, kJ/kg, to 0.1.
        for (t, wanted) in [
            (0.0, 2500.9),
            (20.0, 2453.5),
            (25.0, 2441.7),
            (50.0, 2381.9),
            (80.0, 2308.0),
            (100.0, 2256.4),
            (108.7, 2233.2),
            (120.0, 2202.1),
        ] {
            assert_relative_eq!(heat_of_evaporation_j(t), wanted * 1e3, epsilon = 100.0);
        }
    }

    #[test]
    fn vapour_diffuses_as_printed() {
        // The formula evaluated apart from this code: 20, 60, 100 °C, m²/s, to three figures.
        for (t, wanted) in [(293.15, 2.42e-5), (333.15, 3.15e-5), (373.15, 3.99e-5)] {
            let found = vapour_diffusivity_si(t, STANDARD_ATMOSPHERE);
            assert_relative_eq!(found, wanted, max_relative = 0.005);
        }
    }
}

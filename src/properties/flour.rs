//! Flour: how much water it holds at a water activity, and how tightly.

use crate::properties::moist_air::{GAS_CONSTANT, WATER_MOLAR_MASS};
use crate::units::{
    AvailableEnergy, Ratio, ThermodynamicTemperature, fraction, in_celsius, in_fraction,
    joules_per_kilogram, kelvins,
};

/// Density of bone-dry flour, kg/m³. A working value, no source.
pub(crate) const FLOUR_DENSITY: f64 = 1480.0;
/// Water in flour as bought, share of its mass (usual 0.12 to 0.14).
/// Source: handbook value from memory.
pub(crate) const FLOUR_MOISTURE: f64 = 0.13;

/// Oswin's k and n at 0 °C and their slopes with °C: a fit to the semolina data of a thesis,
/// transcribed from the public code of A. Griessman (2013-2016). The thesis was not opened.
const K: (f64, f64) = (0.1571, -0.0012);
const N: (f64, f64) = (0.2076, 0.0043);

/// The Oswin isotherm at one temperature: X = k (a/(1-a))^n.
///
/// Semolina (k = 0.1571 - 0.0012 t, n = 0.2076 + 0.0043 t, t in °C; source above), held at
/// its ends outside 5 to 95 °C.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Oswin {
    pub(crate) k: f64,
    pub(crate) n: f64,
}

impl Oswin {
    /// The isotherm at `t` °C.
    pub(crate) fn at(t: f64) -> Self {
        let held = t.clamp(5.0, 95.0);
        Self { k: K.0 + K.1 * held, n: N.0 + N.1 * held }
    }

    /// Water held, kg/kg dry flour, at y = ln(a/(1-a)).
    pub(crate) fn held_at_logit(&self, y: f64) -> f64 {
        self.k * (self.n * y).exp()
    }

    /// Water held, kg/kg dry flour, at a water activity.
    pub(crate) fn held(&self, activity: f64) -> f64 {
        self.held_at_logit((activity / (1.0 - activity)).ln())
    }

    /// Water activity of flour that holds `x` kg/kg.
    pub(crate) fn activity(&self, x: f64) -> f64 {
        1.0 / (1.0 + (self.k / x).powf(1.0 / self.n))
    }
}

/// Heat needed beyond that of evaporation, J/kg water, by moisture, kg/kg dry.
///
/// R T² ∂ln a/∂T at constant X over the molar mass (Clausius-Clapeyron), of the Oswin
/// set at 40 °C; computed here. Held below X = 0.035, where the last
/// 2 % of the water is. Taken at one temperature, for the isotherm is held above 95 °C
/// and its slope there jumps to zero.
pub(crate) fn heat_of_sorption_j(x: f64) -> f64 {
    const KELVIN: f64 = 313.15;
    const DRIEST: f64 = 0.035;
    let oswin = Oswin::at(KELVIN - 273.15);
    let y = (x.max(DRIEST) / oswin.k).ln() / oswin.n;
    let dry = 1.0 / (1.0 + y.exp());
    let slope = -K.1 / (oswin.k * oswin.n) - y * N.1 / oswin.n;
    (GAS_CONSTANT * KELVIN * KELVIN * dry * slope / WATER_MOLAR_MASS).max(0.0)
}

/// Water that flour holds in balance with a water activity, kg/kg dry.
///
/// Mean error 4.4 % against the group means of semolina sheets over saturated salts (see
/// tests/data/README.md), 42 to 63 °C. Source: Oswin's form, fitted to the semolina data of a
/// thesis, transcribed from the public code of A. Griessman (2013-2016).
pub fn flour_moisture(activity: Ratio, temperature: ThermodynamicTemperature) -> Ratio {
    fraction(Oswin::at(in_celsius(temperature)).held(in_fraction(activity)))
}

/// Water activity of flour that holds `moisture` kg/kg dry.
pub fn flour_activity(moisture: Ratio, temperature: ThermodynamicTemperature) -> Ratio {
    fraction(Oswin::at(in_celsius(temperature)).activity(in_fraction(moisture)))
}

/// Heat of sorption beyond that of evaporation, per kg of water leaving flour, at 40 °C;
/// computed here from the slope of the isotherm (Clausius-Clapeyron).
pub fn heat_of_sorption(moisture: Ratio) -> AvailableEnergy {
    joules_per_kilogram(heat_of_sorption_j(in_fraction(moisture)))
}

/// The temperature below which flour with this much water is glassy, and so hard.
///
/// Gordon-Taylor for durum semolina; source: Cuq & Icard-Vernière (2001), through
/// Handbook of Food Engineering 2nd ed., transcribed from a public code base.
pub fn glass_transition(moisture: Ratio) -> ThermodynamicTemperature {
    const DRY: f64 = 435.0;
    const WATER: f64 = 138.0;
    const WEIGHT: f64 = 3.4;
    let x = in_fraction(moisture);
    let water = x / (1.0 + x);
    let flour = 1.0 - water;
    kelvins((flour * DRY + WEIGHT * water * WATER) / (flour + WEIGHT * water))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn sorption_heat_of_the_isotherm() {
        // Computed apart from this code: the Oswin set at 40 °C, kJ/mol, to 2 figures.
        for (x, wanted) in [(0.05, 38.0), (0.10, 14.3), (0.15, 4.8), (0.20, 1.5)] {
            let found = heat_of_sorption(fraction(x)).value * WATER_MOLAR_MASS / 1e3;
            assert_relative_eq!(found, wanted, epsilon = 0.06, max_relative = 0.03);
        }
    }

    #[test]
    fn glass_transition_of_semolina() {
        // The formula evaluated apart from this code, to 0.1 °C.
        for (x, wanted) in
            [(0.05, 118.7), (0.10, 86.5), (0.15, 61.5), (0.20, 41.6), (0.25, 25.4), (0.30, 11.9)]
        {
            assert_relative_eq!(in_celsius(glass_transition(fraction(x))), wanted, epsilon = 0.06);
        }
    }
}

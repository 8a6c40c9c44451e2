//! Dry air: density, conductivity, viscosity, heat capacity with temperature and pressure.

use std::sync::LazyLock;

/// Molar gas constant over the molar mass of dry air, J/kg K.
/// Source: CODATA 2018 R = 8.314462618 J/mol K; M = 28.9586 g/mol, Lemmon & Jacobsen 2004.
const GAS_CONSTANT: f64 = 8.314_462_618 / 0.028_958_6;

/// The transport state of dry air at one temperature and pressure, in plain SI
/// for use inside film-coefficient kernels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryAir {
    /// Absolute temperature, K.
    pub temperature: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Heat capacity at constant pressure, J/kg K.
    pub specific_heat: f64,
    /// Thermal conductivity, W/m K.
    pub conductivity: f64,
    /// Kinematic viscosity, m²/s.
    pub kinematic_viscosity: f64,
}

impl DryAir {
    /// Dry air at K and Pa: an ideal gas with dilute-gas transport coefficients.
    ///
    /// η₀ = 0.0266958 √(M T)/(σ² Ω(T*)), λ₀ = 1.308 η₀ + 1.405 τ^−1.1 − 1.036 τ^−0.3,
    /// τ = 132.6312 K / T; μPa s and mW/m K.
    ///
    /// # Valid for
    /// −60 to 260 °C near atmospheric pressure.
    ///
    /// # Source
    /// Lemmon & Jacobsen (2004), Int. J. Thermophys. 25, 21, eqs 2 to 5
    /// (coefficients from memory; checked in `transfer/tests/films.rs` against a reference
    /// equation of state to 0.2 %). cp fitted to 1006, 1007, 1011, 1025 J/kg K at
    /// 0, 50, 100, 200 °C (from memory).
    pub(crate) fn at_si(kelvin: f64, pascal: f64) -> Self {
        let celsius = kelvin - 273.15;
        let specific_heat = 1005.7 + 4.8e-4 * celsius * celsius;
        let density = pascal / (GAS_CONSTANT * kelvin);
        let [viscosity, conductivity] = transport(kelvin);
        Self {
            temperature: kelvin,
            density,
            specific_heat,
            conductivity: conductivity * 1e-3,
            kinematic_viscosity: viscosity * 1e-6 / density,
        }
    }

    /// Thermal diffusivity k/(ρ cp), m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity / (self.density * self.specific_heat)
    }

    /// Prandtl number ν/α.
    pub fn prandtl(&self) -> f64 {
        self.kinematic_viscosity / self.diffusivity()
    }

    /// Volumetric expansion of an ideal gas, 1/K.
    pub fn expansion(&self) -> f64 {
        1.0 / self.temperature
    }
}

/// Where the table of [`transport`] begins and ends, K.
const TABLE: [usize; 2] = [200, 560];

/// Viscosity, μPa s, and conductivity, mW/m K, at zero density: read from a table of one row a
/// kelvin, since films are renewed a million times in a plan.
fn transport(kelvin: f64) -> [f64; 2] {
    static ROWS: LazyLock<Vec<[f64; 2]>> =
        LazyLock::new(|| (TABLE[0]..=TABLE[1]).map(|kelvin| dilute(kelvin as f64)).collect());
    let above = kelvin - TABLE[0] as f64;
    let row = above.max(0.0) as usize;
    let (Some(low), Some(high), true) = (ROWS.get(row), ROWS.get(row + 1), above >= 0.0) else {
        return dilute(kelvin);
    };
    let share = above - row as f64;
    [0, 1].map(|of| low[of] + share * (high[of] - low[of]))
}

/// The same from the equations.
fn dilute(kelvin: f64) -> [f64; 2] {
    let viscosity = dilute_viscosity(kelvin);
    let tau = 132.6312 / kelvin;
    [viscosity, 1.308 * viscosity + 1.405 * tau.powf(-1.1) - 1.036 * tau.powf(-0.3)]
}

/// Viscosity of air at zero density, μPa s.
fn dilute_viscosity(kelvin: f64) -> f64 {
    let reduced = (kelvin / 103.3).ln();
    let collision = [0.431, -0.4623, 0.08406, 0.005341, -0.00331]
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * reduced + coefficient);
    0.026_695_8 * (28.9586 * kelvin).sqrt() / (0.360 * 0.360 * collision.exp())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_table_is_as_the_equations_within_it_and_beyond_its_ends() {
        for tenths in 1700..6200 {
            let kelvin = 0.1 * f64::from(tenths) + 0.05;
            for (read, computed) in transport(kelvin).into_iter().zip(dilute(kelvin)) {
                assert_relative_eq!(read, computed, max_relative = 3e-6);
            }
        }
    }
}

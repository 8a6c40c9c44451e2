//! Convective film coefficients of plates and spheres in air, natural and forced.
//!
//! Each `*_nusselt` function is the published correlation; `natural_si` and
//! `forced_si` turn it into W/m²K for air at the film temperature.

use std::sync::LazyLock;

use crate::properties::air::DryAir;

/// Standard gravity, m/s².
const GRAVITY: f64 = 9.806_65;

/// How a surface stands in still air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Facing {
    /// A vertical plate; the length is its height.
    Vertical,
    /// A horizontal plate with the unstable side out: warm looking up or cold
    /// looking down; the length is area over perimeter.
    Unstable,
    /// A horizontal plate with the stable side out: warm looking down or cold
    /// looking up; the length is area over perimeter.
    Stable,
    /// A sphere; the length is its diameter.
    Sphere,
}

/// What a stream of air flows past.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Past {
    /// Along a plate; the length is that of the plate in the flow.
    Plate,
    /// Round a sphere; the length is its diameter.
    Sphere,
}

/// Rayleigh number g β |ΔT| L³/(ν α) at the film temperature.
pub(crate) fn rayleigh(air: &DryAir, difference_k: f64, length_m: f64) -> f64 {
    GRAVITY * air.expansion() * difference_k.abs() * length_m.powi(3)
        / (air.kinematic_viscosity * air.diffusivity())
}

/// [1 + (c/Pr)^(9/16)], the Prandtl-number function of Churchill's correlations.
fn churchill(constant: f64, prandtl: f64) -> f64 {
    1.0 + (constant / prandtl).powf(9.0 / 16.0)
}

/// What the correlations take of the Prandtl number.
#[derive(Debug, Clone, Copy)]
struct OfPrandtl {
    /// Divisor of a vertical plate, laminar.
    vertical: f64,
    /// Divisor of a sphere.
    sphere: f64,
    /// Cube root.
    root: f64,
}

/// Where the table of [`OfPrandtl::read`] begins, how far its rows are apart, and how many it has:
/// all air that [`DryAir`] is good for lies within it.
const TABLE: (f64, f64, usize) = (0.6, 0.001, 201);

impl OfPrandtl {
    /// From the equations.
    fn computed(prandtl: f64) -> Self {
        Self {
            vertical: churchill(0.492, prandtl).powf(4.0 / 9.0),
            sphere: churchill(0.469, prandtl).powf(4.0 / 9.0),
            root: prandtl.cbrt(),
        }
    }

    /// The same read from a table: films are renewed a million times in a plan, and powers took a
    /// twelfth of it in a browser.
    fn read(prandtl: f64) -> Self {
        static ROWS: LazyLock<Vec<OfPrandtl>> = LazyLock::new(|| {
            let (least, apart, rows) = TABLE;
            (0..rows).map(|row| OfPrandtl::computed(least + apart * row as f64)).collect()
        });
        let place = (prandtl - TABLE.0) / TABLE.1;
        let row = place.max(0.0) as usize;
        let (Some(low), Some(high), true) = (ROWS.get(row), ROWS.get(row + 1), place >= 0.0) else {
            return Self::computed(prandtl);
        };
        let share = place - row as f64;
        let between = |of: fn(&Self) -> f64| of(low) + share * (of(high) - of(low));
        Self {
            vertical: between(|row| row.vertical),
            sphere: between(|row| row.sphere),
            root: between(|row| row.root),
        }
    }
}

/// Mean Nusselt number of a vertical plate, laminar, Ra ≤ 1e9.
/// Source: Churchill & Chu (1975), Int. J. Heat Mass Transfer 18, 1323.
pub(crate) fn vertical_laminar_nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    0.68 + 0.670 * rayleigh.sqrt().sqrt() / OfPrandtl::read(prandtl).vertical
}

/// Mean Nusselt number of a vertical plate, all Ra.
/// Source: Churchill & Chu (1975), Int. J. Heat Mass Transfer 18, 1323.
pub(crate) fn vertical_nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    let root =
        0.825 + 0.387 * rayleigh.powf(1.0 / 6.0) / churchill(0.492, prandtl).powf(8.0 / 27.0);
    root * root
}

/// Mean Nusselt number of a sphere, Ra ≤ 1e11.
/// Source: Churchill (1983), Heat Exchanger Design Handbook 2.5.7.
pub(crate) fn sphere_nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    2.0 + 0.589 * rayleigh.sqrt().sqrt() / OfPrandtl::read(prandtl).sphere
}

/// Mean Nusselt number of a horizontal plate, warm side up or cold side down;
/// the length is area over perimeter. Below its range (Ra < 1e4) the first
/// branch is kept: ±20 % there.
/// Source: McAdams (1954), Heat Transmission, 3rd ed., ch. 7.
pub(crate) fn unstable_plate_nusselt(rayleigh: f64) -> f64 {
    if rayleigh < 1e7 { 0.54 * rayleigh.sqrt().sqrt() } else { 0.15 * rayleigh.cbrt() }
}

/// Mean Nusselt number of a horizontal plate, warm side down or cold side up;
/// the length is area over perimeter.
/// Source: McAdams (1954), Heat Transmission, 3rd ed., ch. 7.
pub(crate) fn stable_plate_nusselt(rayleigh: f64) -> f64 {
    0.27 * rayleigh.sqrt().sqrt()
}

/// Mean Nusselt number of laminar flow along a plate.
/// Source: Pohlhausen's solution, as in Incropera & DeWitt eq. 7.30.
pub(crate) fn plate_nusselt(reynolds: f64, prandtl: f64) -> f64 {
    0.664 * reynolds.sqrt() * OfPrandtl::read(prandtl).root
}

/// Mean Nusselt number of a sphere in a stream.
/// Source: Ranz & Marshall (1952), Chem. Eng. Prog. 48, 141.
pub(crate) fn stream_sphere_nusselt(reynolds: f64, prandtl: f64) -> f64 {
    2.0 + 0.6 * reynolds.sqrt() * OfPrandtl::read(prandtl).root
}

/// Natural-convection film coefficient of a surface in still air, W/m²K, from metres, kelvins of
/// difference and the air at the mean of surface and air temperature.
pub(crate) fn natural_si(facing: Facing, length: f64, difference: f64, air: &DryAir) -> f64 {
    let ra = rayleigh(air, difference, length);
    let pr = air.prandtl();
    let nusselt = match facing {
        Facing::Vertical if ra <= 1e9 => vertical_laminar_nusselt(ra, pr),
        Facing::Vertical => vertical_nusselt(ra, pr),
        Facing::Unstable => unstable_plate_nusselt(ra),
        Facing::Stable => stable_plate_nusselt(ra),
        Facing::Sphere => sphere_nusselt(ra, pr),
    };
    nusselt * air.conductivity / length
}

/// Forced-convection film coefficient of a surface in a stream of air, W/m²K, from metres, m/s
/// and the air at the mean of surface and air temperature.
pub(crate) fn forced_si(past: Past, length: f64, speed: f64, air: &DryAir) -> f64 {
    let re = speed * length / air.kinematic_viscosity;
    let pr = air.prandtl();
    let nusselt = match past {
        Past::Plate => plate_nusselt(re, pr),
        Past::Sphere => stream_sphere_nusselt(re, pr),
    };
    nusselt * air.conductivity / length
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn air_lies_within_the_table() {
        let ends = [TABLE.0, TABLE.0 + TABLE.1 * (TABLE.2 - 1) as f64];
        for celsius in -60..=260 {
            let prandtl = DryAir::at_si(f64::from(celsius) + 273.15, 101_325.0).prandtl();
            assert!(ends[0] < prandtl && prandtl < ends[1], "{celsius} °C: {prandtl}");
        }
    }

    #[test]
    fn the_table_is_as_the_equations_within_it_and_beyond_its_ends() {
        for hundredths in 5000..9000 {
            let prandtl = 1e-4 * f64::from(hundredths) + 5e-5;
            let (read, computed) = (OfPrandtl::read(prandtl), OfPrandtl::computed(prandtl));
            assert_relative_eq!(read.vertical, computed.vertical, max_relative = 1e-6);
            assert_relative_eq!(read.sphere, computed.sphere, max_relative = 1e-6);
            assert_relative_eq!(read.root, computed.root, max_relative = 1e-6);
        }
    }
}

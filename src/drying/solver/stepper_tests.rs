//! The solver on closed forms: Crank's slab with a film, textbook wood and tray.

use super::super::face::{Face, Response, Sorption, Vapour};
use super::super::state::{Law, Wetting};
use super::*;
use crate::properties::moist_air::STANDARD_ATMOSPHERE;
use approx::assert_relative_eq;

const DONE: Until = Until::Done(LONGEST);

/// Firm on average and dry everywhere at these moistures.
fn goal(firm: f64, dry: f64) -> Goal {
    Goal { firm, dry }
}

/// A film on a linear isotherm: q = k u at the face, as in Crank's eq. 4.53.
struct LinearFilm(f64);

impl Sorption for LinearFilm {
    type Warm = ();

    fn warm(&self, _: f64) {}

    fn face(&self, (): &(), response: Response, _: Vapour) -> Face {
        let flux = self.0 * response.at_rest / (1.0 + self.0 * response.per_flux);
        let moisture = response.at_rest - response.per_flux * flux;
        Face { flux, moisture, slope: 0.0 }
    }

    fn brine_exhausted_at(&self, _: f64) -> f64 {
        0.0
    }

    fn crystals_dissolved_at(&self, _: f64) -> f64 {
        1.0
    }
}

fn slab<S>(material: S, length: f64, density: f64, moisture: f64, d: f64) -> Slab<S> {
    Slab {
        material,
        solids_density: density,
        solids_heat: 1000.0,
        moisture,
        kelvin: 293.15,
        length,
        exposure: 1.0,
        law: Law::Constant(d),
        turn_at: None,
        coats: Vec::new(),
        cells: 40,
    }
}

/// The huge film holds the temperature, which these faces do not see.
const STEADY: Air = Air {
    first: 293.15,
    set: 293.15,
    warm_up: 0.0,
    vapour: 0.0,
    own: 0.0,
    pressure: STANDARD_ATMOSPHERE,
    film: 1e9,
    radiative_film: 0.0,
    emissivity: 0.0,
    underside: 0.0,
    lasts: 0.0,
};

fn remaining(bi: f64, fo: f64) -> f64 {
    let (length, d, density) = (0.003, 1e-9, 900.0);
    let slab = slab(LinearFilm(bi * d * density / length), length, density, 1.0, d);
    let end = Until::Time(fo * length * length / d);
    run(&slab, &[STEADY], goal(0.0, 0.0), end, false).last.mean
}

#[test]
fn wood_of_a_textbook() {
    // Geankoplis, Transport Processes 3rd ed., example 9.9-1: slab of 25.4 mm, both
    // faces, D 2.97e-6 m²/h, free moisture 0.25 to 0.05: 30.8 h.
    let (length, d) = (0.0127, 2.97e-6 / 3600.0);
    let slab = slab(LinearFilm(1.0), length, 500.0, 0.25, d);
    let run = run(&slab, &[STEADY], goal(0.05, 0.05), DONE, false);
    assert_relative_eq!(run.firm.unwrap() / 3600.0, 30.8, max_relative = 2e-3);
}

/// A face that gives off water at a constant rate.
struct ConstantFlux(f64);

impl Sorption for ConstantFlux {
    type Warm = ();

    fn warm(&self, _: f64) {}

    fn face(&self, (): &(), response: Response, _: Vapour) -> Face {
        let moisture = response.at_rest - response.per_flux * self.0;
        Face { flux: self.0, moisture, slope: 0.0 }
    }

    fn brine_exhausted_at(&self, _: f64) -> f64 {
        0.0
    }

    fn crystals_dissolved_at(&self, _: f64) -> f64 {
        1.0
    }
}

#[test]
fn tray_at_constant_rate() {
    // Geankoplis, example 9.6-2: 21.5 kg/m², 1.51 kg/m²h, moisture 0.38 to 0.25: 1.85 h.
    let slab = slab(ConstantFlux(1.51 / 3600.0), 0.02, 21.5 / 0.02, 0.38, 1e-5);
    let run = run(&slab, &[STEADY], goal(0.25, 0.25), DONE, false);
    assert_relative_eq!(run.firm.unwrap() / 3600.0, 1.851, max_relative = 1e-3);
}

#[test]
fn slab_with_surface_resistance() {
    // Crank (1975), The Mathematics of Diffusion, eq. 4.53 (from memory), evaluated apart from
    // this code; 1e-3 with 40 cells, set beforehand.
    const FO: [f64; 6] = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0];
    for (bi, row) in [
        (0.1, [0.99023, 0.97591, 0.95257, 0.90759, 0.82389, 0.61632]),
        (0.5, [0.95538, 0.89513, 0.80433, 0.64976, 0.42405, 0.11787]),
        (1.0, [0.91960, 0.82017, 0.68110, 0.47040, 0.22439, 0.02436]),
        (2.0, [0.86637, 0.72217, 0.53962, 0.30216, 0.09476, 0.00292]),
        (5.0, [0.78142, 0.59413, 0.38517, 0.16248, 0.02892, 0.00016]),
        (10.0, [0.72612, 0.52561, 0.31502, 0.11350, 0.01473, 0.00003]),
        (50.0, [0.66246, 0.45699, 0.25234, 0.07709, 0.00719, 0.00001]),
    ] {
        for (fo, wanted) in FO.into_iter().zip(row) {
            let found = remaining(bi, fo);
            assert_relative_eq!(found, wanted, epsilon = 1e-3);
        }
    }
}

#[test]
fn two_open_faces_are_two_halves() {
    // Nothing crosses the middle of a slab whose faces are alike: it dries as one of half
    // the thickness. Grids of 40 cells over 6 mm and over 3 mm differ by less than 1e-3.
    let both = Air { underside: 1.0, ..STEADY };
    for bi in [0.5, 5.0] {
        let (half, d, density) = (0.003, 1e-9, 900.0);
        let film = || LinearFilm(bi * d * density / half);
        let goal = goal(0.4, 0.2);
        let hours = |length, air| {
            let run = run(&slab(film(), length, density, 1.0, d), &[air], goal, DONE, false);
            assert_relative_eq!(run.evaporated, run.lost, max_relative = 1e-9);
            [run.firm.unwrap() / 3600.0, run.dry.unwrap() / 3600.0]
        };
        let (whole, halved) = (hours(2.0 * half, both), hours(half, STEADY));
        for (whole, half) in whole.into_iter().zip(halved) {
            assert_relative_eq!(whole, half, max_relative = 2e-3);
        }
    }
}

#[test]
fn a_coat_puts_its_water_back_into_the_face() {
    // A slab that gives nothing off: 0.05 kg/m² on 3 mm of 500 kg/m³ are 0.0333 of its solids.
    let mut slab = slab(ConstantFlux(0.0), 0.003, 500.0, 0.2, 1e-9);
    slab.coats = vec![Wetting { at: 3600.0, water: 0.05 }];
    let before = run(&slab, &[STEADY], goal(0.0, 0.0), Until::Time(3599.0), false);
    assert_relative_eq!(before.last.mean, 0.2, max_relative = 1e-12);
    let soon = run(&slab, &[STEADY], goal(0.0, 0.0), Until::Time(3601.0), false);
    assert_relative_eq!(soon.last.mean, 0.2 + 0.05 / 1.5, max_relative = 1e-9);
    // It soaks to where crystals are left, at most: u = 1.
    assert!(soon.last.face <= 1.0 + 1e-9 && soon.last.face > 0.9, "{}", soon.last.face);
    assert_relative_eq!(soon.lost, soon.evaporated, epsilon = 1e-12);
    // After two days it is even again.
    let even = run(&slab, &[STEADY], goal(0.0, 0.0), Until::Time(172_800.0), false);
    assert_relative_eq!(even.last.core, 0.2 + 0.05 / 1.5, max_relative = 1e-3);
}

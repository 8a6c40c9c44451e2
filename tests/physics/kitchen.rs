//! Doughs and airs shared by the drying tests.
#![allow(dead_code)] // each test file uses its own part

use solidby::drying::recipe::Recipe;
use solidby::drying::solver::*;
use solidby::transfer::mass_transfer::{Radiation, Surroundings};
use solidby::transfer::psychrometrics::*;
use solidby::units::*;

pub const SEA_LEVEL: f64 = 101_325.0;

pub fn cups(flour: f64, salt: f64, water: f64) -> Recipe {
    let cup = |n: f64| Amount::Volume(millilitres(236.588 * n));
    Recipe::measured([flour, salt, water].map(cup)).unwrap()
}

pub fn two_one_one() -> Recipe {
    cups(2.0, 1.0, 1.0)
}

pub fn stage(air: f64, vapour: Pressure, convective: f64, radiation: Radiation) -> Stage {
    Stage {
        around: Surroundings {
            air: celsius(air),
            vapour,
            pressure: pascals(SEA_LEVEL),
            film: film(convective),
            radiation,
        },
        warm_up: None,
        lasts: hours(0.0),
        own_vapour: 0.0,
        underside: fraction(0.0),
    }
}

pub fn room_stage(air: f64, humidity: f64) -> Stage {
    let vapour = vapour_pressure(celsius(air), percents(humidity));
    stage(air, vapour, 5.0, Radiation::Film(film(5.0)))
}

/// The oven of the anchors in tests/dough_drying.rs: convection 8, radiation 8 W/m²K, W = 0.037.
pub fn oven_stage(air: f64) -> Stage {
    let vapour = vapour_pressure_of_ratio(fraction(0.037), pascals(SEA_LEVEL));
    stage(air, vapour, 8.0, Radiation::Film(film(8.0)))
}

pub fn drying(recipe: Recipe, millimetre: f64, faces: Faces, stages: Vec<Stage>) -> Drying {
    Drying {
        piece: Piece { recipe, thickness: millimetres(millimetre), faces, edge: Edge::Broad },
        start: celsius(20.0),
        stages,
        room: Room { air: celsius(20.0), humidity: percents(50.0) },
        diffusion: Diffusion::SaltDough(1.0),
        turn_at: None,
        coats: Vec::new(),
        cells: CELLS,
    }
}

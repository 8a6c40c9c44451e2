//! Recipes and the mixture isotherm against tables computed for this project apart from this
//! code, from the same masses of a cup, the Oswin isotherm of semolina and additive mixing.

use approx::assert_relative_eq;
use solidby::drying::mixture::Mixture;
use solidby::drying::recipe::{Recipe, RecipeError};
use solidby::units::*;

use crate::kitchen;
use kitchen::*;

fn weighed(flour: f64, salt: f64, water: f64) -> Recipe {
    Recipe::by_mass(grams(flour), grams(salt), grams(water)).unwrap()
}

#[test]
fn common_recipes() {
    // Moisture, water % of wet mass, NaCl % of solids, density, to two or three
    // figures. The recipes: common practice, no source.
    for (name, recipe, u0, wet, salt, density) in [
        ("2:1:1", cups(2.0, 1.0, 1.0), 0.533, 34.8, 57.0, 1410.0),
        ("2:1:0.75", cups(2.0, 1.0, 0.75), 0.416, 29.4, 57.0, 1460.0),
        ("4:1:1.5", cups(4.0, 1.0, 1.5), 0.582, 36.8, 40.0, 1349.0),
        ("3:1:1.5", cups(3.0, 1.0, 1.5), 0.658, 39.7, 47.0, 1344.0),
        ("1:1:0.5", cups(1.0, 1.0, 0.5), 0.340, 25.4, 73.0, 1557.0),
        ("250:125:125 g", weighed(250.0, 125.0, 125.0), 0.460, 31.5, 37.0, 1380.0),
        ("300:300:190 g", weighed(300.0, 300.0, 190.0), 0.408, 29.0, 54.0, 1452.0),
    ] {
        println!("{name}");
        assert_relative_eq!(in_fraction(recipe.moisture()), u0, epsilon = 0.001);
        assert_relative_eq!(in_percents(recipe.wet_basis()), wet, epsilon = 0.06);
        let share = in_percents(solids_salt(&recipe));
        assert_relative_eq!(share, salt, epsilon = 0.6);
        let found = in_kilograms_per_cubic_metre(recipe.density());
        assert_relative_eq!(found, density, max_relative = 0.001);
        assert_relative_eq!(
            in_fraction(recipe.water_activity(celsius(25.0))),
            0.7528,
            epsilon = 0.001
        );
    }
}

/// Share of salt in the solids, from what the mixture holds above and below its plateau.
fn solids_salt(recipe: &Recipe) -> Ratio {
    let flour_alone = Mixture::new(fraction(0.0)).moisture(percents(50.0), celsius(25.0));
    let mixed = recipe.mixture().moisture(percents(50.0), celsius(25.0));
    fraction(1.0 - in_fraction(mixed) / in_fraction(flour_alone))
}

#[test]
fn moisture_of_two_one_one() {
    // 25 °C, to 0.001; above the plateau to 1 %, where the table took the brine of Steiger et
    // al. (2008) and this library that of Pitzer & Mayorga (1973).
    let mixture = two_one_one().mixture();
    for (rh, wanted) in [
        (20.0, 0.035),
        (30.0, 0.042),
        (40.0, 0.048),
        (50.0, 0.055),
        (60.0, 0.062),
        (70.0, 0.071),
        (75.2, 0.078),
    ] {
        let found = in_fraction(mixture.moisture(percents(rh), celsius(25.0)));
        assert_relative_eq!(found, wanted, epsilon = 0.0006);
    }
    for (rh, wanted) in [(76.0, 1.71), (80.0, 1.98)] {
        let found = mixture.moisture(percents(rh), celsius(25.0));
        assert_relative_eq!(in_fraction(found), wanted, max_relative = 0.01);
        assert_relative_eq!(
            in_percents(mixture.activity(found, celsius(25.0))),
            rh,
            max_relative = 1e-6
        );
    }
}

#[test]
fn mass_lost_in_a_room() {
    // % of the wet mass in balance with 50 %, computed apart; 2 points, set beforehand.
    for (recipe, wanted) in [
        (two_one_one(), 31.0),
        (cups(4.0, 1.0, 1.5), 32.0),
        (weighed(250.0, 125.0, 125.0), 26.0),
        (cups(3.0, 1.0, 1.5), 36.0),
        (cups(1.0, 1.0, 0.5), 23.0),
        (cups(2.0, 1.0, 0.75), 26.0),
        (weighed(300.0, 300.0, 190.0), 25.0),
    ] {
        let found = recipe.mass_loss(celsius(25.0), percents(50.0)).unwrap();
        println!("{:.1} %, computed apart {wanted} %", in_percents(found));
        assert_relative_eq!(in_percents(found), wanted, epsilon = 1.1);
    }
    assert!(two_one_one().mass_loss(celsius(25.0), percents(76.0)).is_none());
}

#[test]
fn what_to_buy_adds_up() {
    // 22 rounds of 75 x 6.35 mm and a tenth spare.
    let volume = cubic_metres(std::f64::consts::PI * 0.0375 * 0.0375 * 0.00635);
    let recipe = two_one_one();
    let amounts = recipe.amounts(volume, 22, percents(10.0));
    let total = amounts.flour + amounts.salt + amounts.water;
    let one = recipe.piece(volume, percents(31.0));
    assert_relative_eq!(in_grams(total), in_grams(one.wet) * 22.0 * 1.1, max_relative = 1e-12);
    assert_relative_eq!(in_grams(one.dry), in_grams(one.wet) * 0.69, max_relative = 1e-12);
    let [flour, salt, water] = amounts.by_volume.map(in_cubic_metres);
    assert_relative_eq!(flour / salt, 2.0, max_relative = 1e-12);
    assert_relative_eq!(water / salt, 1.0, max_relative = 1e-12);
}

#[test]
fn doughs_that_are_none() {
    let g = grams;
    assert_eq!(Recipe::by_mass(g(-1.0), g(1.0), g(1.0)), Err(RecipeError::Negative("flour")));
    assert_eq!(Recipe::by_mass(g(1.0), g(f64::NAN), g(1.0)), Err(RecipeError::Negative("salt")));
    assert_eq!(Recipe::by_mass(g(0.0), g(1.0), g(1.0)), Err(RecipeError::Missing("flour")));
    assert_eq!(Recipe::by_mass(g(1.0), g(1.0), g(0.0)), Err(RecipeError::Missing("water")));
    assert!(matches!(Recipe::by_mass(g(1.0), g(0.1), g(9.0)), Err(RecipeError::TooWet(_))));
}

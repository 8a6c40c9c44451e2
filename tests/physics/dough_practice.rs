//! What cooks report (common practice, no source; tests/data/README.md) beside what is predicted.

use solidby::drying::recipe::Recipe;
use solidby::drying::solver::*;
use solidby::transfer::mass_transfer::Radiation;
use solidby::transfer::psychrometrics::*;
use solidby::units::*;

use crate::kitchen;
use kitchen::*;

/// How a reported time is read.
enum Told {
    /// Done between these hours.
    Between(f64, f64),
    /// Not yet done at this hour.
    LongerThan(f64),
}

struct Row {
    id: &'static str,
    reading: &'static str,
    question: Drying,
    told: Told,
}

/// An ordinary still oven with room air in it: convection 8, grey walls:
/// within the 5 to 12 of still ovens, from memory.
fn still_oven(air: f64) -> Stage {
    let vapour = vapour_pressure_of_ratio(fraction(0.0073), pascals(SEA_LEVEL));
    stage(air, vapour, 8.0, Radiation::Grey(fraction(0.9)))
}

fn baked(recipe: Recipe, mm: f64, faces: Faces, air: f64) -> Drying {
    drying(recipe, mm, faces, vec![still_oven(air)])
}

fn turned_at(question: Drying, at: f64) -> Drying {
    Drying { turn_at: Some(hours(at)), ..question }
}

fn rows() -> Vec<Row> {
    use Told::{Between, LongerThan};
    let row = |id, reading, question, told| Row { id, reading, question, told };
    let overnight = {
        let mut oven = still_oven(93.0);
        oven.lasts = hours(3.0);
        let stages = vec![oven, room_stage(20.0, 50.0)];
        turned_at(drying(cups(1.0, 1.0, 0.5), 6.4, Faces::Turn, stages), 2.0)
    };
    vec![
        row(
            "P01",
            "hard, recipe 2:1:1",
            baked(two_one_one(), 3.2, Faces::One, 149.0),
            Between(0.5, 1.0),
        ),
        row(
            "P02",
            "hard, recipe 2:1:1",
            baked(two_one_one(), 3.2, Faces::One, 121.0),
            Between(2.0, 2.0),
        ),
        row(
            "P03",
            "hard",
            turned_at(baked(cups(4.0, 2.0, 1.5), 3.2, Faces::Turn, 121.0), 0.5),
            Between(2.0, 2.0),
        ),
        row("P04", "hard", baked(cups(2.0, 1.0, 0.75), 3.2, Faces::One, 121.0), Between(2.0, 2.0)),
        row(
            "P05",
            // The account does not say that the core was dry after the night, and by the
            // model it stays moist for days: only what was seen at 3 h is compared.
            "not hard after 3 h of oven (went on in air overnight)",
            overnight,
            LongerThan(3.0),
        ),
        row(
            "P06",
            "not hard at 2 h",
            baked(two_one_one(), 6.4, Faces::One, 121.0),
            LongerThan(2.0),
        ),
        row(
            "P24",
            "hard, 1 mm a day, read at 5 mm",
            drying(two_one_one(), 5.0, Faces::Two, vec![room_stage(20.0, 50.0)]),
            Between(120.0, 120.0),
        ),
        row(
            "P25",
            "hard, thin read as 3.2 mm",
            drying(two_one_one(), 3.2, Faces::Two, vec![room_stage(20.0, 50.0)]),
            Between(24.0, 48.0),
        ),
        row(
            "P26",
            "hard, handprint read as 5 mm",
            drying(two_one_one(), 5.0, Faces::Two, vec![room_stage(20.0, 50.0)]),
            Between(48.0, 72.0),
        ),
    ]
}

#[test]
fn within_a_factor_of_two_of_practice() {
    let mut beyond = Vec::new();
    for Row { id, reading, question, told } in rows() {
        let found = in_hours(question.run().hard.unwrap());
        let (low, high, text) = match told {
            Told::Between(low, high) => (low, high, format!("{low} to {high} h")),
            Told::LongerThan(low) => (2.0 * low, f64::INFINITY, format!("more than {low} h")),
        };
        println!("{id}: predicted {found:.2} h, practised {text} ({reading})");
        if found < low / 2.0 || found > high * 2.0 {
            beyond.push(id);
        }
    }
    assert!(beyond.is_empty(), "not within a factor of two: {beyond:?}");
}

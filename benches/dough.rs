//! Drying solves and the whole answer about dough, with the error against a fine grid and
//! short steps, and how the cost grows with cells. `cargo bench --bench dough`

#[path = "../tests/physics/kitchen.rs"]
mod kitchen;
mod measure;

use kitchen::{drying, oven_stage, room_stage, stage, two_one_one};
use measure::{best, exponent, thread_seconds, wall_seconds};
use solidby::answers::dough::{Dough, DoughQuestion, Method, answer};
use solidby::drying::solver::{CELLS, Diffusion, Drying, Faces, Outcome};
use solidby::tables;
use solidby::transfer::mass_transfer::Radiation;
use solidby::transfer::psychrometrics::vapour_pressure;
use solidby::units::{
    Time, celsius, diffusivity, film, in_fraction, in_hours, millimetres, percents, seconds,
};

/// Four times the cells, and stages so short that no step is longer than a 4000th of the time.
fn converged(question: &Drying, found: &Outcome) -> Outcome {
    const STEPS: usize = 4000;
    let whole = found.dry.expect("it dries");
    let mut short = question.stages[0];
    short.lasts = whole / STEPS as f64;
    let stages = [vec![short; STEPS + STEPS / 20], question.stages.clone()].concat();
    Drying { stages, cells: 4 * CELLS, ..question.clone() }.run()
}

fn question(method: Method) -> DoughQuestion {
    let dough = Dough::Measured(two_one_one(), [false; 3]);
    DoughQuestion { count: 11, ..DoughQuestion::of(millimetres(6.0), dough, method) }
}

/// One row of JSON for `benches/compare/drying.py`: a sheet in which diffusion sets the time,
/// until a tenth of the moisture above the balance with the air is left.
fn compare() {
    let vapour = vapour_pressure(celsius(20.0), percents(50.0));
    let air = stage(20.0, vapour, 1e7, Radiation::Film(film(0.0)));
    let mut question = drying(two_one_one(), 6.0, Faces::Two, vec![air]);
    question.diffusion = Diffusion::Constant(diffusivity(1e-9));
    let recipe = two_one_one();
    let balance = in_fraction(recipe.mixture().moisture(percents(50.0), celsius(20.0)));
    let goal = balance + 0.1 * (in_fraction(recipe.moisture()) - balance);
    let left = |s: f64| in_fraction(question.moisture_at(seconds(s))) - goal;
    let (mut low, mut high) = (100.0, 1e5);
    while high - low > 1e-3 {
        let middle = 0.5 * (low + high);
        if left(middle) > 0.0 { low = middle } else { high = middle }
    }
    let cpu = best(15, thread_seconds, || question.moisture_at(seconds(high)));
    println!("{{\"cpu_s\": {cpu:e}, \"dry_s\": {high}}}");
}

fn main() {
    if std::env::args().any(|argument| argument == "compare") {
        return compare();
    }
    for (name, faces, stage, thickness) in [
        ("air 6.4 mm", Faces::Two, room_stage(20.0, 50.0), 6.4),
        ("oven 93 °C 6.4 mm", Faces::Two, oven_stage(93.3), 6.4),
        ("oven 121 °C 12 mm", Faces::One, oven_stage(121.0), 12.0),
        ("oven 149 °C 3 mm", Faces::One, oven_stage(149.0), 3.0),
    ] {
        let question = drying(two_one_one(), thickness, faces, vec![stage]);
        let found = question.run();
        let fine = converged(&question, &found);
        let ms = |cells| {
            let question = Drying { cells, ..question.clone() };
            1e3 * best(7, thread_seconds, || question.run())
        };
        let error =
            |of: fn(&Outcome) -> Time| 100.0 * (in_hours(of(&found)) / in_hours(of(&fine)) - 1.0);
        let grown = exponent(&[16, 64, 256].map(|cells| [cells as f64, ms(cells)]));
        println!(
            "one drying, {name:18} {:6.3} ms, {:3} steps, dry {:6.2} h, error hard {:+.2} %, dry {:+.2} %; cost grows with cells to the power {grown:.2}",
            ms(CELLS),
            found.steps,
            in_hours(found.dry.expect("it dries")),
            error(|outcome| outcome.firm.expect("it hardens")),
            error(|outcome| outcome.dry.expect("it dries")),
        );
    }
    let oven = Method::Oven(celsius(93.3), tables::Oven::still());
    for (name, method) in [("in the oven", oven), ("in air", Method::Air)] {
        let question = question(method);
        let ms = 1e3 * best(3, wall_seconds, || answer(&question).expect("an answer"));
        println!("answer for dough {name}, 256 runs: {ms:.1} ms");
    }
}

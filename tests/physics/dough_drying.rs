//! The drying solver against closed forms, limits, and anchors computed by another solver.

use approx::assert_relative_eq;
use solidby::drying::solver::*;
use solidby::transfer::mass_transfer::{Radiation, WetWith, constant_rate};
use solidby::transfer::psychrometrics::*;
use solidby::units::*;

use crate::kitchen;
use kitchen::*;

/// A film so large that the face is at once in balance with the air.
fn diffusion_limit(faces: Faces) -> Drying {
    let vapour = vapour_pressure(celsius(20.0), percents(50.0));
    let mut question = drying(
        two_one_one(),
        6.0,
        faces,
        vec![stage(20.0, vapour, 1e7, Radiation::Film(film(0.0)))],
    );
    question.diffusion = Diffusion::Constant(diffusivity(1e-9));
    question.cells = 40;
    question
}

#[test]
fn slab_of_crank() {
    // Crank (1975), The Mathematics of Diffusion, ch. 4 (from memory), evaluated apart from
    // this code; 1e-3 with 40 cells, set beforehand.
    let question = diffusion_limit(Faces::Two);
    let start = in_fraction(two_one_one().moisture());
    let end = in_fraction(two_one_one().mixture().moisture(percents(50.0), celsius(20.0)));
    for (fo, wanted) in [
        (0.001, 0.964318),
        (0.01, 0.887162),
        (0.05, 0.747687),
        (0.1, 0.643177),
        (0.2, 0.495912),
        (0.3, 0.386764),
        (0.5, 0.236050),
        (0.8, 0.112597),
        (1.0, 0.068740),
        (1.5, 0.020018),
        (2.0, 0.005830),
    ] {
        let at = seconds(fo * 0.003 * 0.003 / 1e-9);
        let left = (in_fraction(question.moisture_at(at)) - end) / (start - end);
        println!("Fo {fo}: {left:.6}, Crank {wanted}");
        assert_relative_eq!(left, wanted, epsilon = 1e-3);
    }
}

#[test]
fn one_face_takes_four_times_as_long_when_diffusion_rules() {
    let one = in_hours(diffusion_limit(Faces::One).run().dry.unwrap());
    let two = in_hours(diffusion_limit(Faces::Two).run().dry.unwrap());
    // The same equations scaled; what is left is the step control.
    assert_relative_eq!(one / two, 4.0, max_relative = 1e-3);
}

#[test]
fn one_face_takes_twice_as_long_when_the_air_rules() {
    let time = |faces| {
        let mut question = drying(two_one_one(), 6.0, faces, vec![oven_stage(93.3)]);
        question.diffusion = Diffusion::Constant(diffusivity(1e-3));
        in_hours(question.run().dry.unwrap())
    };
    assert_relative_eq!(time(Faces::One) / time(Faces::Two), 2.0, max_relative = 1e-3);
}

#[test]
fn anchors_of_the_working_diffusivity() {
    // Computed for this project by another solver with the same diffusivity: 2:1:1, mean
    // moisture down to 1.5 u_b in air and to u_b in an oven. To two figures, hence 6 % or 0.06 h.
    const BRINE_EXHAUSTED: f64 = 0.069;
    for (thickness, faces, wanted) in [
        (3.2, Faces::Two, [1.1 * 24.0, 1.5, 0.9, 0.6]),
        (6.4, Faces::Two, [3.9 * 24.0, 4.6, 2.5, 1.6]),
        (10.0, Faces::Two, [9.1 * 24.0, 9.8, 4.9, 3.0]),
        (3.2, Faces::One, [3.9 * 24.0, 4.6, 2.5, 1.6]),
        (6.4, Faces::One, [14.6 * 24.0, 15.0, 7.3, 4.3]),
    ] {
        let stages =
            [room_stage(20.0, 50.0), oven_stage(93.0), oven_stage(121.0), oven_stage(149.0)];
        for (n, wanted) in wanted.into_iter().enumerate() {
            let question = drying(two_one_one(), thickness, faces, vec![stages[n]]);
            let goal = if n == 0 { 1.5 * BRINE_EXHAUSTED } else { BRINE_EXHAUSTED };
            let found = time_to_mean(&question, goal);
            println!("{thickness} mm {faces:?}, air {n}: {found:.2} h, notes {wanted:.1} h");
            assert_relative_eq!(found, wanted, max_relative = 0.06, epsilon = 0.06);
        }
    }
}

/// Hours until the mean moisture has fallen to a goal, by bisection on the solver's own answer.
fn time_to_mean(question: &Drying, goal: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2000.0);
    for _ in 0..24 {
        let middle = 0.5 * (low + high);
        let left = in_fraction(question.moisture_at(hours(middle)));
        if left > goal { low = middle } else { high = middle }
    }
    high
}

#[test]
fn one_solve_is_quick_and_its_grid_fine_enough() {
    for (name, faces, stage, thickness) in [
        ("air", Faces::Two, room_stage(20.0, 50.0), 6.4),
        ("oven", Faces::Two, oven_stage(93.3), 6.4),
        ("oven, thick", Faces::One, oven_stage(121.0), 12.0),
        ("oven, thin", Faces::One, oven_stage(149.0), 3.0),
    ] {
        let question = drying(two_one_one(), thickness, faces, vec![stage]);
        let mut fine = question.clone();
        fine.cells = 4 * CELLS;
        let (coarse, fine) = (question.run(), fine.run());
        let began = std::time::Instant::now();
        for _ in 0..100 {
            std::hint::black_box(question.run());
        }
        let each = began.elapsed().as_secs_f64() * 10.0;
        let bias = |a: Time, b: Time| 100.0 * (in_hours(a) / in_hours(b) - 1.0);
        let hard = bias(coarse.firm.unwrap(), fine.firm.unwrap());
        let dry = bias(coarse.dry.unwrap(), fine.dry.unwrap());
        println!(
            "{name}: {each:.3} ms, {} steps, grid bias hard {hard:.2} %, dry {dry:.2} %",
            coarse.steps
        );
        assert!(hard.abs() <= 1.0 && dry.abs() <= 1.0);
        assert!(coarse.imbalance.abs() <= 1e-9, "{:e}", coarse.imbalance);
    }
}

#[test]
fn water_and_energy_bounds_in_a_thousand_kitchens() {
    // No piece dries faster than heat reaches its faces. Random inputs
    // over the whole range a user can ask for; the bound counts the water that must leave
    // and the flux of an ever wet face, less what the heat of a piece above the wet bulb
    // can evaporate at the start (air only).
    let mut state = 1_u64;
    let mut random = |low: f64, high: f64| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut closest = f64::INFINITY;
    let mut worst_balance = 0.0_f64;
    for _ in 0..1000 {
        let in_air = random(0.0, 1.0) < 0.5;
        let air = if in_air { random(10.0, 40.0) } else { random(50.0, 170.0) };
        let vapour =
            vapour_pressure(celsius(random(10.0, 25.0).min(air)), percents(random(20.0, 70.0)));
        let around = stage(air, vapour, random(3.0, 30.0), Radiation::Grey(fraction(0.9)));
        let faces = [Faces::One, Faces::Turn, Faces::Two][random(0.0, 3.0) as usize];
        let underside = if random(0.0, 1.0) < 0.5 { 0.0 } else { random(0.0, 1.0) };
        let around = Stage { underside: fraction(underside), ..around };
        let recipe = cups(2.0, random(0.6, 2.0), random(0.7, 1.2));
        let mut question = drying(recipe, random(2.0, 20.0), faces, vec![around]);
        question.diffusion = Diffusion::SaltDough(random(0.5, 20.0));
        question.turn_at = Some(hours(random(0.2, 40.0)));
        let outcome = question.run();
        let count = if faces == Faces::Two { 2.0 } else { 1.0 + underside };
        let face = constant_rate(&around.around, WetWith::SaturatedBrine);
        let (hard, _) = question.goals();
        let wet = recipe.density().value * in_metres(question.piece.thickness);
        let solids = wet / (1.0 + in_fraction(recipe.moisture()));
        let water = solids * (in_fraction(recipe.moisture()) - in_fraction(hard));
        let stored = wet * 2300.0 * (20.0 - in_celsius(face.face)).max(0.0) / 2.4e6;
        let bound = (water - stored) / (count * face.flux);
        let ratio = in_seconds(outcome.firm.unwrap_or(hours(9600.0))) / bound;
        closest = closest.min(ratio);
        worst_balance = worst_balance.max(outcome.imbalance.abs());
        assert!(!matches!(outcome.firm, Err(NeverDry::TooHumid { .. })));
        assert!(ratio >= 1.0, "{question:?}: {ratio}");
    }
    println!("closest to the bound {closest:.3}, worst water balance {worst_balance:.1e}");
    assert!(worst_balance <= 1e-9);
}

#[test]
fn never_dries_from_three_quarters_humidity() {
    // Saturated brine keeps 75 % (Greenspan 1977): never from 75 %, at 10 to 40 °C; a time at 74 %.
    for air in [10.0, 20.0, 30.0, 40.0] {
        for thickness in [2.0, 6.4, 20.0] {
            for (humidity, dries) in [(74.0, true), (75.0, false), (80.0, false), (95.0, false)] {
                let question =
                    drying(two_one_one(), thickness, Faces::Two, vec![room_stage(air, humidity)]);
                let question = Drying {
                    room: Room { air: celsius(air), humidity: percents(humidity) },
                    ..question
                };
                let outcome = question.run();
                let slow = matches!(outcome.dry, Err(NeverDry::TooSlow));
                let never = matches!(outcome.dry, Err(NeverDry::TooHumid { .. }));
                assert_eq!(
                    never, !dries,
                    "{air} °C {humidity} % {thickness} mm: {:?}",
                    outcome.dry
                );
                // 20 mm at 74 % is the one case that has no balance within a year.
                assert!(!slow || thickness == 20.0, "{air} °C {humidity} % {thickness} mm");
            }
        }
    }
}

#[test]
fn slower_when_thicker_moister_or_cooler() {
    let hours_of = |question: &Drying| in_hours(question.run().dry.unwrap());
    let rises = |times: Vec<f64>, what: &str| {
        println!("{what}: {times:.2?}");
        assert!(times.windows(2).all(|pair| pair[1] > pair[0]), "{what}: {times:?}");
    };
    let air = |rh| Drying {
        room: Room { air: celsius(20.0), humidity: percents(rh) },
        ..drying(two_one_one(), 5.0, Faces::Two, vec![room_stage(20.0, rh)])
    };
    rises([20.0, 35.0, 50.0, 60.0, 68.0, 73.0].map(|rh| hours_of(&air(rh))).to_vec(), "humidity");
    let oven = |t| drying(two_one_one(), 5.0, Faces::One, vec![oven_stage(t)]);
    rises([150.0, 121.0, 93.0, 70.0, 50.0].map(|t| hours_of(&oven(t))).to_vec(), "cooler oven");
    let with = |d| Drying { diffusion: Diffusion::SaltDough(d), ..oven(93.0) };
    rises([4.0, 2.0, 1.0, 0.5, 0.25].map(|d| hours_of(&with(d))).to_vec(), "less diffusion");
    let thicknesses = [2.0, 3.0, 4.5, 7.0, 10.0, 15.0];
    for (stage, what) in [(room_stage(20.0, 50.0), "air"), (oven_stage(93.0), "oven")] {
        let times = thicknesses
            .map(|mm| hours_of(&drying(two_one_one(), mm, Faces::Two, vec![stage])))
            .to_vec();
        let exponents: Vec<f64> = times
            .windows(2)
            .zip(thicknesses.windows(2))
            .map(|(t, l)| (t[1] / t[0]).ln() / (l[1] / l[0]).ln())
            .collect();
        rises(times, what);
        println!("thickness exponent in {what}: {exponents:.2?}");
        assert!(exponents.iter().all(|n| (1.0..=2.0).contains(n)));
    }
}

#[test]
fn a_turned_piece_lies_between_one_face_and_two() {
    let time = |faces| {
        in_hours(drying(two_one_one(), 6.4, faces, vec![oven_stage(93.0)]).run().dry.unwrap())
    };
    let (one, turned, two) = (time(Faces::One), time(Faces::Turn), time(Faces::Two));
    println!("one {one:.2} h, turned {turned:.2} h, two {two:.2} h");
    assert!(two < turned && turned < one);
    let outcome = drying(two_one_one(), 6.4, Faces::Turn, vec![oven_stage(93.0)]).run();
    let half = in_hours(outcome.turned.unwrap()) / in_hours(outcome.dry.unwrap());
    assert_relative_eq!(half, 0.5, max_relative = 0.01);
}

#[test]
fn small_pieces_dry_faster_than_broad_ones() {
    let time = |edge| {
        let mut question = drying(two_one_one(), 10.0, Faces::Two, vec![oven_stage(93.0)]);
        question.piece.edge = edge;
        in_hours(question.run().firm.unwrap())
    };
    let broad = time(Edge::Broad);
    let plaque = time(Edge::Round(millimetres(50.0)));
    let bead = time(Edge::Round(millimetres(15.0)));
    let pierced = time(Edge::Ring(millimetres(15.0), millimetres(4.0)));
    println!(
        "10 mm: broad {broad:.2} h, 100 mm plaque {plaque:.2} h, 30 mm bead {bead:.2} h, pierced {pierced:.2} h"
    );
    assert!(pierced < bead && bead < plaque && plaque < broad);
    assert_relative_eq!(time(Edge::Round(metres(50.0))), broad, max_relative = 1e-3);
}

/// Flour browns above 120 °C where it is dry (Maillard, common practice, no source): the time
/// for that is none in an oven of 93 °C and some, but not all of it, in one of 177 °C.
#[test]
fn only_a_hot_and_dry_face_browns() {
    let run = |celsius| drying(two_one_one(), 6.4, Faces::Two, vec![oven_stage(celsius)]).run();
    let (gentle, hot) = (run(93.3), run(177.0));
    assert_eq!(in_hours(gentle.browning), 0.0);
    // Saturated brine boils at 108.7 °C (Salt Institute), so it never does in the gentle one.
    assert_eq!(gentle.over_pressure, None);
    assert!(hot.over_pressure.is_some(), "its wet core boils");
    let share = in_hours(hot.browning) / in_hours(hot.dry.unwrap());
    assert!(share > 0.05 && share < 0.95, "{share} of the time");
}

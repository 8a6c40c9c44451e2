//! The diary's draws against the exact posterior of two unknowns on a fine grid
//! (means within 2 %, spreads within 5 %).

use solidby::tables::{Distribution, Unknown};
use solidby::uncertainty::{Axis, Evidence, LOOK, Observation, Surface, WRONG, sequence, update};

const FILM: Distribution = Distribution::LogNormal { median: 1.0, factor: 1.3 };
const AIR: Distribution = Distribution::Normal { mean: 0.0, sd: 2.5 };

fn axes() -> [Axis; 2] {
    let bounds = (f64::NEG_INFINITY, f64::INFINITY);
    [
        Axis { unknown: Unknown::FilmMultiplier, belief: FILM, bounds, vanishes_at: None },
        Axis { unknown: Unknown::FreezerAirOffset, belief: AIR, bounds, vanishes_at: None },
    ]
}

/// Logarithm of the hours to solid, from scores of film and air and two things
/// that vary from evening to evening.
fn log_hours(film: f64, air: f64, evening: &[f64]) -> f64 {
    1.9 - 0.21 * film + 0.14 * air + 0.01 * air * air - 0.004 * film * air
        + 0.12 * (evening[0] - 0.5)
        + 0.06 * (evening[1] - 0.5)
}

fn evidence(seen: Vec<Observation>) -> Evidence {
    let runs = sequence(4, 128);
    let score = |p: f64| solidby::uncertainty::standard_normal_quantile(p);
    let learnt: Vec<Vec<f64>> = runs.iter().map(|p| vec![score(p[0]), score(p[1])]).collect();
    let other: Vec<Vec<f64>> = runs.iter().map(|p| p[2..].to_vec()).collect();
    let outcomes: Vec<f64> =
        learnt.iter().zip(&other).map(|(x, e)| log_hours(x[0], x[1], e)).collect();
    Evidence::new(
        vec![0, 1],
        vec![Surface::fit(&learnt, &other, &outcomes).unwrap()],
        seen.into_iter().map(|seen| (0, seen)).collect(),
        1.0,
    )
}

/// Mean and spread of film multiplier and air offset, by Bayes' rule written out
/// on 201 × 201 points, with evenings of a finer sequence of their own.
fn on_a_grid(notes: &[Vec<Observation>]) -> [(f64, f64); 2] {
    const POINTS: i32 = 100;
    let evenings = sequence(2, 256);
    let (mut total, mut first, mut second) = (0.0, [0.0; 2], [0.0; 2]);
    for i in -POINTS..=POINTS {
        for j in -POINTS..=POINTS {
            let (film, air) = (f64::from(i) * 0.045, f64::from(j) * 0.045);
            let mut weight = (-0.5 * (film * film + air * air)).exp();
            for note in notes {
                weight *= likelihood(note, film, air, &evenings);
            }
            let values = [1.3_f64.powf(film), 2.5 * air];
            total += weight;
            for (n, value) in values.iter().enumerate() {
                first[n] += weight * value;
                second[n] += weight * value * value;
            }
        }
    }
    [0, 1].map(|n| {
        let mean = first[n] / total;
        (mean, (second[n] / total - mean * mean).sqrt())
    })
}

fn likelihood(note: &[Observation], film: f64, air: f64, evenings: &[Vec<f64>]) -> f64 {
    let (mut sum, mut by_chance) = (0.0, 1.0);
    for evening in evenings {
        let y = log_hours(film, air, evening);
        sum += note
            .iter()
            .map(|seen| match *seen {
                Observation::Below(at) => 1.0 / (1.0 + ((y - at) / LOOK).exp()),
                Observation::Above(at) => 1.0 / (1.0 + ((at - y) / LOOK).exp()),
                Observation::Near(at, sd) => {
                    (-0.5 * ((y - at) / sd).powi(2)).exp()
                        / sd
                        / (2.0 * std::f64::consts::PI).sqrt()
                }
            })
            .product::<f64>();
    }
    for seen in note {
        by_chance *= if let Observation::Near(_, sd) = seen { 0.05 / sd } else { 0.5 };
    }
    (1.0 - WRONG) * sum / evenings.len() as f64 + WRONG * by_chance
}

#[test]
fn means_and_spreads_are_those_of_the_grid() {
    let between =
        |wet: f64, solid: f64| vec![Observation::Above(wet.ln()), Observation::Below(solid.ln())];
    let diaries: [(&str, Vec<Vec<Observation>>); 5] = [
        ("nothing seen", vec![vec![]]),
        ("one look", vec![vec![Observation::Below(6.0_f64.ln())]]),
        ("wet at 6, solid at 8", vec![between(6.0, 8.0)]),
        ("far from usual", vec![between(10.0, 11.0), between(9.5, 11.0), between(9.0, 10.5)]),
        (
            "ten evenings, two exact",
            (0..8)
                .map(|n| between(5.0 + 0.1 * f64::from(n), 6.0 + 0.1 * f64::from(n)))
                .chain([
                    vec![Observation::Near(5.6_f64.ln(), 0.03)],
                    vec![Observation::Near(5.9_f64.ln(), 0.03)],
                ])
                .collect(),
        ),
    ];
    for (name, notes) in diaries {
        let exact = on_a_grid(&notes);
        let evidence: Vec<Evidence> = notes.into_iter().map(evidence).collect();
        let posterior = update(&axes(), &evidence);
        for ((unknown, (mean, sd)), scale) in
            [Unknown::FilmMultiplier, Unknown::FreezerAirOffset].iter().zip(exact).zip([1.0, 18.0])
        {
            let (learnt, spread) = posterior.posterior.moments(*unknown).unwrap();
            println!(
                "{name:24} {unknown:19?} grid {mean:+.4} ± {sd:.4}, diary {learnt:+.4} ± {spread:.4}; {:.0} of {} effective at first, {:.0} after {} moves",
                posterior.effort.effective_at_first,
                posterior.effort.draws,
                posterior.effort.effective,
                posterior.effort.moves
            );
            // The bounds. An offset's mean may be zero: the mean is that of
            // the film itself, and of the air below freezing, 18 K in the kitchen.
            assert!((learnt - mean).abs() < 0.02 * scale, "{name}, {unknown:?}");
            assert!((spread / sd - 1.0).abs() < 0.05, "{name}, {unknown:?}");
        }
    }
}

//! Invented ovens whose truth is known: bands for dough hold what they promise.

use std::time::Instant;

use rayon::prelude::*;
use solidby::answers::Timed;
use solidby::answers::diary::{Dated, fit_dough};
use solidby::answers::dough::*;
use solidby::drying::solver::Faces;
use solidby::tables::{self, Unknown};
use solidby::uncertainty::{Band, LOOK, Posterior, RUNS, WRONG, sequence};
use solidby::units::*;

use crate::chance;
use chance::{pick, uniform};

const OVENS: usize = 200;
/// What is the same for one oven and one dough, as the diary takes it.
const CONSTANT: [Unknown; 4] = [
    Unknown::DiffusivityMultiplier,
    Unknown::IsothermMultiplier,
    Unknown::OvenOffset,
    Unknown::OvenFilmMultiplier,
];
const STAGES: [usize; 4] = [0, 1, 3, 5];

pub fn question() -> DoughQuestion {
    let dough = Dough::Named(tables::Recipe::two_one_one());
    let oven = Method::Oven(celsius(93.0), tables::Oven::still());
    DoughQuestion {
        size: Some(millimetres(75.0)),
        count: 12,
        room: Some(celsius(20.0)),
        humidity: Some(percents(45.0)),
        faces: Some(Faces::Two),
        ..DoughQuestion::of(millimetres(6.0), dough, oven)
    }
}

/// Hours until hard on many days with one oven and one dough.
fn days_of(oven: &[f64]) -> Vec<f64> {
    let value = |(unknown, p): (&Unknown, &f64)| tables::prior(*unknown).unwrap().quantile(*p);
    let values = CONSTANT.iter().zip(oven).map(value).collect();
    let posterior = Posterior::new(CONSTANT.to_vec(), vec![(0.0, values, 1.0)]);
    // The later half: the bands are made from the first 128 draws.
    let runs = firm_and_dry_hours(&DoughQuestion { posterior, ..question() }, RUNS).unwrap();
    runs.into_iter().map(|(firm, _)| firm).skip(128).collect()
}

fn note(observations: Vec<Timed<DoughObservation>>) -> Dated<DoughNote> {
    let note = DoughNote { question: question(), told: OvenTold::default(), observations };
    Dated { note, age_days: 0.0, anew: false }
}

fn foretold(notes: &[Dated<DoughNote>]) -> Band {
    let mut all = notes.to_vec();
    all.push(note(Vec::new()));
    let (fit, _) = fit_dough(&all, &question().dough, OvenTold::default()).unwrap().unwrap();
    fit.notes.last().unwrap().after_h.unwrap()
}

/// Two looks, chosen by what was foretold; one note in twenty is wrong, as the
/// diary takes it, and says hard or soft by a coin.
fn looks(band: &Band, truth: f64, luck: [f64; 3]) -> Vec<Timed<DoughObservation>> {
    let times = [band.p50 - 0.3 * (band.p50 - band.p05), band.p50 + 0.3 * (band.p95 - band.p50)];
    times
        .iter()
        .zip(luck)
        .map(|(h, p)| {
            let right = h.ln() > truth.ln() + LOOK * (p / (1.0 - p)).ln();
            let hard = if luck[2] < WRONG { p < 0.5 } else { right };
            Timed {
                after: hours(*h),
                seen: if hard { DoughObservation::Hard } else { DoughObservation::Soft },
            }
        })
        .collect()
}

#[test]
fn bands_for_dough_hold_what_they_promise() {
    let start = Instant::now();
    let ovens = sequence(CONSTANT.len(), 1024).split_off(512);
    let all: Vec<Vec<(f64, f64)>> = ovens[..OVENS]
        .par_iter()
        .enumerate()
        .map(|(k, draw)| {
            let oven = &draw[..];
            let days = days_of(oven);
            let day = |n: usize| days[pick(k, n, days.len())];
            let (mut notes, mut stages, mut band) = (Vec::new(), Vec::new(), None);
            for n in 0..=5 {
                if STAGES.contains(&n) {
                    let now = foretold(&notes);
                    let inside = days.iter().filter(|h| (now.p05..=now.p95).contains(*h));
                    let share = inside.count() as f64 / days.len() as f64;
                    stages.push((share, (now.p95 - now.p05) / now.p50));
                    band = Some(now);
                }
                if n < 5 {
                    notes.push(note(looks(
                        &band.unwrap(),
                        day(n),
                        [1, 2, 3].map(|m| uniform(k, 100 * m + n)),
                    )));
                }
            }
            stages
        })
        .collect();
    let mut held = Vec::new();
    println!("{OVENS} ovens, 128 days to come of each");
    for (stage, notes) in STAGES.iter().enumerate() {
        let inside = all.iter().map(|oven| oven[stage].0).sum::<f64>() / OVENS as f64;
        let mut widths: Vec<f64> = all.iter().map(|oven| oven[stage].1).collect();
        widths.sort_by(f64::total_cmp);
        println!(
            "{notes} notes: {:.1} % inside, width over middle {:.3}",
            100.0 * inside,
            widths[OVENS / 2]
        );
        held.push((notes, inside));
    }
    println!("{:.1} s", start.elapsed().as_secs_f64());
    for (notes, inside) in held {
        assert!((0.87..=0.93).contains(&inside), "{notes} notes: {inside}");
    }
}

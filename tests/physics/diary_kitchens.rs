//! Two hundred invented kitchens whose truth is known: do the bands that a diary
//! gives hold what they promise, and in what time.

use rayon::prelude::*;
use solidby::answers::Timed;
use solidby::answers::diary::{Dated, EveningCache, fit_ice};
use solidby::answers::ice::*;
use solidby::freezing::mesh::Resolution;
use solidby::freezing::pattern::Pattern;
use solidby::tables::{self, Unknown};
use solidby::uncertainty::{Band, Draw, LOOK};
use solidby::units::*;

use crate::chance;
use chance::{pick, uniform};

const KITCHENS: usize = 200;
/// Evenings of each kitchen that are foretold.
const TO_COME: usize = 16;
const MOST_NOTES: usize = 10;
/// What is the same for one freezer, as the diary takes it.
const CONSTANT: [Unknown; 5] = [
    Unknown::FilmMultiplier,
    Unknown::FreezerAirOffset,
    Unknown::FreezerCapacityUnknown,
    Unknown::StandOpenness,
    Unknown::StandContact,
];

/// What is made: three moulds in turn, filled to a mark with water of a known
/// temperature where the cook is careful.
fn questions(careful: bool) -> Vec<IceQuestion> {
    [("fox", 2), ("round", 4), ("small loaf", 1)]
        .map(|(name, count)| {
            let mould = tables::mould(name).unwrap();
            let plain = IceQuestion {
                count,
                wall: mould.wall(),
                ..IceQuestion::of(Block::Shape(mould.shape().clone())).unwrap()
            };
            let fill = Some(solidby::shape::USUAL_FILL * mould.shape().depth());
            let start = Some(celsius(12.0));
            if careful { IceQuestion { fill, start, ..plain } } else { plain }
        })
        .to_vec()
}

/// One question with what is needed to make true evenings of it.
struct Truth {
    question: IceQuestion,
    pattern: Pattern,
    finer: f64,
    draws: Vec<Draw>,
}

impl Truth {
    fn of(question: IceQuestion) -> Self {
        let unknowns = question.unknowns().unwrap();
        let central = question.scenario(unknowns.centre()).unwrap();
        let pattern = Pattern::of(&central.body, Resolution::Coarse);
        let fine = Pattern::of(&central.body, Resolution::Working);
        let run = |pattern: &Pattern| central.run_on(pattern, minutes(4.0), false).unwrap().solid_h;
        let finer = run(&fine) / run(&pattern);
        // Draws far from those that the bands are made of.
        let draws = unknowns.draws(8192).split_off(4096);
        Self { question, pattern, finer, draws }
    }

    /// Hours to solid in kitchen `kitchen` on its evening number `evening`.
    fn hours(&self, kitchen: usize, evening: usize) -> f64 {
        let own = &self.draws[kitchen];
        let mut draw = self.draws[pick(kitchen, evening, self.draws.len())].clone();
        for unknown in CONSTANT {
            draw[unknown] = own[unknown];
        }
        let scenario = self.question.scenario(&draw).unwrap();
        self.finer * scenario.run_on(&self.pattern, minutes(4.0), false).unwrap().solid_h
    }
}

fn note(question: &IceQuestion, observations: Vec<Timed<IceObservation>>) -> Dated<IceNote> {
    let note = IceNote { question: question.clone(), told: FreezerTold::default(), observations };
    Dated { note, age_days: 0.0, anew: false }
}

fn at(h: f64, seen: IceObservation) -> Timed<IceObservation> {
    Timed { after: hours(h), seen }
}

/// Two looks, chosen by what was foretold and not by the truth; no second one
/// after a first that found it solid.
fn looks(foretold: &Band, truth: f64, luck: [f64; 2]) -> Vec<Timed<IceObservation>> {
    let times = [
        foretold.p50 - 0.3 * (foretold.p50 - foretold.p05),
        foretold.p50 + 0.3 * (foretold.p95 - foretold.p50),
    ];
    let mut observations = Vec::new();
    for (h, p) in times.into_iter().zip(luck) {
        let solid = h.ln() > truth.ln() + LOOK * (p / (1.0 - p)).ln();
        observations.push(at(h, if solid { IceObservation::Solid } else { IceObservation::Wet }));
        if solid {
            break;
        }
    }
    observations
}

/// The band foretold for a question by notes.
fn foretold(notes: &[Dated<IceNote>], question: &IceQuestion, memory: &mut EveningCache) -> Band {
    let mut all = notes.to_vec();
    all.push(note(question, Vec::new()));
    let (fit, _) = fit_ice(&all, FreezerTold::default(), memory).unwrap().unwrap();
    fit.notes.last().unwrap().after_h.unwrap()
}

/// For 0, 1, 3, 5 and 10 notes: share of evenings to come inside the band, and
/// its width over its middle.
const STAGES: [usize; 5] = [0, 1, 3, 5, 10];

fn kitchen(truths: &[Truth], k: usize, memory: &mut EveningCache) -> Vec<(f64, f64)> {
    let next = &truths[0];
    let to_come: Vec<f64> = (0..TO_COME).map(|n| next.hours(k, MOST_NOTES + n)).collect();
    let mut notes = Vec::new();
    let mut stages = Vec::new();
    for n in 0..=MOST_NOTES {
        if STAGES.contains(&n) {
            let band = foretold(&notes, &next.question, memory);
            let inside = to_come.iter().filter(|h| (band.p05..=band.p95).contains(*h)).count();
            stages.push((inside as f64 / TO_COME as f64, (band.p95 - band.p05) / band.p50));
        }
        if n < MOST_NOTES {
            let truth = &truths[n % truths.len()];
            // Foretold by the notes there were at the last stage.
            let known = STAGES.iter().rev().find(|stage| **stage <= n).unwrap();
            let band = foretold(&notes[..*known], &truth.question, memory);
            let seen = looks(&band, truth.hours(k, n), [1, 2].map(|m| uniform(k, 100 * m + n)));
            notes.push(note(&truth.question, seen));
        }
    }
    stages
}

fn study(careful: bool) -> Vec<(f64, f64)> {
    let truths: Vec<Truth> = questions(careful).into_iter().map(Truth::of).collect();
    let mut memory = EveningCache::default();
    for truth in &truths {
        foretold(&[], &truth.question, &mut memory);
    }
    let kitchens: Vec<Vec<(f64, f64)>> =
        (0..KITCHENS).into_par_iter().map(|k| kitchen(&truths, k, &mut memory.clone())).collect();
    (0..STAGES.len())
        .map(|stage| {
            let inside: f64 = kitchens.iter().map(|all| all[stage].0).sum();
            let mut widths: Vec<f64> = kitchens.iter().map(|all| all[stage].1).collect();
            widths.sort_by(f64::total_cmp);
            (inside / KITCHENS as f64, widths[KITCHENS / 2])
        })
        .collect()
}

#[test]
fn bands_hold_what_they_promise_and_get_narrow() {
    println!("200 kitchens, 16 evenings to come of each");
    println!("cook      notes  inside the 90 % band  width over middle, median");
    for (cook, careful) in [("careful", true), ("plain", false)] {
        let stages = study(careful);
        for (notes, (inside, width)) in STAGES.iter().zip(&stages) {
            println!("{cook:9} {notes:5}  {:19.1} %  {width:.3}", 100.0 * inside);
        }
        for (notes, (inside, _)) in STAGES.iter().zip(&stages) {
            assert!((0.87..=0.93).contains(inside), "{cook}, {notes} notes: {inside}");
        }
        if careful {
            let (none, five) = (stages[0].1, stages[3].1);
            assert!(five <= 0.5 * none, "{cook}: from {none} to {five}");
        }
    }
}

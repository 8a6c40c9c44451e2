//! Notes that no kitchen of the tables explains: the answer follows them, says so, and never
//! gets surer of what they contradict.

use solidby::answers::Timed;
use solidby::answers::diary::{Dated, EveningCache, Fit, fit_dough, fit_ice};
use solidby::answers::dough::{self, Dough, DoughNote, DoughObservation, DoughQuestion, OvenTold};
use solidby::answers::ice::*;
use solidby::shape::Shape;
use solidby::uncertainty::Band;
use solidby::units::*;

fn question() -> IceQuestion {
    let [length, width, depth] = [10.0, 8.0, 4.0].map(|cm| millimetres(10.0 * cm));
    let block = Block::Shape(Shape::Box { length, width, depth });
    let air = Some(celsius(-18.0));
    IceQuestion { count: 4, air, ..IceQuestion::of(block).unwrap() }
}

fn fit(notes: &[(f64, IceObservation)], memory: &mut EveningCache) -> Fit {
    let told = FreezerTold { air: question().air, ..FreezerTold::default() };
    let note = |(h, seen): &(f64, IceObservation)| {
        let observations = vec![Timed { after: hours(*h), seen: *seen }];
        let note = IceNote { question: question(), told, observations };
        Dated { note, age_days: 0.0, anew: false }
    };
    let notes: Vec<_> = notes.iter().map(note).collect();
    fit_ice(&notes, told, memory).unwrap().unwrap().0
}

fn answered(fit: &Fit, by: f64) -> IceAnswer {
    let posterior = fit.posterior.clone();
    answer(&IceQuestion { posterior, by: Some(hours(by)), ..question() }).unwrap()
}

#[test]
fn the_later_it_was_wet_the_less_likely_it_is_solid_early() {
    let mut memory = EveningCache::default();
    let after = [5.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 16.0, 20.0, 40.0, 100.0, 400.0];
    for count in [1, 2, 5, 10] {
        let mut before = 1.0;
        for wet in after {
            let fit = fit(&vec![(wet, IceObservation::Wet); count], &mut memory);
            let then = answered(&fit, 11.0);
            let (chance, band) = (then.chance.unwrap(), then.solid_h.unwrap());
            println!(
                "{count:2} × wet after {wet:5} h: chance of 11 h {chance:.3}, {band:.1?}, trouble {:.2?}, {:.0} effective, {} moves",
                fit.posterior.trouble(),
                fit.effort.effective,
                fit.effort.moves
            );
            // 256 kitchens tell a chance within some 2 %.
            assert!(chance <= before + 0.03, "{count} × {wet} h: {before} becomes {chance}");
            before = before.min(chance);
            // An evening is 8 % slower or quicker than another.
            if wet >= 13.0 {
                assert!(chance <= 0.12 && band.p50 > 0.92 * wet, "{chance}, {band:?}");
                assert!(band.p95 > 1.2 * wet, "{band:?}");
            }
            if wet >= 13.0 {
                assert!(fit.posterior.trouble().is_some_and(|slower| slower > 1.2));
            }
            assert!(fit.notes.iter().all(|note| !note.odd));
        }
    }
}

#[test]
fn more_notes_of_a_slow_freezer_narrow_its_band_about_what_they_say() {
    let mut memory = EveningCache::default();
    fit(&[(18.0, IceObservation::Wet)], &mut memory);
    let notes = |count: usize, memory: &mut EveningCache| {
        let pair = [(18.0, IceObservation::Wet), (24.0, IceObservation::Solid)];
        let notes: Vec<_> = pair.into_iter().cycle().take(2 * count).collect();
        answered(&fit(&notes, memory), 40.0).solid_h.unwrap()
    };
    let (few, many) = (notes(1, &mut memory), notes(5, &mut memory));
    println!("1 pair {few:?}, 5 pairs {many:?}");
    let spread = |band: Band| band.p95 / band.p05;
    assert!((17.0..26.0).contains(&few.p50) && (18.0..24.5).contains(&many.p50));
    assert!(spread(many) < spread(few));
    // The same the other way: solid long before any kitchen's would be.
    let quick = answered(&fit(&[(0.7, IceObservation::Solid); 5], &mut memory), 11.0);
    assert!(quick.solid_h.unwrap().p50 < 0.8, "{:?}", quick.solid_h);
}

#[test]
fn a_freezer_as_the_tables_have_it_has_no_trouble() {
    let mut memory = EveningCache::default();
    for notes in [
        vec![(5.0, IceObservation::Solid)],
        vec![(3.0, IceObservation::Wet), (6.0, IceObservation::Solid)],
        vec![(5.0, IceObservation::Air(celsius(-17.0)))],
    ] {
        assert_eq!(fit(&notes, &mut memory).posterior.trouble(), None, "{notes:?}");
    }
}

fn baked() -> DoughQuestion {
    DoughQuestion {
        thickness: millimetres(6.0),
        faces: Some(solidby::drying::solver::Faces::Two),
        ..super::diary_ovens::question()
    }
}

fn fit_baked(notes: &[Vec<(f64, DoughObservation)>]) -> Fit {
    let note = |seen: &Vec<(f64, DoughObservation)>| {
        let timed = |(h, seen): &(f64, DoughObservation)| Timed { after: hours(*h), seen: *seen };
        let observations = seen.iter().map(timed).collect();
        let note = DoughNote { question: baked(), told: OvenTold::default(), observations };
        Dated { note, age_days: 0.0, anew: false }
    };
    let notes: Vec<_> = notes.iter().map(note).collect();
    let dough: &Dough = &baked().dough;
    fit_dough(&notes, dough, OvenTold::default()).unwrap().unwrap().0
}

fn hard_h(fit: &Fit) -> Band {
    let question = DoughQuestion { posterior: fit.posterior.clone(), ..baked() };
    dough::answer(&question).unwrap().hard_h.unwrap()
}

#[test]
fn dough_that_stays_soft_is_believed() {
    let mut before = 0.0;
    for soft in [2.0, 6.0, 10.0, 14.0, 20.0, 40.0, 100.0] {
        let fit = fit_baked(&vec![vec![(soft, DoughObservation::Soft)]; 5]);
        let band = hard_h(&fit);
        println!("5 × soft after {soft} h: {band:.1?}, trouble {:.2?}", fit.posterior.trouble());
        assert!(band.p50 > soft && band.p50 > 0.97 * before, "{soft} h: {band:?}");
        before = band.p50;
        let trouble = fit.posterior.trouble();
        assert!(trouble.is_some() || soft < 20.0, "{soft}: {trouble:?}");
        assert!(trouble.is_none() || soft > 10.0, "{soft}: {trouble:?}");
    }
}

/// A piece that weighs after 30 hours what any kitchen's weighs after some two.
#[test]
fn dough_that_stays_heavy_is_believed() {
    let wet = dough::weights(&baked()).unwrap();
    let between = 0.5 * (wet.wet + wet.firm.unwrap());
    let weight = |h: f64, g: f64| (h, DoughObservation::Weight(grams(g)));
    let fit = fit_baked(&vec![vec![weight(0.0, wet.wet), weight(30.0, between)]; 4]);
    let band = hard_h(&fit);
    println!("{band:.1?}, trouble {:.2?}, {:?}", fit.posterior.trouble(), fit.effort);
    assert!(band.p05 > 30.0, "{band:?}");
    assert!(fit.posterior.trouble().is_some_and(|slower| slower > 2.0));
}

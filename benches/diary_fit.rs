//! How long a diary of 50 notes takes to fit, every one on another block, which
//! is the worst case: run with `cargo bench --bench diary_fit`.

use std::time::Instant;

use solidby::answers::Timed;
use solidby::answers::diary::{Dated, EveningCache, fit_ice};
use solidby::answers::ice::{Block, FreezerTold, IceNote, IceObservation, IceQuestion};
use solidby::tables;
use solidby::units::hours;

fn main() {
    let moulds = tables::moulds();
    let notes: Vec<Dated<IceNote>> = (0..50)
        .map(|n| {
            let mould = &moulds[n % moulds.len()];
            let question = IceQuestion {
                count: 1 + n as u32 % 3,
                ..IceQuestion::of(Block::Shape(mould.shape().clone())).expect("a question")
            };
            let seen = |h: f64, seen| Timed { after: hours(h), seen };
            let observations =
                vec![seen(3.0, IceObservation::Wet), seen(8.0, IceObservation::Solid)];
            let note = IceNote { question, told: FreezerTold::default(), observations };
            Dated { note, age_days: (50 - n) as f64, anew: false }
        })
        .collect();
    for alike in [50, 10, 1] {
        let notes: Vec<_> = (0..50).map(|n| notes[n % alike].clone()).collect();
        let mut best = f64::INFINITY;
        for _ in 0..3 {
            let start = Instant::now();
            let fit = fit_ice(&notes, FreezerTold::default(), &mut EveningCache::default());
            let (fit, _) = fit.expect("blocks that can be").expect("notes that count");
            best = best.min(start.elapsed().as_secs_f64());
            assert_eq!(fit.counted(), 50);
        }
        println!("50 notes on {alike} different blocks: {:.0} ms", 1e3 * best);
    }
}

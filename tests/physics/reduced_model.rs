//! The coarse grid with one correction, which makes the bands, against the
//! working grid over the sampled range: within 1 %.

use rayon::prelude::*;
use solidby::answers::ice::{Block, IceQuestion, Scenario, bands};
use solidby::freezing::mesh::Resolution;
use solidby::freezing::pattern::Pattern;
use solidby::tables;
use solidby::units::minutes;

/// Draws compared for each mould: a few that spread over the whole sequence.
const EVERY: usize = 32;

#[test]
fn corrected_coarse_runs_follow_the_working_grid() {
    let errors: Vec<(String, f64, f64)> = tables::moulds()
        .par_iter()
        .map(|mould| {
            let question = IceQuestion::of(Block::Shape(mould.shape().clone())).unwrap();
            let unknowns = question.unknowns().unwrap();
            let central = question.scenario(unknowns.centre()).unwrap();
            let pattern = Pattern::of(&central.body, Resolution::Working);
            let run = |scenario: &Scenario| scenario.run_on(&pattern, minutes(2.0), false).unwrap();
            let bands = bands(&question, &unknowns).unwrap();
            let mut worst = (0.0_f64, 0.0_f64);
            for n in (0..bands.draws.len()).step_by(EVERY) {
                let scenario = question.scenario(&bands.draws[n]).unwrap();
                let fine = run(&scenario);
                let solid = 100.0 * (bands.solid_h[n] / fine.solid_h - 1.0);
                let ready = 100.0 * (bands.ready_h[n] / fine.ready_h - 1.0);
                worst = (worst.0.max(solid.abs()), worst.1.max(ready.abs()));
            }
            (mould.name().to_owned(), worst.0, worst.1)
        })
        .collect();
    for (name, solid, ready) in &errors {
        println!("{name:22} worst {solid:.2} % solid, {ready:.2} % ready");
    }
    let worst = |of: fn(&(String, f64, f64)) -> f64| errors.iter().map(of).fold(0.0, f64::max);
    let (solid, ready) = (worst(|e| e.1), worst(|e| e.2));
    println!("worst of all {solid:.2} % solid, {ready:.2} % ready");
    assert!(solid < 1.0 && ready < 1.0, "{solid:.2} % solid, {ready:.2} % ready");
}

//! How long a whole answer takes for every built-in mould, with the bias of its
//! grid beside it: run with `cargo bench --bench ice_answer`.

use std::time::Instant;

use solidby::ask::ice::{Block, IceQuestion, Unknowns, answer};
use solidby::block::mesh::Resolution;
use solidby::tables;

fn main() {
    // With the word "answers" only they are timed, without the converged runs.
    let only_answers = std::env::args().any(|argument| argument == "answers");
    let mut slowest = 0.0_f64;
    let mut bias = 0.0_f64;
    for mould in tables::moulds() {
        let question = IceQuestion {
            count: 4,
            wall: tables::wall(mould.wall()).expect("a wall"),
            ..IceQuestion::of(Block::Form(mould.form().clone())).expect("a question")
        };
        let mut best = f64::INFINITY;
        let mut found = None;
        for _ in 0..3 {
            let start = Instant::now();
            found = Some(answer(&question).expect("an answer"));
            best = best.min(1e3 * start.elapsed().as_secs_f64());
        }
        if only_answers {
            println!("{:22} {best:6.1} ms", mould.name());
            continue;
        }
        let found = found.expect("three answers");
        let unknowns = Unknowns::of(&question).expect("unknowns");
        let central = unknowns.scenario(&question, &unknowns.central()).expect("a scenario");
        let hours = |resolution| central.run(resolution, false).expect("a run").solid_h;
        let converged = hours(Resolution::Converged);
        let working = 100.0 * (hours(Resolution::Working) / converged - 1.0);
        let coarse = 100.0 * (hours(Resolution::Coarse) / converged - 1.0);
        let band = found.solid_h.expect("a band");
        println!(
            "{:22} {best:6.1} ms  solid {:5.2} h [{:5.2} {:5.2} {:5.2}]  working {working:+.2} %, coarse {coarse:+.2} % of converged",
            mould.name(),
            found.nominal.solid_h,
            band.p05,
            band.p50,
            band.p95,
        );
        slowest = slowest.max(best);
        bias = bias.max(working.abs());
    }
    println!("slowest answer {slowest:.1} ms, largest bias of the working grid {bias:.2} %");
}

//! How long a whole answer takes for every built-in mould, with the bias of its
//! grid beside it: run with `cargo bench --bench ice_answer`.

mod measure;

use std::time::Instant;

use measure::{best, exponent, thread_seconds};
use solidby::answers::ice::{Block, IceQuestion, answer};
use solidby::freezing::mesh::Resolution;
use solidby::freezing::pattern::Pattern;
use solidby::tables;
use solidby::uncertainty::Draw;
use solidby::units::minutes;

/// How the cost of the coarse runs of a question grows with their number.
fn growth(question: &IceQuestion) {
    let unknowns = question.unknowns().expect("unknowns");
    let kitchen = |draw: &Draw| question.scenario(draw).expect("a scenario");
    let coarse = Pattern::of(&kitchen(unknowns.centre()).body, Resolution::Coarse);
    let costs = [64, 128, 256, 512, 1024].map(|runs| {
        let seconds = best(3, thread_seconds, || {
            let draws = unknowns.draws(runs);
            let all = draws.iter().map(|draw| kitchen(draw).run_on(&coarse, minutes(6.0), false));
            all.collect::<Result<Vec<_>, _>>()
        });
        [runs as f64, 1e3 * seconds]
    });
    let of_256 = costs[2][1] / 256.0;
    let power = exponent(&costs);
    println!(
        "coarse runs cost {of_256:.3} ms each; the cost grows with runs to the power {power:.2}"
    );
}

fn main() {
    // With the word "answers" only they are timed, without the converged runs.
    let only_answers = std::env::args().any(|argument| argument == "answers");
    let mut slowest = 0.0_f64;
    let mut bias = 0.0_f64;
    for mould in tables::moulds() {
        let question = IceQuestion {
            count: 4,
            wall: mould.wall(),
            ..IceQuestion::of(Block::Shape(mould.shape().clone())).expect("a question")
        };
        let mut least = f64::INFINITY;
        let mut found = None;
        for _ in 0..3 {
            let start = Instant::now();
            found = Some(answer(&question).expect("an answer"));
            least = least.min(1e3 * start.elapsed().as_secs_f64());
        }
        if only_answers {
            println!("{:22} {least:6.1} ms", mould.name());
            continue;
        }
        let found = found.expect("three answers");
        let unknowns = question.unknowns().expect("unknowns");
        let central = question.scenario(unknowns.centre()).expect("a scenario");
        let hours = |resolution| central.run(resolution, false).expect("a run").solid_h;
        let converged = hours(Resolution::Converged);
        let working = 100.0 * (hours(Resolution::Working) / converged - 1.0);
        let coarse = 100.0 * (hours(Resolution::Coarse) / converged - 1.0);
        let band = found.solid_h.expect("a band");
        println!(
            "{:22} {least:6.1} ms  solid {:5.2} h [{:5.2} {:5.2} {:5.2}]  working {working:+.2} %, coarse {coarse:+.2} % of converged",
            mould.name(),
            found.nominal.solid_h,
            band.p05,
            band.p50,
            band.p95,
        );
        slowest = slowest.max(least);
        bias = bias.max(working.abs());
    }
    println!("slowest answer {slowest:.1} ms, largest bias of the working grid {bias:.2} %");
    let fox = tables::mould("fox").expect("a mould");
    growth(&IceQuestion::of(Block::Shape(fox.shape().clone())).expect("a question"));
}

//! Answers at the edge of what is asked: hot, thick, cold, many.

use serde_json::Value;

use crate::run::Run;

/// Sunday evening at six.
const NOW: &str = "2026-12-06T18:00:00";

fn asked(question: &str) -> Run {
    // What stands between bars is one word.
    let words = question.split('|').enumerate().flat_map(|(n, part)| match n % 2 {
        0 => part.split_whitespace().collect(),
        _ => vec![part],
    });
    let diary = if question.starts_with("ice") || question.starts_with("dough") {
        &["--no-diary"][..]
    } else {
        &[]
    };
    let fixed = ["--now", NOW, "--zone", "America/Denver"];
    Run::of(&words.collect::<Vec<_>>()).with(&fixed).with(diary)
}

/// The words of a short answer, on one line.
fn said(question: &str) -> String {
    let answer = asked(question).with(&["--units", "metric"]).succeeds().stdout;
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(question: &str) -> Value {
    serde_json::from_str(&asked(question).with(&["--json"]).succeeds().stdout).unwrap()
}

/// A middle that is still damp holds twice the heat: on the first screen, as a number.
#[test]
fn a_damp_piece_cools_longer() {
    let thick = "cool --thickness 25mm --from 93C";
    let words = said(thick);
    assert!(words.contains("34 min if it is dry through, 1 h 05 min if its middle may be"));
    let answer = json(thick);
    let minutes = |name: &str| answer[name].as_f64().unwrap();
    let times = minutes("damp_piece_child_min") / minutes("piece_child_min");
    assert!((1.9..2.1).contains(&times), "{times}");
    // By then a piece of 1 mm is as cool as a dry one.
    let thin = said("cool --thickness 1mm --from 93C");
    assert!(!thin.contains("may be damp"), "{thin}");
}

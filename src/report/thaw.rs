//! The answer on thawing in words.

use super::answers::{Row, Said, band, time};
use crate::answers::thaw::ThawAnswer;

/// The answer of `solidby thaw`.
pub fn thaw(answer: &ThawAnswer, width: usize) -> String {
    let rows = [
        ("wet", "the face no longer sticks to skin", &answer.wet_h),
        ("soft", "the middle is at 0 °C", &answer.soft_h),
        ("half", "half of the ice is gone", &answer.half_h),
        ("gone", "all of it is gone", &answer.gone_h),
    ]
    .map(|(head, words, of)| Row::of(head, format!("{}: {words}", band(of))));
    let said = Said {
        headline: format!(
            "Let it stand {} before anybody touches it; half of it lasts {}.",
            time(answer.wet_h.p95),
            time(answer.half_h.p50)
        ),
        rows: rows.to_vec(),
        cautions: answer.cautions.clone(),
        notes: answer.notes.clone(),
        ..Said::default()
    };
    said.lines(10, width)
}

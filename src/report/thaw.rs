//! The answer on thawing in words.

use anstyle::Style;

use super::{
    answers::{self, band, time},
    lines::{Lines, styles},
};
use crate::answers::thaw::ThawAnswer;

/// The answer of `solidby thaw`.
pub fn thaw(answer: &ThawAnswer, width: usize) -> String {
    let mut lines = Lines::new(width);
    let headline = format!(
        "Let it stand {} before anybody touches it; half of it lasts {}.",
        time(answer.wet_h.p95),
        time(answer.half_h.p50)
    );
    lines.line(&headline, styles::ANSWER);
    lines.blank();
    for (head, words, of) in [
        ("wet", "the face no longer sticks to skin", &answer.wet_h),
        ("soft", "the middle is at 0 °C", &answer.soft_h),
        ("half", "half of the ice is gone", &answer.half_h),
        ("gone", "all of it is gone", &answer.gone_h),
    ] {
        let words = format!("{}: {words}", band(of));
        lines.hang(&format!("  {head:<8}"), "          ", &words, Style::new());
    }
    answers::cautions(&mut lines, &answer.cautions);
    answers::notes(&mut lines, &answer.notes);
    lines.finish()
}

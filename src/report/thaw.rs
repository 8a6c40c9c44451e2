//! The answer on thawing in words.

use super::answers::{Length, Row, Said, band, cares, time};
use crate::{
    answers::thaw::ThawAnswer,
    units::{Locale, celsius, show_temperature},
};

/// The answer of `solidby thaw`.
pub fn thaw(answer: &ThawAnswer, locale: Locale, width: usize, length: Length) -> String {
    thaw_said(answer, locale).lines(10, width, length)
}

/// The same before it is set as lines or as a page.
pub fn thaw_said(answer: &ThawAnswer, locale: Locale) -> Said {
    let rows = [
        ("wet", "the face no longer sticks to skin", &answer.wet_h),
        (
            "soft",
            &*format!("the middle is at {}", show_temperature(celsius(0.0), locale.units)),
            &answer.soft_h,
        ),
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
        cautions: cares(&answer.cautions, locale),
        notes: answer.notes.clone(),
        ..Said::default()
    };
    said.spelled(locale)
}

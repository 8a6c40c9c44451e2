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
        headline: headline(answer),
        taken: answer.kept_in.iter().cloned().collect(),
        rows: rows.to_vec(),
        cautions: cares(&answer.cautions, locale),
        notes: answer.notes.clone(),
        ..Said::default()
    };
    said.spelled(locale)
}

fn headline(answer: &ThawAnswer) -> String {
    let stand = time(answer.wet_h.p95);
    match (answer.wet_h.p95.is_finite(), answer.half_h.p50.is_finite()) {
        (true, true) => {
            let half = time(answer.half_h.p50);
            format!("Let it stand {stand} before anybody touches it; half of it lasts {half}.")
        }
        (true, false) => format!(
            "Let it stand {stand} before anybody touches it; in so cold and dry a room half of it \
             may never melt."
        ),
        (false, _) => "In so cold and dry a room it may not melt at all: let it stand in a warmer \
                       one until its face is wet, before anybody touches it."
            .to_owned(),
    }
}

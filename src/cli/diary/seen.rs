//! What was seen, as typed: `06:30 wet`, `after 2 h weight 41 g`, `21:00 air -17 C`.

use chrono::DateTime;
use serde::Serialize;

use crate::{
    answers::{Timed, dough::DoughObservation, ice::IceObservation},
    cli::{context::Context, failure::Failure},
    report::faults::Wrong,
    units::{
        QuantityError, TimeError, duration, hours, hours_between, in_celsius, in_hours, mass,
        read_time, temperature, zone::Zone,
    },
};

/// A look or a measurement in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Looked {
    /// Hours after it went in.
    pub after_h: f64,
    /// `wet`, `solid`, `core -2 C`, `weight 41 g` …
    pub what: String,
}

const WORDS: [&str; 8] = ["wet", "some", "solid", "core", "air", "weight", "soft", "hard"];

/// A look this long after it went in teaches nothing, h.
const LONGEST_H: f64 = 60.0 * 24.0;

/// Reads when and what; a bare time is the next one after it went in.
///
/// # Errors
/// An input failure with an example.
pub fn read(
    text: &str,
    at: DateTime<Zone>,
    now: DateTime<Zone>,
    context: Context,
) -> Result<Looked, Failure> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let Some(first) = words.iter().position(|word| WORDS.contains(word)) else {
        return Err(wrong(format!(
            "“{text}” does not say what was seen; for example “06:30 wet”, “08:00 solid”, \
             “after 2 h weight 41 g”"
        )));
    };
    let (when, what) = words.split_at(first);
    let (when, what) = (when.join(" "), what.join(" "));
    let after_h = match when.strip_prefix("after ") {
        Some(text) => {
            let time = duration(text);
            in_hours(time.map_err(wrong)?)
        }
        None => hours_between(at, read_time(&when, now, at).map_err(context.timed("seen"))?),
    };
    if !(0.0..=LONGEST_H).contains(&after_h) {
        return Err(wrong(format!(
            "“{text}” is not within 60 days after it went in ({})",
            context.locale().day_and_time(&at)
        )));
    }
    Ok(Looked { after_h, what })
}

/// Refuses looks that are still to come; told as they were typed.
///
/// # Errors
/// An input failure for the first of them.
pub fn happened(
    looked: &[Looked],
    typed: &[String],
    at: DateTime<Zone>,
    now: DateTime<Zone>,
) -> Result<(), Failure> {
    let open = hours_between(at, now) + LATE_H;
    match looked.iter().zip(typed).find(|(looked, _)| looked.after_h > open) {
        Some((_, typed)) => {
            let words = TimeError::ToCome(typed.clone()).to_string();
            Err(Failure::of("seen", Wrong::Typed(words)))
        }
        None => Ok(()),
    }
}

/// A clock may be late by so much, h: a minute.
const LATE_H: f64 = 1.0 / 60.0;

/// The observations of a note on ice.
///
/// # Errors
/// An input failure for what cannot be seen of ice.
pub fn ice(looked: &[Looked]) -> Result<Vec<Timed<IceObservation>>, Failure> {
    let known = "wet, some wet, solid, core -2 C, air -17 C, weight 290 g";
    in_kitchens(observations(looked, known, |word, value| {
        Ok(Some(match (word, value) {
            ("wet", "") => IceObservation::Wet,
            ("some", "wet") => IceObservation::SomeWet,
            ("solid", "") => IceObservation::Solid,
            ("core", t) => IceObservation::Core(temperature(t)?),
            ("air", t) => IceObservation::Air(temperature(t)?),
            ("weight", m) => IceObservation::Weight(mass(m)?),
            _ => return Ok(None),
        }))
    })?)
}

/// Refuses what no thermometer in a freezer shows.
fn in_kitchens(
    observations: Vec<Timed<IceObservation>>,
) -> Result<Vec<Timed<IceObservation>>, Failure> {
    for timed in &observations {
        if let IceObservation::Core(t) | IceObservation::Air(t) = timed.seen
            && !(COLDEST_C..=WARMEST_C).contains(&in_celsius(t))
        {
            let range = "-60 °C and 60 °C";
            return Err(Failure::of("seen", Wrong::Outside { range, example: "core -2 C" }));
        }
    }
    Ok(observations)
}

/// No freezer of a household is colder, and nobody pours warmer water, °C.
const COLDEST_C: f64 = -60.0;
const WARMEST_C: f64 = 60.0;

/// The observations of a note on dough.
///
/// # Errors
/// An input failure for what cannot be seen of dough.
pub fn dough(looked: &[Looked]) -> Result<Vec<Timed<DoughObservation>>, Failure> {
    observations(looked, "soft, hard, weight 41 g", |word, value| {
        Ok(Some(match (word, value) {
            ("soft", "") => DoughObservation::Soft,
            ("hard", "") => DoughObservation::Hard,
            ("weight", m) => DoughObservation::Weight(mass(m)?),
            _ => return Ok(None),
        }))
    })
}

/// Each by its word and the value behind it; `known` are the words that there are.
fn observations<S>(
    looked: &[Looked],
    known: &str,
    read: impl Fn(&str, &str) -> Result<Option<S>, QuantityError>,
) -> Result<Vec<Timed<S>>, Failure> {
    let one = |it: &Looked| {
        let (word, value) = it.what.split_once(' ').unwrap_or((&it.what, ""));
        let not_seen = || wrong(format!("“{}” is none of: {known}", it.what));
        let seen = read(word, value).map_err(wrong)?.ok_or_else(not_seen)?;
        Ok(Timed { after: hours(it.after_h), seen })
    };
    looked.iter().map(one).collect()
}

fn wrong(words: impl ToString) -> Failure {
    Failure::of("seen", Wrong::Typed(words.to_string()))
}

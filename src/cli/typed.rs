//! Readers of typed values for the argument parser.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use crate::units::{DiffusionCoefficient, HeatTransfer, System, diffusivity, film};

/// A count that is none, or too large a one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountError {
    /// What was typed.
    pub typed: String,
    /// The lower limit.
    pub least: u32,
    /// The upper limit.
    pub most: u32,
    /// The same as the argument parser says it.
    words: String,
}

impl std::error::Error for CountError {}

impl std::fmt::Display for CountError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.words)
    }
}

/// A whole number from `LEAST` to `MOST`.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn count<const LEAST: u32, const MOST: u32>(text: &str) -> Result<u32, CountError> {
    let wrong = |words| CountError { typed: text.to_owned(), least: LEAST, most: MOST, words };
    match text.parse::<i64>() {
        Ok(number) => u32::try_from(number)
            .ok()
            .filter(|number| (LEAST..=MOST).contains(number))
            .ok_or_else(|| wrong(format!("{number} is not in {LEAST}..={MOST}"))),
        Err(_) => {
            let digits: String = text.trim().chars().take_while(char::is_ascii_digit).collect();
            let example = if digits.is_empty() { "4" } else { &digits };
            Err(wrong(format!(
                "it is a whole number from {LEAST} to {MOST}, for example {example}"
            )))
        }
    }
}

/// Words that mean something each: the word, what it says of itself, what it means.
pub type Words<T> = &'static [(&'static str, &'static str, T)];

/// Reads one of some words.
pub fn word<T: Copy + Send + Sync>(words: Words<T>) -> impl TypedValueParser<Value = T> {
    let known = words.iter().map(|(word, about, _)| PossibleValue::new(*word).help(*about));
    PossibleValuesParser::new(known).try_map(move |typed| {
        let meant = words.iter().find(|(word, ..)| *word == typed);
        meant.map(|(.., meaning)| *meaning).ok_or("no such word")
    })
}

/// A number of W/m²K, bare or with the unit.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn film_number(text: &str) -> Result<HeatTransfer, String> {
    let bare = text.trim().trim_end_matches("W/m2K").trim_end_matches("W/m²K").trim();
    match bare.parse::<f64>() {
        Ok(value) if (0.0..=1e5).contains(&value) => Ok(film(value)),
        _ => Err(format!("“{text}” is not a film coefficient in W/m²K; for example “10”")),
    }
}

/// Film coefficients of top, side and base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Films {
    /// Open top.
    pub top: HeatTransfer,
    /// Walls.
    pub side: HeatTransfer,
    /// Base.
    pub base: HeatTransfer,
}

/// `10`, or `top=10,side=8,base=50`.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn films(text: &str) -> Result<Films, String> {
    if !text.contains('=') {
        let all = film_number(text)?;
        return Ok(Films { top: all, side: all, base: all });
    }
    let mut faces = [None; 3];
    for part in text.split(',') {
        let wrong = || format!("“{part}” is not a face; for example “top=10,side=8,base=50”");
        let (face, value) = part.split_once('=').ok_or_else(wrong)?;
        let names = ["top", "side", "base"];
        let position = names.iter().position(|name| *name == face.trim()).ok_or_else(wrong)?;
        if let Some(slot) = faces.get_mut(position) {
            *slot = Some(film_number(value)?);
        }
    }
    match faces {
        [Some(top), Some(side), Some(base)] => Ok(Films { top, side, base }),
        _ => Err("all three faces are needed; for example “top=10,side=8,base=50”".to_owned()),
    }
}

/// A number of m²/s, bare or with the unit.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn diffusivity_number(text: &str) -> Result<DiffusionCoefficient, String> {
    let bare = text.trim().trim_end_matches("m2/s").trim_end_matches("m²/s").trim();
    match bare.parse::<f64>() {
        Ok(value) if (1e-14..1e-3).contains(&value) => Ok(diffusivity(value)),
        _ => Err(format!(
            "“{text}” is not a diffusivity in m²/s between 1e-14 and 1e-3; for example “3e-11”"
        )),
    }
}

/// How many hours a clock shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dial {
    /// Twelve, twice a day.
    Twelve,
    /// All of a day.
    TwentyFour,
}

/// `12` or `24`.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn clock(text: &str) -> Result<Dial, String> {
    match text {
        "12" => Ok(Dial::Twelve),
        "24" => Ok(Dial::TwentyFour),
        _ => Err("use “12” or “24”".to_owned()),
    }
}

/// `us` or `metric`.
///
/// # Errors
/// What is wrong, for the argument parser to show.
pub fn system(text: &str) -> Result<System, String> {
    System::named(text).ok_or_else(|| "use “us” or “metric”".to_owned())
}

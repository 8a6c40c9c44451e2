//! How long salt dough bakes or air-dries, what to weigh, and what can go wrong.

mod inputs;
mod risks;
mod ways;

use rayon::prelude::*;
use serde::Serialize;

use super::shared::{AskError, CautionText, Help, Unknowns, Unsure, cautions_at};
use crate::belief::Band;
use crate::dough::drying::{CELLS, Faces, NeverDry, Outcome, Point, drying_limit};
use crate::dough::recipe::Recipe;
use crate::tables;
use crate::transfer::psychrometrics::standard_pressure;
use crate::units::{
    DiffusionCoefficient, HeatTransfer, Length, Pressure, Ratio, System, ThermodynamicTemperature,
    Time, Volume, cubic_metres, in_celsius, in_fraction, in_grams, in_hours, in_metres,
    in_millimetres, millimetres,
};
use inputs::{Inputs, PRIORS};

pub use risks::{Level, Risk, RiskId};
pub use ways::{Way, WaysOut, ways_out};

/// Across, where the user did not say: an ordinary round ornament.
const USUAL_SIZE_MM: f64 = 75.0;
/// The youngest in the groups this is for, years.
const YOUNGEST: f64 = 2.0;

/// What the dough is.
#[derive(Debug, Clone, PartialEq)]
pub enum Dough {
    /// A recipe of the tables, measured in cups.
    Named(String),
    /// Amounts measured by volume.
    ByCups(Recipe),
    /// Amounts weighed.
    Weighed(Recipe),
}

/// How it is dried.
#[derive(Debug, Clone, PartialEq)]
pub enum Method {
    /// In an oven set to a temperature, of a kind of the tables (`still`, `fan`).
    Oven(ThermodynamicTemperature, String),
    /// In the room.
    Air,
}

/// Conditions prescribed for checking: no scatter, no warm-up, no load on the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exact {
    /// Convective film; radiation of a grey face stays.
    pub film: Option<HeatTransfer>,
    /// Constant diffusivity.
    pub diffusivity: Option<DiffusionCoefficient>,
}

/// A question about salt dough. What is `None` is unknown and widens the band.
#[derive(Debug, Clone, PartialEq)]
pub struct DoughQuestion {
    /// Thickness rolled.
    pub thickness: Length,
    /// Size across.
    pub size: Option<Length>,
    /// Width of a hole.
    pub hole: Option<Length>,
    /// Pieces dried at once.
    pub count: u32,
    /// The dough.
    pub dough: Dough,
    /// Oven or air.
    pub method: Method,
    /// Temperature of the room.
    pub room: Option<ThermodynamicTemperature>,
    /// Relative humidity of the room.
    pub humidity: Option<Ratio>,
    /// Height above sea level.
    pub altitude: Length,
    /// Open faces; turned in the oven and both in air where not said.
    pub faces: Option<Faces>,
    /// Time in air before the oven.
    pub pre_dry: Option<Time>,
    /// Oven settings before the last one, each with its time.
    pub oven_steps: Vec<(ThermodynamicTemperature, Time)>,
    /// Prescribed conditions.
    pub exact: Option<Exact>,
    /// Units of the words.
    pub units: System,
}

/// Wet and dry mass of one piece, g.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeighGrams {
    /// As shaped.
    pub wet: f64,
    /// When dry: stop at this.
    pub dry: Option<f64>,
}

/// The answer, as `solidby dough --json` prints it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoughAnswer {
    /// No brine left in the core, hours; `null` where it never happens.
    pub hard_h: Option<Band>,
    /// In balance with the room, hours; `null` where it never happens.
    pub dry_h: Option<Band>,
    /// With the central inputs, hours.
    pub nominal: Nominal,
    /// It takes up water instead of losing it, or takes longer than a year.
    pub never_dries: bool,
    /// Why.
    pub reason: Option<String>,
    /// Fraction of the wet mass lost when dry.
    pub mass_loss: Option<f64>,
    /// What to weigh.
    pub weigh_g: WeighGrams,
    /// Water activity as mixed.
    pub water_activity_start: f64,
    /// When to turn it over, hours, where it is turned.
    pub turn_h: Option<f64>,
    /// What can go wrong, and the change that removes it.
    pub risks: Vec<Risk>,
    /// Changes that save time.
    pub helps: Vec<Help>,
    /// What widens the band.
    pub unsure: Vec<Unsure>,
    /// Words of care.
    pub cautions: Vec<CautionText>,
    /// What was assumed.
    pub notes: Vec<String>,
}

/// Central answer, hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Nominal {
    /// No brine left.
    pub hard_h: Option<f64>,
    /// In balance with the room.
    pub dry_h: Option<f64>,
}

/// A question checked: tables looked up, ranges held.
#[derive(Debug, Clone)]
struct Checked<'a> {
    asked: &'a DoughQuestion,
    recipe: Recipe,
    oven: Option<(ThermodynamicTemperature, &'static tables::Oven)>,
    faces: Faces,
    size: Length,
    pressure: Pressure,
}

impl DoughQuestion {
    fn checked(&self) -> Result<Checked<'_>, AskError> {
        self.check_ranges()?;
        let recipe = match &self.dough {
            Dough::Named(name) => {
                let row = tables::recipe(name)?;
                Recipe::by_mass(row.flour(), row.salt(), row.water())?
            }
            Dough::ByCups(recipe) | Dough::Weighed(recipe) => *recipe,
        };
        let oven = match &self.method {
            Method::Oven(at, kind) => Some((*at, tables::oven(kind)?)),
            Method::Air => None,
        };
        let usual = if oven.is_some() { Faces::Turn } else { Faces::Two };
        Ok(Checked {
            asked: self,
            recipe,
            oven,
            faces: self.faces.unwrap_or(usual),
            size: self.size.unwrap_or_else(|| millimetres(USUAL_SIZE_MM)),
            pressure: standard_pressure(self.altitude),
        })
    }

    fn check_ranges(&self) -> Result<(), AskError> {
        let inside = |value: f64, (low, high): (f64, f64), error: [&'static str; 4]| {
            let [field, least, largest, example] = error;
            if (low..=high).contains(&value) {
                return Ok(());
            }
            Err(AskError::OutOfRange { field, low: least, high: largest, example })
        };
        let mm = in_millimetres(self.thickness);
        inside(mm, (1.0, 50.0), ["the thickness", "1 mm", "50 mm", "6 mm"])?;
        if let Some(size) = self.size {
            inside(in_millimetres(size), (10.0, 500.0), ["the size", "10 mm", "50 cm", "75 mm"])?;
        }
        if let Some(hole) = self.hole {
            let largest = 0.9 * in_millimetres(self.size.unwrap_or(millimetres(USUAL_SIZE_MM)));
            let words = ["the hole", "1 mm", "nine tenths of the size", "5 mm"];
            inside(in_millimetres(hole), (1.0, largest), words)?;
        }
        let last = match self.method {
            Method::Oven(at, _) => Some(at),
            Method::Air => None,
        };
        for at in self.oven_steps.iter().map(|(at, _)| *at).chain(last) {
            inside(in_celsius(at), (40.0, 200.0), ["the oven", "40 C", "200 C", "93 C"])?;
        }
        for (_, lasts) in &self.oven_steps {
            inside(in_hours(*lasts), (0.0, 48.0), ["an oven step", "0 h", "48 h", "1 h"])?;
        }
        if let Some(room) = self.room {
            inside(in_celsius(room), (5.0, 40.0), ["the room", "5 C", "40 C", "20 C"])?;
        }
        if let Some(humidity) = self.humidity {
            let words = ["the humidity", "5 %", "100 %", "45 %"];
            inside(in_fraction(humidity), (0.05, 1.0), words)?;
        }
        let altitude = in_metres(self.altitude);
        inside(altitude, (-430.0, 5000.0), ["the altitude", "-430 m", "5000 m", "1600 m"])?;
        if let Some(pre_dry) = self.pre_dry {
            let words = ["the time in air before the oven", "0 h", "30 days", "24 h"];
            inside(in_hours(pre_dry), (0.0, 720.0), words)?;
        }
        let count = f64::from(self.count);
        inside(count, (1.0, 1000.0), ["the count", "1", "1000", "11"])
    }
}

impl Checked<'_> {
    /// Area of one piece from above, less its hole.
    fn area(&self) -> f64 {
        let disc = |across: Length| std::f64::consts::PI / 4.0 * in_metres(across).powi(2);
        disc(self.size) - self.asked.hole.map_or(0.0, disc)
    }

    fn volume(&self) -> Volume {
        cubic_metres(self.area() * in_metres(self.asked.thickness))
    }

    /// Central run; a turned piece finds its half-way time here.
    fn nominal(&self, unknowns: &Unknowns) -> (Inputs, Outcome) {
        let inputs = Inputs::of(self, &unknowns.centre);
        let outcome = inputs.drying(self, None, CELLS).run();
        (inputs, outcome)
    }

    fn outcomes(&self, unknowns: &Unknowns, turn_at: Option<Time>) -> Vec<[f64; 2]> {
        let hours_or_never = |time: Result<Time, NeverDry>| time.map_or(f64::INFINITY, in_hours);
        unknowns
            .runs
            .par_iter()
            .map(|row| {
                let outcome = Inputs::of(self, row).drying(self, turn_at, CELLS).run();
                [hours_or_never(outcome.hard), hours_or_never(outcome.dry)]
            })
            .collect()
    }
}

/// The prior names that bear on this question.
fn prior_names(question: &DoughQuestion) -> Vec<&'static str> {
    PRIORS
        .iter()
        .map(|names| {
            let given = match names.0 {
                inputs::Kind::Always => true,
                inputs::Kind::Room => question.room.is_some(),
                inputs::Kind::Humidity => question.humidity.is_some(),
                inputs::Kind::Measure => matches!(question.dough, Dough::Weighed(_)),
            };
            if given { names.1 } else { names.2 }
        })
        .collect()
}

/// Answers from [`crate::belief::RUNS`] runs of the drying solver over all unknowns.
///
/// # Errors
/// [`AskError`] for names no table knows and values outside the model's range.
pub fn answer(question: &DoughQuestion) -> Result<DoughAnswer, AskError> {
    let checked = question.checked()?;
    let unknowns = Unknowns::named(&prior_names(question))?;
    let (inputs, nominal) = checked.nominal(&unknowns);
    let hard = nominal.hard.ok().map(in_hours);
    let dry = nominal.dry.ok().map(in_hours);
    let (hard_band, dry_band, unsure) = if question.exact.is_some() {
        let one = |hours: Option<f64>| hours.map(|h| Band { p05: h, p50: h, p95: h });
        (one(hard), one(dry), Vec::new())
    } else if hard.is_none() && dry.is_none() {
        (None, None, Vec::new())
    } else {
        let runs = checked.outcomes(&unknowns, nominal.turned);
        let column = |n: usize| runs.iter().map(|run| run[n]).collect::<Vec<f64>>();
        let band = |nominal: Option<f64>, n| nominal.and_then(|_| Band::of(&column(n)));
        (band(hard, 0), band(dry, 1), unknowns.unsure(&column(1)))
    };
    let loss = inputs.recipe.mass_loss(inputs.room.air, inputs.room.humidity);
    let wet = inputs.recipe.density().value * checked.volume().value * 1e3;
    Ok(DoughAnswer {
        hard_h: hard_band,
        dry_h: dry_band,
        nominal: Nominal { hard_h: hard, dry_h: dry },
        never_dries: nominal.dry.is_err(),
        reason: nominal.dry.err().map(|why| reason(&checked, why)),
        mass_loss: loss.map(in_fraction),
        weigh_g: WeighGrams {
            wet,
            dry: loss.map(|loss| in_grams(inputs.recipe.piece(checked.volume(), loss).dry)),
        },
        water_activity_start: in_fraction(inputs.recipe.water_activity(inputs.room.air)),
        turn_h: nominal.turned.map(in_hours),
        risks: risks::risks(&checked, &inputs, &nominal),
        helps: ways::helps(&checked, &unknowns, &nominal),
        unsure,
        cautions: cautions_at(steps(&checked), YOUNGEST),
        notes: notes(&checked, &inputs),
    })
}

/// The central course of moisture and temperature, for a chart.
///
/// # Errors
/// As [`answer`].
pub fn course(question: &DoughQuestion) -> Result<Vec<Point>, AskError> {
    let checked = question.checked()?;
    let unknowns = Unknowns::named(&prior_names(question))?;
    let inputs = Inputs::of(&checked, &unknowns.centre);
    Ok(inputs.drying(&checked, None, CELLS).run_traced(true).trace)
}

fn reason(checked: &Checked<'_>, why: NeverDry) -> String {
    let instead = match (why, checked.oven) {
        (NeverDry::TooHumid { .. }, _) => {
            "Dry it in the oven, or in a warm, heated room or one with a dehumidifier below 60 %, then seal every side and keep it in a closed tin."
        }
        (NeverDry::TooSlow, None) => "Roll it thinner, dry both faces on a rack, or use the oven.",
        (NeverDry::TooSlow, Some(_)) => "Roll it thinner or set the oven higher.",
    };
    let why = why.to_string();
    let mut letters = why.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}. {instead}", letters.as_str())
}

fn steps(checked: &Checked<'_>) -> &'static [&'static str] {
    match checked.oven {
        Some(_) => &["mix", "roll", "bake", "cool"],
        None => &["mix", "roll", "air-dry"],
    }
}

fn notes(checked: &Checked<'_>, inputs: &Inputs) -> Vec<String> {
    let asked = checked.asked;
    let mut notes = Vec::new();
    let mut note = |text: &str| notes.push(text.to_owned());
    if asked.exact.is_some() {
        note("Conditions are prescribed: one run, no band, no warm-up.");
    } else {
        note(
            "How fast water moves in salt dough is known only within a factor of two; the band says so. The kitchen scale is the best test of done.",
        );
    }
    if asked.size.is_none() {
        note("Weights are for a round piece 75 mm (3 in) across; give the size for yours.");
    }
    if checked.oven.is_some() && asked.exact.is_none() {
        note("Time counts from switching on a cold oven with the pieces in it.");
    }
    if checked.faces == Faces::One {
        note("Only the upper face dries; turning half-way or a wire rack saves time.");
    }
    if checked.oven.is_some() && inputs.room.humidity >= drying_limit(inputs.room.air) {
        note(
            "The room is too moist for a balance: dry means as in a room of 70 %. Seal at once after cooling.",
        );
    }
    notes
}

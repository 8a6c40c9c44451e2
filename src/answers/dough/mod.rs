//! How long salt dough bakes or air-dries, what to weigh, and what can go wrong.

mod coats;
mod inputs;
mod marks;
mod note;
mod question;
mod risks;
mod runs;
mod ways;

use schemars::JsonSchema;
use serde::Serialize;

use super::AskError;
use super::advice::{Help, Note, Unsure, unsure};
use super::caution::{CautionText, cautions_at};
use crate::drying::solver::{FIRM, Faces, NeverDry, Point, drying_limit};
use crate::tables::Step;
use crate::uncertainty::{Band, RUNS};
use crate::units::{in_fraction, in_grams, in_hours};
use inputs::Inputs;

use question::Checked;

pub use coats::{Coat, coat, coats};
pub use note::{DoughNote, DoughObservation, OvenTold};
pub use question::{Door, Dough, DoughQuestion, Exact, Method, Stretches};
pub use risks::{Level, Risk, RiskId};
pub use ways::{RiskOfWay, Way, WaysOut, ways_out};

pub(super) use note::{Batches, LEARNT};

/// The youngest in the groups this is for, years.
const YOUNGEST: f64 = 2.0;

/// Mass of one piece, g.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WeighGrams {
    /// As shaped.
    pub wet: f64,
    /// When firm: it may be handled and painted.
    pub firm: Option<f64>,
    /// When dry: it may be sealed.
    pub dry: Option<f64>,
}

/// The answer, as `solidby dough --json` prints it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DoughAnswer {
    /// Firm: nine tenths of the removable water gone; holds its shape, may be handled and
    /// painted. Hours; `null` where it never happens.
    pub hard_h: Option<Band>,
    /// Dry through: no brine anywhere and in balance with the room; may be sealed. Hours;
    /// `null` where it never happens.
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
    /// How long each coat of a finish dries in that room.
    pub coats: Vec<Coat>,
    /// Changes that save time.
    pub helps: Vec<Help>,
    /// What widens the band.
    pub unsure: Vec<Unsure>,
    /// Words of care.
    pub cautions: Vec<CautionText>,
    /// What was assumed.
    #[schemars(with = "Vec<String>")]
    pub notes: Vec<Note>,
    /// The question changed by each of `helps`, without what a diary learnt.
    #[serde(skip)]
    pub remedies: Vec<DoughQuestion>,
    /// Hours until dry in each kitchen.
    #[serde(skip)]
    pub dry_runs: Vec<f64>,
    /// Whether it is a rough guess: the notes of a diary say what no kitchen of the tables does.
    #[serde(skip)]
    pub rough: bool,
}

/// The answer with the ways to have it dry in time, where a time was given.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DoughAndWays {
    /// The answer.
    #[serde(flatten)]
    pub answer: DoughAnswer,
    /// The ways.
    #[serde(flatten)]
    pub ways: Option<WaysOut>,
}

/// Central answer, hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Nominal {
    /// Firm.
    pub hard_h: Option<f64>,
    /// In balance with the room.
    pub dry_h: Option<f64>,
}

/// Answers from [`crate::uncertainty::RUNS`] runs of the drying solver over all unknowns.
///
/// # Errors
/// [`AskError`] for names no table knows and values outside the model's range.
pub fn answer(question: &DoughQuestion) -> Result<DoughAnswer, AskError> {
    let checked = question.checked()?;
    let unknowns = question.unknowns()?;
    let (inputs, nominal) = checked.nominal(&unknowns);
    let hard = nominal.firm.ok().map(in_hours);
    let dry = nominal.dry.ok().map(in_hours);
    let mut dry_runs = Vec::new();
    let (hard_band, dry_band, unsure) = if question.exact.is_some() {
        let one = |hours: Option<f64>| hours.map(|h| Band { p05: h, p50: h, p95: h });
        (one(hard), one(dry), Vec::new())
    } else if hard.is_none() && dry.is_none() {
        (None, None, Vec::new())
    } else {
        let draws = unknowns.draws(RUNS);
        let runs = checked.outcomes(&draws, nominal.turned);
        let column = |n: usize| runs.iter().map(|run| run[n]).collect::<Vec<f64>>();
        let band = |nominal: Option<f64>, n| nominal.and_then(|_| Band::of(&column(n)));
        dry_runs = column(1);
        (band(hard, 0), band(dry, 1), unsure(&unknowns, &draws, &dry_runs))
    };
    let (helps, remedies) = ways::helps(&checked, &unknowns, &nominal).into_iter().unzip();
    Ok(DoughAnswer {
        hard_h: hard_band,
        dry_h: dry_band,
        nominal: Nominal { hard_h: hard, dry_h: dry },
        never_dries: nominal.dry.is_err(),
        reason: nominal.dry.err().map(|why| reason(&checked, why)),
        mass_loss: checked.mass_loss(&inputs).map(in_fraction),
        weigh_g: checked.weights(&inputs),
        water_activity_start: in_fraction(inputs.recipe.water_activity(inputs.room.air)),
        turn_h: nominal.turned.map(in_hours),
        risks: risks::risks(&checked, &inputs, &nominal),
        coats: coats(&inputs.room, question.altitude),
        helps,
        remedies,
        unsure,
        cautions: cautions_at(steps(&checked), YOUNGEST),
        notes: notes(&checked, &inputs),
        dry_runs,
        rough: question.posterior.trouble().is_some(),
    })
}

/// What one piece weighs at the central inputs.
///
/// # Errors
/// As [`answer`].
pub fn weights(question: &DoughQuestion) -> Result<WeighGrams, AskError> {
    let checked = question.checked()?;
    let unknowns = question.unknowns()?;
    Ok(checked.weights(&Inputs::of(&checked, unknowns.centre())))
}

/// What one piece weighs at the least, with no water left in it, and at the most, as shaped, in
/// grams, at the central inputs.
///
/// # Errors
/// As [`answer`].
pub fn weighs_between(question: &DoughQuestion) -> Result<[f64; 2], AskError> {
    let checked = question.checked()?;
    let inputs = Inputs::of(&checked, question.unknowns()?.centre());
    let wet = checked.weights(&inputs).wet;
    Ok([wet * (1.0 - in_fraction(inputs.recipe.wet_basis())), wet])
}

/// What can go wrong in the oven, at the central inputs.
///
/// # Errors
/// As [`answer`].
pub fn oven_risks(question: &DoughQuestion) -> Result<Vec<Risk>, AskError> {
    let checked = question.checked()?;
    let (inputs, nominal) = checked.nominal(&question.unknowns()?);
    let mut risks = risks::risks(&checked, &inputs, &nominal);
    risks.retain(|risk| checked.oven.is_some() && risk.id != RiskId::Humid);
    Ok(risks)
}

impl Checked<'_> {
    fn weights(&self, inputs: &Inputs) -> WeighGrams {
        let loss = self.mass_loss(inputs);
        let weight = |gone: f64| {
            loss.map(|loss| in_grams(inputs.recipe.piece(self.volume(), gone * loss).dry))
        };
        let wet = inputs.recipe.density().value * self.volume().value * 1e3;
        WeighGrams { wet, firm: weight(FIRM), dry: weight(1.0) }
    }
}

/// Hours until firm and until dry in each run, infinite where it never is; with
/// [`DoughQuestion::stretches`] the rests between are counted too.
///
/// # Errors
/// As [`answer`].
pub fn firm_and_dry_hours(
    question: &DoughQuestion,
    runs: usize,
) -> Result<Vec<(f64, f64)>, AskError> {
    let checked = question.checked()?;
    let unknowns = question.unknowns()?;
    let (_, nominal) = checked.nominal(&unknowns);
    let runs = checked.outcomes(&unknowns.draws(runs), nominal.turned);
    Ok(runs.into_iter().map(|[firm, dry]| (firm, dry)).collect())
}

/// The central course of moisture and temperature, for a chart.
///
/// # Errors
/// As [`answer`].
pub fn course(question: &DoughQuestion) -> Result<Vec<Point>, AskError> {
    let checked = question.checked()?;
    let unknowns = question.unknowns()?;
    let inputs = Inputs::of(&checked, unknowns.centre());
    Ok(inputs.traced(&checked))
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

fn steps(checked: &Checked<'_>) -> &'static [Step] {
    match checked.oven {
        Some(_) => &[Step::Mix, Step::Roll, Step::Bake, Step::Cool],
        None => &[Step::Mix, Step::Roll, Step::AirDry],
    }
}

fn notes(checked: &Checked<'_>, inputs: &Inputs) -> Vec<Note> {
    let asked = checked.asked;
    let mut notes = Vec::new();
    let mut note = |text: &str| notes.push(text.to_owned().into());
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
    if asked.bake_for.is_some() {
        note("After the oven it lies on a rack in the room and goes on drying.");
    }
    if !asked.coats.is_empty() {
        note("Each coat of paint puts water back: dry is after the last one.");
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

//! Other ways to have it dry: which are in time, at what risk, and how thick it may be.

use schemars::JsonSchema;
use serde::Serialize;

use super::inputs::Inputs;
use super::marks::{setting_below, thinner};
use super::question::{Checked, DoughQuestion, Method};
use super::risks::{self, Level, RiskId};
use crate::answers::AskError;
use crate::answers::advice::Help;
use crate::drying::solver::{Faces, Outcome};
use crate::properties::brine::brine_boiling_point;
use crate::tables;
use crate::uncertainty::{Band, Posterior, RUNS, Unknowns};
use crate::units::{
    Length, Time, celsius, hours, in_celsius, in_hours, in_millimetres, millimetres,
    show_temperature, show_thickness,
};

/// One way to dry the piece.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// What to do.
    pub change: String,
    /// Firm, hours; `null` where it never happens.
    pub hard_h: Option<Band>,
    /// In balance with the room, hours, pre-drying included.
    pub dry_h: Option<Band>,
    /// Hours in which an oven is watched, 95 % point.
    pub watched_h: f64,
    /// Risks of the central run.
    pub risks: Vec<RiskOfWay>,
    /// Dry by the time asked for, at the 95 % point.
    pub in_time: Option<bool>,
}

/// A risk of a way, without its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RiskOfWay {
    /// Which.
    pub id: RiskId,
    /// How much.
    pub level: Level,
}

/// The ways, the best first, and the thickest piece that would be ready.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WaysOut {
    /// In time before late, then fewer risks, then sooner.
    pub ways: Vec<Way>,
    /// Thickest piece dry in time the way it was asked, mm; only with a time.
    pub thickest_mm: Option<f64>,
}

/// Compares oven settings, air, and air then oven for the piece asked about.
///
/// # Errors
/// As [`super::answer`].
pub fn ways_out(question: &DoughQuestion, available: Option<Time>) -> Result<WaysOut, AskError> {
    let mut ways = candidates(question)
        .into_iter()
        .map(|(change, way)| weigh(change, &way, available))
        .collect::<Result<Vec<_>, _>>()?;
    ways.sort_by(|a, b| rank(a).partial_cmp(&rank(b)).unwrap_or(std::cmp::Ordering::Equal));
    let thickest_mm = match available {
        Some(time) => thickest(question, time)?.map(in_millimetres),
        None => None,
    };
    Ok(WaysOut { ways, thickest_mm })
}

/// (late, weight of risks, dry time): lower is better.
fn rank(way: &Way) -> (bool, usize, f64) {
    let risk: usize = way.risks.iter().map(|risk| 1 + usize::from(risk.level == Level::High)).sum();
    let dry = way.dry_h.map_or(f64::INFINITY, |band| band.p95);
    (way.in_time == Some(false), risk, dry)
}

fn candidates(question: &DoughQuestion) -> Vec<(String, DoughQuestion)> {
    let units = question.units;
    let kind = match &question.method {
        Method::Oven(_, kind) => kind,
        Method::Air => tables::Oven::still(),
    };
    let plain =
        DoughQuestion { pre_dry: None, bake_for: None, oven_steps: Vec::new(), ..question.clone() };
    let oven = |t: f64, pre_dry: Option<Time>| {
        let method = Method::Oven(celsius(t), kind);
        DoughQuestion { method, pre_dry, ..plain.clone() }
    };
    let day = hours(24.0);
    // Oven marks that cooks use: 170, 200, 225, 250 and 300 °F.
    let mut ways: Vec<(String, DoughQuestion)> = [76.7, 93.3, 107.2, 121.1, 148.9]
        .into_iter()
        .map(|t| (format!("oven at {}", show_temperature(celsius(t), units)), oven(t, None)))
        .collect();
    let after_air =
        format!("a day in air, then oven at {}", show_temperature(celsius(93.3), units));
    ways.push((after_air, oven(93.3, Some(day))));
    let air = DoughQuestion { method: Method::Air, faces: Some(Faces::Two), ..plain.clone() };
    ways.push(("air on a rack".to_owned(), air));
    ways
}

fn weigh(change: String, way: &DoughQuestion, available: Option<Time>) -> Result<Way, AskError> {
    let checked = way.checked()?;
    let unknowns = way.unknowns()?;
    let (inputs, nominal) = checked.nominal(&unknowns);
    let runs = checked.outcomes(&unknowns.draws(RUNS), nominal.turned);
    let column = |n: usize| runs.iter().map(|run| run[n]).collect::<Vec<f64>>();
    let band = |happens: bool, n| if happens { Band::of(&column(n)) } else { None };
    let dry_h = band(nominal.dry.is_ok(), 1);
    let watched_h = match (&way.method, dry_h) {
        (Method::Oven(..), Some(band)) => {
            let in_oven = band.p95 - way.pre_dry.map_or(0.0, in_hours);
            in_oven.min(way.bake_for.map_or(f64::INFINITY, in_hours))
        }
        _ => 0.0,
    };
    let risks = risks::risks(&checked, &inputs, &nominal);
    Ok(Way {
        change,
        hard_h: band(nominal.firm.is_ok(), 0),
        dry_h,
        watched_h,
        risks: risks.into_iter().map(|risk| RiskOfWay { id: risk.id, level: risk.level }).collect(),
        in_time: available.map(|time| dry_h.is_some_and(|band| band.p95 <= in_hours(time))),
    })
}

/// The thickest piece whose 95 % point is within the time, between 2 and 25 mm.
fn thickest(question: &DoughQuestion, time: Time) -> Result<Option<Length>, AskError> {
    let ready = |mm: f64| -> Result<bool, AskError> {
        let thinner = DoughQuestion { thickness: millimetres(mm), ..question.clone() };
        let way = weigh(String::new(), &thinner, Some(time))?;
        Ok(way.in_time == Some(true))
    };
    let (mut low, mut high) = (2.0, 25.0);
    if !ready(low)? {
        return Ok(None);
    }
    if ready(high)? {
        return Ok(Some(millimetres(high)));
    }
    while high - low > 0.25 {
        let middle = 0.5 * (low + high);
        if ready(middle)? { low = middle } else { high = middle }
    }
    Ok(Some(millimetres(low)))
}

/// Central runs of the changes nearest at hand, those that save a tenth or more.
/// Each with the question changed by it, without what a diary learnt.
pub(super) fn helps(
    checked: &Checked<'_>,
    unknowns: &Unknowns,
    nominal: &Outcome,
) -> Vec<(Help, DoughQuestion)> {
    let Some(now) = nominal.dry.ok().map(in_hours) else { return Vec::new() };
    let asked = checked.asked;
    let units = asked.units;
    let mut changes = Vec::new();
    let mut change = |words: String, question: DoughQuestion| changes.push((words, question));
    if let Some(thickness) = thinner(asked, 0.75) {
        let words = format!("roll it {} instead", show_thickness(thickness, units));
        change(words, DoughQuestion { thickness, ..asked.clone() });
    }
    if checked.faces != Faces::Two {
        let words = "dry it on a wire rack, both faces open".to_owned();
        change(words, DoughQuestion { faces: Some(Faces::Two), ..asked.clone() });
    }
    if let Method::Oven(dial, kind) = &asked.method {
        // An oven may run some degrees above its dial: stay 8 K below boiling.
        let boiling = in_celsius(brine_boiling_point(checked.pressure));
        let at = setting_below(boiling - 8.0, units);
        if in_celsius(at) > in_celsius(*dial) + 2.0 {
            let at_words = show_temperature(at, units);
            let words = format!("set the oven to {at_words}, still below boiling");
            change(words, DoughQuestion { method: Method::Oven(at, kind), ..asked.clone() });
        }
    }
    let mut helps: Vec<(Help, DoughQuestion)> = changes
        .into_iter()
        .filter_map(|(change, question)| {
            let other = question.checked().ok()?;
            // Turned at the same share of the time: half-way, found afresh.
            let outcome = Inputs::of(&other, unknowns.centre()).run(&other, None);
            let saves_h = now - in_hours(outcome.dry.ok()?);
            let changed = DoughQuestion { posterior: Posterior::default(), ..question.clone() };
            (saves_h > 0.1 * now).then_some((Help { change, saves_h, chance: None }, changed))
        })
        .collect();
    helps.sort_by(|a, b| b.0.saves_h.total_cmp(&a.0.saves_h));
    helps
}

//! What can go wrong, from the computed run, and the change that removes it.

use schemars::JsonSchema;
use serde::Serialize;

use super::inputs::Inputs;
use super::marks::{setting_below, thinner};
use super::question::Checked;
use crate::drying::solver::{Outcome, drying_limit};
use crate::properties::brine::brine_boiling_point;
use crate::tables;
use crate::units::{
    celsius, in_celsius, in_fraction, in_kelvins_apart, in_millimetres, in_pascals, in_percents,
    show_length, show_temperature,
};

/// Names of the risks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum RiskId {
    /// Steam lifts the wet core.
    Puff,
    /// The face browns.
    Brown,
    /// Face and core shrink apart.
    Crack,
    /// The room's air keeps or makes it moist.
    Humid,
}

/// How much of a risk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// May happen.
    Some,
    /// Likely.
    High,
}

/// One risk, with the change that removes it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Risk {
    /// Which.
    pub id: RiskId,
    /// How much.
    pub level: Level,
    /// What and what to do, in words.
    pub text: String,
    /// The same in a few words, for a line of a plan.
    #[serde(skip)]
    pub short: String,
}

impl Level {
    fn may(self) -> &'static str {
        match self {
            Self::Some => "may",
            Self::High => "will probably",
        }
    }
}

/// Over-pressure of steam in a wet core from which puffing counts as likely, Pa: that of
/// a core at 121 °C, computed here as activity of saturated brine times saturation pressure.
/// Cooks find 93 to 107 °C flat and watch for bubbles at 135 °C: common practice, no source.
const PUFFS_AT: f64 = 50_000.0;
/// Dry faces above these brown slowly or soon, °C. Common practice, no source, and
/// Purlis & Salvadori on bread (a dry surface above about 120 °C), from memory.
const BROWNS_SLOWLY: f64 = 125.0;
const BROWNS_SOON: f64 = 150.0;
/// Crack index from which cracks or curling may come and are likely, mm: thickness times
/// the square of the moisture difference between mean and glassy face over the moisture at
/// the start. The energy that opens a crack in a drying layer goes with strain squared times
/// thickness (Hutchinson & Suo 1992, Adv. Appl. Mech. 29:63, from memory). The limits have no
/// source: 6 mm at 93 °C is quiet, 12 mm is not, as common practice has it.
const CRACKS_FROM: f64 = 6.0;
const CRACKS_LIKELY: f64 = 9.5;

pub(super) fn risks(checked: &Checked<'_>, inputs: &Inputs, nominal: &Outcome) -> Vec<Risk> {
    [
        puff(checked, nominal),
        brown(checked, nominal),
        crack(checked, inputs, nominal),
        humid(checked, inputs),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn puff(checked: &Checked<'_>, nominal: &Outcome) -> Option<Risk> {
    let (dial, _) = checked.oven?;
    let boiling = brine_boiling_point(checked.pressure);
    if dial < boiling {
        return None;
    }
    let over = nominal.over_pressure.map_or(0.0, in_pascals);
    let level = if over >= PUFFS_AT { Level::High } else { Level::Some };
    let units = checked.asked.units;
    let below = show_temperature(setting_below(in_celsius(boiling) - 3.0, units), units);
    let text = format!(
        "The brine in the wet core boils at {} here, and the oven is hotter: it may puff or blister. Set the oven to {below} or less.",
        show_temperature(boiling, units),
    );
    let short = format!("{} puff or blister above {below}", level.may());
    Some(Risk { id: RiskId::Puff, level, text, short })
}

fn brown(checked: &Checked<'_>, nominal: &Outcome) -> Option<Risk> {
    let (_, kind) = checked.oven?;
    let swing = in_kelvins_apart(kind.swing().typical);
    let hottest = in_celsius(nominal.hottest_dry_face?) + swing;
    let level = match hottest {
        t if t >= BROWNS_SOON => Level::High,
        t if t >= BROWNS_SLOWLY => Level::Some,
        _ => return None,
    };
    let units = checked.asked.units;
    let below = show_temperature(setting_below(BROWNS_SLOWLY - swing, units), units);
    let text = format!(
        "The dry face reaches {} as the heater swings: it may brown. Set the oven to {below} or less.",
        show_temperature(celsius(hottest), units),
    );
    let short = format!("{} brown above {below}", level.may());
    Some(Risk { id: RiskId::Brown, level, text, short })
}

fn crack(checked: &Checked<'_>, inputs: &Inputs, nominal: &Outcome) -> Option<Risk> {
    let difference = in_fraction(nominal.difference) / in_fraction(inputs.recipe.moisture());
    let index = in_millimetres(checked.asked.thickness) * difference * difference;
    if index < CRACKS_FROM {
        return None;
    }
    let level = if index < CRACKS_LIKELY { Level::Some } else { Level::High };
    let rolled = thinner(checked.asked, 0.6).map_or_else(String::new, |thinner| {
        format!(", nearer {}", show_length(thinner, checked.asked.units))
    });
    let text = format!(
        "The face is hard while the middle still holds much water and will shrink: it may crack or curl. Roll it evenly{rolled}, dry both faces on a rack, and begin with a day in air.",
    );
    let short = format!("{} crack or curl: roll it evenly{rolled}", level.may());
    Some(Risk { id: RiskId::Crack, level, text, short })
}

fn humid(checked: &Checked<'_>, inputs: &Inputs) -> Option<Risk> {
    let humidity = in_fraction(inputs.room.humidity);
    let limit = in_fraction(drying_limit(inputs.room.air));
    let percent = in_percents(inputs.room.humidity);
    if humidity >= limit - 1e-9 {
        let text = format!(
            "At {percent:.0} % the room's air is as moist as salt brine: a finished piece softens and sweats. Seal every side, keep it in a closed tin until it is given, or dry the room below 60 %."
        );
        return Some(humid_risk(Level::High, text));
    }
    let slow = in_fraction(tables::Threshold::slow_drying().humidity());
    if humidity < slow - 1e-9 {
        return None;
    }
    let what =
        if checked.oven.is_some() { "a finished piece softens slowly" } else { "drying is slow" };
    let text = format!(
        "At {percent:.0} % {what}: salt draws water from air above {:.0} %. Use a drier room, a fan or the oven, and seal every side.",
        100.0 * limit,
    );
    Some(humid_risk(Level::Some, text))
}

fn humid_risk(level: Level, text: String) -> Risk {
    let short = format!("{} soften in the room's air", level.may());
    Risk { id: RiskId::Humid, level, text, short }
}

//! How sure a goal can ever be, and freezers that are too warm for a mould to be sure.

use super::obstacle::Blame;
use crate::{
    planfile::{Freezer, Mould, Plan},
    prep::{
        Durations,
        draft::{LEVELS, Serves},
        dry_hours,
        durations::SURE,
    },
    units::{ThermodynamicTemperature, celsius, in_celsius},
};

/// What a freezer for food is meant to hold, °C (three and four stars of Regulation
/// (EU) 2019/2016).
const FOR_FOOD_C: f64 = -18.0;

/// That the freezer of a session never freezes its blocks: for sure, where its air is told and
/// could be colder; at no level of sureness where it is not told.
pub fn too_warm(plan: &Plan, durations: &dyn Durations, serves: Serves) -> Option<Blame> {
    let Serves::Session { ice, .. } = serves else { return None };
    let surest = surest(plan, durations, serves);
    if surest == Some(0) {
        return None;
    }
    let ice = &plan.ice[ice];
    let warmest = warmest(&plan.moulds[ice.mould], &plan.freezers[ice.freezer], durations);
    let blame = Blame::TooWarm { freezer: ice.freezer, warmest };
    (surest.is_none() || warmest.is_some()).then_some(blame)
}

/// The surest of the [`LEVELS`] at which a block or a piece of a goal is ever ready.
pub fn surest(plan: &Plan, durations: &dyn Durations, serves: Serves) -> Option<usize> {
    let ready = |chance: f64| match serves {
        Serves::Session { ice, .. } => {
            let ice = &plan.ice[ice];
            freezes(&plan.moulds[ice.mould], &plan.freezers[ice.freezer], durations, chance)
        }
        Serves::Gift { ornament } => dry_hours(plan, durations, ornament, chance).is_finite(),
    };
    LEVELS.iter().position(|chance| ready(*chance))
}

/// Whether one of a mould ever freezes with that chance.
fn freezes(mould: &Mould, freezer: &Freezer, durations: &dyn Durations, chance: f64) -> bool {
    durations.freeze(mould, freezer, 1).is_ok_and(|one| one.point(chance).is_finite())
}

/// The warmest air at which a freezer that is too warm would freeze a mould for sure, to
/// half a degree; none where it would not as cold as one for food.
fn warmest(
    mould: &Mould,
    freezer: &Freezer,
    durations: &dyn Durations,
) -> Option<ThermodynamicTemperature> {
    let at = |air: f64| {
        freezes(mould, &Freezer { air: Some(celsius(air)), ..freezer.clone() }, durations, SURE)
    };
    let (mut cold, mut warm) = (FOR_FOOD_C, in_celsius(freezer.air?));
    if !at(cold) {
        return None;
    }
    while warm - cold > 0.5 {
        let middle = f64::midpoint(cold, warm);
        *if at(middle) { &mut cold } else { &mut warm } = middle;
    }
    Some(celsius(cold))
}

//! What was seen of a plan that is followed, as notes on its freezers and doughs.

use chrono::{DateTime, FixedOffset};

use super::{
    durations::{Drying, DurationError, Durations, Heat},
    kept::batch_way,
    physics::{ice_question, question_of},
    steps::{session_id, slug},
    ways::Way,
};
use crate::{
    answers::{
        Timed,
        dough::{DoughNote, DoughObservation, OvenTold},
        ice::{FreezerTold, IceNote, IceObservation},
    },
    planfile::{Happened, Kept, KeptStep, Ornament, Plan},
    units::{grams, hours},
};

/// A note on something of the plan, and when it went in.
#[derive(Debug, Clone)]
pub struct Noted<N> {
    /// The freezer or the oven, by its name.
    pub called: String,
    /// When it went in.
    pub at: DateTime<FixedOffset>,
    /// The note.
    pub note: N,
}

/// What was seen of the ice of a plan, round by round.
pub fn of_ice(plan: &Plan) -> Vec<Noted<IceNote>> {
    let Some(kept) = &plan.kept else { return Vec::new() };
    let mut notes = Vec::new();
    for (ice, own) in plan.ice.iter().enumerate() {
        for session in 0..own.sessions.len() {
            let prefix = format!("{}-", session_id(plan, (ice, session)));
            let of = |name: &str, suffix: &str| {
                let id = format!("{prefix}{name}{suffix}");
                kept.steps.iter().find(move |step| step.id == id)
            };
            for fill in &kept.steps {
                let Some(suffix) = fill.id.strip_prefix(&format!("{prefix}fill")) else { continue };
                let filled = kept.told(fill).next_back().map_or(fill.end.0, |told| told.at.0);
                let looked = [of("freeze", suffix), of("turn-out", suffix)].into_iter().flatten();
                let seen = looked.flat_map(|step| kept.told(step)).filter(|told| !told.skipped);
                let seen: Vec<Timed<IceObservation>> = seen
                    .map(|told| {
                        let seen = match told.wet.unwrap_or(0) {
                            0 => IceObservation::Solid,
                            wet if wet < fill.count => IceObservation::SomeWet,
                            _ => IceObservation::Wet,
                        };
                        Timed { after: hours(hours_after(filled, told)), seen }
                    })
                    .filter(|timed| timed.after.value > 0.0)
                    .collect();
                let (mould, freezer) = (&plan.moulds[own.mould], &plan.freezers[own.freezer]);
                let question = ice_question(mould, freezer, fill.count);
                if let (Ok(question), false) = (question, seen.is_empty()) {
                    let told = FreezerTold {
                        kind: Some(freezer.kind),
                        air: freezer.air,
                        rated: freezer.rated,
                    };
                    let note = IceNote { question, told, observations: seen };
                    notes.push(Noted { called: freezer.name.clone(), at: filled, note });
                }
            }
        }
    }
    notes
}

/// What was seen of the pieces of a plan, batch by batch.
pub fn of_dough(plan: &Plan) -> Vec<Noted<DoughNote>> {
    let Some(kept) = &plan.kept else { return Vec::new() };
    let of = |(position, ornament): (usize, &Ornament)| {
        let began = began_to_dry(kept, ornament)?;
        let heat = batch_way(plan, kept, position)?.heat(plan);
        let seen: Vec<Timed<DoughObservation>> = told_of(kept, ornament, &FIRM)
            .flat_map(|told| {
                let after = hours(hours_after(began, told));
                let weight = told.weight_g.map(|mass| DoughObservation::Weight(grams(mass)));
                let state = if told.soft { DoughObservation::Soft } else { DoughObservation::Hard };
                [Some(state), weight].into_iter().flatten().map(move |seen| Timed { after, seen })
            })
            .filter(|timed| timed.after.value > 0.0)
            .collect();
        let groups: Vec<_> = ornament.groups.iter().map(|group| &plan.groups[*group]).collect();
        let drying = Drying { ornament, pieces: ornament.pieces(&groups), room: plan.room, heat };
        let oven = ornament.method.oven().and_then(|(oven, _)| plan.ovens.get(oven))?;
        let kind = match heat {
            Heat::Oven { kind, .. } => Some(kind),
            Heat::Air => Some(oven.kind),
        };
        let note = DoughNote {
            question: question_of(&drying),
            told: OvenTold { kind },
            observations: seen,
        };
        let is_seen = !note.observations.is_empty();
        is_seen.then(|| Noted { called: oven.name.clone(), at: began, note })
    };
    plan.ornaments.iter().enumerate().filter_map(of).collect()
}

/// Steps that wait for firm pieces, and for dry ones, by the begin of their names.
const FIRM: [&str; 4] = ["paint", "photo", "cool", "dry"];
const DRY: [&str; 3] = ["seal", "wrap", "dry-through"];

/// Hours of drying after which pieces of a batch were last seen not to be firm, and not to be
/// dry.
pub fn not_ready(plan: &Plan, ornament: &Ornament) -> [Option<f64>; 2] {
    let Some(kept) = &plan.kept else { return [None; 2] };
    let Some(began) = began_to_dry(kept, ornament) else { return [None; 2] };
    let soft = |names: &[&str]| {
        let told = told_of(kept, ornament, names).filter(|told| told.soft);
        told.map(|told| hours_after(began, told)).reduce(f64::max)
    };
    let (firm, dry) = (soft(&FIRM), soft(&DRY));
    // What is not firm is not dry.
    [firm, [firm, dry].into_iter().flatten().reduce(f64::max)]
}

/// Hours until pieces are firm and dry in every kitchen, by what was seen of them: kitchens in
/// which they would have been ready as they were looked at are replaced, evenly, by those in
/// which not; where all would, by the slowest. Where they go into the oven once more than they
/// did then, that is counted in the kitchens that are left.
///
/// # Errors
/// [`DurationError`] when the piece is outside the model.
pub fn seen_to_dry(
    plan: &Plan,
    durations: &dyn Durations,
    drying: &Drying<'_>,
) -> Result<Vec<[f64; 2]>, DurationError> {
    let runs = durations.dry_in_kitchens(drying)?;
    let seen = not_ready(plan, drying.ornament);
    if seen == [None, None] {
        return Ok(runs);
    }
    let then = match (drying.heat, times_kept(plan, drying.ornament)) {
        (Heat::Oven { kind, at, lasts, times }, Some(kept)) if times > kept => {
            let heat = Heat::Oven { kind, at, lasts, times: kept };
            durations.dry_in_kitchens(&Drying { heat, ..*drying })?
        }
        _ => runs.clone(),
    };
    let fits = |run: &[f64; 2]| run.iter().zip(seen).all(|(own, h)| h.is_none_or(|h| *own > h));
    let mut order: Vec<usize> = (0..then.len()).collect();
    order.sort_by(|a, b| then[*a][0].total_cmp(&then[*b][0]));
    let mut left: Vec<usize> = order.iter().copied().filter(|n| fits(&then[*n])).collect();
    let scarce = left.is_empty();
    if scarce {
        left = order.split_off(order.len().saturating_sub(SLOWEST));
    }
    let replaced = (0..runs.len()).map(|kitchen| {
        let own = match !scarce && fits(&then[kitchen]) {
            true => kitchen,
            false => left[kitchen * left.len() / runs.len()],
        };
        match scarce && runs == then {
            // It takes at least a little longer than it has.
            true => [0, 1].map(|state| runs[own][state].max(JUST * seen[state].unwrap_or(0.0))),
            false => runs[own],
        }
    });
    Ok(replaced.collect())
}

/// Kitchens that stand for all where none is as slow as what was seen.
const SLOWEST: usize = 8;

/// What was still soft takes at least so many times as long.
const JUST: f64 = 1.05;

/// How often a batch was to go into the oven in the plan that is kept.
fn times_kept(plan: &Plan, ornament: &Ornament) -> Option<u32> {
    let position = plan.ornaments.iter().position(|own| own == ornament)?;
    match batch_way(plan, plan.kept.as_ref()?, position)? {
        Way::Oven { times, .. } => Some(times),
        Way::Air => None,
    }
}

/// When a batch began to dry: as it went into the oven, or onto the rack.
fn began_to_dry(kept: &Kept, ornament: &Ornament) -> Option<DateTime<FixedOffset>> {
    let prefix = slug(&ornament.name);
    let named = |name: &str| {
        let begin = format!("{prefix}-{name}");
        kept.steps.iter().filter(move |step| step.id.starts_with(&begin))
    };
    let baked = named("bake").map(|step| step.start.0).min();
    baked.or_else(|| named("roll").map(|step| step.end.0).max())
}

/// What was told of the steps of a batch whose names begin so.
fn told_of<'a>(
    kept: &'a Kept,
    ornament: &Ornament,
    names: &'a [&'a str],
) -> impl Iterator<Item = &'a Happened> + use<'a> {
    let prefix = format!("{}-", slug(&ornament.name));
    let is_one = move |step: &&KeptStep| {
        let name = step.id.strip_prefix(&prefix);
        name.is_some_and(|name| {
            let through = name.starts_with("dry-through") && !names.contains(&"dry-through");
            !through && names.iter().any(|own| name.starts_with(own))
        })
    };
    kept.steps.iter().filter(is_one).flat_map(|step| kept.told(step)).filter(|told| !told.skipped)
}

fn hours_after(from: DateTime<FixedOffset>, told: &Happened) -> f64 {
    (told.at.0 - from).num_seconds() as f64 / 3600.0
}

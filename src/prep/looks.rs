//! What was seen of a plan that is followed, as notes on its freezers and doughs, and what it
//! says of the batch that was looked at.

use chrono::{DateTime, FixedOffset};

use super::{
    durations::{Drying, DurationError, Durations, Heat, REST_H},
    kept::{RoundSteps, is_of_load, way_by},
    physics::{ice_question, question_of},
    steps::session_id,
    ways::Way,
};
use crate::{
    answers::{
        Timed,
        dough::{self, DoughNote, DoughObservation, OvenTold},
        ice::{FreezerTold, IceNote, IceObservation},
    },
    planfile::{Happened, Ice, Kept, KeptStep, Ornament, Plan},
    tables::Step,
    uncertainty::Rest,
    units::{grams, hours, hours_between, in_fraction},
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
    let sessions = plan.sessions().map(|at| (&plan.ice[at.0], session_id(plan, at)));
    let rounds = sessions.flat_map(|(ice, id)| {
        RoundSteps::of(kept, id).filter_map(move |steps| seen_of_round(plan, kept, ice, &steps))
    });
    rounds.collect()
}

/// What was seen of a round; none where nothing was.
fn seen_of_round(
    plan: &Plan,
    kept: &Kept,
    ice: &Ice,
    steps: &RoundSteps<'_>,
) -> Option<Noted<IceNote>> {
    let fill = steps.fill;
    let filled = kept.told(fill).next_back().map_or(fill.end.0, |told| told.at.0);
    let looked = [("freeze", ""), ("turn-out", ""), ("turn-out", "-rest")];
    let looked = looked.iter().filter_map(|(name, rest)| steps.step(name, rest));
    let seen = looked.flat_map(|step| kept.told(step)).filter(|told| !told.skipped);
    let seen = seen.map(|told| Timed {
        after: hours(hours_between(filled, told.at.0)),
        seen: match told.wet.unwrap_or(0) {
            0 => IceObservation::Solid,
            wet if wet < fill.count => IceObservation::SomeWet,
            _ => IceObservation::Wet,
        },
    });
    let observations: Vec<_> = seen.filter(|timed| timed.after.value > 0.0).collect();
    let (mould, freezer) = (&plan.moulds[ice.mould], &plan.freezers[ice.freezer]);
    // A mould outside the physics' range is told where the plan is laid out.
    let question = ice_question(mould, freezer, fill.count).ok()?;
    let told = FreezerTold { kind: Some(freezer.kind), air: freezer.air, rated: freezer.rated };
    let is_seen = !observations.is_empty();
    let note = IceNote { question, told, observations };
    is_seen.then(|| Noted { called: freezer.name.clone(), at: filled, note })
}

/// What was seen of the pieces of a plan, batch by batch.
pub fn of_dough(plan: &Plan) -> Vec<Noted<DoughNote>> {
    let Some(kept) = &plan.kept else { return Vec::new() };
    plan.ornaments.iter().filter_map(|ornament| seen_of_batch(plan, kept, ornament)).collect()
}

fn seen_of_batch(plan: &Plan, kept: &Kept, ornament: &Ornament) -> Option<Noted<DoughNote>> {
    let began = began_to_dry(kept, ornament)?;
    let last = told_of(kept, ornament, is_firm_look).map(|told| told.at.0).max()?;
    if drier_since(plan, ornament).is_some() {
        // It was seen in a room that is another one now.
        return None;
    }
    let way = way_by(kept, ornament, last)?;
    // What was seen before a further stretch in the oven is another course.
    let since = bakes_by(kept, ornament, last).map(|bake| bake.start.0).max();
    let told = told_of(kept, ornament, is_firm_look);
    let told = told.filter(|told| since.is_none_or(|since| told.at.0 > since));
    let seen = told.flat_map(|told| {
        let after = hours(hours_between(began, told.at.0));
        let state = if told.soft { DoughObservation::Soft } else { DoughObservation::Hard };
        let weight = told.weight_g.map(|mass| DoughObservation::Weight(grams(mass)));
        // A stretch in the oven is over as well where pieces are not firm yet.
        let mut baked = kept.steps.iter().filter(|step| is_beside_oven(step));
        let baked = baked.find(|step| kept.told(step).any(|it| it == told));
        let says = told.soft || baked.is_none_or(|step| step.stays_out(told));
        [says.then_some(state), weight].into_iter().flatten().map(move |seen| Timed { after, seen })
    });
    let observations: Vec<_> = seen.filter(|timed| timed.after.value > 0.0).collect();
    let (pieces, heat) = (ornament.pieces(plan), way.heat(plan));
    let drying = Drying { ornament, pieces, room: plan.room, heat };
    // A dough that dries in the room is known from the first oven, as the physics has it.
    let oven = plan.ovens.get(ornament.method.oven().map_or(0, |(oven, _)| oven))?;
    let told = OvenTold { kind: Some(oven.kind) };
    let is_seen = !observations.is_empty();
    let note = DoughNote { question: question_of(&drying), told, observations };
    is_seen.then(|| Noted { called: oven.name.clone(), at: began, note })
}

/// Whether somebody looks there whether pieces are firm.
fn is_firm_look(step: &KeptStep) -> bool {
    let on_racks = matches!(step.kind, Step::Paint | Step::Photo | Step::Cool | Step::AirDry);
    is_beside_oven(step) || on_racks && !step.id.contains(DRY_THROUGH)
}

/// Whether somebody looks there at what comes out of an oven.
fn is_beside_oven(step: &KeptStep) -> bool {
    matches!(step.kind, Step::Bake | Step::TakeOut)
}

/// What one piece of an ornament weighs at the least and at the most, in grams.
pub fn weighs_between(plan: &Plan, ornament: &Ornament) -> Option<[f64; 2]> {
    let drying = Drying { ornament, pieces: 1, room: plan.room, heat: Heat::Air };
    dough::weighs_between(&question_of(&drying)).ok()
}

/// What one piece of an ornament weighs at the most that is ready for a step, in grams: firm, or
/// dry through.
pub fn ready_weight(plan: &Plan, ornament: &Ornament, step: Step) -> Option<f64> {
    let drying = Drying { ornament, pieces: 1, room: plan.room, heat: Heat::Air };
    let weights = dough::weights(&question_of(&drying)).ok()?;
    if matches!(step, Step::Seal | Step::Wrap) { weights.dry } else { weights.firm }
}

/// Whether somebody looks there whether pieces are dry through.
fn is_dry_look(step: &KeptStep) -> bool {
    matches!(step.kind, Step::Seal | Step::Wrap) || step.id.contains(DRY_THROUGH)
}

/// The second of the two waits on a rack, in its id.
const DRY_THROUGH: &str = "-dry-through";

/// Hours of drying after which pieces of a batch were last seen not to be firm, and not to be
/// dry.
pub fn not_ready(plan: &Plan, ornament: &Ornament) -> [Option<f64>; 2] {
    let Some(kept) = &plan.kept else { return [None; 2] };
    let Some(began) = began_to_dry(kept, ornament) else { return [None; 2] };
    let soft = |is_look: fn(&KeptStep) -> bool| {
        let told = told_of(kept, ornament, is_look).filter(|told| told.soft);
        told.map(|told| hours_between(began, told.at.0)).reduce(f64::max)
    };
    let (firm, dry) = (soft(is_firm_look), soft(is_dry_look));
    // What is not firm is not dry.
    [firm, [firm, dry].into_iter().flatten().reduce(f64::max)]
}

/// Hours until pieces are firm and dry in every kitchen, by what was last seen of them: where they
/// were not ready, kitchens in which they would have been ready by then are replaced, evenly, by those in which
/// not; where too few are left, by the slowest, all their times as much longer as the tail
/// says. A further stretch in the oven saves as many hours of the room whenever it comes, since
/// the water left falls off exponentially; what has passed beyond the rest of the plan counts.
///
/// # Errors
/// [`DurationError`] when the piece is outside the model.
pub fn seen_to_dry(
    plan: &Plan,
    durations: &dyn Durations,
    drying: &Drying<'_>,
) -> Result<Vec<[f64; 2]>, DurationError> {
    let own = drying.ornament;
    let runs = match (last_not_ready(not_ready(plan, own)), drier_since(plan, own)) {
        (None, _) => durations.dry_in_kitchens(drying)?,
        (_, Some(since)) if heat_then(plan, drying) == drying.heat => {
            in_a_drier_room(plan, durations, drying, since)?
        }
        (Some(seen), _) => not_ready_after(plan, durations, drying, seen)?,
    };
    Ok(ready_by(plan, own).into_iter().enumerate().fold(runs, given_ready))
}

/// Of what was seen not to be ready after some hours, firm or dry: what says most, by its place
/// among the hours of a kitchen.
fn last_not_ready(seen: [Option<f64>; 2]) -> Option<(usize, f64)> {
    match seen {
        [Some(firm), Some(dry)] if firm >= dry => Some((0, firm)),
        [_, dry] => Some((1, dry?)),
    }
}

/// The same of what was not firm, or not dry, after some hours.
fn not_ready_after(
    plan: &Plan,
    durations: &dyn Durations,
    drying: &Drying<'_>,
    (state, after): (usize, f64),
) -> Result<Vec<[f64; 2]>, DurationError> {
    let runs = durations.dry_in_kitchens(drying)?;
    let then = Drying { heat: heat_then(plan, drying), ..*drying };
    let until = match then.heat == drying.heat {
        true => out_then(plan, drying.ornament),
        false => Some(after - REST_H),
    };
    let late = until.map_or(0.0, |until| (until - then.heat.until_out_h()).max(0.0));
    let times: Vec<f64> =
        durations.dry_in_kitchens(&then)?.into_iter().map(|run| run[state]).collect();
    let of = stand_ins(&times, after, runs.len());
    Ok(of.into_iter().map(|(own, longer)| runs[own].map(|hours| hours * longer - late)).collect())
}

/// How much more humid a room has to be to be another one, as a share.
const DRIER: f64 = 0.005;

/// Whether a drier room is known to be one: how humid it was as pieces were seen not to be ready.
pub fn may_be_drier(plan: &Plan, ornament: &Ornament) -> bool {
    let kept = plan.kept.as_ref();
    kept.is_some_and(|kept| soft_looks(kept, ornament).any(|told| told.humidity.is_some()))
}

/// Hours of drying after which pieces were last seen not to be ready in a room that was more humid
/// than it is now.
fn drier_since(plan: &Plan, ornament: &Ornament) -> Option<f64> {
    let kept = plan.kept.as_ref()?;
    let began = began_to_dry(kept, ornament)?;
    let now = in_fraction(plan.room.humidity);
    let wetter = |told: &&Happened| told.humidity.is_some_and(|was| was > now + DRIER);
    let told = soft_looks(kept, ornament).filter(wetter);
    told.map(|told| hours_between(began, told.at.0)).reduce(f64::max)
}

/// Hours until pieces are firm and dry that were soft when the room became drier: no later than
/// such as are only cut then.
fn in_a_drier_room(
    plan: &Plan,
    durations: &dyn Durations,
    drying: &Drying<'_>,
    since: f64,
) -> Result<Vec<[f64; 2]>, DurationError> {
    let runs = durations.dry_in_kitchens(&Drying { heat: Heat::Air, ..*drying })?;
    let later = |after: f64| Some(after - since).filter(|after| *after > 0.0);
    let seen = not_ready(plan, drying.ornament).map(|after| after.and_then(later));
    let of = match last_not_ready(seen) {
        None => (0..runs.len()).map(|kitchen| (kitchen, 1.0)).collect(),
        Some((state, after)) => {
            let times: Vec<f64> = runs.iter().map(|run| run[state]).collect();
            stand_ins(&times, after, runs.len())
        }
    };
    let hours = |(own, longer): (usize, f64)| runs[own].map(|hours| hours * longer + since);
    Ok(of.into_iter().map(hours).collect())
}

/// Hours of drying after which pieces were seen to be firm, and to be dry, since they were last
/// seen not to be ready.
fn ready_by(plan: &Plan, ornament: &Ornament) -> [Option<f64>; 2] {
    let Some(kept) = &plan.kept else { return [None; 2] };
    let Some(began) = began_to_dry(kept, ornament) else { return [None; 2] };
    let last = last_soft(kept, ornament);
    let ready = |told: &&Happened| told.is_done() && last.is_none_or(|last| told.at.0 > last);
    // A kitchen scale shows whole grams.
    let is_light = |grams: f64| {
        ready_weight(plan, ornament, Step::Seal).is_some_and(|ready| grams < ready + 0.5)
    };
    let is_dry = |told: &&Happened| told.weight_g.is_some_and(is_light);
    let on_racks = |is_one: fn(&KeptStep) -> bool| told_of(kept, ornament, is_one).filter(ready);
    let firm = |step: &KeptStep| is_firm_look(step) && !is_beside_oven(step);
    let dry = on_racks(is_dry_look).chain(on_racks(firm).filter(is_dry));
    let by = |told: &Happened| hours_between(began, told.at.0);
    let seen = on_racks(firm).map(by).reduce(f64::min);
    [seen.or_else(|| firm_soon(plan, ornament)), dry.map(by).reduce(f64::min)]
}

/// Pieces with less than so many times the water of firm ones do not stay as they are because the
/// room is too damp (a choice of ours).
const NEARLY: f64 = 2.0;

/// Hours of drying after which pieces are firm that dry in the room alone and were last seen to be
/// soft, by what one weighed then, where that is little more: the water left falls off
/// exponentially (the falling rate of drying, from memory), so that its logarithm goes as the time.
fn firm_soon(plan: &Plan, ornament: &Ornament) -> Option<f64> {
    let kept =
        plan.kept.as_ref().filter(|kept| kept.of(&ornament.name, Step::Bake).count() == 0)?;
    let told = soft_looks(kept, ornament).max_by_key(|told| told.at)?;
    let after = hours_between(began_to_dry(kept, ornament)?, told.at.0);
    let drying = Drying { ornament, pieces: 1, room: plan.room, heat: Heat::Air };
    let weights = dough::weights(&question_of(&drying)).ok()?;
    let (firm, dry) = weights.firm.zip(weights.dry)?;
    let left = |grams: f64| (grams - dry) / (weights.wet - dry);
    let (grams, firm) = (told.weight_g?, left(firm));
    // A kitchen scale shows whole grams.
    let now = left(grams + 0.5);
    let is_nearly = left(grams) < NEARLY * firm && firm < now && now < 1.0;
    is_nearly.then(|| after * firm.ln() / now.ln())
}

/// Kitchens in which pieces are firm, or dry, by some hours, by the place of that among the hours of
/// each: those in which they are not are replaced, evenly.
fn given_ready(runs: Vec<[f64; 2]>, (state, by): (usize, Option<f64>)) -> Vec<[f64; 2]> {
    let Some(by) = by else { return runs };
    let ready: Vec<usize> = (0..runs.len()).filter(|kitchen| runs[*kitchen][state] <= by).collect();
    let stands_for = |kitchen: usize| match runs[kitchen] {
        own if own[state] <= by => own,
        // It was quicker than in any.
        [firm, _] if ready.is_empty() && state == 1 => [firm.min(by), by],
        [_, dry] if ready.is_empty() => [by, dry],
        _ => runs[ready[kitchen * ready.len() / runs.len()]],
    };
    (0..runs.len()).map(stands_for).collect()
}

/// For each of some kitchens the one that stands for it, and how many times as long all takes
/// there, where it was not over after some hours.
fn stand_ins(times: &[f64], after: f64, kitchens: usize) -> Vec<(usize, f64)> {
    let even = |kitchen: usize, of: usize| kitchen * of / kitchens;
    let stands_for: Box<dyn Fn(usize) -> (usize, f64)> = match Rest::after(times, after) {
        Rest::Runs(on) => Box::new(move |kitchen| match on.binary_search(&kitchen) {
            Ok(_) => (kitchen, 1.0),
            Err(_) => (on[even(kitchen, on.len())], 1.0),
        }),
        Rest::Tail(tail) => {
            let mut slowest: Vec<usize> =
                (0..times.len()).filter(|n| times[*n].is_finite()).collect();
            if slowest.is_empty() {
                // Not ready in any, whatever was seen.
                return (0..kitchens).map(|kitchen| (kitchen, 1.0)).collect();
            }
            slowest.sort_by(|a, b| times[*a].total_cmp(&times[*b]));
            let slowest = slowest.split_off(slowest.len() - (slowest.len() / SLOWEST).max(1));
            Box::new(move |kitchen| {
                let own = slowest[even(kitchen, slowest.len())];
                (own, tail[even(kitchen, tail.len())] / times[own])
            })
        }
    };
    (0..kitchens).map(stands_for).collect()
}

/// The ways in which a batch may go on that was begun in one: where it was seen not to be
/// firm, with no, one or two more stretches in the oven than it had had by then.
pub fn ways_on(plan: &Plan, ornament: &Ornament, begun: Way) -> Vec<Way> {
    match way_then(plan, ornament) {
        Some(Way::Oven { oven, lasts_h, times }) if not_ready(plan, ornament)[0].is_some() => {
            [0, 1, 2].map(|more| Way::Oven { oven, lasts_h, times: times + more }).to_vec()
        }
        _ => vec![begun],
    }
}

/// How a batch had been dried as it was last seen not to be ready.
fn way_then(plan: &Plan, ornament: &Ornament) -> Option<Way> {
    let kept = plan.kept.as_ref()?;
    way_by(kept, ornament, last_soft(kept, ornament)?)
}

fn heat_then(plan: &Plan, drying: &Drying<'_>) -> Heat {
    match (drying.heat, way_then(plan, drying.ornament)) {
        (Heat::Oven { kind, at, lasts, times }, Some(Way::Oven { times: then, .. })) => {
            Heat::Oven { kind, at, lasts, times: times.min(then) }
        }
        (heat, _) => heat,
    }
}

/// Hours from the first of the oven to its last, of what was seen not to be ready.
fn out_then(plan: &Plan, ornament: &Ornament) -> Option<f64> {
    let kept = plan.kept.as_ref()?;
    let out = bakes_by(kept, ornament, last_soft(kept, ornament)?).map(|bake| bake.end.0).max();
    Some(hours_between(began_to_dry(kept, ornament)?, out?))
}

/// The stretches in the oven that had begun by some time.
fn bakes_by<'a>(
    kept: &'a Kept,
    ornament: &'a Ornament,
    by: DateTime<FixedOffset>,
) -> impl Iterator<Item = &'a KeptStep> {
    kept.of(&ornament.name, Step::Bake).filter(move |bake| bake.start.0 < by)
}

/// When pieces of a batch were last seen not to be firm, or not to be dry.
fn last_soft(kept: &Kept, ornament: &Ornament) -> Option<DateTime<FixedOffset>> {
    soft_looks(kept, ornament).map(|told| told.at.0).max()
}

/// What was told of pieces that were not firm, or not dry.
fn soft_looks<'a>(kept: &'a Kept, ornament: &'a Ornament) -> impl Iterator<Item = &'a Happened> {
    let told = told_of(kept, ornament, |step| is_firm_look(step) || is_dry_look(step));
    told.filter(|told| told.soft)
}

/// Where no kitchen is as slow as what was seen, the slowest in so many stand for all.
const SLOWEST: usize = 20;

/// When a batch began to dry: as it went into the oven, or onto the rack.
fn began_to_dry(kept: &Kept, ornament: &Ornament) -> Option<DateTime<FixedOffset>> {
    let baked = kept.of(&ornament.name, Step::Bake).map(|step| step.start.0).min();
    baked.or_else(|| kept.of(&ornament.name, Step::Roll).map(|step| step.end.0).max())
}

/// What was told of some steps of a batch.
fn told_of<'a>(
    kept: &'a Kept,
    ornament: &'a Ornament,
    is_one: fn(&KeptStep) -> bool,
) -> impl Iterator<Item = &'a Happened> {
    // How long another load had been in the oven is not known here.
    let known = |step: &KeptStep| {
        let mut alike = kept.of(&ornament.name, step.kind);
        !is_beside_oven(step) || alike.next().is_some_and(|first| is_of_load(step, first))
    };
    let own = kept.steps.iter().filter(move |step| step.goal == ornament.name && is_one(step));
    let own = own.filter(move |step| known(step));
    own.flat_map(|step| kept.told(step)).filter(|told| !told.skipped)
}

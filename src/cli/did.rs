//! `solidby did`: what happened, and what is to do now.

use std::path::Path;

use chrono::{DateTime, TimeDelta};

use super::{
    args::DidArgs,
    check::load,
    context::Context,
    failure::Failure,
    files, kept,
    plan::{Known, json, not_laid},
    reply::{Outcome, Reply, width},
};
use crate::{
    explanation::changes::changed,
    planfile::{Happened, Kept, KeptStep, Moment, Plan},
    prep::{
        following,
        looks::{ready_weight, weighs_between},
        without_moulds,
    },
    report::{
        did::{Answered, News, did, no_such_weight, no_wet_blocks, too_early},
        faults::Wrong,
    },
    tables::Step,
    units::{in_fraction, in_grams, read_past, read_time, zone::Zone},
};

/// Answers `solidby did`.
///
/// # Errors
/// The faults of the file, a step that is not meant by those words, what cannot have happened.
pub fn run(args: &DidArgs, context: Context) -> Result<Reply, Failure> {
    let plan = load(context.host(), &args.file)?;
    let Answered { told, schedule, changes } = answered(args, plan, context)?;
    let text = if context.common.json {
        json(&schedule, Some(&changes))?
    } else {
        did(&told, (&schedule, &changes), &files::shown(&args.file), width())
    };
    Ok(Reply { text, outcome: Outcome::of(&schedule) })
}

/// Tells what happened of a plan that is kept, lays out the rest, and keeps that.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &DidArgs, plan: Plan, context: Context) -> Result<Answered, Failure> {
    let Some(mut now_kept) = kept::read(context.host(), &args.file)? else {
        let name = args.file.display();
        return Err(Failure::input(format!(
            "no plan of {name} is kept yet, so nothing of it can have happened; keep one with: solidby plan {name} --keep"
        )));
    };
    let now = context.now_for(plan.zone)?;
    if !args.undo {
        correct(args, &mut now_kept, now);
    }
    let earlier = now_kept.clone();
    let told = match args.undo {
        true => taken_back(&mut now_kept, &args.file)?,
        false => {
            let known = following(plan.clone(), earlier.clone(), now.fixed_offset());
            tell(args, (&known, &mut now_kept), now, context)?
        }
    };
    let mut plan = following(plan, now_kept.clone(), now.fixed_offset());
    let known = Known::of(&mut plan, &args.learning, context)?;
    let schedule = known.lay_out(&plan).map_err(not_laid(&args.file))?;
    let changes = changed(&earlier, &schedule, plan.kept.as_ref().unwrap_or(&now_kept));
    let mut kept = schedule.kept(Some(&now_kept));
    if !args.undo {
        kept.remember(&earlier);
    }
    kept::write(context.host(), &args.file, &kept)?;
    Ok(Answered { told, schedule, changes })
}

fn taken_back(kept: &mut Kept, file: &Path) -> Result<Vec<News>, Failure> {
    let none = || Failure::input(format!("nothing was told of {} yet", file.display()));
    let last = kept.take_back().ok_or_else(none)?;
    let step = kept.step(&last.step);
    let ready = step.as_ref().is_ok_and(|step| step.is_ready_for(&last));
    let what = step.map_or(last.step.clone(), |step| step.what.clone());
    Ok(vec![News { what, happened: last, back: true, ready, mixing: None, planned: None }])
}

/// Takes back what was told last, where the same step is told now to have been done earlier than
/// it was taken as done.
fn correct(args: &DidArgs, kept: &mut Kept, now: DateTime<Zone>) {
    let (Some(text), [called]) = (&args.at, &args.step[..]) else { return };
    let (Some(last), Ok(step)) = (kept.happened.last(), kept.step(called)) else { return };
    let earlier = read_past(text, now).is_ok_and(|at| at.fixed_offset() < last.at.0);
    if last.step == step.short && last.is_done() && earlier {
        kept.take_back();
    }
}

/// A step that is told so long after it was planned may have been done then (common practice, no
/// source).
const LONG_AGO: TimeDelta = TimeDelta::hours(1);

/// Adds what is told of each step.
fn tell(
    args: &DidArgs,
    (plan, kept): (&Plan, &mut Kept),
    now: DateTime<Zone>,
    context: Context,
) -> Result<Vec<News>, Failure> {
    let mut all = Vec::new();
    let spelling = plan.spelling();
    for called in &args.step {
        let step = kept.step(called).cloned();
        let step = step.map_err(|error| Failure::input(format!("“{called}”: {error}")))?;
        let mut happened = happened(args, (plan, &step), now, context)?;
        let lacking = kept.lacking(&step, now.fixed_offset());
        if !happened.skipped && happened.until.is_none() && !lacking.is_empty() {
            return Err(Failure::input(spelling.words(&too_early(&step, &lacking))));
        }
        let ready = step.is_ready_for(&happened);
        let is_late = args.at.is_none() && happened.is_done() && !ready;
        let planned = Some(step.end).filter(|end| is_late && happened.at.0 > end.0 + LONG_AGO);
        happened.not_filled = without_moulds(plan, kept, (&step, &happened), now.fixed_offset());
        let mixing = mixing(kept, &step).filter(|_| happened.skipped);
        let what = step.what.clone();
        all.push(News { what, happened: happened.clone(), back: false, ready, mixing, planned });
        kept.happened.push(happened);
    }
    Ok(all)
}

/// The mixing of the dough of a step that comes before it is dry, by its short name.
fn mixing(kept: &Kept, step: &KeptStep) -> Option<String> {
    let of_dough = matches!(step.kind, Step::Roll | Step::Load | Step::Bake);
    let mix = kept.of(&step.goal, Step::Mix).next().filter(|_| of_dough)?;
    Some(mix.short.clone())
}

fn happened(
    args: &DidArgs,
    (plan, step): (&Plan, &KeptStep),
    now: DateTime<Zone>,
    context: Context,
) -> Result<Happened, Failure> {
    let at = match &args.at {
        Some(text) => read_past(text, now).map_err(context.timed("at"))?,
        None => now,
    };
    let until = match &args.until {
        Some(text) => Some(until(text, step, now, context)?),
        None => None,
    };
    possible(args, plan, step)?;
    let soft = args.soft || is_too_heavy(args, plan, step);
    let moment = |at: DateTime<Zone>| Moment(at.fixed_offset());
    Ok(Happened {
        wet: args.wet,
        soft,
        humidity: soft.then(|| in_fraction(plan.room.humidity)),
        weight_g: args.weight.map(in_grams),
        until: until.map(moment),
        skipped: args.skipped,
        ..Happened::done(&step.short, moment(at))
    })
}

/// Whether a piece weighs more than one that is ready for a step which is looked at before.
fn is_too_heavy(args: &DidArgs, plan: &Plan, step: &KeptStep) -> bool {
    let Some(grams) = args.weight.map(in_grams).filter(|_| step.waits_for_pieces()) else {
        return false;
    };
    let ornament = plan.ornaments.iter().find(|ornament| ornament.name == step.goal);
    let ready = || ready_weight(plan, ornament?, step.kind);
    // A kitchen scale shows whole grams.
    step.most_g.or_else(ready).is_some_and(|ready| grams >= ready + 0.5)
}

/// Until when a step takes.
fn until(
    text: &str,
    step: &KeptStep,
    now: DateTime<Zone>,
    context: Context,
) -> Result<DateTime<Zone>, Failure> {
    // A bare time is the first after the step begins, or began.
    let from = now.min(step.start.0.with_timezone(&now.timezone()));
    let read = read_time(text, now, from).map_err(context.timed("until"))?;
    if read <= from {
        let words = format!("“{text}” is before “{}” begins", step.what);
        return Err(Failure::of("until", Wrong::Typed(words)));
    }
    Ok(read)
}

/// Whether it can have been seen so.
fn possible(args: &DidArgs, plan: &Plan, step: &KeptStep) -> Result<(), Failure> {
    let wrong = |option, words: String| {
        Err(Failure::of(option, Wrong::Typed(plan.spelling().words(&words))))
    };
    let of_blocks = step.of_blocks();
    if let Some(wet) = args.wet {
        if !of_blocks {
            return wrong("wet", no_wet_blocks(step));
        }
        if wet > step.count {
            return wrong("wet", format!("there are only {} of them", step.count));
        }
    }
    if args.soft && of_blocks {
        return wrong("soft", format!("“{}” has no pieces; say --wet for blocks", step.what));
    }
    let Some(grams) = args.weight.map(in_grams) else { return Ok(()) };
    if grams.is_nan() || grams <= 0.0 {
        return wrong("weight", "a piece weighs more than nothing".to_owned());
    }
    let ornament = plan.ornaments.iter().find(|ornament| ornament.name == step.goal);
    let range = ornament.and_then(|ornament| weighs_between(plan, ornament));
    // A kitchen scale shows whole grams.
    let within = |[least, most]: &[f64; 2]| (least - 0.5..=most + 0.5).contains(&grams);
    match range.filter(|range| !within(range)) {
        Some(range) => wrong("weight", no_such_weight(range)),
        None => Ok(()),
    }
}

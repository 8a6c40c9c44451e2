//! `solidby did`: what happened, and what is to do now.

use std::path::Path;

use chrono::DateTime;

use super::{
    args::DidArgs,
    check::load,
    context::Context,
    failure::Failure,
    kept,
    plan::{Known, json, not_laid},
    reply::{Outcome, Reply, width},
};
use crate::{
    explanation::changes::changed,
    planfile::{Happened, Kept, KeptStep, Moment, Plan},
    prep::without_moulds,
    report::{
        did::{Answered, News, did},
        faults::Wrong,
    },
    units::{in_grams, read_past, read_time, zone::Zone},
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
        did(&told, &schedule, &changes, width())
    };
    Ok(Reply { text, outcome: Outcome::of(&schedule) })
}

/// Tells what happened of a plan that is kept, lays out the rest, and keeps that.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &DidArgs, mut plan: Plan, context: Context) -> Result<Answered, Failure> {
    let Some(mut now_kept) = kept::read(context.host(), &args.file)? else {
        let name = args.file.display();
        return Err(Failure::input(format!(
            "no plan of {name} is kept yet, so nothing of it can have happened; keep one with: solidby plan {name} --keep"
        )));
    };
    let now = context.now_for(plan.zone)?;
    let earlier = now_kept.clone();
    let told = match args.undo {
        true => taken_back(&mut now_kept, &args.file)?,
        false => tell(args, (&plan, &mut now_kept), now, context)?,
    };
    plan.kept = Some(now_kept.clone());
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
    let what = kept.step(&last.step).map_or(last.step.clone(), |step| step.what.clone());
    Ok(vec![News { what, happened: last, back: true }])
}

/// Adds what is told of each step.
fn tell(
    args: &DidArgs,
    (plan, kept): (&Plan, &mut Kept),
    now: DateTime<Zone>,
    context: Context,
) -> Result<Vec<News>, Failure> {
    let mut all = Vec::new();
    for called in &args.step {
        let step = kept.step(called).cloned();
        let step = step.map_err(|error| Failure::input(format!("“{called}”: {error}")))?;
        let mut happened = happened(args, &step, now, context)?;
        happened.not_filled = without_moulds(plan, kept, (&step, &happened), now.fixed_offset());
        all.push(News { what: step.what.clone(), happened: happened.clone(), back: false });
        kept.happened.push(happened);
    }
    Ok(all)
}

fn happened(
    args: &DidArgs,
    step: &KeptStep,
    now: DateTime<Zone>,
    context: Context,
) -> Result<Happened, Failure> {
    let at = match &args.at {
        Some(text) => read_past(text, now).map_err(context.timed("at"))?,
        None => now,
    };
    let until = match &args.until {
        Some(text) => {
            // A bare time is the first after the step begins, or began.
            let from = now.min(step.start.0.with_timezone(&now.timezone()));
            let read = read_time(text, now, from).map_err(context.timed("until"))?;
            if read <= from {
                let words = format!("“{text}” is before “{}” begins", step.what);
                return Err(Failure::of("until", Wrong::Typed(words)));
            }
            Some(read)
        }
        None => None,
    };
    let wrong = |option, words: String| Err(Failure::of(option, Wrong::Typed(words)));
    let of_blocks = step.of_blocks();
    if let Some(wet) = args.wet {
        if !of_blocks {
            return wrong("wet", format!("“{}” has no blocks that could be wet", step.what));
        }
        if wet > step.count {
            return wrong("wet", format!("there are only {} of them", step.count));
        }
    }
    if args.soft && of_blocks {
        return wrong("soft", format!("“{}” has no pieces; say --wet for blocks", step.what));
    }
    let grams = args.weight.map(in_grams);
    if grams.is_some_and(|grams| grams.is_nan() || grams <= 0.0) {
        return wrong("weight", "a piece weighs more than nothing".to_owned());
    }
    let moment = |at: DateTime<Zone>| Moment(at.fixed_offset());
    Ok(Happened {
        step: step.short.clone(),
        at: moment(at),
        wet: args.wet,
        soft: args.soft,
        weight_g: grams,
        until: until.map(moment),
        skipped: args.skipped,
        not_filled: Vec::new(),
        before: Vec::new(),
        came: Vec::new(),
    })
}

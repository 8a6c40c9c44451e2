//! `solidby today`: what to do until tomorrow's class, what to look at, what is late.

use super::{
    args::TodayArgs,
    check::load,
    context::Context,
    failure::Failure,
    files, kept,
    plan::Known,
    reply::{Outcome, Reply, reply, width},
};
use crate::report::today::{Today, today_words};

/// Answers `solidby today`.
///
/// # Errors
/// The faults of the file, or of the plan that is kept.
pub fn run(args: &TodayArgs, context: Context) -> Result<Reply, Failure> {
    let mut plan = load(context.host(), &args.file)?;
    let now = context.now_for(plan.zone)?;
    let line = kept::follow(context.host(), &args.file, &mut plan, now.to_utc())?;
    let known = Known::of(&mut plan, &args.learning, context)?;
    let laid = known.lay_out(&plan);
    let schedule =
        laid.map_err(|error| Failure::input(format!("{}: {error}", args.file.display())))?;
    let today = Today::of(&schedule, plan.kept.as_ref(), now.with_timezone(&plan.zone), line);
    let reply = reply(&today, context, || today_words(&today, &files::shown(&args.file), width()))?;
    let outcome = if schedule.feasible { Outcome::Answered } else { Outcome::CannotBeDone };
    Ok(Reply { outcome, ..reply })
}

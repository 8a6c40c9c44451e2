//! `solidby today`: what to do until tomorrow's class, what to look at, what is late.

use super::{
    args::TodayArgs,
    check::load,
    context::Context,
    failure::Failure,
    files, kept,
    plan::{Known, not_laid},
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
    let schedule = known.lay_out(&plan).map_err(not_laid(&args.file))?;
    let today = Today::of(&schedule, plan.kept.as_ref(), now.with_timezone(&plan.zone), line);
    let reply = reply(&today, context, || today_words(&today, &files::shown(&args.file), width()))?;
    Ok(Reply { outcome: Outcome::of(&schedule), ..reply })
}

//! `solidby plan`: the whole prep, printed and written as a calendar file.

use std::path::Path;

use super::{
    Outcome, Reply,
    args::{Common, PlanArgs},
    check::load,
    failure::Failure,
    files, moment,
};
use crate::{
    plan::{self, physics::Physics, schedule::Schedule},
    say::{
        calendar::{self, Options},
        listing::{Detail, listing},
    },
};

/// Answers `solidby plan`.
///
/// # Errors
/// The faults of the file, or an output that cannot be written.
pub fn run(args: &PlanArgs, common: &Common) -> Result<Reply, Failure> {
    let mut plan = load(&args.file)?;
    if let Some(units) = common.units {
        plan.units = units;
    }
    let now = moment::now_in(plan.zone, common.now.as_deref())?;
    let schedule = plan::lay_out(&plan, now, &Physics::default())
        .map_err(|error| Failure::input(format!("{}: {error}", args.file.display())))?;
    if let Some(out) = &args.ics {
        write_calendar(out, &schedule, args)?;
    }
    let text = if common.json {
        let json = serde_json::to_string_pretty(&schedule)
            .map_err(|error| Failure::other(format!("the plan could not be printed: {error}")))?;
        json + "\n"
    } else {
        listing(&schedule, Detail { width: super::width(), reasons: args.reasons })
    };
    let outcome = if schedule.feasible { Outcome::Answered } else { Outcome::CannotBeDone };
    Ok(Reply { text, outcome })
}

/// Writes the calendar; a calendar of ours that is there already is revised.
fn write_calendar(out: &Path, schedule: &Schedule, args: &PlanArgs) -> Result<(), Failure> {
    let name = out.display();
    let options = Options {
        reminder_min: Some(args.remind).filter(|minutes| *minutes > 0),
        ..Options::default()
    };
    let text = match files::read_if_there(out)? {
        Some(previous) if !args.force => {
            calendar::revise(&previous, schedule, &options).map_err(|error| {
                Failure::input(format!(
                    "{name}: {error}; choose another name, or add --force to overwrite it"
                ))
            })?
        }
        _ => calendar::write(schedule, &options),
    };
    let Some(text) = text else {
        anstream::eprintln!("no step is left, so {name} was not written");
        return Ok(());
    };
    files::write(out, &text)?;
    let events = text.matches("BEGIN:VEVENT").count();
    anstream::eprintln!(
        "wrote {name}: {events} events. To import it again later, delete the old calendar first."
    );
    Ok(())
}

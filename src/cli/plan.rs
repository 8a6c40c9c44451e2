//! `solidby plan`: the whole prep, printed and written as a calendar file and as a sheet.

use std::path::Path;

use super::{
    Outcome, Reply,
    args::{Common, PlanArgs},
    check::load,
    diary,
    failure::Failure,
    files, moment,
};
use crate::{
    plan::{self, physics::Physics, schedule::Schedule},
    say::{
        calendar::{self, Options},
        listing::{Detail, listing},
        sheet::{self, SheetOptions},
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
    let (taught, lines) = diary::teach_plan(&args.learning, &plan, common, now.fixed_offset())?;
    let mut schedule = plan::lay_out(&plan, now, &Physics::taught(taught))
        .map_err(|error| Failure::input(format!("{}: {error}", args.file.display())))?;
    schedule.notes.splice(0..0, lines);
    if let Some(out) = &args.ics {
        write_calendar(out, &schedule, args, Kind::Events)?;
    }
    if let Some(out) = &args.ics_tasks {
        write_calendar(out, &schedule, args, Kind::Tasks)?;
    }
    if let Some(out) = &args.sheet {
        write_sheet(out, &schedule, args)?;
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

/// What a calendar file holds; never both.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Events,
    Tasks,
}

/// Writes a calendar file; one of ours that is there already is revised.
fn write_calendar(
    out: &Path,
    schedule: &Schedule,
    args: &PlanArgs,
    kind: Kind,
) -> Result<(), Failure> {
    let name = out.display();
    let options = Options {
        reminder_min: Some(args.remind).filter(|minutes| *minutes > 0),
        ..Options::default()
    };
    let text = match (files::read_if_there(out)?.filter(|_| !args.force), kind) {
        (Some(previous), Kind::Events) => calendar::revise(&previous, schedule, &options),
        (Some(previous), Kind::Tasks) => calendar::revise_tasks(&previous, schedule, &options),
        (None, Kind::Events) => Ok(calendar::write(schedule, &options)),
        (None, Kind::Tasks) => Ok(calendar::write_tasks(schedule, &options)),
    };
    let text = text.map_err(|error| {
        let help = "choose another name, or add --force to overwrite it";
        Failure::input(format!("{name}: {error}; {help}"))
    })?;
    let Some(text) = text else {
        anstream::eprintln!("no step is left, so {name} was not written");
        return Ok(());
    };
    files::write(out, &text)?;
    let (component, noun) = match kind {
        Kind::Events => ("BEGIN:VEVENT", "events"),
        Kind::Tasks => ("BEGIN:VTODO", "tasks"),
    };
    let number = text.matches(component).count();
    anstream::eprintln!(
        "wrote {name}: {number} {noun}. To import it again later, delete the old calendar first."
    );
    Ok(())
}

/// Writes the sheet; only one of ours is overwritten.
fn write_sheet(out: &Path, schedule: &Schedule, args: &PlanArgs) -> Result<(), Failure> {
    let name = out.display();
    let page = sheet::write(schedule, &SheetOptions::default())
        .map_err(|error| Failure::other(format!("{name} could not be written: {error}")))?;
    files::replace(out, &page, ("sheet", sheet::is_ours), args.force)?;
    anstream::eprintln!("wrote {name}: open it in a browser and print it");
    Ok(())
}

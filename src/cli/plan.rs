//! `solidby plan`: the whole prep, printed and written as a calendar file and as a sheet.

use std::{fmt::Display, path::Path};

use serde::Serialize;

use super::{
    Outcome, Reply,
    args::{Common, PlanArgs},
    check::load,
    diary,
    failure::Failure,
    files, moment,
};
use crate::{
    plan::{
        self, LayError,
        changes::{self, Changes},
        physics::Physics,
        schedule::Schedule,
    },
    say::{
        calendar::{self, Options},
        listing::{Detail, chain_of_reasons, listing},
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
    plan.done.extend(args.done.iter().cloned());
    let now = moment::now_in(plan.zone, common.now.as_deref())?;
    let wrong = |error: LayError| Failure::input(format!("{}: {error}", args.file.display()));
    let (taught, lines) = diary::teach_plan(&args.learning, &plan, common, now.fixed_offset())?;
    let physics = Physics::taught(taught);
    if let Some(id) = &args.why {
        let chain = plan::why(&plan, now, &physics, id).map_err(wrong)?;
        return super::reply(&chain, common, || chain_of_reasons(&chain, super::width()));
    }
    let mut schedule = plan::lay_out(&plan, now, &physics).map_err(wrong)?;
    schedule.notes.splice(0..0, lines);
    let changes = args.since.as_ref().map(|path| since(path, &schedule, &plan.done)).transpose()?;
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
        let json = serde_json::to_string_pretty(&Answer { schedule: &schedule, changes })
            .map_err(|error| Failure::other(format!("the plan could not be printed: {error}")))?;
        json + "\n"
    } else {
        let detail = Detail { width: super::width(), reasons: args.reasons };
        listing(&schedule, changes.as_ref(), detail)
    };
    let outcome = if schedule.feasible { Outcome::Answered } else { Outcome::CannotBeDone };
    Ok(Reply { text, outcome })
}

/// The plan, and what changed where that was asked.
#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    schedule: &'a Schedule,
    #[serde(skip_serializing_if = "Option::is_none")]
    changes: Option<Changes>,
}

/// What changed since an earlier answer.
fn since(path: &Path, schedule: &Schedule, done: &[String]) -> Result<Changes, Failure> {
    let wrong = |error: &dyn Display| Failure::input(format!("{}: {error}", path.display()));
    let earlier = files::read_up_to(path, files::LARGEST_OUTPUT)?;
    changes::changes(&earlier, schedule, done).map_err(|error| wrong(&error))
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
        super::remark(&format!("no step is left, so {name} was not written\n"));
        return Ok(());
    };
    files::write(out, &text)?;
    let (component, noun) = match kind {
        Kind::Events => ("BEGIN:VEVENT", "events"),
        Kind::Tasks => ("BEGIN:VTODO", "tasks"),
    };
    let number = text.matches(component).count();
    super::remark(&format!(
        "wrote {name}: {number} {noun}. To import it again later, delete the old calendar first.\n"
    ));
    Ok(())
}

/// Writes the sheet; only one of ours is overwritten.
fn write_sheet(out: &Path, schedule: &Schedule, args: &PlanArgs) -> Result<(), Failure> {
    let name = out.display();
    let page = sheet::write(schedule, &SheetOptions::default())
        .map_err(|error| Failure::other(format!("{name} could not be written: {error}")))?;
    files::replace(out, &page, ("sheet", sheet::is_ours), args.force)?;
    super::remark(&format!("wrote {name}: open it in a browser and print it\n"));
    Ok(())
}

//! `solidby plan`: the whole prep, printed and written as a calendar file and as a sheet.

use std::{fmt::Display, path::Path};

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::{
    Outcome, Reply,
    args::{Common, Learning, PlanArgs},
    check::load,
    diary,
    failure::Failure,
    files, moment,
};
use crate::{
    explanation::{
        self,
        changes::{self, Changes},
    },
    planfile::Plan,
    prep::{LayError, physics::Physics, schedule::Schedule},
    report::{
        calendar::{self, Options},
        listing::{Detail, chain_of_reasons, listing},
        plan,
        sheet::{self, SheetError, SheetOptions},
    },
};

/// Answers `solidby plan`.
///
/// # Errors
/// The faults of the file, or an output that cannot be written.
pub fn run(args: &PlanArgs, common: &Common) -> Result<Reply, Failure> {
    let mut plan = load(&args.file)?;
    plan.done.extend(args.done.iter().cloned());
    let wrong = |error: LayError| Failure::input(format!("{}: {error}", args.file.display()));
    let known = Known::of(&mut plan, &args.learning, common)?;
    if let Some(id) = &args.why {
        let chain = explanation::why(&plan, known.now, &known.physics, id).map_err(wrong)?;
        return super::reply(&chain, common, || chain_of_reasons(&chain, super::width()));
    }
    let schedule = known.lay_out(&plan).map_err(wrong)?;
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

/// What a plan is laid out with: the clock, and what the diary has taught.
struct Known {
    now: DateTime<Utc>,
    physics: Physics,
    lines: Vec<String>,
}

impl Known {
    /// Of a plan, which gets the units that were asked for.
    fn of(plan: &mut Plan, learning: &Learning, common: &Common) -> Result<Self, Failure> {
        if let Some(units) = common.units {
            plan.units = units;
        }
        let now = moment::now_in(plan.zone, common.now.as_deref())?;
        let (taught, lines) = diary::teach_plan(learning, plan, common, now.fixed_offset())?;
        Ok(Self { now, physics: Physics::taught(taught), lines })
    }

    fn lay_out(&self, plan: &Plan) -> Result<Schedule, LayError> {
        let mut schedule = plan::lay_out(plan, self.now, &self.physics)?;
        schedule.notes.splice(0..0, self.lines.iter().cloned());
        Ok(schedule)
    }
}

/// Lays out a plan as `solidby plan` does.
///
/// # Errors
/// A plan that cannot be laid out at all, or a diary that cannot be read.
pub fn schedule(mut plan: Plan, learning: &Learning, common: &Common) -> Result<Schedule, Failure> {
    let known = Known::of(&mut plan, learning, common)?;
    known.lay_out(&plan).map_err(|error| Failure::input(error.to_string()))
}

/// The reminders as `solidby plan --ics` writes them into a new file; none when no step is left.
pub fn calendar(schedule: &Schedule) -> Option<String> {
    calendar::write(schedule, &options(REMIND))
}

/// The sheet as `solidby plan --sheet` writes it.
///
/// # Errors
/// A fault of the template.
pub fn printed(schedule: &Schedule) -> Result<String, SheetError> {
    sheet::write(schedule, &SheetOptions::default())
}

/// Minutes of warning before each step with hands, where nobody says otherwise.
pub const REMIND: u32 = 30;

fn options(remind: u32) -> Options {
    Options { reminder_min: Some(remind).filter(|minutes| *minutes > 0), ..Options::default() }
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
    let options = options(args.remind);
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
    let page = printed(schedule)
        .map_err(|error| Failure::other(format!("{name} could not be written: {error}")))?;
    files::replace(out, &page, ("sheet", sheet::is_ours), args.force)?;
    super::remark(&format!("wrote {name}: open it in a browser and print it\n"));
    Ok(())
}

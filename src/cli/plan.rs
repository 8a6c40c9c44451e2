//! `solidby plan`: the whole prep, printed and written as a calendar file and as a sheet.

use std::{
    fmt::Display,
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::{
    args::{Learning, PlanArgs},
    check::load,
    context::Context,
    diary,
    failure::Failure,
    files, kept,
    reply::{Outcome, Reply, remark, reply, width},
};
use crate::{
    explanation::changes::{self, Changes},
    host::Host,
    planfile::{Kept, Plan},
    prep::{LayError, physics::Physics, schedule::Schedule},
    report::{
        calendar::{self, Component, Options},
        clean,
        listing::{Detail, chain_of_reasons, listing},
        notes, plan,
        sheet::{self, SheetError},
        why::why,
    },
};

/// Answers `solidby plan`.
///
/// # Errors
/// The faults of the file, or an output that cannot be written.
pub fn run(args: &PlanArgs, context: Context) -> Result<Reply, Failure> {
    apart(args, context)?;
    let mut plan = load(context.host(), &args.file)?;
    plan.done.extend(args.done.iter().cloned());
    let now = context.now_for(plan.zone)?.to_utc();
    let followed = kept::follow(context.host(), &args.file, &mut plan, now)?;
    let mut known = Known::of(&mut plan, &args.learning, context)?;
    known.lines.extend(followed);
    if let Some(id) = &args.why {
        let reasons = why(&plan, known.now, &known.physics, id).map_err(|error| match error {
            LayError::NotOne(_) => Failure::input(format!("“{id}”: {error}")),
            error => not_laid(&args.file)(error),
        })?;
        let chain = &reasons.why;
        return reply(&reasons, context, || chain_of_reasons(chain, &plan.spelling(), width()));
    }
    let mut schedule = known.lay_out(&plan).map_err(not_laid(&args.file))?;
    schedule.spelling = schedule.spelling.in_file(&files::shown(&args.file));
    let changes = args
        .since
        .as_ref()
        .map(|path| since(context.host(), path, &schedule, &plan.done))
        .transpose()?;
    if let Some(out) = &args.ics {
        write_calendar(out, &schedule, (args, context), Component::Event)?;
    }
    if let Some(out) = &args.ics_tasks {
        write_calendar(out, &schedule, (args, context), Component::Task)?;
    }
    for (out, full) in [(&args.sheet, false), (&args.sheet_full, true)] {
        let Some(out) = out else { continue };
        let page = sheet::write(&schedule, full).map(Some);
        write_page(out, page, SHEET, (args, context.host()))?;
    }
    if let Some(out) = &args.notes {
        write_page(out, notes::write(&plan, &schedule), NOTES, (args, context.host()))?;
    }
    let written = [&args.ics, &args.ics_tasks, &args.sheet, &args.sheet_full];
    if args.keep || written.iter().any(|out| out.is_some()) {
        keep(args, (&schedule, plan.kept.as_ref()), context.host())?;
    }
    let text = if context.common.json {
        json(&schedule, changes.as_ref())?
    } else {
        let detail = Detail { width: width(), reasons: args.reasons, more: args.more };
        listing(&schedule, changes.as_ref(), detail)
    };
    Ok(Reply { text, outcome: Outcome::of(&schedule) })
}

/// Keeps a plan that leaves the program. Where it was only written for somewhere else, that
/// it cannot be kept is said and is no failure.
fn keep(args: &PlanArgs, what: (&Schedule, Option<&Kept>), host: &dyn Host) -> Result<(), Failure> {
    match kept::keep(host, &args.file, what) {
        Ok(name) => remark(&format!("kept in {name}: say what happens with solidby did\n")),
        Err(failure) if args.keep => return Err(failure),
        Err(failure) => remark(&format!("the plan is not kept: {}\n", failure.text().trim_end())),
    }
    Ok(())
}

/// What a plan is laid out with: the clock, and what the diary has taught.
pub struct Known {
    now: DateTime<Utc>,
    physics: Physics,
    lines: Vec<String>,
}

impl Known {
    /// Of a plan, which gets the units that were asked for.
    ///
    /// # Errors
    /// A diary that cannot be read.
    pub fn of(plan: &mut Plan, learning: &Learning, context: Context) -> Result<Self, Failure> {
        if let Some(units) = context.common.units {
            plan.units = units;
        }
        plan.wishes.twelve_hours = context.twelve_hours().or(plan.wishes.twelve_hours);
        let now = context.now_for(plan.zone)?;
        let (taught, lines) = diary::teach_plan(learning, plan, now, context)?;
        Ok(Self { now: now.to_utc(), physics: Physics::taught(taught), lines })
    }

    /// Lays the plan out.
    ///
    /// # Errors
    /// A thing of it that is outside the physics' range.
    pub fn lay_out(&self, plan: &Plan) -> Result<Schedule, LayError> {
        let mut schedule = plan::lay_out(plan, self.now, &self.physics)?;
        schedule.notes.splice(0..0, self.lines.iter().cloned());
        Ok(schedule)
    }
}

/// The failure of a plan file that cannot be laid out.
pub fn not_laid(file: &Path) -> impl Fn(LayError) -> Failure {
    move |error| Failure::input(format!("{}: {error}", file.display()))
}

/// Refuses an output in the place of an input or of another output.
fn apart(args: &PlanArgs, context: Context) -> Result<(), Failure> {
    let host = context.host();
    let diary = diary::input(&args.learning, host);
    let inputs = [Some(&args.file), args.since.as_ref(), diary.as_ref()];
    let inputs: Vec<&Path> = inputs.into_iter().flatten().map(PathBuf::as_path).collect();
    let outputs = [
        ("ics", args.ics.as_deref()),
        ("ics-tasks", args.ics_tasks.as_deref()),
        ("sheet", args.sheet.as_deref()),
        ("sheet-full", args.sheet_full.as_deref()),
        ("notes", args.notes.as_deref()),
    ];
    files::apart(host, &inputs, &outputs)
}

/// The plan as JSON, and what changed where that was asked.
///
/// # Errors
/// When it cannot be written as JSON.
pub fn json(schedule: &Schedule, changes: Option<&Changes>) -> Result<String, Failure> {
    #[derive(Serialize)]
    struct Answer<'a> {
        #[serde(flatten)]
        schedule: &'a Schedule,
        #[serde(skip_serializing_if = "Option::is_none")]
        changes: Option<&'a Changes>,
    }
    clean::json(&Answer { schedule, changes })
        .map(|json| json + "\n")
        .map_err(|error| Failure::other(format!("the plan could not be printed: {error}")))
}

/// What changed since an earlier answer.
fn since(
    host: &dyn Host,
    path: &Path,
    schedule: &Schedule,
    done: &[String],
) -> Result<Changes, Failure> {
    let wrong = |error: &dyn Display| Failure::input(format!("{}: {error}", path.display()));
    let earlier = files::read_up_to(host, path, files::LARGEST_OUTPUT)?;
    changes::changes(&earlier, schedule, done).map_err(|error| wrong(&error))
}

/// Writes a calendar file; one of ours that is there already is revised.
fn write_calendar(
    out: &Path,
    schedule: &Schedule,
    (args, context): (&PlanArgs, Context),
    kind: Component,
) -> Result<(), Failure> {
    let (name, host) = (files::shown(out), context.host());
    let reminder_min = Some(args.remind).filter(|minutes| *minutes > 0);
    let options = Options { reminder_min, kind };
    let there = files::previous(host, out)?;
    let previous = there.as_deref().filter(|_| !args.force).map(String::from_utf8_lossy);
    let text = match previous {
        Some(previous) => calendar::revise(&previous, schedule, &options),
        None => Ok(calendar::write(schedule, &options)),
    };
    let text = text.map_err(|error| {
        let help = "choose another name, or add --force to overwrite it";
        Failure::input(format!("{name}: {error}; {help}"))
    })?;
    let Some(text) = text else {
        remark(&format!("no step is left, so {name} was not written\n"));
        return Ok(());
    };
    files::write(host, out, &text, there.as_deref())?;
    let noun = match kind {
        Component::Event => "events",
        Component::Task => "tasks",
    };
    let number = calendar::count(&text, kind);
    remark(&format!(
        "wrote {name}: {number} {noun}. To import it again later, delete the old calendar first.\n"
    ));
    Ok(())
}

/// A kind of page: what it is called, how it is known again, and what to do with it.
type Page = (&'static str, fn(&str) -> bool, &'static str);

const SHEET: Page = ("sheet", sheet::is_ours, "open it in a browser and print it");
const NOTES: Page = ("sheet of notes", notes::is_ours, "open it in a browser, print it and cut");

/// Writes a page, which a plan without gifts may lack; only one of ours is overwritten.
fn write_page(
    out: &Path,
    page: Result<Option<String>, SheetError>,
    (kind, is_ours, next): Page,
    (args, host): (&PlanArgs, &dyn Host),
) -> Result<(), Failure> {
    let name = files::shown(out);
    let page =
        page.map_err(|error| Failure::other(format!("{name} could not be written: {error}")))?;
    let Some(page) = page else {
        remark(&format!("the plan has no gifts, so {name} was not written\n"));
        return Ok(());
    };
    files::replace(host, out, &page, (kind, is_ours), args.force)?;
    remark(&format!("wrote {name}: {next}\n"));
    Ok(())
}

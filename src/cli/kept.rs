//! The file of the plan that is followed, beside the plan file.

use std::path::Path;

use chrono::{DateTime, Utc};

use super::{failure::Failure, files};
use crate::{
    host::{Host, Source},
    planfile::{Kept, Plan, kept_beside},
    prep::{following, schedule::Schedule},
};

/// What is kept of a plan, where something is.
///
/// # Errors
/// A file there that is another one, or that cannot be read.
pub fn read(host: &dyn Host, plan: &Path) -> Result<Option<Kept>, Failure> {
    let path = kept_beside(plan);
    let Some(text) = files::read_if_there(host, &path, files::LARGEST_OUTPUT)? else {
        return Ok(None);
    };
    let kept = Kept::read(&text);
    kept.map(Some).map_err(|error| Failure::input(format!("{}: {error}", files::shown(&path))))
}

/// Puts what is kept into a plan; says so in a line. What was planned later than now is
/// another story, and is left alone.
///
/// # Errors
/// As [`read`].
pub fn follow(
    host: &dyn Host,
    path: &Path,
    plan: &mut Plan,
    now: DateTime<Utc>,
) -> Result<Option<String>, Failure> {
    let Some(kept) = read(host, path)? else { return Ok(None) };
    let name = files::shown(&kept_beside(path));
    if kept.planned.is_some_and(|planned| planned.0 > now) {
        return Ok(Some(format!(
            "The plan kept in {name} was made later than now: it is not followed."
        )));
    }
    let over = kept.over_by(now.fixed_offset());
    let hands = kept.steps.iter().filter(|step| !step.by_itself);
    let over = hands.filter(|step| over.end(step).is_some_and(|end| end <= now)).count();
    *plan = following(plan.clone(), kept, now.fixed_offset());
    let counted = match over {
        0 => return Ok(Some(format!("The plan kept in {name} is followed."))),
        1 => "1 step before now counts".to_owned(),
        _ => format!("{over} steps before now count"),
    };
    Ok(Some(format!(
        "The plan kept in {name} is followed: {counted} as done as planned, unless you told otherwise."
    )))
}

/// Keeps a plan as it is now given; returns the name of the file.
///
/// # Errors
/// When it cannot be written, another file is there, or a plan that was kept later: what was
/// told of that one would be lost.
pub fn keep(
    host: &dyn Host,
    path: &Path,
    (schedule, before): (&Schedule, Option<&Kept>),
) -> Result<String, Failure> {
    if before.is_none() {
        let later = |there: &Kept| there.planned.is_some_and(|at| at.0 > schedule.computed);
        if read(host, path)?.as_ref().is_some_and(later) {
            let name = files::shown(&kept_beside(path));
            let words = "holds a plan that was made later than now; move it away";
            return Err(Failure::input(format!("{name} {words}")));
        }
    }
    write(host, path, &schedule.kept(before))
}

/// Writes what is kept.
///
/// # Errors
/// As [`keep`], and for a plan that came through a pipe, beside which nothing can be kept.
pub fn write(host: &dyn Host, plan: &Path, kept: &Kept) -> Result<String, Failure> {
    let name = files::shown(plan);
    if host.read(plan, files::LARGEST_OUTPUT, Source::File).is_err() {
        let words = "is no ordinary file, so nothing can be kept beside it";
        return Err(Failure::input(format!("{name} {words}")));
    }
    // Another file of that name is refused here.
    read(host, plan)?;
    let path = kept_beside(plan);
    let text = kept.written().map_err(|error| Failure::other(format!("{name}: {error}")))?;
    files::write(host, &path, &text, files::previous(host, &path)?.as_deref())?;
    Ok(files::shown(&path))
}

//! The file of the plan that is followed, beside the plan file.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};

use super::{failure::Failure, files};
use crate::{
    host::{Host, Over},
    planfile::{Kept, Plan},
    prep::schedule::Schedule,
};

/// `demo/fortnight.toml` is kept in `demo/fortnight.kept.toml`.
pub fn place(plan: &Path) -> PathBuf {
    plan.with_extension("kept.toml")
}

/// What is kept of a plan, where something is.
///
/// # Errors
/// A file there that is another one, or that cannot be read.
pub fn read(host: &dyn Host, plan: &Path) -> Result<Option<Kept>, Failure> {
    let path = place(plan);
    let Some(text) = files::read_if_there(host, &path)? else { return Ok(None) };
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
    let name = files::shown(&place(path));
    if kept.planned.is_some_and(|planned| planned.0 > now) {
        return Ok(Some(format!(
            "The plan kept in {name} was made later than now: it is not followed."
        )));
    }
    let over = kept.steps.iter().filter(|step| !step.by_itself);
    let over = over.filter(|step| kept.over(step, now.fixed_offset()).is_some()).count();
    plan.kept = Some(kept);
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
/// When it cannot be written, or another file is there.
pub fn keep(
    host: &dyn Host,
    path: &Path,
    (schedule, before): (&Schedule, Option<&Kept>),
) -> Result<String, Failure> {
    write(host, path, &schedule.kept(before))
}

/// Writes what is kept.
///
/// # Errors
/// As [`keep`].
pub fn write(host: &dyn Host, path: &Path, kept: &Kept) -> Result<String, Failure> {
    let path = place(path);
    let there = files::previous(host, &path)?;
    let foreign = |there: &Vec<u8>| !Kept::is_ours(&String::from_utf8_lossy(there));
    if there.as_ref().is_some_and(foreign) {
        let name = files::shown(&path);
        return Err(Failure::input(format!("{name} is not ours and is left alone; move it away")));
    }
    let over = there.as_deref().map_or(Over::Nothing, Over::Only);
    let written = host.write(&path, kept.written().as_bytes(), over);
    written.map_err(|error| files::unwritten(&path, error))?;
    Ok(files::shown(&path))
}

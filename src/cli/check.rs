//! `solidby check`: every fault of a plan file, each with its line.

use std::path::Path;

use serde_json::json;

use super::{args::CheckArgs, context::Context, failure::Failure, files, reply::Reply};
use crate::{
    host::Host,
    planfile::{self, Plan},
};

/// Answers `solidby check`.
///
/// # Errors
/// The faults of the file.
pub fn run(args: &CheckArgs, context: Context) -> Result<Reply, Failure> {
    let plan = load(context.host(), &args.file)?;
    let sessions: usize = plan.ice.iter().map(|ice| ice.sessions.len()).sum();
    let batches = plan.ornaments.len();
    if context.common.json {
        let document =
            json!({ "schema": 1, "sound": true, "sessions": sessions, "batches": batches });
        return Ok(Reply::answered(format!("{document:#}\n")));
    }
    Ok(Reply::answered(format!(
        "{} is sound: {}, {}.\nNext: solidby plan {}\n",
        files::shown(&args.file),
        counted(sessions, "ice session", "ice sessions"),
        counted(batches, "batch of ornaments", "batches of ornaments"),
        files::shown(&args.file)
    )))
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Reads and validates a plan file.
///
/// # Errors
/// The faults of the file, or why it could not be read.
pub fn load(host: &dyn Host, path: &Path) -> Result<Plan, Failure> {
    files::read_as(host, path, planfile::read)
}

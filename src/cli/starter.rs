//! `solidby starter`: a commented plan file to begin from.

use super::{
    args::StarterArgs,
    context::Context,
    failure::Failure,
    files,
    reply::{Reply, reply_of},
};
use crate::{
    host::{Over, StoreError},
    planfile::starter,
};

/// Answers `solidby starter`.
///
/// # Errors
/// When the file is there already, or cannot be written.
pub fn run(args: &StarterArgs, context: Context) -> Result<Reply, Failure> {
    let Some(out) = &args.out else { return Ok(Reply::answered(starter())) };
    let over = if args.force { Over::Anything } else { Over::Nothing };
    context.host.write(out, starter().as_bytes(), over).map_err(|error| match error {
        StoreError::Exists => {
            let name = out.display();
            Failure::input(format!("{name} is there already; choose another name or add --force"))
        }
        error => files::unwritten(out, error),
    })?;
    let document = serde_json::json!({ "schema": 1, "wrote": out.display().to_string() });
    let words = format!("wrote {}\nEdit it, then: solidby check {0}\n", files::shown(out));
    reply_of(&document, words, context)
}

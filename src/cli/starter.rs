//! `solidby starter`: a commented plan file to begin from.

use super::{
    Reply,
    args::{Common, StarterArgs},
    failure::Failure,
    files,
};

/// The file itself; a test holds it sound.
pub const STARTER: &str = include_str!("starter.toml");

/// Answers `solidby starter`.
///
/// # Errors
/// When the file is there already, or cannot be written.
pub fn run(args: &StarterArgs, common: &Common) -> Result<Reply, Failure> {
    let Some(out) = &args.out else { return Ok(Reply::answered(STARTER.to_owned())) };
    if out.exists() && !args.force {
        let message =
            format!("{} is there already; choose another name or add --force", out.display());
        return Err(Failure::input(message));
    }
    files::write(out, STARTER)?;
    let text = if common.json {
        format!("{:#}\n", serde_json::json!({ "schema": 1, "wrote": out.display().to_string() }))
    } else {
        format!("wrote {}\nEdit it, then: solidby check {0}\n", out.display())
    };
    Ok(Reply::answered(text))
}

//! Reads files whole and writes them whole or not at all.

use std::{fs, io::Write, path::Path};

use super::failure::Failure;
use crate::{
    plan::file::{Fault, LARGEST_FILE},
    say::chart::{self, Chart},
};

/// The text of a file of the user's.
///
/// # Errors
/// An input failure when it is not there, too long, or not UTF-8.
pub fn read(path: &Path) -> Result<String, Failure> {
    let name = path.display();
    let about = fs::metadata(path)
        .map_err(|error| Failure::input(format!("{name} cannot be read: {error}")))?;
    if about.is_dir() {
        return Err(Failure::input(format!("{name} is a folder; name the file in it")));
    }
    if about.len() > LARGEST_FILE as u64 {
        let message =
            format!("{name} has {} bytes; it may have at most {LARGEST_FILE}", about.len());
        return Err(Failure::input(message));
    }
    let bytes = fs::read(path)
        .map_err(|error| Failure::input(format!("{name} cannot be read: {error}")))?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count() + 1;
        Failure::input(format!("{name}, line {line}: not UTF-8 text; save the file as UTF-8"))
    })
}

/// A file of the user's, read by `reader`.
///
/// # Errors
/// As [`read`], and the faults of the file, each with its line.
pub fn read_as<T>(
    path: &Path,
    reader: impl Fn(&str) -> Result<T, Vec<Fault>>,
) -> Result<T, Failure> {
    let text = read(path)?;
    reader(&text).map_err(|faults| Failure::faults(&path.display().to_string(), &text, &faults))
}

/// The bytes of a file that may or may not be there.
///
/// # Errors
/// When it is there and cannot be read.
pub fn read_if_there(path: &Path) -> Result<Option<String>, Failure> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(String::from_utf8_lossy(&bytes).into_owned())),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(Failure::other(format!("{} cannot be written: {error}", path.display()))),
    }
}

/// Writes a file whole: a new file beside it takes its place at the end.
///
/// # Errors
/// When the folder is not there or cannot be written.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let whole = || -> std::io::Result<()> {
        let mut file = tempfile::Builder::new()
            .permissions(ordinary())
            .tempfile_in(folder.unwrap_or(Path::new(".")))?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(path).map_err(|error| error.error)?;
        Ok(())
    };
    whole()
        .map_err(|error| Failure::other(format!("{} cannot be written: {error}", path.display())))
}

/// Writes a file of a kind that this program knows again: one of ours that is
/// there already is replaced, another one only where `force` says so.
///
/// # Errors
/// An input failure for a file that is not ours, and as [`write`].
pub fn replace(
    path: &Path,
    text: &str,
    (kind, is_ours): (&str, fn(&str) -> bool),
    force: bool,
) -> Result<(), Failure> {
    let foreign = |there: &String| !force && !is_ours(there);
    if read_if_there(path)?.as_ref().is_some_and(foreign) {
        return Err(Failure::input(format!(
            "{}: the file is not a {kind} written by this program; choose another name, or \
             add --force to overwrite it",
            path.display()
        )));
    }
    write(path, text)
}

/// Writes a chart, and says so.
///
/// # Errors
/// As [`replace`].
pub fn write_chart(path: &Path, chart: &Chart, force: bool) -> Result<(), Failure> {
    replace(path, &chart::write(chart), ("chart", chart::is_ours), force)?;
    anstream::eprintln!("wrote {}: open it in a browser", path.display());
    Ok(())
}

/// What the user's umask makes of an ordinary new file.
#[cfg(unix)]
fn ordinary() -> fs::Permissions {
    std::os::unix::fs::PermissionsExt::from_mode(0o666)
}

//! Reads files whole and writes them whole or not at all.

use std::{
    fs::{self, File},
    io::{Read, Write},
    path::Path,
};

use super::failure::Failure;
use crate::{
    planfile::{Fault, LARGEST_FILE},
    report::chart::{self, Chart},
};

/// The longest file of our own making that is read again, in bytes: five times
/// the calendar or the JSON of the longest plan.
pub const LARGEST_OUTPUT: usize = 32 << 20;

/// The text of a file of the user's.
///
/// # Errors
/// An input failure when it is not there, too long, or not UTF-8.
pub fn read(path: &Path) -> Result<String, Failure> {
    read_up_to(path, LARGEST_FILE)
}

/// The text of a file of at most so many bytes. No more is read of it, whatever
/// it says of its length: it may be a device, a pipe, or growing.
///
/// # Errors
/// As [`read`].
pub fn read_up_to(path: &Path, most: usize) -> Result<String, Failure> {
    let name = path.display();
    let unread = |error| Failure::input(format!("{name} cannot be read: {error}"));
    let about = fs::metadata(path).map_err(unread)?;
    if about.is_dir() {
        return Err(Failure::input(format!("{name} is a folder; name the file in it")));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unread)?;
    file.take(most as u64 + 1).read_to_end(&mut bytes).map_err(unread)?;
    if bytes.len() > most {
        let bytes = about.len().max(bytes.len() as u64);
        let message = format!("{name} has {bytes} bytes; it may have at most {most}");
        return Err(Failure::input(message));
    }
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

/// The text of an output file that may or may not be there.
///
/// # Errors
/// When it is there and cannot be read, is no ordinary file, or is longer than
/// anything that this program writes.
pub fn read_if_there(path: &Path) -> Result<Option<String>, Failure> {
    let Some(file) = open_if_there(path)? else { return Ok(None) };
    let mut bytes = Vec::new();
    file.take(LARGEST_OUTPUT as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| unwritten(path, &e))?;
    if bytes.len() > LARGEST_OUTPUT {
        return Err(Failure::input(format!(
            "{}: the file is longer than any written by this program; choose another name",
            path.display()
        )));
    }
    Ok(Some(String::from_utf8_lossy(&bytes).into_owned()))
}

/// An ordinary file that is there already.
fn open_if_there(path: &Path) -> Result<Option<File>, Failure> {
    match fs::metadata(path) {
        Ok(about) if about.is_dir() => {
            Err(Failure::input(format!("{} is a folder; name a file in it", path.display())))
        }
        // Putting a new file in its place would take a device or a pipe away.
        Ok(about) if !about.is_file() => Err(Failure::input(format!(
            "{} is not an ordinary file; choose another name",
            path.display()
        ))),
        Ok(_) => File::open(path).map(Some).map_err(|error| unwritten(path, &error)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(unwritten(path, &error)),
    }
}

fn unwritten(path: &Path, error: &std::io::Error) -> Failure {
    Failure::other(format!("{} cannot be written: {error}", path.display()))
}

/// Writes a file whole: a new file beside it takes its place at the end. A file
/// that is a link stays one: what it leads to is replaced.
///
/// # Errors
/// When the folder is not there or cannot be written, or a folder or a device
/// has the name already.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    open_if_there(path)?;
    let goal = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = goal.parent().filter(|folder| !folder.as_os_str().is_empty());
    let whole = || -> std::io::Result<()> {
        let mut file = new_in(folder.unwrap_or(Path::new(".")))?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(&goal).map_err(|error| error.error)?;
        Ok(())
    };
    whole().map_err(|error| unwritten(path, &error))
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
    super::remark(&format!("wrote {}: open it in a browser\n", path.display()));
    Ok(())
}

/// A new file with the permissions that the user's umask makes of an ordinary one.
#[cfg(unix)]
fn new_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let ordinary = std::os::unix::fs::PermissionsExt::from_mode(0o666);
    tempfile::Builder::new().permissions(ordinary).tempfile_in(folder)
}

#[cfg(not(unix))]
fn new_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    tempfile::NamedTempFile::new_in(folder)
}

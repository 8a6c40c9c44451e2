//! The files that commands read and write, and what is wrong with them in words.

use std::path::Path;

use super::{context::Context, failure::Failure};
use crate::{
    host::{Host, Over, Source, StoreError},
    planfile::{Fault, LARGEST_FILE, line_of},
    report::{
        chart::{self, Chart},
        clean::named,
        faults::Wrong,
    },
};

/// The longest file of our own making that is read again, in bytes: five times
/// the calendar or the JSON of the longest plan.
pub const LARGEST_OUTPUT: usize = 32 << 20;

/// A path for a terminal: a name may hold characters that change how the rest is shown.
pub fn shown(path: &Path) -> String {
    named(&path.display().to_string())
}

/// The text of a file that somebody named; it may come through a pipe.
///
/// # Errors
/// An input failure when it is not there, too long, or not UTF-8.
pub fn read(host: &dyn Host, path: &Path) -> Result<String, Failure> {
    read_up_to(host, path, LARGEST_FILE)
}

/// The same of at most so many bytes.
pub fn read_up_to(host: &dyn Host, path: &Path, most: usize) -> Result<String, Failure> {
    let read = host.read(path, most, Source::Any).map_err(|error| unread(path, error))?;
    let missing =
        || Failure::input(format!("{} cannot be read: there is no such file", path.display()));
    text(path, read.ok_or_else(missing)?)
}

/// The text of a file of ours of at most so many bytes; none where there is none.
///
/// # Errors
/// As [`read`], and for what is no ordinary file.
pub fn read_if_there(host: &dyn Host, path: &Path, most: usize) -> Result<Option<String>, Failure> {
    let read = host.read(path, most, Source::File).map_err(|error| unread(path, error))?;
    read.map(|bytes| text(path, bytes)).transpose()
}

fn text(path: &Path, bytes: Vec<u8>) -> Result<String, Failure> {
    String::from_utf8(bytes).map_err(|error| {
        let line = line_of(error.as_bytes(), error.utf8_error().valid_up_to());
        let name = path.display();
        Failure::input(format!("{name}, line {line}: not UTF-8 text; save the file as UTF-8"))
    })
}

/// A file of the user's, read by `reader`.
///
/// # Errors
/// As [`read`], and the faults of the file, each with its line.
pub fn read_as<T>(
    host: &dyn Host,
    path: &Path,
    reader: impl Fn(&str) -> Result<T, Vec<Fault>>,
) -> Result<T, Failure> {
    let text = read(host, path)?;
    reader(&text).map_err(|faults| Failure::faults(&shown(path), &text, &faults))
}

fn unread(path: &Path, error: StoreError) -> Failure {
    match error {
        StoreError::System(error) => {
            Failure::input(format!("{} cannot be read: {error}", path.display()))
        }
        error => refused(path, &error),
    }
}

/// Why a file could not be written.
pub fn unwritten(path: &Path, error: StoreError) -> Failure {
    match error {
        StoreError::System(error) => {
            Failure::other(format!("{} cannot be written: {error}", path.display()))
        }
        error => refused(path, &error),
    }
}

fn refused(path: &Path, error: &StoreError) -> Failure {
    let name = path.display();
    Failure::input(match error {
        StoreError::Folder => format!("{name} is a folder; name a file in it"),
        StoreError::NotOrdinary => format!("{name} is not an ordinary file; choose another name"),
        StoreError::TooLong { bytes, most } => {
            format!("{name} has {bytes} bytes; it may have at most {most}")
        }
        StoreError::Exists => format!("{name} is there already; choose another name"),
        StoreError::Changed => {
            format!("{name} was changed by another program meanwhile; try again")
        }
        error => format!("{name}: {error}; choose another name"),
    })
}

/// The content of an output file that may be there, as far as it is needed to know it again.
///
/// # Errors
/// When it cannot be read, is no ordinary file, or is longer than anything that this
/// program writes.
pub fn previous(host: &dyn Host, path: &Path) -> Result<Option<Vec<u8>>, Failure> {
    host.read(path, LARGEST_OUTPUT, Source::File).map_err(|error| match error {
        StoreError::TooLong { .. } => Failure::input(format!(
            "{}: the file is longer than any written by this program; choose another name",
            path.display()
        )),
        error => unwritten(path, error),
    })
}

/// Writes over what was there before, or where nothing was.
///
/// # Errors
/// When it cannot be written, or another program has changed it meanwhile.
pub fn write(
    host: &dyn Host,
    path: &Path,
    text: &str,
    previous: Option<&[u8]>,
) -> Result<(), Failure> {
    let over = previous.map_or(Over::Nothing, Over::Only);
    host.write(path, text.as_bytes(), over).map_err(|error| unwritten(path, error))
}

/// Writes a file of a kind that this program knows again: one of ours that is
/// there already is replaced, another one only where `force` says so.
///
/// # Errors
/// An input failure for a file that is not ours, and as [`write`].
pub fn replace(
    host: &dyn Host,
    path: &Path,
    text: &str,
    (kind, is_ours): (&str, fn(&str) -> bool),
    force: bool,
) -> Result<(), Failure> {
    let there = previous(host, path)?;
    let foreign = |there: &Vec<u8>| !force && !is_ours(&String::from_utf8_lossy(there));
    if there.as_ref().is_some_and(foreign) {
        return Err(Failure::input(format!(
            "{}: the file is not a {kind} written by this program; choose another name, or \
             add --force to overwrite it",
            path.display()
        )));
    }
    write(host, path, text, there.as_deref())
}

/// Refuses an output that is an input of the same command, and two outputs of one name,
/// whatever `--force` says.
///
/// # Errors
/// An input failure that names both.
pub fn apart(
    host: &dyn Host,
    inputs: &[&Path],
    outputs: &[(&'static str, Option<&Path>)],
) -> Result<(), Failure> {
    let mut taken: Vec<_> = inputs.iter().map(|path| (host.real(path), "an input")).collect();
    for (option, path) in outputs {
        let Some(path) = path else { continue };
        let real = host.real(path);
        if let Some((_, other)) = taken.iter().find(|(known, _)| *known == real) {
            let message =
                format!("{} is {other} of the same command; choose another name", path.display());
            return Err(Failure::of(option, Wrong::Typed(message)));
        }
        taken.push((real, "another output"));
    }
    Ok(())
}

/// Writes a chart, and says so.
pub fn write_chart(
    context: Context,
    path: &Path,
    chart: &Chart,
    force: bool,
) -> Result<(), Failure> {
    let kind: (_, fn(&str) -> bool) = ("chart", chart::is_ours);
    replace(context.host(), path, &chart::write(chart), kind, force)?;
    super::remark(&format!("wrote {}: open it in a browser\n", shown(path)));
    Ok(())
}

//! The diary's file: its place, read whole, and one note added at a time that is
//! never lost once confirmed.

use std::path::{Path, PathBuf};

use crate::planfile::LARGEST_FILE;
use crate::{
    cli::{failure::Failure, files},
    host::{Host, Over, StoreError},
};

/// The first lines of a new diary.
const HEAD: &str = "\
# The diary of solidby: what was made, when it went in, and what was seen of it.
# `solidby diary add` adds a note at the end; the names are those of the options
# of `solidby ice` and `solidby dough`. You may mend a note or delete it here.
";

/// Where the diary lies: as typed, or in the folder in which this platform
/// keeps a user's data (XDG on Linux, Application Support on macOS, AppData on
/// Windows).
///
/// # Errors
/// When the user has no home folder.
pub fn place(host: &dyn Host, typed: Option<&Path>) -> Result<PathBuf, Failure> {
    let usual = || Some(host.home()?.join("diary.toml"));
    typed.map(Path::to_owned).or_else(usual).ok_or_else(|| {
        Failure::other("no home folder was found; say where the diary is: --diary FILE")
    })
}

/// The text of the diary. None when there is none in its usual place.
///
/// # Errors
/// When it cannot be read, or a named one is not there.
pub fn text(host: &dyn Host, typed: Option<&Path>) -> Result<Option<(PathBuf, String)>, Failure> {
    let path = place(host, typed)?;
    match (files::read_if_there(host, &path, LARGEST_FILE)?, typed) {
        (Some(text), _) => Ok(Some((path, text))),
        (None, None) => Ok(None),
        (None, Some(_)) => {
            let message = format!("{} cannot be read: there is no such file", path.display());
            Err(Failure::input(message))
        }
    }
}

/// Adds a note at the end of a diary.
///
/// # Errors
/// As [`change`]; `sound` may refuse what is there.
pub fn add(
    host: &dyn Host,
    path: &Path,
    note: &str,
    mut sound: impl FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    change(host, path, |old| {
        sound(old)?;
        let gap = if old.is_empty() || old.ends_with('\n') { "\n" } else { "\n\n" };
        Ok(format!("{old}{gap}{note}"))
    })
}

/// Changes a diary: the whole new text takes the place of the one it was made from.
/// Where another writer was first, it is made again from theirs. When this returns, the
/// change is on the disk.
///
/// # Errors
/// When the file or its folder cannot be written, or `changed` refuses what is there.
pub fn change(
    host: &dyn Host,
    path: &Path,
    mut changed: impl FnMut(&str) -> Result<String, Failure>,
) -> Result<(), Failure> {
    let failed = |error| files::unwritten(path, error);
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        host.make_folder(folder).map_err(failed)?;
    }
    loop {
        let old = files::read_if_there(host, path, LARGEST_FILE)?;
        let new = changed(old.as_deref().unwrap_or(HEAD))?;
        let over = old.as_ref().map_or(Over::Nothing, |old| Over::Only(old.as_bytes()));
        match host.write(path, new.as_bytes(), over) {
            Err(StoreError::Changed | StoreError::Exists) => {}
            written => return written.map_err(failed),
        }
    }
}

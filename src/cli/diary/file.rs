//! The diary's file: its place, read whole, and one note added at a time that is
//! never lost once confirmed.

use std::{
    fs::{self, File},
    io::Write,
    path::{Path, PathBuf},
};

use etcetera::base_strategy::{BaseStrategy, choose_native_strategy};

use crate::cli::{failure::Failure, files};

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
pub fn place(typed: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(path) = typed {
        return Ok(path.to_owned());
    }
    let folders = choose_native_strategy().map_err(|_| {
        Failure::other("no home folder was found; say where the diary is: --diary FILE")
    })?;
    Ok(folders.data_dir().join("solidby").join("diary.toml"))
}

/// The text of the diary. None when there is none in its usual place.
///
/// # Errors
/// When it cannot be read, or a named one is not there.
pub fn text(typed: Option<&Path>) -> Result<Option<(PathBuf, String)>, Failure> {
    let path = place(typed)?;
    if typed.is_none() && !path.exists() {
        return Ok(None);
    }
    let text = files::read(&path)?;
    Ok(Some((path, text)))
}

/// Adds a note at the end of a diary.
///
/// # Errors
/// As [`change`]; `sound` may refuse what is there.
pub fn add(
    path: &Path,
    note: &str,
    sound: impl FnOnce(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    change(path, |old| {
        sound(old)?;
        let gap = if old.is_empty() || old.ends_with('\n') { "\n" } else { "\n\n" };
        Ok(format!("{old}{gap}{note}"))
    })
}

/// Changes a diary: the whole new text is written beside it and takes its place
/// at once, while a lock keeps other writers out. When this returns, the change
/// is on the disk.
///
/// # Errors
/// When the file or its folder cannot be written, or `changed` refuses what is there.
pub fn change(
    path: &Path,
    changed: impl FnOnce(&str) -> Result<String, Failure>,
) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::other(format!("{} cannot be written: {error}", path.display()))
    };
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    fs::create_dir_all(folder).map_err(failed)?;
    // A file that is a link stays one: what it leads to is replaced.
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let lock = File::create(beside(&path, "lock")).map_err(failed)?;
    lock.lock().map_err(failed)?;
    let old = if path.exists() { files::read(&path)? } else { HEAD.to_owned() };
    replace(&path, &changed(&old)?).map_err(failed)
}

/// A file of our own beside the diary; only the holder of the lock writes the new text.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".");
    name.push(ending);
    path.with_file_name(name)
}

fn replace(path: &Path, text: &str) -> std::io::Result<()> {
    let new = beside(path, "new");
    let written = write(&new, path, text);
    if written.is_err() {
        // What is half-written would lie about; that it stays is no second failure.
        let _ = fs::remove_file(&new);
    }
    written.and_then(|()| sync_folder(path))
}

fn write(new: &Path, path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = File::create(new)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    if let Ok(about) = fs::metadata(path) {
        file.set_permissions(about.permissions())?;
    }
    fs::rename(new, path)
}

/// The new name is on the disk too.
#[cfg(unix)]
fn sync_folder(path: &Path) -> std::io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    File::open(folder.unwrap_or(Path::new(".")))?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> std::io::Result<()> {
    Ok(())
}

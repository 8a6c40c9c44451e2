//! This computer.
#![allow(clippy::disallowed_methods, reason = "the one place that reads clock and files")]

use std::{
    env,
    fs::{self, File, Metadata, OpenOptions},
    io::{self, ErrorKind, Read, Write},
    path::{Path, PathBuf},
    process,
    time::{SystemTime, UNIX_EPOCH},
};

use chrono::{DateTime, Utc};
use etcetera::base_strategy::{BaseStrategy, choose_native_strategy};

use super::{Host, Over, Source, StoreError};

/// This computer.
#[derive(Debug, Clone, Copy, Default)]
pub struct Native;

impl Host for Native {
    fn now(&self) -> DateTime<Utc> {
        let (seconds, late) = match SystemTime::now().duration_since(UNIX_EPOCH) {
            Ok(since) => (i64::try_from(since.as_secs()), since.subsec_nanos()),
            Err(error) => (i64::try_from(error.duration().as_secs()).map(|s| -s), 0),
        };
        let at = seconds.ok().and_then(|seconds| DateTime::from_timestamp(seconds, late));
        at.unwrap_or(DateTime::<Utc>::MAX_UTC)
    }

    /// `TZ`, with or without a colon before it, else what the system is set to. A path
    /// into the system's zone files means the zone; no file that `TZ` names is read.
    fn zone(&self) -> Option<String> {
        let Some(typed) = env::var_os("TZ") else { return iana_time_zone::get_timezone().ok() };
        let typed = typed.to_string_lossy();
        let name = typed.strip_prefix(':').unwrap_or(&typed);
        let name = name.split_once("/zoneinfo/").map_or(name, |(_, name)| name);
        Some(if name.is_empty() { "UTC" } else { name }.to_owned())
    }

    fn home(&self) -> Option<PathBuf> {
        Some(choose_native_strategy().ok()?.data_dir().join("solidby"))
    }

    fn entropy(&self) -> io::Result<[u8; 16]> {
        let mut bytes = [0; 16];
        getrandom::fill(&mut bytes).map_err(|error| io::Error::other(error.to_string()))?;
        Ok(bytes)
    }

    fn read(
        &self,
        path: &Path,
        most: usize,
        source: Source,
    ) -> Result<Option<Vec<u8>>, StoreError> {
        let Some(about) = about(path)? else { return Ok(None) };
        if source == Source::File && !about.is_file() {
            return Err(StoreError::NotOrdinary);
        }
        let mut bytes = Vec::new();
        File::open(path)?.take(most as u64 + 1).read_to_end(&mut bytes)?;
        if bytes.len() > most {
            let bytes = about.len().max(bytes.len() as u64);
            return Err(StoreError::TooLong { bytes, most });
        }
        Ok(Some(bytes))
    }

    fn write(&self, path: &Path, content: &[u8], over: Over<'_>) -> Result<(), StoreError> {
        let goal = goal(path)?;
        let folder = folder_of(&goal);
        let lock = lock(folder);
        if lock.is_some() {
            sweep(folder);
        }
        let there = may_be_replaced(&goal)?;
        match (over, &there) {
            (Over::Nothing, Some(_)) => return Err(StoreError::Exists),
            (Over::Only(_), None) => return Err(StoreError::Changed),
            (Over::Only(expected), Some(_)) => is_still(&goal, expected)?,
            _ => {}
        }
        let new = folder.join(half_written(&process::id().to_string()));
        let written = fill(&new, content, there.as_ref()).and_then(|()| place(&new, &goal, over));
        if written.is_err() {
            // What is half-written would lie about; that it stays is no second failure.
            let _ = fs::remove_file(&new);
        }
        written?;
        Ok(sync(folder)?)
    }

    fn make_folder(&self, path: &Path) -> Result<(), StoreError> {
        Ok(fs::create_dir_all(path)?)
    }

    fn list(&self, folder: &Path) -> Vec<String> {
        if lock(folder).is_some() {
            sweep(folder);
        }
        ordinary_files(folder)
    }

    fn real(&self, path: &Path) -> PathBuf {
        let known = fs::canonicalize(path).ok();
        let beside = || Some(fs::canonicalize(folder_of(path)).ok()?.join(path.file_name()?));
        known.or_else(beside).unwrap_or_else(|| path.to_owned())
    }

    fn version(&self, path: &Path) -> Option<String> {
        let about = fs::metadata(path).ok()?;
        let changed = about.modified().ok()?.duration_since(UNIX_EPOCH).unwrap_or_default();
        Some(format!("{} {}", changed.as_nanos(), about.len()))
    }
}

fn folder_of(path: &Path) -> &Path {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// What is there, which is no folder; none where nothing is.
fn about(path: &Path) -> Result<Option<Metadata>, StoreError> {
    match fs::metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Ok(about) if about.is_dir() => Err(StoreError::Folder),
        about => Ok(Some(about?)),
    }
}

/// What is to be replaced: where a link leads.
fn goal(path: &Path) -> Result<PathBuf, StoreError> {
    match fs::canonicalize(path) {
        Ok(real) => Ok(real),
        Err(_) if path.is_symlink() => Err(StoreError::Dangling),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(path.to_owned()),
        Err(error) => Err(error.into()),
    }
}

/// What is there, where it may be replaced.
fn may_be_replaced(goal: &Path) -> Result<Option<Metadata>, StoreError> {
    let Some(about) = about(goal)? else { return Ok(None) };
    // Putting a new file in its place would take a device or a pipe away.
    if !about.is_file() {
        return Err(StoreError::NotOrdinary);
    }
    // To replace it is to write it, whoever may write its folder.
    let opened = OpenOptions::new().append(true).open(goal);
    match opened.map_err(|error| error.kind()) {
        _ if about.permissions().readonly() => Err(StoreError::ReadOnly),
        Err(ErrorKind::PermissionDenied) => Err(StoreError::ReadOnly),
        _ => Ok(Some(about)),
    }
}

/// Keeps other writers to this folder out until it is dropped; none where the system
/// has no such locks.
fn lock(folder: &Path) -> Option<File> {
    let folder = File::open(folder).ok()?;
    folder.lock().ok().map(|()| folder)
}

/// The name of a file that is being written; only the holder of the folder's lock has one.
fn half_written(writer: &str) -> String {
    format!(".solidby-{writer}.tmp")
}

/// Removes what writers that were killed have left; the lock is held.
fn sweep(folder: &Path) {
    for name in ordinary_files(folder) {
        let writer = name.strip_prefix(".solidby-").and_then(|rest| rest.strip_suffix(".tmp"));
        if writer.is_some_and(|writer| writer.bytes().all(|byte| byte.is_ascii_digit())) {
            // What cannot be removed does not hinder what is to be written.
            let _ = fs::remove_file(folder.join(name));
        }
    }
}

fn ordinary_files(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let ordinary = entries.filter(|entry| entry.path().is_file());
    let mut names: Vec<String> =
        ordinary.filter_map(|entry| entry.file_name().into_string().ok()).collect();
    names.sort();
    names
}

/// A new file with this content, and the mode and the owner of the old one.
fn fill(new: &Path, content: &[u8], old: Option<&Metadata>) -> Result<(), StoreError> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(new)?;
    if let Some(old) = old {
        keep_owner(&file, old)?;
        file.set_permissions(old.permissions())?;
    }
    file.write_all(content)?;
    Ok(file.sync_all()?)
}

#[cfg(unix)]
fn keep_owner(file: &File, old: &Metadata) -> Result<(), StoreError> {
    use std::os::unix::fs::{MetadataExt, fchown};
    let own = file.metadata()?;
    if (own.uid(), own.gid()) == (old.uid(), old.gid()) {
        return Ok(());
    }
    fchown(file, Some(old.uid()), Some(old.gid())).map_err(|_| StoreError::Owner)
}

#[cfg(not(unix))]
fn keep_owner(_: &File, _: &Metadata) -> Result<(), StoreError> {
    Ok(())
}

fn is_still(goal: &Path, expected: &[u8]) -> Result<(), StoreError> {
    let mut there = Vec::new();
    File::open(goal)?.take(expected.len() as u64 + 1).read_to_end(&mut there)?;
    if there == expected { Ok(()) } else { Err(StoreError::Changed) }
}

/// Puts the new file in its place. Other programs do not ask for our lock: where the
/// system can exchange two files at once, what came out is looked at, and put back where
/// it is not what it was to be.
fn place(new: &Path, goal: &Path, over: Over<'_>) -> Result<(), StoreError> {
    match over {
        Over::Anything => Ok(fs::rename(new, goal)?),
        Over::Nothing => match at_once(new, goal, Whole::IntoNothing) {
            Some(placed) => placed,
            None if goal.exists() => Err(StoreError::Exists),
            None => Ok(fs::rename(new, goal)?),
        },
        Over::Only(expected) => match exchange(new, goal, expected) {
            Some(exchanged) => exchanged,
            None => {
                is_still(goal, expected)?;
                Ok(fs::rename(new, goal)?)
            }
        },
    }
}

/// Exchanges the new file for the one that is expected; none where the system cannot.
/// What comes out instead of it goes back, and so does what another program has saved
/// while that went back.
fn exchange(new: &Path, goal: &Path, expected: &[u8]) -> Option<Result<(), StoreError>> {
    let (mut due, mut is_first) = (expected.to_vec(), true);
    loop {
        let put = fs::read(new);
        if let Err(error) = at_once(new, goal, Whole::Exchanged)? {
            return Some(Err(error));
        }
        match (put, fs::read(new)) {
            (Ok(_), Ok(out)) if out == due => {
                let removed = fs::remove_file(new).map_err(StoreError::from);
                return Some(if is_first { removed } else { Err(StoreError::Changed) });
            }
            (Ok(put), Ok(_)) => (due, is_first) = (put, false),
            (Err(error), _) | (_, Err(error)) => {
                // What cannot be read goes back unseen.
                let back = at_once(new, goal, Whole::Exchanged)?;
                return Some(back.and(Err(error.into())));
            }
        }
    }
}

/// What a system may do in one step.
#[derive(Clone, Copy)]
enum Whole {
    Exchanged,
    IntoNothing,
}

/// One step of the system; none where it has no such step.
#[cfg(any(target_os = "linux", target_vendor = "apple"))]
fn at_once(new: &Path, goal: &Path, step: Whole) -> Option<Result<(), StoreError>> {
    use rustix::{
        fs::{CWD, RenameFlags, renameat_with},
        io::Errno,
    };
    let flags = match step {
        Whole::Exchanged => RenameFlags::EXCHANGE,
        Whole::IntoNothing => RenameFlags::NOREPLACE,
    };
    match renameat_with(CWD, new, CWD, goal, flags) {
        Ok(()) => Some(Ok(())),
        Err(Errno::EXIST) => Some(Err(StoreError::Exists)),
        Err(Errno::NOENT) => Some(Err(StoreError::Changed)),
        Err(Errno::NOSYS | Errno::INVAL | Errno::NOTSUP) => None,
        Err(error) => Some(Err(io::Error::from(error).into())),
    }
}

#[cfg(not(any(target_os = "linux", target_vendor = "apple")))]
fn at_once(_: &Path, _: &Path, _: Whole) -> Option<Result<(), StoreError>> {
    None
}

/// The new name is on the disk too.
#[cfg(unix)]
fn sync(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync(_: &Path) -> io::Result<()> {
    Ok(())
}

//! The seam to the outside: clock, zone, files, chance. All else in the library is a
//! function of what it is given.
//!
//! Commands and pages ask a [`Host`]; [`Native`] is this computer. A test puts a clock of
//! its own behind the same trait, and a browser can put its own store.

use std::{
    io,
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use thiserror::Error;

#[cfg(not(target_family = "wasm"))]
mod native;
#[cfg(not(target_family = "wasm"))]
pub use native::Native;

/// What the program asks of the outside.
pub trait Host: Send + Sync {
    /// What the clock says; it may be wrong by centuries.
    fn now(&self) -> DateTime<Utc>;

    /// The name of the zone that the surroundings state, which may be none that exists;
    /// none where they state nothing.
    fn zone(&self) -> Option<String>;

    /// The folder of this user's own files of this program, which need not be there yet.
    fn home(&self) -> Option<PathBuf>;

    /// 128 random bits that nobody else can guess.
    ///
    /// # Errors
    /// When the system has none.
    fn entropy(&self) -> io::Result<[u8; 16]>;

    /// The content of a file; none where there is none. No more than `most` bytes and one
    /// are read, whatever it says of its length.
    ///
    /// # Errors
    /// What is there and cannot be read, is longer than `most` bytes, or is not of this source.
    fn read(&self, path: &Path, most: usize, source: Source)
    -> Result<Option<Vec<u8>>, StoreError>;

    /// Writes a file whole or not at all; when this returns, it is on the disk. It keeps
    /// the mode and the owner of the file whose place it takes, and a link stays one.
    ///
    /// # Errors
    /// What is there and is not to be overwritten, or why it could not be written.
    fn write(&self, path: &Path, content: &[u8], over: Over<'_>) -> Result<(), StoreError>;

    /// Makes a folder and those above it.
    ///
    /// # Errors
    /// When it cannot be made.
    fn make_folder(&self, path: &Path) -> Result<(), StoreError>;

    /// The names of the ordinary files in a folder, in order. What earlier writes left
    /// half-written there is removed.
    fn list(&self, folder: &Path) -> Vec<String>;

    /// One name for all ways to name a file, whether it is there or not.
    fn real(&self, path: &Path) -> PathBuf;

    /// Something that is another whenever the content of the file is; none where there is none.
    fn version(&self, path: &Path) -> Option<String>;
}

/// Where a content may come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// An ordinary file.
    File,
    /// Also a pipe or a device, which may keep its reader waiting.
    Any,
}

/// What a file may be written over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over<'a> {
    /// Any ordinary file.
    Anything,
    /// Nothing: there must be no such file.
    Nothing,
    /// Only this content, whoever wrote it.
    Only(&'a [u8]),
}

/// Why a file is not read or written.
#[derive(Debug, Error)]
pub enum StoreError {
    /// It is a folder.
    #[error("it is a folder")]
    Folder,
    /// It is a device, a pipe or a socket.
    #[error("it is not an ordinary file")]
    NotOrdinary,
    /// It is longer than was asked for.
    #[error("it has {bytes} bytes, more than {most}")]
    TooLong {
        /// Its length, as far as it is known.
        bytes: u64,
        /// The most.
        most: usize,
    },
    /// It may not be written.
    #[error("it is read-only")]
    ReadOnly,
    /// It is a link to nothing.
    #[error("it is a link that leads nowhere")]
    Dangling,
    /// Its owner cannot be kept.
    #[error("it belongs to somebody else, which could not be kept")]
    Owner,
    /// It is there already.
    #[error("it is there already")]
    Exists,
    /// Its content is not the one that was expected.
    #[error("another program has changed it")]
    Changed,
    /// What the system says.
    #[error(transparent)]
    System(#[from] io::Error),
}

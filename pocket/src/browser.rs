//! The outside as a browser gives it: with each question, its clock, its zone, some chance
//! and the files that it keeps.

use std::{
    collections::BTreeMap,
    io,
    path::{Component, Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

use chrono::{DateTime, Utc};
use solidby::host::{Host, Over, Source, StoreError};

/// The folder of the user's own files.
const HOME: &str = "/kept";

/// What the browser has given with the last question.
#[derive(Debug, Default)]
pub struct Browser(Mutex<Given>);

/// What comes with a question.
#[derive(Debug, Clone, Default)]
pub struct Given {
    /// The clock.
    pub now: DateTime<Utc>,
    /// The zone, where it has one.
    pub zone: Option<String>,
    /// 128 random bits.
    pub entropy: [u8; 16],
    /// Texts by their paths.
    pub files: BTreeMap<String, String>,
}

impl Browser {
    /// From now on it is so.
    pub fn give(&self, given: Given) {
        *self.given() = given;
    }

    /// The files as they are now.
    pub fn files(&self) -> BTreeMap<String, String> {
        self.given().files.clone()
    }

    fn given(&self) -> MutexGuard<'_, Given> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Host for Browser {
    fn now(&self) -> DateTime<Utc> {
        self.given().now
    }

    fn zone(&self) -> Option<String> {
        self.given().zone.clone()
    }

    fn home(&self) -> Option<PathBuf> {
        Some(PathBuf::from(HOME))
    }

    fn entropy(&self) -> io::Result<[u8; 16]> {
        Ok(self.given().entropy)
    }

    fn read(&self, path: &Path, most: usize, _: Source) -> Result<Option<Vec<u8>>, StoreError> {
        match self.given().files.get(&name(path)) {
            Some(text) if text.len() > most => {
                Err(StoreError::TooLong { bytes: text.len() as u64, most })
            }
            text => Ok(text.map(|text| text.clone().into_bytes())),
        }
    }

    fn write(&self, path: &Path, content: &[u8], over: Over<'_>) -> Result<(), StoreError> {
        let text = std::str::from_utf8(content).map_err(io::Error::other)?;
        let files = &mut self.given().files;
        let there = files.get(&name(path)).map(String::as_bytes);
        match (over, there) {
            (Over::Nothing, Some(_)) => return Err(StoreError::Exists),
            (Over::Only(expected), there) if there != Some(expected) => {
                return Err(StoreError::Changed);
            }
            _ => {}
        }
        files.insert(name(path), text.to_owned());
        Ok(())
    }

    fn make_folder(&self, _: &Path) -> Result<(), StoreError> {
        Ok(())
    }

    fn list(&self, folder: &Path) -> Vec<String> {
        let folder = PathBuf::from(name(folder));
        let files = self.given();
        let inside =
            files.files.keys().map(Path::new).filter(|path| path.parent() == Some(&folder));
        inside.filter_map(|path| Some(path.file_name()?.to_str()?.to_owned())).collect()
    }

    fn real(&self, path: &Path) -> PathBuf {
        PathBuf::from(name(path))
    }

    /// The content itself.
    fn version(&self, path: &Path) -> Option<String> {
        self.given().files.get(&name(path)).cloned()
    }
}

/// One name for all ways to name a file; there are no folders to go up to.
fn name(path: &Path) -> String {
    let parts = path.components().filter(|part| !matches!(part, Component::CurDir));
    parts.collect::<PathBuf>().to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_written_over_only_what_may_be_written_over() {
        let (browser, path) = (Browser::default(), Path::new("./a.toml"));
        assert!(matches!(browser.write(path, b"1", Over::Only(b"0")), Err(StoreError::Changed)));
        browser.write(path, b"1", Over::Nothing).unwrap();
        assert!(matches!(browser.write(path, b"2", Over::Nothing), Err(StoreError::Exists)));
        assert!(matches!(browser.write(path, b"2", Over::Only(b"0")), Err(StoreError::Changed)));
        browser.write(Path::new("a.toml"), b"2", Over::Only(b"1")).unwrap();
        browser.write(path, b"3", Over::Anything).unwrap();
        assert!(browser.write(path, b"\xff", Over::Anything).is_err());
        assert_eq!(browser.read(path, 1, Source::File).unwrap(), Some(b"3".to_vec()));
        assert!(matches!(
            browser.read(path, 0, Source::File),
            Err(StoreError::TooLong { bytes: 1, most: 0 })
        ));
        assert_eq!(browser.version(path).as_deref(), Some("3"));
        assert_eq!(browser.list(Path::new(".")), ["a.toml"]);
        browser.write(Path::new("/kept/diary.toml"), b"", Over::Nothing).unwrap();
        assert_eq!(browser.list(Path::new(".")), ["a.toml"]);
        assert_eq!(browser.list(Path::new("/kept")), ["diary.toml"]);
    }
}

//! The plan file that is open on the page: as it was on the disk, and as it is now.

use std::{
    path::PathBuf,
    sync::{Arc, Mutex, PoisonError},
};

use chrono::{DateTime, Duration};

use super::{commands::Laid, fields::Fields, setting::Setting};
use crate::units::zone::Zone;

/// A plan that was laid out is good for so long; then the clock has gone on too far.
const GOOD_FOR: Duration = Duration::minutes(5);

/// Texts before the last change that can be had back at most.
const MOST_BEFORE: usize = 30;

/// The one plan that is open, if any.
#[derive(Default)]
pub struct Workspace(Mutex<Option<Buffer>>);

/// A plan file that is open.
#[derive(Debug, Clone)]
pub struct Buffer {
    /// Its path; none until it is saved for the first time.
    pub path: Option<String>,
    /// The text when it was read or written last; none until it is saved for the first time.
    pub disk: Option<String>,
    /// The text as it is now.
    pub text: String,
    /// Raised with each change, so that a page from before is known again.
    pub revision: u64,
    /// The texts before it, the newest last, and those that were taken back.
    before: Vec<String>,
    after: Vec<String>,
    /// Texts with the revisions that they had, the newest last: a page may still show one.
    earlier: Vec<(u64, String)>,
    /// The form taken last, with the revision that it was made of.
    taken: Option<(u64, Fields)>,
    laid: Option<WorkedOut>,
    told: Option<(usize, Told)>,
}

/// What was told of a plan last, for the page that is shown after it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Told {
    /// What was noted, in sentences.
    pub noted: Vec<String>,
    /// What moved for it: what became of it, and of which step.
    pub moved: Vec<(String, String)>,
    /// Whether it was taken back.
    pub back: bool,
}

/// A plan laid out, when that was, and what was kept of it then.
#[derive(Debug, Clone)]
struct WorkedOut {
    at: DateTime<Zone>,
    kept: Option<String>,
    laid: Arc<Laid>,
}

impl Buffer {
    /// A file as it was read.
    pub fn read(path: String, text: String) -> Self {
        Self { path: Some(path), disk: Some(text.clone()), ..Self::new(text) }
    }

    /// A text that is not on the disk yet.
    pub fn new(text: String) -> Self {
        Self {
            path: None,
            disk: None,
            text,
            revision: 0,
            before: Vec::new(),
            after: Vec::new(),
            earlier: Vec::new(),
            taken: None,
            laid: None,
            told: None,
        }
    }

    /// Whether the text is on the disk as it is.
    pub fn is_saved(&self) -> bool {
        self.disk.as_ref() == Some(&self.text)
    }

    /// A name for files made of the plan: that of its own file, in letters that every system takes.
    pub fn stem(&self) -> String {
        let path = self.path.as_deref().unwrap_or_default();
        let name = path.rsplit(['/', '\\']).next().unwrap_or_default();
        let name = name.strip_suffix(".toml").unwrap_or(name);
        let plain =
            |c: char| if c.is_ascii_alphanumeric() || c == '-' || c == '_' { c } else { '-' };
        let name: String = name.chars().map(plain).collect();
        if name.is_empty() { "plan".to_owned() } else { name }
    }

    /// Another text; the one before can be had back.
    pub fn change(&mut self, text: String) {
        if text != self.text {
            let before = self.put(text);
            self.before.push(before);
            self.after.clear();
            if self.before.len() > MOST_BEFORE {
                self.before.remove(0);
            }
        }
    }

    /// The text before the last change.
    pub fn undo(&mut self) {
        if let Some(text) = self.before.pop() {
            let undone = self.put(text);
            self.after.push(undone);
        }
    }

    /// The text that was taken back last.
    pub fn redo(&mut self) {
        if let Some(text) = self.after.pop() {
            let before = self.put(text);
            self.before.push(before);
        }
    }

    /// Whether there is a change to take back, and one to make again.
    pub fn can_undo(&self) -> [bool; 2] {
        [!self.before.is_empty(), !self.after.is_empty()]
    }

    /// Remembers what the text was at an earlier revision.
    pub fn remember(&mut self, revision: u64, text: String) {
        self.earlier.push((revision, text));
        if self.earlier.len() > MOST_BEFORE {
            self.earlier.remove(0);
        }
    }

    /// The text that a form was made of; none where that is not remembered any more.
    pub fn made_of(&self, form: &Fields) -> Option<&str> {
        let revision = form.get("revision")?.parse::<u64>().ok()?;
        let earlier = self.earlier.iter().rfind(|(earlier, _)| *earlier == revision);
        earlier.map(|(_, text)| text.as_str())
    }

    /// A text in the place of the one that is there, which is returned.
    fn put(&mut self, text: String) -> String {
        self.remember(self.revision, self.text.clone());
        self.revision += 1;
        self.taken = None;
        self.laid = None;
        self.told = None;
        std::mem::replace(&mut self.text, text)
    }

    /// Takes a form, unless it was made of another revision. The same form sent again, as
    /// by a double click, has been taken already.
    ///
    /// # Errors
    /// `NotTaken`, with what `edit` says.
    pub fn take<E>(
        &mut self,
        form: &Fields,
        edit: impl FnOnce(&Self) -> Result<String, E>,
    ) -> Result<(), NotTaken<E>> {
        let made_of = form.get("revision").and_then(|revision| revision.parse().ok());
        if made_of.is_some_and(|made_of| self.taken == Some((made_of, form.clone()))) {
            return Ok(());
        }
        if made_of != Some(self.revision) {
            return Err(NotTaken::Stale);
        }
        self.change(edit(self).map_err(NotTaken::Refused)?);
        self.taken = made_of.map(|made_of| (made_of, form.clone()));
        Ok(())
    }

    /// The plan of the text laid out, where that was done not long ago, and nothing else was
    /// kept of it since: `kept` is the version of that file.
    pub fn laid(&self, now: DateTime<Zone>, kept: Option<&str>) -> Option<Arc<Laid>> {
        let worked = self.laid.as_ref().filter(|worked| worked.kept.as_deref() == kept)?;
        (now >= worked.at && now - worked.at < GOOD_FOR).then(|| worked.laid.clone())
    }

    /// Forgets the schedule, so that it is worked out again.
    pub fn forget(&mut self) {
        self.laid = None;
    }

    /// Remembers the plan of the text as it was laid out.
    pub fn keep(&mut self, at: DateTime<Zone>, kept: Option<String>, laid: Arc<Laid>) {
        self.laid = Some(WorkedOut { at, kept, laid });
    }

    /// Remembers what was told last, of which there are so many now.
    pub fn tell(&mut self, count: usize, told: Told) {
        self.told = Some((count, told));
    }

    /// What was told last, where there are still so many of it.
    pub fn told(&self, count: usize) -> Option<&Told> {
        self.told.as_ref().filter(|(told, _)| *told == count).map(|(_, told)| told)
    }

    /// The name of its file; a plan that is only in the browser goes by its stem.
    pub fn file(&self, setting: &Setting) -> Option<PathBuf> {
        match setting {
            Setting::Served { .. } => self.path.as_ref().map(PathBuf::from),
            Setting::Pocket => {
                let name = || format!("{}.toml", self.stem());
                Some(PathBuf::from(self.path.clone().unwrap_or_else(name)))
            }
        }
    }
}

/// Why a form was not taken.
pub enum NotTaken<E> {
    /// It was made of a text that has changed since.
    Stale,
    /// What it changes cannot be.
    Refused(E),
}

impl Workspace {
    /// With a file that is open from the start.
    pub fn with(open: Option<Buffer>) -> Self {
        Self(Mutex::new(open))
    }

    /// A copy of what is open.
    pub fn look(&self) -> Option<Buffer> {
        self.change(|open| open.clone())
    }

    /// Changes what is open; nobody else does so meanwhile.
    pub fn change<T>(&self, change: impl FnOnce(&mut Option<Buffer>) -> T) -> T {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

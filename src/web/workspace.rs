//! The plan file that is open on the page: as it was on the disk, and as it is now.

use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Duration};

use super::fields::Fields;
use crate::{prep::schedule::Schedule, units::zone::Zone};

/// A plan that was laid out is good for so long; then the clock has gone on too far.
const GOOD_FOR: Duration = Duration::minutes(5);

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
    /// The form taken last, with the revision that it was made of.
    taken: Option<(u64, Fields)>,
    laid: Option<(DateTime<Zone>, Arc<Schedule>)>,
}

impl Buffer {
    /// A file as it was read.
    pub fn read(path: String, text: String) -> Self {
        Self {
            path: Some(path),
            disk: Some(text.clone()),
            text,
            revision: 0,
            taken: None,
            laid: None,
        }
    }

    /// A text that is not on the disk yet.
    pub fn new(text: String) -> Self {
        Self { path: None, disk: None, text, revision: 0, taken: None, laid: None }
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

    /// Another text.
    pub fn change(&mut self, text: String) {
        if text != self.text {
            self.text = text;
            self.revision += 1;
            self.taken = None;
            self.laid = None;
        }
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

    /// The schedule of the text, where it was worked out not long ago.
    pub fn laid(&self, now: DateTime<Zone>) -> Option<Arc<Schedule>> {
        let (at, schedule) = self.laid.as_ref()?;
        (now >= *at && now - *at < GOOD_FOR).then(|| schedule.clone())
    }

    /// Forgets the schedule, so that it is worked out again.
    pub fn forget(&mut self) {
        self.laid = None;
    }

    /// Keeps a schedule of the text.
    pub fn keep(&mut self, now: DateTime<Zone>, schedule: Arc<Schedule>) {
        self.laid = Some((now, schedule));
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

//! The plan file that is open on the page: as it was on the disk, and as it is now.

use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Duration, FixedOffset};

use crate::prep::schedule::Schedule;

/// A plan that was laid out is good for so long; then the clock has gone on too far.
const GOOD_FOR: Duration = Duration::minutes(5);

/// The one plan that is open, if any.
#[derive(Default)]
pub struct Desk(Mutex<Option<Open>>);

/// A plan file that is open.
#[derive(Debug, Clone)]
pub struct Open {
    /// Its path; none until it is saved for the first time.
    pub path: Option<String>,
    /// The text when it was read or written last; none until it is saved for the first time.
    pub disk: Option<String>,
    /// The text as it is now.
    pub text: String,
    /// Raised with each change, so that a page from before is known again.
    pub revision: u64,
    laid: Option<(DateTime<FixedOffset>, Arc<Schedule>)>,
}

impl Open {
    /// A file as it was read.
    pub fn read(path: String, text: String) -> Self {
        Self { path: Some(path), disk: Some(text.clone()), text, revision: 0, laid: None }
    }

    /// A text that is not on the disk yet.
    pub fn new(text: String) -> Self {
        Self { path: None, disk: None, text, revision: 0, laid: None }
    }

    /// Whether the text is on the disk as it is.
    pub fn is_saved(&self) -> bool {
        self.disk.as_ref() == Some(&self.text)
    }

    /// Another text.
    pub fn change(&mut self, text: String) {
        if text != self.text {
            self.text = text;
            self.revision += 1;
            self.laid = None;
        }
    }

    /// The schedule of the text, where it was worked out not long ago.
    pub fn laid(&self, now: DateTime<FixedOffset>) -> Option<Arc<Schedule>> {
        let (at, schedule) = self.laid.as_ref()?;
        (now >= *at && now - *at < GOOD_FOR).then(|| schedule.clone())
    }

    /// Forgets the schedule, so that it is worked out again.
    pub fn forget(&mut self) {
        self.laid = None;
    }

    /// Keeps a schedule of the text.
    pub fn keep(&mut self, now: DateTime<FixedOffset>, schedule: Arc<Schedule>) {
        self.laid = Some((now, schedule));
    }
}

impl Desk {
    /// With a file that is open from the start.
    pub fn with(open: Option<Open>) -> Self {
        Self(Mutex::new(open))
    }

    /// A copy of what is open.
    pub fn look(&self) -> Option<Open> {
        self.change(|open| open.clone())
    }

    /// Changes what is open; nobody else does so meanwhile.
    pub fn change<T>(&self, change: impl FnOnce(&mut Option<Open>) -> T) -> T {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

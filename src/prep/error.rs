//! Why no schedule could be computed at all.

use chrono::NaiveDate;
use thiserror::Error;

use super::{done::DoneError, durations::DurationError};
use crate::planfile::NotOne;

/// Why no schedule could be computed at all.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LayError {
    /// The physics could not answer for one of the things.
    #[error(transparent)]
    Duration(#[from] DurationError),
    /// A step is named that the plan does not have, or at a wrong time.
    #[error(transparent)]
    Done(#[from] DoneError),
    /// A step is asked about that the plan does not have, or words that fit several.
    #[error(transparent)]
    NotOne(#[from] NotOne),
    /// Its last day is too far off, or the clock is wrong.
    #[error(
        "the last thing of the plan is on {last}, {days} days from now ({today}); a plan reaches at most {most} days ahead: mend the date, or the clock"
    )]
    TooFar {
        /// The day of the last session or gift.
        last: NaiveDate,
        /// Today.
        today: NaiveDate,
        /// From today to then.
        days: i64,
        /// The limit.
        most: i64,
    },
    /// It has too many steps.
    #[error(
        "the plan has at least {steps} steps; at most {most} are planned at once: make two plans of it"
    )]
    TooManySteps {
        /// Steps made before it was given up.
        steps: usize,
        /// The limit.
        most: usize,
    },
}

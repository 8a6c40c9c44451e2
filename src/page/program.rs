//! What the pages ask of the program: the answers of the commands, and the clock.

use chrono::{DateTime, FixedOffset};

use crate::units::System;

/// The program behind the pages. All that reads a clock or a file is in here.
pub trait Program: Send + Sync {
    /// Now, or what `--now` says.
    fn now(&self) -> DateTime<FixedOffset>;

    /// Units where the address names none.
    fn units(&self) -> System;
}

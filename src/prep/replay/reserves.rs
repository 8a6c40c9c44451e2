//! What is only needed where something was not ready.

use crate::{prep::clock::Tick, scheduler::ActivityId};

/// Of the kitchens that need a reserve, the share for which it comes late enough.
pub const DONE_AT_LAST: f64 = 0.75;

/// What is needed in no more than this share of the kitchens is a reserve: its time is kept,
/// and nobody is reminded of it.
pub const MOSTLY: f64 = 0.5;

/// A time kept for a step that may not be possible when it is planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reserve {
    /// The step.
    pub of: ActivityId,
    /// When it is done then.
    pub start: Tick,
    /// When that is over.
    pub end: Tick,
    /// How likely it is needed.
    pub needed: f64,
}

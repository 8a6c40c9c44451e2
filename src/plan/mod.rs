//! The plan file, the steps, the back-scheduler and the reasons.

mod amounts;
mod carry;
pub mod changes;
pub mod clock;
mod done;
mod draft;
pub mod durations;
pub mod engine;
pub mod file;
mod lay;
pub mod physics;
mod reasons;
pub mod schedule;
mod shopping;
pub mod steps;
mod tell;
mod trouble;
mod why;
pub mod zone;

pub use done::DoneError;
pub use durations::Durations;
pub use lay::{LayError, lay_out};
pub use why::{Why, why};

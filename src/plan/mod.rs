//! The plan file, the steps, the back-scheduler and the reasons.

mod carry;
pub mod clock;
mod curves;
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
mod trouble;
pub mod zone;

pub use lay::{LayError, lay_out};

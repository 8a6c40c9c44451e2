//! The plan file, the steps, the back-scheduler and the reasons.

mod amounts;
mod carry;
pub mod changes;
pub mod clock;
mod curves;
mod done;
pub mod draft;
pub mod durations;
pub mod edit;
pub mod engine;
pub mod file;
mod lay;
pub mod physics;
mod reasons;
pub mod schedule;
mod shopping;
pub mod steps;
mod tell;
mod themes;
pub mod trouble;
mod ways_out;
mod why;
pub mod zone;

pub use done::DoneError;
pub use durations::Durations;
pub use lay::{Laid, LayError, lay_out, solve};
pub use physics::Physics;
pub use ways_out::WayOut;
pub use why::{Why, why};

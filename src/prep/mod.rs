//! The trade: what must be done for ice and ornaments, by whom, with what, and when.

mod amounts;
mod carry;
pub mod clock;
mod curves;
pub mod done;
pub mod draft;
pub mod durations;
mod lay;
pub mod physics;
pub mod reasons;
pub mod schedule;
mod shopping;
pub mod steps;
mod tell;
mod themes;

pub use done::DoneError;
pub use durations::Durations;
pub use lay::{Laid, LayError, solve, solve_with};
pub use physics::Physics;

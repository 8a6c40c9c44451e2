//! Why a step is where it is, what is in conflict where a plan cannot be done, and the
//! suggestions that were tried.

pub mod changes;
pub mod conflict;
mod suggestions;
mod why;

pub use suggestions::{Change, Fill, MoreHours, Suggestion};
pub use why::{Why, why};

//! The back-scheduler. It knows no clock, no trade and no words.
//!
//! [`sittings`] chooses at the least price when what is done. What it has chosen stands
//! as the starts of the activities of a [`Problem`], which holds every rule behind them,
//! and [`binding`] says which of those rules keep an activity from being later.

mod broken;
mod problem;
mod reasons;
pub mod sittings;

pub use broken::{Broken, broken};
pub use problem::{
    Activity, ActivityId, FactId, GoalId, Hold, Link, Problem, Resource, ResourceId, Solution, Tick,
};
pub use reasons::{Binding, binding};

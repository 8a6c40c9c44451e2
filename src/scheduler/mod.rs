//! The back-scheduler: activities with windows, links and shared resources in;
//! the latest safe start of each out. It knows no clock, no trade and no words.
//!
//! The order of wishes, each only among plans equal in all before it:
//! serve the most goals by weight (among equals the goals listed first), the
//! surest level for the worst-off goal, the fewest sittings with hands-on work,
//! the least earliness (how long before its own latest moment each activity
//! starts, summed), and evenly loaded sittings.
//!
//! Why it can be exact. All rules but the resources and the sittings have the
//! form `start(u) <= start(v) + c` or speak of one activity alone. Solutions of
//! such rules are closed under taking the later start of each activity, so
//! there is one latest solution, and lowering upper bounds finds it
//! (`network`). What remains is a choice of which hold of an overloaded
//! resource goes first and of which sittings stay free; `search` branches on
//! just these. Parts too long to be searched whole are improved a few goals at
//! a time (`improve`) and the gap to a proven bound is told.

mod conflict;
mod contention;
mod feasible;
mod fewest;
mod filed;
mod improve;
mod inquiry;
mod network;
mod parts;
mod pieces;
mod problem;
mod reasons;
mod search;
mod service;
pub mod sittings;
mod solution;
mod trail;

pub use conflict::{Conflict, conflict};
pub use problem::{
    Activity, ActivityId, FactId, Goal, GoalId, Hold, Link, Problem, ProblemError, Resource,
    ResourceId, Tick,
};
pub use reasons::{Binding, binding};
pub use solution::{Effort, Gap, Objective, Solution, solve};

//! Mould shapes and the freezing solver.
//!
//! A [`shape::Shape`] is cut into a [`mesh::Mesh`], filled with a
//! [`crate::properties::medium::Medium`] and frozen by [`freeze::freeze`].

pub mod freeze;
mod kernel;
pub mod melt;
pub mod mesh;
mod outline;
mod patchwork;
mod prism;
mod revolved;
pub mod shape;

pub use outline::{OutlineError, unit_outline};

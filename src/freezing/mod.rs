//! Mould shapes and the freezing solver.
//!
//! A [`shape::Shape`] is cut into a [`mesh::Mesh`], filled with a
//! [`crate::properties::medium::Medium`] and frozen by [`freeze::freeze`].
//!
//! Every shape is cells, links and faces; outlines are cut cells with their true wall
//! area, since at a Biot number of 0.1 the area sets the time. Low Biot numbers make a
//! coarse grid accurate, which is what pays for 256 runs of explicit steps.
//!
//! The frozen volume is meshed: a mould filled with a mass of water is meshed at the
//! depth of the ice that it becomes, so mass and heat are right and the 9 % of expansion
//! goes up. Prescribed films take the block as given, with the constant properties of
//! the reference rows.

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

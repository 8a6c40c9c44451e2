//! The freezing and the melting solver.
//!
//! A [`crate::shape::Body`] is cut into a [`mesh::Mesh`], filled with a
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

pub mod conditions;
pub mod freeze;
mod kernel;
mod lanes;
pub mod melt;
pub mod mesh;
mod patchwork;
pub mod pattern;
mod prism;
mod progress;
mod revolved;
mod run;

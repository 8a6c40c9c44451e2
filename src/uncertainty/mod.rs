//! Unknown inputs as distributions; bands, chance, what matters most, and what
//! a diary teaches of them.
//!
//! An answer is computed for a fixed sequence of draws over all unknowns at
//! once, so the same question always gives the same band.

mod axis;
mod band;
mod distribution;
mod draws;
mod evidence;
mod importance;
mod information;
mod posterior;
mod rest;
mod surface;
mod unknowns;

pub use axis::Axis;
pub(crate) use band::finite_or_null;
pub use band::{Band, Verdict, chance, variance_shares};
pub use distribution::{standard_normal_cdf, standard_normal_quantile};
pub use draws::{RUNS, sequence, walk};
pub use evidence::{Evidence, LOOK, Observation, WRONG};
pub use importance::{Effort, Update, update};
pub use information::variance_left;
pub use posterior::Posterior;
pub use rest::Rest;
pub use surface::Surface;
pub use unknowns::{Draw, Unknowns};

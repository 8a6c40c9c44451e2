//! Unknown inputs as distributions; bands, chance, what matters most, and what
//! a diary teaches of them.
//!
//! An answer is computed for a fixed sequence of draws over all unknowns at
//! once, so the same question always gives the same band.

mod axis;
mod band;
mod draws;
mod evidence;
mod learned;
mod learning;
mod look;
mod prior;
mod surface;
mod unknowns;

pub use axis::Axis;
pub(crate) use band::finite_or_null;
pub use band::{Band, Verdict, chance, variance_shares};
pub use draws::{RUNS, sequence};
pub use evidence::{Evidence, LOOK, Seen, WRONG};
pub use learned::Learned;
pub use learning::{Posterior, learn};
pub use look::left_after;
pub use prior::{standard_normal_cdf, standard_normal_quantile};
pub use surface::Surface;
pub use unknowns::{Draw, Unknowns};

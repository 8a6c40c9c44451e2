//! Unknown inputs as distributions; bands, chance, what matters most, and what
//! a diary teaches of them.
//!
//! An answer is computed for a fixed sequence of draws over all unknowns at
//! once, so the same question always gives the same band.
//!
//! Notes are weighed by Bayes' rule. One in twenty is wrong, which only shows beside others
//! ([`Evidence`]), and one appliance in a hundred has trouble: all its times are longer, or
//! shorter, by one factor that the tables know nothing of. So the answer follows notes that no
//! kitchen of the tables explains instead of throwing them away: the later they were wet, the
//! later it is solid, and the wider is the band.

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
mod trouble;
mod unknowns;

pub use axis::Axis;
pub(crate) use band::finite_or_null;
pub use band::{Band, Verdict, chance, variance_shares};
pub use distribution::{standard_normal_cdf, standard_normal_quantile};
pub use draws::{RUNS, sequence, walk};
pub use evidence::{Evidence, Follows, LOOK, Observation, WRONG};
pub use importance::{Effort, Update, update};
pub use information::variance_left;
pub use posterior::Posterior;
pub use rest::Rest;
pub use surface::Surface;
pub use unknowns::{Draw, Unknowns};

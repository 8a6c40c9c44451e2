//! Unknown inputs as distributions; bands, chance, and what matters most.
//!
//! An answer is computed for a fixed sequence of draws over all unknowns at
//! once, so the same question always gives the same band.

mod band;
mod draws;
mod prior;

pub(crate) use band::finite_or_null;
pub use band::{Band, Verdict, chance, variance_shares};
pub use draws::{RUNS, draws, sequence};
pub use prior::{Prior, PriorError};

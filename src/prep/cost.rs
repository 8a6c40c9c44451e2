//! Prices as the search counts them.

use super::clock::TICK_S;
use crate::{
    scheduler::sittings::{Cost, MINUTE},
    tables::Term,
};

/// The price of a term.
pub fn cost(term: Term) -> Cost {
    (term.minutes() * MINUTE as f64).round() as Cost
}

/// Minutes of so many ticks.
pub fn minutes(ticks: Cost) -> Cost {
    ticks * TICK_S / 60
}

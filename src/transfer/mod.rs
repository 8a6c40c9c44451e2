//! Film coefficients, radiation, evaporation and psychrometrics.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

pub mod convection;
pub mod evaporation;
pub mod mass_transfer;
pub mod psychrometrics;
pub mod radiation;

#[cfg(test)]
mod tests;

//! Film coefficients, radiation, evaporation and psychrometrics.

pub mod convection;
pub mod evaporation;
pub mod mass_transfer;
pub mod psychrometrics;
pub mod radiation;

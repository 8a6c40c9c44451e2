//! Film coefficients, radiation, evaporation and psychrometrics.

pub mod convection;
pub mod radiation;

//! Films, radiation, evaporation, psychrometrics.

pub mod convection;
pub mod radiation;

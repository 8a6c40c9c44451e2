//! Recipe, mixture isotherm, drying solver and cooling of salt dough.

pub mod drying;
pub mod mixture;
pub mod recipe;

//! Recipe, mixture isotherm, drying solver and cooling of salt dough.

pub mod cooling;
pub mod finish;
pub mod mixture;
pub mod recipe;
pub mod solver;

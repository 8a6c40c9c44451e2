//! Recipe, mixture isotherm, drying solver and cooling of salt dough.
//!
//! Salt first: dough is saturated brine until most of its water is gone, and drying is
//! driven by 0.75 − RH. Temperature is lumped (Biot number below 0.15), moisture is
//! resolved in one dimension.

pub mod cooling;
pub mod finish;
pub mod mixture;
pub mod recipe;
pub mod solver;

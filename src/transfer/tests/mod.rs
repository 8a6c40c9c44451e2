//! The formulas against published values and textbook examples.

mod films;
mod moist_air;

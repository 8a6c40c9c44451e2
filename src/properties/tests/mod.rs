//! The formulas against published values.

mod sorption;
mod water_and_ice;

//! Properties of the things handled: water, ice, air, brine, flour, walls.

pub mod air;
pub(crate) mod bisection;
pub mod brine;
pub(crate) mod flour;
pub mod ice;
pub mod medium;
pub mod moist_air;
pub mod water;

#[cfg(test)]
mod tests;

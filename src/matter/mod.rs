//! Properties of the things handled: water, ice, air, brine, flour, walls.

pub mod air;
pub mod ice;
pub mod medium;
pub mod water;
pub mod brine;
pub mod flour;
pub mod foods;
pub mod moist_air;

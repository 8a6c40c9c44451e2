//! Properties of water, ice, air, brine, flour, dough and mould walls.

pub mod air;

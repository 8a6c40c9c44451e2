//! Properties of the things handled: water, ice, air, brine, flour, walls.

//! What surrounds the thing: freezer, oven, room, cool box.

pub mod freezer;
pub mod standing;

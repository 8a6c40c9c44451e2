//! What surrounds the thing: freezer, oven, room, cool box.

pub mod cool_box;
pub mod freezer;
pub mod standing;

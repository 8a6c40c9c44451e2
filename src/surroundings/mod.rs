//! What surrounds the thing: freezer, oven, room, cool box.

pub mod cool_box;
pub mod freezer;
pub mod oven;
pub mod room;
pub mod standing;

//! What surrounds the thing: freezer, oven, room, cool box.

pub mod oven;
pub mod room;

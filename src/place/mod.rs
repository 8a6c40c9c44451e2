//! What surrounds the thing: freezer, oven, room, cool box.

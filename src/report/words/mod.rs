//! What the plan's steps, facts, reasons, looks and remarks are in words.

mod because;
mod fact;
mod look;
mod names;
mod note;
mod what;

pub use because::Explained;
pub use fact::fact;
pub use look::{elsewhere, look};
pub use names::{freezer, goal, humid, named, oven, pieces, served, wait_words};
pub use note::{lacking_pieces, notes, without};
pub use what::{doing, thing, uses, what};

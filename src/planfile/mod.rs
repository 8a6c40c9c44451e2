//! The plan file, and the file of a user's own pan: TOML text in, a sound [`Plan`] or
//! [`Pan`] or every fault at once out.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

pub mod edit;
mod fault;
mod hours;
mod model;
mod pan;
mod read;
mod reader;
mod sessions;
mod things;

pub use fault::Fault;
pub use hours::{Days, HoursError, Opening, Span, dates};
pub use model::{
    Blocks, Finish, Freezer, Group, Ice, Method, Mould, MouldForm, Ornament, Oven, Place, Plan,
    Room, Session, Spare, Theme,
};
pub use pan::{Pan, outlined, read_pan};
pub use read::read;
pub use reader::{LARGEST_FILE, MOST_FAULTS};

//! The plan file: TOML text in, a sound [`Plan`] or every fault at once out.

mod fault;
mod hours;
mod model;
mod read;
mod reader;
mod sessions;
mod things;

pub use fault::Fault;
pub use hours::{Days, HoursError, Opening, Span};
pub use model::{
    Blocks, Finish, Freezer, Group, Ice, Method, Mould, MouldForm, Ornament, Oven, OvenKind, Place,
    Plan, Room, Session, Spare, Theme,
};
pub use read::{LARGEST_FILE, read};

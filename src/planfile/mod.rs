//! The plan file, and the file of a user's own pan: TOML text in, a sound [`Plan`] or
//! [`Pan`] or every fault at once out.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

pub mod edit;
mod fault;
mod hours;
mod kept;
mod key;
mod model;
mod mould;
mod named;
mod over;
mod pan;
mod read;
mod reader;
mod room;
mod rows;
mod rule;
mod schema;
mod sessions;
mod slug;
mod starter;
mod things;
mod values;

pub use fault::{Fault, Wrong, line_of};
pub use hours::{Absence, Days, HoursError, Opening, Part, Span, dates};
pub use kept::{
    Happened, Kept, KeptError, KeptStep, Moment, Names, NotOne, kept_beside, one_called,
};
pub use key::{Key, Need, Table, Value};
pub use model::{
    Blocks, CLASS, Finish, Freezer, Group, HOME, Ice, MOST_AHEAD, MOULD_ROOM, Method, Mould,
    Ornament, Oven, OvenAt, Pieces, Place, Plan, Room, Session, Spare, Theme, WAY, Wishes,
    usual_setting,
};
pub use named::Named;
pub use over::Over;
pub use pan::{Pan, read_pan};
pub use read::read;
pub use reader::{LARGEST_FILE, MOST_FAULTS};
pub use rule::{MouldRule, Rule};
pub use slug::slug;
pub use starter::starter;

//! What leaves the program: words, JSON, the calendar file.

pub mod lines;
pub mod listing;

//! What leaves the program: words, JSON, the calendar file, the printed sheet.

pub mod calendar;
pub mod clean;
pub mod lines;
pub mod listing;
pub mod phrase;
pub mod sheet;

//! What leaves the program: words, JSON, the calendar file, the printed sheet, charts.

mod amounts;
pub mod answers;
mod blame;
pub mod calendar;
mod carry;
pub mod chart;
pub mod clean;
pub mod diary;
pub mod did;
pub mod dough;
pub mod faults;
pub mod ice;
pub mod in_the_way;
pub mod lines;
pub mod listing;
pub mod notes;
pub mod phrase;
pub mod plan;
mod schedule;
pub mod sheet;
pub mod suggestions;
pub(crate) mod svg;
pub mod thaw;
pub mod today;
mod told;
pub mod why;
pub mod words;

//! What leaves the program, checked from outside: calendar file, sheet, JSON Schema.

mod calendar_lint;
mod calendar_read_back;
mod calendar_revise;
mod chart;
mod lint;
mod random;
mod scenario;
mod schema;
mod sheet;

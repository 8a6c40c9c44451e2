//! The back-scheduler against a brute-force oracle, its promises over many
//! random problems, minimal conflicts, and how its cost grows.

mod conflicts;
mod generate;
mod months;
mod oracle;
mod promises;
mod reasons;
mod scale;

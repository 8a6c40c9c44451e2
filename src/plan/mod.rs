//! The plan file, the steps, the back-scheduler and the reasons.

pub mod schedule;

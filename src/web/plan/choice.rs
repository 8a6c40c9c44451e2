//! What is picked or ticked in a form.

use serde::Serialize;

use crate::planfile::Days;

/// A word to pick, or a box to tick.
#[derive(Debug, Serialize)]
pub struct Choice {
    pub value: String,
    pub label: String,
    pub on: bool,
}

impl Choice {
    pub fn new(value: &str, label: &str, on: bool) -> Self {
        Self { value: value.to_owned(), label: label.to_owned(), on }
    }
}

/// The days of the week, to tick.
pub fn week(days: Option<Days>) -> Vec<Choice> {
    use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
    let on = |day| days.is_some_and(|days: Days| days.include(day));
    let week = [Mon, Tue, Wed, Thu, Fri, Sat, Sun].into_iter();
    week.map(|day| Choice::new(&day.to_string(), &day.to_string(), on(day))).collect()
}

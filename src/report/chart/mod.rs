//! Line charts as SVG: told apart by dash and by a name at the line, never by colour alone.
//!
//! A chart is one or two panels over one axis of time. Its title and its
//! finding stand in it as text and are its title and description for those who
//! do not see it.

mod axis;
mod dough;
mod draw;
mod ice;
mod label;
mod panel;
mod thin;

pub use axis::Hours;
pub use dough::dough;
pub use draw::{in_answer, in_page, write};
pub use ice::{degrees, ice, unit};

use super::sheet::palette::Rgb;

/// A chart: time to the right, one or two panels below one another.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Begins the id of every part, so that charts on one page differ: letters,
    /// digits and hyphens only; others are left out.
    pub id: String,
    /// What is shown.
    pub title: String,
    /// What it shows: the finding in a sentence or two.
    pub finding: String,
    /// The axis of time.
    pub time: Hours,
    /// The panels.
    pub panels: Vec<Panel>,
    /// Spans of time, through all panels.
    pub spans: Vec<Span>,
    /// Moments, through all panels.
    pub marks: Vec<Mark>,
}

/// Lines over one axis of values.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What the values are, with their unit.
    pub values: String,
    /// The lines.
    pub lines: Vec<Line>,
    /// Values with a meaning of their own.
    pub levels: Vec<Level>,
}

/// One quantity over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its name, written beside it.
    pub name: String,
    /// Hours and values; what is not finite is left out.
    pub points: Vec<[f64; 2]>,
    /// How it is drawn.
    pub dash: Dash,
    /// Its colour.
    pub colour: Rgb,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Without a gap.
    Solid,
    /// Long dashes.
    Long,
    /// Dots.
    Dots,
}

/// A value with a meaning: the freezing point.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The value.
    pub value: f64,
    /// What it means.
    pub name: String,
}

/// A span of time with its likeliest moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// Its start, hours.
    pub from: f64,
    /// The likeliest moment.
    pub middle: f64,
    /// Its end, infinite where it may never come.
    pub to: f64,
    /// Its name.
    pub name: String,
    /// How it is filled.
    pub filling: Filling,
}

/// How a span is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filling {
    /// Evenly.
    Plain,
    /// With slanted lines.
    Hatched,
}

/// A moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// When, hours.
    pub at: f64,
    /// What happens.
    pub name: String,
}

impl Mark {
    /// When something is needed; beyond the end of the axis its name points there.
    fn needed(at: f64, words: &str, end: f64) -> Self {
        let name = if at > end { format!("needed {words} →") } else { format!("needed {words}") };
        Self { at, name }
    }
}

/// A deadline so many times as late as the rest stands at the edge: to scale it would squeeze
/// the lines.
const FAR: f64 = 2.5;

/// Where the axis of time ends: behind all else, and behind a deadline that is not far.
fn end_of(rest: f64, needed: Option<f64>) -> f64 {
    match needed {
        Some(at) if at <= FAR * rest => 1.04 * rest.max(at),
        Some(_) => 1.2 * rest,
        None => 1.04 * rest,
    }
}

/// The first line of every chart file.
const SIGNATURE: &str = "<!-- a chart written by solidby -->";

/// Whether a file is a chart that this program wrote, so that it may be replaced.
pub fn is_ours(file: &str) -> bool {
    file.lines().next() == Some(SIGNATURE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_far_deadline_stands_at_the_edge() {
        assert!(end_of(6.0, Some(12.5)) > 12.5, "a near one is to scale");
        let end = end_of(6.0, Some(62.0));
        assert!((6.0..8.0).contains(&end), "{end}");
        assert_eq!(Mark::needed(62.0, "Wed 08:00", end).name, "needed Wed 08:00 →");
        assert_eq!(Mark::needed(7.0, "07:00", end).name, "needed 07:00");
    }
}

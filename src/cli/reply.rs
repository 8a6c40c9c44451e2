//! What a command has to say, and how it is printed.

use std::io::Write;

use serde::Serialize;

use super::{context::Context, failure::Failure};
use crate::{
    answers::Document,
    prep::schedule::Schedule,
    report::{answers::Length, clean},
};

/// What a command has to say: text for people or JSON, and how it ended.
pub struct Reply {
    /// For stdout.
    pub text: String,
    /// Whether everything asked for can be had.
    pub outcome: Outcome,
}

/// How a command that did not fail ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Answered, also when the answer is no.
    Answered,
    /// The plan cannot be done; the best one was printed.
    CannotBeDone,
}

impl Outcome {
    /// Of a plan.
    pub fn of(schedule: &Schedule) -> Self {
        if schedule.feasible { Self::Answered } else { Self::CannotBeDone }
    }
}

impl Reply {
    /// An answer for stdout.
    pub fn answered(text: String) -> Self {
        Self { text, outcome: Outcome::Answered }
    }

    /// Writes it to stdout. A reader that has gone away is no failure.
    ///
    /// # Errors
    /// When it could not be printed.
    pub fn print(&self) -> Result<(), Failure> {
        let mut out = anstream::stdout().lock();
        match out.write_all(self.text.as_bytes()).and_then(|()| out.flush()) {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
                Err(Failure::other(format!("the answer could not be printed: {error}")))
            }
            _ => Ok(()),
        }
    }
}

/// An answer as JSON, or in words.
///
/// # Errors
/// When the answer cannot be written as JSON.
pub fn reply<A: Serialize>(
    answer: &A,
    context: Context,
    words: impl FnOnce() -> String,
) -> Result<Reply, Failure> {
    if !context.common.json {
        return Ok(Reply::answered(words()));
    }
    printed(&Document::of(answer))
}

fn printed(document: &impl Serialize) -> Result<Reply, Failure> {
    clean::json(document)
        .map(|json| Reply::answered(json + "\n"))
        .map_err(|error| Failure::other(format!("the answer could not be printed: {error}")))
}

/// A small document, or the same in words.
///
/// # Errors
/// When the document cannot be written as JSON.
pub fn reply_of(
    document: &serde_json::Value,
    words: String,
    context: Context,
) -> Result<Reply, Failure> {
    if context.common.json { printed(document) } else { Ok(Reply::answered(words)) }
}

/// How much of an answer is said.
pub fn length(more: bool) -> Length {
    if more { Length::Whole } else { Length::Short }
}

/// Columns of the terminal; 100 where there is none.
pub fn width() -> usize {
    terminal_size::terminal_size().map_or(100, |(width, _)| usize::from(width.0))
}

/// Writes to stderr what can be written; nobody is left to be told of a failure.
pub fn remark(text: &str) {
    let mut err = anstream::stderr().lock();
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.flush());
}

//! One thing wrong in a plan file: where, what, and what would be right.

use std::ops::Range;

/// One thing wrong in a plan file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The bytes of the file it is about.
    pub span: Range<usize>,
    /// What is wrong, naming the field.
    pub message: String,
    /// What would be right, where that can be said.
    pub help: Option<String>,
    /// The key that is missing, where one is; the bytes are then those of its table.
    pub missing: Option<&'static str>,
}

impl Fault {
    /// A fault with a hint of what would be right.
    pub fn new(span: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { span, message: message.into(), help: Some(help.into()), missing: None }
    }

    /// The line it begins on, counted from one.
    pub fn line(&self, text: &str) -> usize {
        text.bytes().take(self.span.start).filter(|byte| *byte == b'\n').count() + 1
    }
}

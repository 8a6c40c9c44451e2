//! An answer as a JSON document.

use schemars::JsonSchema;
use serde::Serialize;

/// Version of the answers' JSON; raised when a field changes its meaning.
pub const SCHEMA: u32 = 1;

/// An answer as a JSON document that says its version.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Document<Answer> {
    /// Version of this document.
    #[schemars(extend("const" = SCHEMA))]
    pub schema: u32,
    /// The answer.
    #[serde(flatten)]
    pub answer: Answer,
}

impl<Answer> Document<Answer> {
    /// The document of an answer, in the present version.
    pub fn of(answer: Answer) -> Self {
        Self { schema: SCHEMA, answer }
    }
}

//! A question in, an answer with its band out.

mod advice;
mod caution;
pub mod cool;
pub mod diary;
mod document;
pub mod dough;
mod error;
mod evening;
pub mod ice;
mod looks;
mod room;
pub mod thaw;

pub use advice::{Help, Note, Unsure};
pub use caution::CautionText;
pub use document::{Document, SCHEMA};
pub use error::{AskError, Field, OutOfRange};
pub use evening::Timed;
pub use looks::{Look, Teaching};

/// Across, where nobody says how large a piece of dough is: an ordinary round ornament, mm
/// (common practice, no source).
const USUAL_SIZE_MM: f64 = 75.0;

//! A question in, an answer with its band out.

pub mod cool;
pub mod diary;
pub mod dough;
pub mod ice;
mod shared;
pub mod thaw;

pub use shared::{AskError, CautionText, Document, Help, SCHEMA, Unsure};

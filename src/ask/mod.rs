//! A question in, an answer with its band out.

pub mod cool;
pub mod dough;
mod shared;

pub use shared::{AskError, CautionText, Help, Unsure};
pub mod ice;
pub mod thaw;

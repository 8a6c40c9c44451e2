//! A question in, an answer with its band out.

pub mod ice;
pub mod thaw;

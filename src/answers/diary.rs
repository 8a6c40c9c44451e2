//! What a diary of past evenings teaches of one freezer or one oven.

mod evening;
mod fit;
mod look;

pub use evening::Sight;
pub use fit::{Belief, Dated, Fit, HALF_LIFE_DAYS, Memory, Noted, fit_dough, fit_ice};
pub use look::{Look, Teaching};

pub(in crate::answers) use evening::Evening;

//! What a diary of past evenings teaches of one freezer or one oven.
//!
//! # How it learns
//!
//! Notes are options as typed, read by the same parser as the command line. What was
//! learnt travels in the question, so bands, chances, helps and plans learn without
//! knowing it.
//!
//! - **Only what is constant is learnt**: of a freezer its film, air, cooling power and
//!   shelf; of an oven its offset and film; of a dough its diffusivity and isotherm; of a
//!   room its film. Water, fill, supercooling, thickness and humidity are drawn anew for
//!   every note and averaged over, or the draws that happen to explain one evening would
//!   collapse the weights.
//! - **A surface for each note**: the logarithm of the time, from 128 coarse runs
//!   corrected by one working run, as a polynomial of second degree in the learnt
//!   unknowns. It follows the solver within 0.4 % (1.3 % where the freezer is
//!   overloaded), against 8 % that one evening differs from the next.
//! - **Weights, then moved draws**: 1024 draws are weighted; below a quarter effective
//!   they are laid anew where the weights are, each weighted by prior times likelihood
//!   over the density it was drawn from. This stays exact and has no rate to tune.
//! - **People err**: a look is a soft limit (4 % of the time), and a note is wrong with a
//!   chance of one in twenty, so that one wrong note changes next to nothing.
//! - **Settings that contradict** each other start anew, from the newest note back.
//! - **The next look** is the time whose answer leaves the least variance of what can be
//!   learnt, on average over both answers.

mod evening;
mod fit;
mod look;

pub use evening::Sight;
pub use fit::{Belief, Dated, Fit, HALF_LIFE_DAYS, Memory, Noted, fit_dough, fit_ice};
pub use look::{Look, Teaching};

pub(in crate::answers) use evening::Evening;

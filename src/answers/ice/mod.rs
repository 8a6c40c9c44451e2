//! When are these blocks of ice solid, how sure is that, and what would help?

mod answer;
mod any_mould;
mod band;
mod counts;
mod helps;
mod note;
mod numbers;
mod question;
mod scenario;
mod together;
mod unknowns;
mod wet;

pub use answer::{IceAnswer, LookAt, Nominal, answer, answer_in_constant_films};
pub use band::{Bands, bands, likeliest};
pub use counts::AtOnce;
pub use note::{FreezerTold, IceNote, IceObservation};
pub use numbers::Numbers;
pub use question::{Block, IceQuestion};
pub use scenario::{Outcome, Scenario};
pub use together::together;

pub(super) use any_mould::any_mould;
pub(super) use note::{Evenings, LEARNT};
pub(super) use question::box_of;

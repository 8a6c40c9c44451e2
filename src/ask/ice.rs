//! When are these blocks of ice solid, how sure is that, and what would help?

mod answer;
mod band;
mod helps;
mod question;
mod scenario;
mod unknowns;

pub use answer::{IceAnswer, Nominal, answer, answer_in_constant_films, likeliest, ready_hours};
pub use band::{Bands, bands};
pub use question::{Block, IceError, IceQuestion};
pub use scenario::{Outcome, Scenario};
pub use unknowns::Unknowns;

pub(super) use question::{box_of, shape_of};

//! The trade: what must be done for ice and ornaments, by whom, with what, and when.
//!
//! The planner asks the physics one thing only, through the trait
//! [`durations::Durations`]; [`physics`] answers it, tests answer it with fixed numbers.
//! Facts of the trade (a bagged block takes a third of a mould's room, children paint four
//! at a time, parents are asked a week ahead) stand as constants beside the code that
//! uses them, marked `common practice, no source`.

mod adjusted;
mod begun;
mod buffer;
mod carry;
mod chains;
mod choose;
mod chosen;
pub mod clock;
mod cost;
mod curves;
mod cut;
pub mod done;
pub mod draft;
pub mod durations;
mod error;
pub mod fact;
mod firm;
mod follow;
mod handed;
mod hours;
mod kept;
mod lay;
pub mod learn;
pub mod looks;
mod needs;
pub mod physics;
mod place;
pub mod reasons;
mod refused;
mod replay;
mod round;
mod rounds;
pub mod schedule;
mod settled;
mod solid;
pub mod steps;
mod stretches;
pub mod tell;
mod trips;
mod ways;
pub mod what;

pub use adjusted::Adjusted;
pub use buffer::{ShortBuffer, short_buffers};
pub use carry::leaving;
pub use chains::dry_hours;
pub use choose::Look;
pub use chosen::Chosen;
pub use cut::following;
pub use done::DoneError;
pub use durations::Durations;
pub use error::LayError;
pub use kept::without_moulds;
pub use lay::{Laid, chosen, solve, solve_slower};
pub use needs::needs;
pub use physics::Physics;
pub use refused::{Refused, refused};
pub use replay::Chances;
pub use rounds::Rounds;
pub use settled::{made_surer, settled};
pub use solid::served;
pub use ways::Way;

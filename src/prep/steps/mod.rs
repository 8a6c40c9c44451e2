//! The trade: what must be done for an ice session and for a batch of
//! ornaments, as tasks and waits of a [`Draft`](super::draft::Draft).

mod batch;
mod finish;
mod ice;
mod ornament;
mod serve;
mod shared;

pub use ice::{Frozen, add_ice, session_id};
pub use ornament::add_ornament;
pub use shared::Shared;

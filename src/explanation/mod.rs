//! Why a step is where it is, what is in conflict where a plan cannot be done, and the
//! suggestions that were tried.

mod alone;
pub mod blame;
mod budget;
pub mod changes;
pub mod conflict;
mod let_go;
pub mod obstacle;
pub mod one_change;
mod otherwise;
mod suggestions;
pub mod surer;
mod warmth;
mod why;

pub use otherwise::{Otherwise, TermMore};
pub use suggestions::{Change, Fill, MoreHours, Suggestion};
pub use why::{Asked, Chain, chain};

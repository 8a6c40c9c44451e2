//! A plan tried in whole kitchens before it is printed: one freezer, one oven, one dough each,
//! the same for all that the plan puts into them.
//!
//! The search plans with one sure duration a step; what is promised is what comes of
//! following the plan in each of these kitchens: looking where something ends by itself at
//! an unknown time, and going on later where it is not ready.

mod blocks;
mod chances;
mod kitchens;
mod pieces;
mod reserves;
mod warmed;

pub use chances::Chances;
pub use kitchens::Kitchens;
pub use pieces::waits_of;
pub use reserves::{MOSTLY, Reserve};
pub use warmed::Warmed;

use super::{clock::Tick, draft::Draft, durations::DurationError, durations::Durations};
use crate::{planfile::Plan, scheduler::Solution};

/// What came of following a plan in every kitchen.
pub struct Replay {
    /// When everything is ready in each.
    pub kitchens: Kitchens,
    /// How likely all of it is.
    pub chances: Chances,
    /// What is only needed where something was not ready.
    pub reserves: Vec<Reserve>,
}

/// Follows a plan in every kitchen.
///
/// # Errors
/// [`DurationError`] when a thing of the plan is outside the physics' range.
pub fn replay(
    plan: &Plan,
    draft: &Draft,
    solution: &Solution,
    durations: &dyn Durations,
) -> Result<Replay, DurationError> {
    let kitchens = Kitchens::of(plan, draft, solution, durations)?;
    let blocks = blocks::Blocks::of(plan, draft, solution);
    let pieces = pieces::Pieces::of(draft, solution);
    let served = kitchens.each(|kitchen| {
        let mut served = vec![true; draft.goals.len()];
        blocks.follow(&kitchens, kitchen, &mut served);
        pieces.follow(&kitchens, kitchen, &mut served);
        served
    });
    let reserves = blocks.reserves(&kitchens).into_iter().chain(pieces.reserves(&kitchens));
    let reserves = reserves.collect();
    let chances = Chances::of(draft, solution, &kitchens, &served);
    Ok(Replay { kitchens, chances, reserves })
}

/// When a task ends.
fn end_of(draft: &Draft, solution: &Solution, task: crate::scheduler::ActivityId) -> Option<Tick> {
    Some(solution.start(task)? + draft.problem.activities.get(task.0)?.duration)
}

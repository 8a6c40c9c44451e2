//! Loads that take longer in a plan than each does alone: the freezer is still warm from those
//! before.

use std::collections::BTreeMap;

use super::{Kitchens, end_of};
use crate::{
    planfile::{Freezer, Mould, Plan},
    prep::{
        Laid,
        clock::{NEVER, Tick, hours_of},
        draft::Ends,
        durations::{DurationError, Durations, Outcomes, Process},
    },
};

/// How long loads take in plans that were followed, where that is longer than alone: by the names
/// of mould and freezer, and how many freeze at once.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Warmed(BTreeMap<(String, String, u32), Outcomes>);

impl Warmed {
    /// What is known of a load.
    pub fn get(&self, mould: &Mould, freezer: &Freezer, count: u32) -> Option<&Outcomes> {
        self.0.get(&load(mould, freezer, count))
    }

    /// Whether nothing is known to take longer.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Takes over the loads of a plan that are sure later in it than is known.
    ///
    /// # Errors
    /// [`DurationError`] when a thing of the plan is outside the physics' range.
    pub fn learn(
        &mut self,
        plan: &Plan,
        Laid { draft, solution, .. }: &Laid,
        durations: &dyn Durations,
    ) -> Result<(), DurationError> {
        let kitchens = Kitchens::of(plan, draft, solution, durations)?;
        for (number, span) in draft.spans.iter().enumerate() {
            let (Some(Process::Freezing { mould, freezer, count, .. }), Ends::Block) =
                (&span.task.process, span.ends)
            else {
                continue;
            };
            let begun = end_of(draft, solution, span.after);
            let Some((filled, ready)) = begun.zip(kitchens.all(number)) else { continue };
            let hours = |at: &Tick| match *at {
                at if at < NEVER => hours_of(at - filled),
                _ => f64::INFINITY,
            };
            let outcomes = Outcomes::new(ready.iter().map(hours).collect());
            let alone = durations.freeze(mould, freezer, *count)?.sure();
            let known = self.get(mould, freezer, *count).map_or(alone, Outcomes::sure);
            if outcomes.sure() > known {
                self.0.insert(load(mould, freezer, *count), outcomes);
            }
        }
        Ok(())
    }

    /// The same, and what was known of its loads before is forgotten.
    ///
    /// # Errors
    /// As [`Self::learn`].
    pub fn relearn(
        &mut self,
        plan: &Plan,
        laid: &Laid,
        durations: &dyn Durations,
    ) -> Result<(), DurationError> {
        for span in &laid.draft.spans {
            if let Some(Process::Freezing { mould, freezer, count, .. }) = &span.task.process {
                self.0.remove(&load(mould, freezer, *count));
            }
        }
        self.learn(plan, laid, durations)
    }
}

fn load(mould: &Mould, freezer: &Freezer, count: u32) -> (String, String, u32) {
    (mould.name.clone(), freezer.name.clone(), count)
}

//! How long everything takes that ends by itself, kitchen by kitchen.

use std::collections::BTreeMap;

use super::end_of;
use crate::{
    planfile::{Freezer, Plan},
    prep::{
        clock::{NEVER, Tick, hours_of, ticks_up},
        draft::{Draft, Ends, Passive},
        durations::{Drying, DurationError, Durations, KITCHENS, Loaded, Outcomes, Process},
        stretches::followed,
    },
    scheduler::Solution,
};

/// When each thing is ready that the plan waits for.
pub struct Kitchens {
    /// By wait of the draft: the moment at which it is over in each kitchen; none where that
    /// is known, or the plan does not have it.
    ready: Vec<Option<Vec<Tick>>>,
}

impl Kitchens {
    /// Asks the physics for all waits of a plan.
    ///
    /// # Errors
    /// [`DurationError`] when a thing of the plan is outside the physics' range.
    pub fn of(
        plan: &Plan,
        draft: &Draft,
        solution: &Solution,
        durations: &dyn Durations,
    ) -> Result<Self, DurationError> {
        let mut kitchens = Self { ready: vec![None; draft.spans.len()] };
        let mut freezers: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (number, span) in draft.spans.iter().enumerate().filter(|(_, span)| !span.over) {
            let Some(begins) = end_of(draft, solution, span.after) else { continue };
            match (&span.task.process, span.ends) {
                (Some(Process::Freezing { freezer, .. }), Ends::Block) => {
                    freezers.entry(freezer.name.clone()).or_default().push(number);
                }
                (Some(process), Ends::Firm { before_h }) => {
                    let hours = pieces(plan, durations, process, (0, before_h))?;
                    kitchens.ready[number] = Some(moments(span, begins, &hours));
                }
                (Some(process), Ends::Dry { before_h }) => {
                    let hours = pieces(plan, durations, process, (1, before_h))?;
                    kitchens.ready[number] = Some(moments(span, begins, &hours));
                }
                _ => {}
            }
        }
        for (_, mut spans) in freezers {
            spans.sort_by_key(|span| end_of(draft, solution, draft.spans[*span].after));
            kitchens.freeze(draft, solution, &spans, durations)?;
        }
        Ok(kitchens)
    }

    /// All that one freezer freezes, in the order in which it goes in.
    fn freeze(
        &mut self,
        draft: &Draft,
        solution: &Solution,
        spans: &[usize],
        durations: &dyn Durations,
    ) -> Result<(), DurationError> {
        let mut loads = Vec::new();
        let mut into: Option<&Freezer> = None;
        let begins = |span: &usize| end_of(draft, solution, draft.spans[*span].after);
        for span in spans {
            if let Some(Process::Freezing { mould, freezer, filled, .. }) =
                &draft.spans[*span].task.process
            {
                let at_h = begins(span).map_or(0.0, hours_of);
                loads.push(Loaded { mould, count: *filled, at_h });
                into = Some(freezer);
            }
        }
        let Some(freezer) = into else { return Ok(()) };
        for (span, hours) in spans.iter().zip(durations.freeze_together(freezer, &loads)?) {
            self.ready[*span] =
                begins(span).map(|begins| moments(&draft.spans[*span], begins, &hours));
        }
        Ok(())
    }

    /// When a wait is over in a kitchen, if that is not known.
    pub fn ready(&self, span: usize, kitchen: usize) -> Option<Tick> {
        self.ready.get(span)?.as_ref()?.get(kitchen).copied()
    }

    /// The same for all kitchens.
    pub fn all(&self, span: usize) -> Option<&[Tick]> {
        self.ready.get(span)?.as_deref()
    }

    /// The share of kitchens in which a wait is over at a moment; none where that is known.
    pub fn share(&self, span: usize, at: Tick) -> Option<f64> {
        let all = self.all(span)?;
        Some(all.iter().filter(|ready| **ready <= at).count() as f64 / all.len().max(1) as f64)
    }

    /// What comes of something in every kitchen.
    pub fn each<T>(&self, follow: impl Fn(usize) -> T) -> Vec<T> {
        let most = self.ready.iter().flatten().map(Vec::len).max();
        (0..most.unwrap_or(KITCHENS)).map(follow).collect()
    }
}

/// The moments at which a wait is over; no wait is shorter than its shortest.
fn moments(span: &Passive, begins: Tick, hours: &[f64]) -> Vec<Tick> {
    let hours = match span.not_after_h {
        Some(seen) => longer_than(hours, seen),
        None => hours.to_vec(),
    };
    let least = span.outcomes.point(0.0);
    let moment = |hours: &f64| match hours.max(least) {
        hours if hours.is_finite() => begins + ticks_up(hours).min(NEVER),
        _ => NEVER,
    };
    hours.iter().map(moment).collect()
}

/// Hours in kitchens where it was seen not to be over after so many: what contradicts that is
/// replaced, evenly, by what does not.
fn longer_than(hours: &[f64], seen: f64) -> Vec<f64> {
    let left = Outcomes::new(hours.to_vec()).given_longer_than(seen);
    let contradict = hours.iter().filter(|hours| **hours <= seen).count() as f64;
    let mut number = 0.0;
    let replaced = hours.iter().map(|own| {
        if *own > seen {
            return *own;
        }
        number += 1.0;
        left.point((number - 0.5) / contradict)
    });
    replaced.collect()
}

/// Hours that pieces still take to a state, firm or dry, after some hours of drying.
fn pieces(
    plan: &Plan,
    durations: &dyn Durations,
    process: &Process,
    (state, before_h): (usize, f64),
) -> Result<Vec<f64>, DurationError> {
    let Process::Drying { ornament, pieces, heat, .. } = process else { return Ok(Vec::new()) };
    let drying = Drying { ornament, pieces: *pieces, room: plan.room, heat: *heat };
    let runs = followed(plan, durations, &drying)?.runs;
    Ok(runs.into_iter().map(|run| run[state] - before_h).collect())
}

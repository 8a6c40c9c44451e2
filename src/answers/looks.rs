//! When to look so that the look teaches most: one time, or two.

use schemars::JsonSchema;
use serde::Serialize;

use super::evening::{Evening, coordinates};
use crate::tables::Unknown;
use crate::uncertainty::{Axis, Draw, variance_left};

/// The learnt part of an evening's outcome in each kitchen, and the rest.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Teaching {
    centres: Vec<f64>,
    residuals: Vec<f64>,
}

/// A time worth a look.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Look {
    /// Hours after it went in.
    pub after_h: f64,
    /// Share of the spread of what can be learnt that goes, on average, with
    /// this look and those before it.
    pub teaches: f64,
}

/// A second look is advised when it takes at least so much more of the spread.
const SECOND_WORTH: f64 = 0.1;
/// Looks that teach less than this are not worth an opened door.
const LEAST_WORTH: f64 = 0.1;
/// Kitchens and evenings that the choice is made with.
const KITCHENS: usize = 128;
const EVENINGS: usize = 16;

impl Teaching {
    /// From the runs of an evening: `hours` until the outcome in each draw.
    pub(super) fn of(axes: &[Axis], draws: &[Draw], learnt: &[Unknown], hours: &[f64]) -> Self {
        let mut evening = Evening::new(axes, draws);
        // Trouble is one of the things that a look teaches of.
        let usual = |(h, draw): (&f64, &Draw)| (h / draw.slower()).ln();
        evening.outcome("time", hours.iter().zip(draws).map(usual).collect());
        let learnt: Vec<Axis> = evening.learnt(learnt).copied().collect();
        let Some(evidence) = evening.evidence(&learnt, 1.0) else { return Self::default() };
        let centre =
            |draw: &Draw| evidence.centre(&coordinates(&learnt, draw)) + draw.slower().ln();
        let centres: Vec<f64> = draws.iter().map(centre).collect();
        let residuals = evidence.scatter();
        let thin = |all: Vec<f64>, wanted: usize| {
            let step = (all.len() / wanted).max(1);
            all.into_iter().step_by(step).collect()
        };
        Self { centres: thin(centres, KITCHENS), residuals: thin(residuals, EVENINGS) }
    }

    /// The best one or two of these times, hours after it went in, in order.
    /// None of them when no look teaches much.
    pub fn looks(&self, candidates: &[f64]) -> Vec<Look> {
        let teaches = |looks: &[f64]| {
            let logs: Vec<f64> = looks.iter().map(|h| h.max(1e-3).ln()).collect();
            1.0 - variance_left(&logs, &self.centres, &self.residuals)
        };
        let best = |tries: Vec<Vec<f64>>| {
            let weighed = tries.into_iter().map(|looks| (teaches(&looks), looks));
            weighed.max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let one = best(candidates.iter().map(|h| vec![*h]).collect());
        let Some((alone, first)) = one.filter(|(share, _)| *share >= LEAST_WORTH) else {
            return Vec::new();
        };
        let coarse: Vec<f64> =
            candidates.iter().copied().step_by(candidates.len().div_ceil(24)).collect();
        let pairs = coarse
            .iter()
            .enumerate()
            .flat_map(|(n, early)| coarse[n + 1..].iter().map(move |late| vec![*early, *late]));
        match best(pairs.collect()) {
            Some((both, looks)) if both >= alone + SECOND_WORTH => vec![
                Look { after_h: looks[0], teaches: teaches(&looks[..1]) },
                Look { after_h: looks[1], teaches: both },
            ],
            _ => vec![Look { after_h: first[0], teaches: alone }],
        }
    }
}

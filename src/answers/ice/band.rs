//! Many kitchens at once: a coarse solve of each, corrected by a few finer ones.

use rayon::prelude::*;

use super::question::IceQuestion;
use super::scenario::{Outcome, run_each};
use crate::answers::AskError;
use crate::freezing::mesh::Resolution;
use crate::freezing::pattern::Pattern;
use crate::tables::Unknown;
use crate::uncertainty::{Draw, RUNS, Unknowns};
use crate::units::{Time, hours};

/// What many draws of the unknowns give, one entry a draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// At the central inputs, on the working grid.
    pub central: Outcome,
    /// The draws.
    pub draws: Vec<Draw>,
    /// Hours until solid, infinite when never.
    pub solid_h: Vec<f64>,
    /// Hours until ready, infinite when never.
    pub ready_h: Vec<f64>,
}

/// The unknowns that the coarse grid's error follows: they change how much of
/// the resistance is in the ice, or the shape. Each is probed at a point of its belief; the
/// correction runs on linearly this far the other way (none where that side
/// has a probe of its own).
const PROBED: [(Unknown, f64, f64); 5] = [
    (Unknown::FilmMultiplier, 0.95, -1.0),
    (Unknown::StandOpenness, 0.05, 0.0),
    (Unknown::StandOpenness, 0.95, 0.0),
    (Unknown::MouldShape, 0.1, 0.0),
    (Unknown::MouldShape, 0.9, 0.0),
];

/// A draw at which both grids are run, with the unknown that is moved from the centre.
struct Probe {
    point: Draw,
    moved: Option<(Unknown, f64)>,
}

/// Freezes 256 kitchens on the coarse grid.
///
/// The logarithm of each time is corrected by what the working grid adds at
/// the central inputs, and linearly in the probed unknowns.
///
/// # Errors
/// [`AskError`] when the question's shape or liquid cannot be.
pub fn bands(question: &IceQuestion, unknowns: &Unknowns) -> Result<Bands, AskError> {
    bands_in(question, unknowns, RUNS)
}

/// The same in so many kitchens.
///
/// # Errors
/// As [`bands`].
pub(super) fn bands_in(
    question: &IceQuestion,
    unknowns: &Unknowns,
    kitchens: usize,
) -> Result<Bands, AskError> {
    let middle = unknowns.centre();
    let central = question.scenario(middle)?;
    let body = &central.body;
    let coarse = Pattern::of(body, Resolution::Coarse);
    let fine = Pattern::of(body, Resolution::Working);
    let mut probes = vec![Probe { point: middle.clone(), moved: None }];
    probes.extend(PROBED.iter().filter_map(|(unknown, p, least)| {
        let point = unknowns.centre_but(*unknown, *p)?;
        Some(Probe { point, moved: Some((*unknown, *least)) })
    }));
    let first = central.run_on(&coarse, period(FIRST_GUESS_H), false)?;
    let (often, period) = (fine_period(first.solid_h), period(first.solid_h));
    let probed: Vec<&Draw> = probes.iter().map(|probe| &probe.point).collect();
    let finer = outcomes(question, &probed, (&fine, often, true))?;
    let draws = unknowns.draws(kitchens);
    let points: Vec<&Draw> = probed.into_iter().chain(&draws).collect();
    let outcomes = outcomes(question, &points, (&coarse, period, false))?;
    let (probed, runs) = outcomes.split_at(probes.len());
    let corrected = |time: fn(&Outcome) -> f64| {
        let gap: Vec<f64> = finer
            .iter()
            .zip(probed)
            .map(|(fine, coarse)| (time(fine) / time(coarse)).ln())
            .map(|gap| if gap.is_finite() { gap } else { 0.0 })
            .collect();
        let times = runs.iter().zip(&draws);
        times.map(|(run, draw)| time(run) * correction(&probes, &gap, draw)).collect::<Vec<f64>>()
    };
    let solid_h = corrected(|outcome| outcome.solid_h);
    let ready_h = corrected(|outcome| outcome.ready_h);
    Ok(Bands {
        // Corrected apart, the two may cross where they nearly meet.
        ready_h: ready_h.iter().zip(&solid_h).map(|(ready, solid)| ready.max(*solid)).collect(),
        solid_h,
        central: finer[0].clone(),
        draws,
    })
}

/// Runs that one thread takes at a time: they go side by side, and the last of them alone.
const SHARE: usize = 33;

/// What comes of each draw, on a grid whose films are renewed every `period`.
fn outcomes(
    question: &IceQuestion,
    draws: &[&Draw],
    (pattern, period, history): (&Pattern, Time, bool),
) -> Result<Vec<Outcome>, AskError> {
    let shares: Vec<Vec<Outcome>> = draws
        .par_chunks(SHARE)
        .map(|share| {
            let cut = |draw: &&Draw| {
                let scenario = question.scenario(draw)?;
                let grid = question.grid(&scenario, pattern);
                Ok((scenario, grid))
            };
            let scenarios = share.iter().map(cut).collect::<Result<Vec<_>, AskError>>()?;
            run_each(&scenarios, period, history)
        })
        .collect::<Result<_, AskError>>()?;
    Ok(shares.into_iter().flatten().collect())
}

/// Factor on a coarse time: the gap at the middle, and its slope towards each probe.
fn correction(probes: &[Probe], gap: &[f64], draw: &Draw) -> f64 {
    let middle = &probes[0].point;
    let mut sum = gap[0];
    for (probe, probed) in probes.iter().zip(gap) {
        let Some((unknown, least)) = probe.moved else { continue };
        let way = probe.point[unknown] - middle[unknown];
        if way != 0.0 {
            // Beyond the probe the gap is held: it levels off there.
            let share = (draw[unknown] - middle[unknown]) / way;
            sum += (probed - gap[0]) * share.clamp(least, 1.2);
        }
    }
    sum.exp()
}

/// A block of ordinary size, h: films are renewed as for it until more is known.
pub(super) const FIRST_GUESS_H: f64 = 8.0;

/// How often the films of a coarse run are renewed: the same number of times
/// for a small block and a large one.
pub(super) fn period(solid_h: f64) -> Time {
    const RENEWALS: f64 = 90.0;
    hours((solid_h / RENEWALS).clamp(0.02, 0.2))
}

/// The same for a run on the working grid, with its history for a chart.
pub(super) fn fine_period(solid_h: f64) -> Time {
    const RENEWALS: f64 = 240.0;
    hours((solid_h / RENEWALS).clamp(0.02, 0.1))
}

//! Many kitchens at once: a coarse solve of each, corrected by a few finer ones.

use super::question::IceQuestion;
use super::scenario::{Outcome, in_shares, run_each, within_limit};
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
    /// How the times of the coarse grid were corrected.
    pub(super) correction: Correction,
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
#[derive(Debug, Clone, PartialEq)]
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
    let grids = Grids::of(question, unknowns)?;
    let draws = unknowns.draws(RUNS);
    let (central, correction, runs) = grids.probed(question, probes(unknowns), &draws)?;
    let (solid_h, ready_h) = correction.times(&runs, &draws);
    Ok(Bands { central, draws, solid_h, ready_h, correction })
}

/// Hours until ready, in so many kitchens, of a question that is much like one that was answered:
/// what the working grid adds is worked out at the middle, and goes with the unknowns as there.
///
/// # Errors
/// As [`bands`].
pub(super) fn ready_hours_beside(
    question: &IceQuestion,
    other: &Correction,
    kitchens: usize,
) -> Result<Vec<f64>, AskError> {
    let unknowns = question.unknowns()?;
    let grids = Grids::of(question, &unknowns)?;
    let draws = unknowns.draws(kitchens);
    let (_, own, runs) = grids.probed(question, vec![middle(&unknowns)], &draws)?;
    Ok(other.about(own.middle, own.gap).times(&runs, &draws).1)
}

/// Hours until ready in 256 kitchens of another number of the blocks whose correction is known for
/// one, where `added` is what the working grid adds at the middle: how that goes with the unknowns
/// is as for one.
///
/// # Errors
/// As [`bands`], and those of `added`.
pub(super) fn ready_hours_of(
    question: &IceQuestion,
    one: &Correction,
    added: impl FnOnce() -> Result<Added, AskError> + Send,
) -> Result<(Vec<f64>, Correction), AskError> {
    let unknowns = question.unknowns()?;
    let draws = unknowns.draws(RUNS);
    let grids = Grids::of(question, &unknowns)?;
    let points: Vec<&Draw> = draws.iter().collect();
    let coarse = || outcomes(question, &points, (&grids.coarse, grids.seldom, false));
    let (added, runs) = rayon::join(added, coarse);
    let correction = one.about(unknowns.centre().clone(), added?);
    Ok((correction.times(&runs?, &draws).1, correction))
}

/// What the working grid adds to the times of the coarse one at the middle of the unknowns.
///
/// # Errors
/// As [`bands`].
pub(super) fn added(question: &IceQuestion) -> Result<Added, AskError> {
    let unknowns = question.unknowns()?;
    let grids = Grids::of(question, &unknowns)?;
    Ok(grids.probed(question, vec![middle(&unknowns)], &[])?.1.gap)
}

/// What comes of the likeliest inputs, on the working grid, with its history.
///
/// # Errors
/// As [`bands`].
pub fn likeliest(question: &IceQuestion) -> Result<Outcome, AskError> {
    question.check()?;
    let unknowns = question.unknowns()?;
    let grids = Grids::of(question, &unknowns)?;
    question.scenario(unknowns.centre())?.run_on(&grids.fine, grids.often, true)
}

/// The middle of the unknowns.
fn middle(unknowns: &Unknowns) -> Probe {
    Probe { point: unknowns.centre().clone(), moved: None }
}

/// The middle of the unknowns, and all that are [`PROBED`].
fn probes(unknowns: &Unknowns) -> Vec<Probe> {
    let moved = PROBED.iter().filter_map(|(unknown, p, least)| {
        let point = unknowns.centre_but(*unknown, *p)?;
        Some(Probe { point, moved: Some((*unknown, *least)) })
    });
    std::iter::once(middle(unknowns)).chain(moved).collect()
}

/// The grids of a question's blocks, and how often the films are renewed on each.
struct Grids {
    fine: Pattern,
    often: Time,
    coarse: Pattern,
    seldom: Time,
}

impl Grids {
    fn of(question: &IceQuestion, unknowns: &Unknowns) -> Result<Self, AskError> {
        let central = question.scenario(unknowns.centre())?;
        let [fine, coarse] = [Resolution::Working, Resolution::Coarse]
            .map(|resolution| Pattern::of(&central.body, resolution));
        let first = central.run_on(&coarse, period(FIRST_GUESS_H), false)?;
        let (often, seldom) = (fine_period(first.solid_h), period(first.solid_h));
        Ok(Self { fine, often, coarse, seldom })
    }

    /// Runs the probes on both grids and the draws on the coarse one: what came of the middle
    /// on the working grid, what that grid adds, and what came of the draws.
    fn probed(
        &self,
        question: &IceQuestion,
        probes: Vec<Probe>,
        draws: &[Draw],
    ) -> Result<(Outcome, Correction, Vec<Outcome>), AskError> {
        let probed: Vec<&Draw> = probes.iter().map(|probe| &probe.point).collect();
        let points: Vec<&Draw> = probed.iter().copied().chain(draws).collect();
        let (finer, coarser) = rayon::join(
            || outcomes(question, &probed, (&self.fine, self.often, true)),
            || outcomes(question, &points, (&self.coarse, self.seldom, false)),
        );
        let (finer, mut coarser) = (finer?, coarser?);
        let runs = coarser.split_off(probes.len());
        let gaps: Vec<Added> = finer.iter().zip(&coarser).map(gap).collect();
        Ok((finer[0].clone(), Correction::of(probes, &gaps), runs))
    }
}

/// By how much a fine run takes longer than a coarse one, as logarithms, until solid and until
/// ready.
fn gap((fine, coarse): (&Outcome, &Outcome)) -> Added {
    let times = [(fine.solid_h, coarse.solid_h), (fine.ready_h, coarse.ready_h)];
    times.map(|(fine, coarse)| (fine / coarse).ln()).map(|gap| match gap.is_finite() {
        true => gap,
        false => 0.0,
    })
}

/// Logarithms of what the times on one grid are of those on another, until solid and until ready.
pub(super) type Added = [f64; 2];

/// What the working grid adds to the times of the coarse one: the gap at the middle of the
/// unknowns, and how it goes with those that are [`PROBED`].
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Correction {
    middle: Draw,
    gap: Added,
    slopes: Vec<Slope>,
}

/// How the gap goes with an unknown on one side of the middle.
#[derive(Debug, Clone, PartialEq)]
struct Slope {
    unknown: Unknown,
    /// How far from the middle the probe was.
    way: f64,
    /// The share of that way the other way on which it runs on.
    least: f64,
    /// By how much the gap is greater at the probe.
    rise: Added,
}

impl Correction {
    /// The gap of the first probe, which is the middle, and the slopes towards the others.
    fn of(probes: Vec<Probe>, gaps: &[Added]) -> Self {
        let (middle, gap) = (probes[0].point.clone(), gaps[0]);
        let slopes = probes.into_iter().zip(gaps).filter_map(|(probe, [solid, ready])| {
            let (unknown, least) = probe.moved?;
            let way = probe.point[unknown] - middle[unknown];
            let rise = [solid - gap[0], ready - gap[1]];
            (way != 0.0).then_some(Slope { unknown, way, least, rise })
        });
        let slopes = slopes.collect();
        Self { middle, gap, slopes }
    }

    /// With the same slopes about another middle.
    fn about(&self, middle: Draw, gap: Added) -> Self {
        Self { middle, gap, slopes: self.slopes.clone() }
    }

    /// Hours until solid and until ready of runs on the coarse grid.
    fn times(&self, runs: &[Outcome], draws: &[Draw]) -> (Vec<f64>, Vec<f64>) {
        let times = runs.iter().zip(draws).map(|(run, draw)| {
            let [solid, ready] = self.factors(draw);
            let solid = within_limit(run.solid_h * solid);
            // Corrected apart, the two may cross where they nearly meet.
            (solid, within_limit(run.ready_h * ready).max(solid))
        });
        times.unzip()
    }

    /// Factors on coarse times, until solid and until ready.
    fn factors(&self, draw: &Draw) -> [f64; 2] {
        let mut sum = self.gap;
        for Slope { unknown, way, least, rise } in &self.slopes {
            // Beyond the probe the gap is held: it levels off there.
            let share = ((draw[*unknown] - self.middle[*unknown]) / way).clamp(*least, 1.2);
            for (sum, rise) in sum.iter_mut().zip(rise) {
                *sum += rise * share;
            }
        }
        sum.map(f64::exp)
    }
}

/// Runs that one thread takes at a time: they go side by side, and the last of them alone.
const SHARE: usize = 33;

/// What comes of each draw, on a grid whose films are renewed every `period`.
fn outcomes(
    question: &IceQuestion,
    draws: &[&Draw],
    (pattern, period, history): (&Pattern, Time, bool),
) -> Result<Vec<Outcome>, AskError> {
    let shapes: Vec<f64> = draws.iter().map(|draw| draw[Unknown::MouldShape]).collect();
    in_shares(&shapes, SHARE, |share| {
        let cut = |n: &usize| {
            let scenario = question.scenario(draws[*n])?;
            let grid = question.grid(&scenario, pattern);
            Ok((scenario, grid))
        };
        let scenarios = share.iter().map(cut).collect::<Result<Vec<_>, AskError>>()?;
        // That of the first, which is the middle.
        let noted = share.iter().position(|n| history && *n == 0);
        run_each(&scenarios, period, noted)
    })
}

/// A block of ordinary size, h: films are renewed as for it until more is known.
pub(super) const FIRST_GUESS_H: f64 = 8.0;

/// How often the films are renewed: so many `times` until the block is solid, whether it is small
/// or large, and no more and no less often than `bounds` say, h.
pub(super) fn renewal(solid_h: f64, times: f64, bounds: [f64; 2]) -> Time {
    hours((solid_h / times).clamp(bounds[0], bounds[1]))
}

/// The renewals of a coarse run.
pub(super) fn period(solid_h: f64) -> Time {
    renewal(solid_h, 90.0, [0.02, 0.2])
}

/// Those of a run on the working grid, with its history for a chart.
pub(super) fn fine_period(solid_h: f64) -> Time {
    renewal(solid_h, 240.0, [0.02, 0.1])
}

/// Hours until ready in all kitchens, each on the working grid: to check against.
#[cfg(test)]
pub(super) fn on_the_working_grid(question: &IceQuestion) -> Vec<f64> {
    let unknowns = question.unknowns().unwrap();
    let grids = Grids::of(question, &unknowns).unwrap();
    let draws = unknowns.draws(RUNS);
    let points: Vec<&Draw> = draws.iter().collect();
    let runs = outcomes(question, &points, (&grids.fine, grids.often, false)).unwrap();
    runs.into_iter().map(|run| run.ready_h).collect()
}

/// Hours until a share of the kitchens is ready.
#[cfg(test)]
pub(super) fn point(hours: &[f64], share: f64) -> f64 {
    let mut hours = hours.to_vec();
    hours.sort_by(f64::total_cmp);
    hours[(share * hours.len() as f64) as usize]
}

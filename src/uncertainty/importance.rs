//! Bayes' rule on the learnt unknowns: weights over the fixed draws, and where
//! the weights collapse onto a few, draws moved to where they lie.
//!
//! The moved draws come from a normal distribution with the mean and 1.5 times
//! the covariance of the weights so far, mixed with some of the prior, and are
//! weighted by prior × likelihood over the density they were drawn from, so
//! that the weights stay exact (adaptive importance sampling; Cappé, Guillin,
//! Marin & Robert 2004, Population Monte Carlo, J. Comput. Graph. Stat. 13:907).
//! Trouble is one more unknown there: as it is rare and may be far, more of the
//! first draws have it than the prior says, and are weighted for that.

use rayon::prelude::*;
use serde::Serialize;

use super::axis::Axis;
use super::distribution::standard_normal_quantile;
use super::draws::sequence;
use super::evidence::Evidence;
use super::posterior::{Posterior, Row};
use super::surface::cholesky;
use super::trouble::{log_slower, looked_for};

/// Draws of the learnt unknowns.
const POINTS: usize = 1024;
/// Fewer effective draws than this share of all, and they are moved.
const COLLAPSED: f64 = 0.25;
/// The next draws are laid out by the likelihood to such a power that this
/// share stays effective.
const TEMPERED: f64 = 0.1;
/// Rounds of moving at most; three are the rule.
const ROUNDS: usize = 12;
/// Share of moved draws that come from the prior, so that nothing is shut out.
const FROM_PRIOR: f64 = 0.1;
/// How much wider the moved draws are laid than the weights, in variance.
const WIDER: f64 = 1.5;

/// What the notes say of the learnt unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Update {
    /// The draws and weights, ready for answers.
    pub posterior: Posterior,
    /// What it took.
    pub effort: Effort,
    /// For each note, the chance that it is wrong.
    pub doubts: Vec<f64>,
}

/// How many draws a posterior rests on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Effort {
    /// How many there are.
    pub draws: usize,
    /// Effective number among the first, unmoved draws: as many would say as
    /// much with equal weights.
    pub effective_at_first: f64,
    /// Effective number among the final ones.
    pub effective: f64,
    /// How often they were moved.
    pub moves: usize,
}

/// The notes, and what each would be worth if it were wrong.
struct Notes<'a> {
    axes: &'a [Axis],
    evidence: &'a [Evidence],
    wrong: Vec<f64>,
}

/// Kitchens that a wrong note may tell of.
const OTHERS: usize = 64;

impl<'a> Notes<'a> {
    fn of(axes: &'a [Axis], evidence: &'a [Evidence]) -> Self {
        let others: Vec<Vec<f64>> = sequence(axes.len(), OTHERS)
            .iter()
            .map(|point| coordinates(axes, &scores(point)))
            .collect();
        let wrong = evidence.par_iter().map(|note| note.wrong(&others)).collect();
        Self { axes, evidence, wrong }
    }

    /// Each note with its worth if wrong.
    fn each(&self) -> impl Iterator<Item = (&'a Evidence, f64)> {
        self.evidence.iter().zip(self.wrong.iter().copied())
    }

    fn log_likelihood(&self, score: &[f64]) -> f64 {
        let (x, slower) = self.place(score);
        self.each().map(|(note, wrong)| note.log_likelihood(&x, slower, wrong)).sum()
    }

    /// The coordinates of the learnt unknowns at a score, and the logarithm of what trouble does:
    /// its score is the last.
    fn place(&self, score: &[f64]) -> (Vec<f64>, f64) {
        let (own, trouble) = score.split_at(self.axes.len());
        (coordinates(self.axes, own), log_slower(trouble[0]))
    }
}

/// A set of weighted draws, in standard normal scores of the prior; the last is that of trouble.
struct Cloud {
    scores: Vec<Vec<f64>>,
    /// Logarithm of prior over the density drawn from.
    offset: Vec<f64>,
    log_likelihood: Vec<f64>,
}

impl Cloud {
    fn of(notes: &Notes, drawn: Vec<(Vec<f64>, f64)>) -> Self {
        let (scores, offset): (Vec<Vec<f64>>, Vec<f64>) = drawn.into_iter().unzip();
        let log_likelihood = scores.par_iter().map(|score| notes.log_likelihood(score)).collect();
        Self { scores, offset, log_likelihood }
    }

    /// Weights that sum to one, with the likelihood to a power.
    fn weights(&self, power: f64) -> Vec<f64> {
        let logs: Vec<f64> =
            self.offset.iter().zip(&self.log_likelihood).map(|(o, l)| o + power * l).collect();
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let raw: Vec<f64> = logs.iter().map(|log| (log - most).exp()).collect();
        let sum: f64 = raw.iter().sum();
        raw.iter().map(|weight| weight / sum).collect()
    }

    /// The largest power up to 1 that leaves enough effective draws.
    fn power(&self) -> f64 {
        let enough = TEMPERED * self.scores.len() as f64;
        if effective(&self.weights(1.0)) >= enough {
            return 1.0;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..20 {
            let middle = 0.5 * (low + high);
            if effective(&self.weights(middle)) >= enough { low = middle } else { high = middle }
        }
        low
    }
}

/// Kish's effective number of weights that sum to one: 1 / Σ w².
fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|w| w * w).sum::<f64>()
}

fn coordinates(axes: &[Axis], scores: &[f64]) -> Vec<f64> {
    axes.iter().zip(scores).map(|(axis, z)| axis.coordinate(axis.value(*z))).collect()
}

/// Learns from notes.
pub fn update(axes: &[Axis], evidence: &[Evidence]) -> Update {
    let notes = Notes::of(axes, evidence);
    let points = sequence(axes.len() + 2, POINTS);
    let mut cloud = Cloud::of(&notes, points.iter().map(|point| first(point)).collect());
    let effective_at_first = effective(&cloud.weights(1.0));
    let mut moves = 0;
    while effective(&cloud.weights(1.0)) < COLLAPSED * POINTS as f64 && moves < ROUNDS {
        let Some(drawn) = moved(&cloud, &points) else { break };
        cloud = Cloud::of(&notes, drawn);
        moves += 1;
    }
    weighed(&notes, &cloud, effective_at_first, moves)
}

/// A draw that was not moved: one point of the sequence has a number for each unknown, one that
/// chooses in [`moved`], and one for trouble.
fn first(point: &[f64]) -> (Vec<f64>, f64) {
    let (trouble, others) = point.split_last().unwrap_or((&0.5, &[]));
    let (own, _) = others.split_at(others.len().saturating_sub(1));
    let (score, offset) = looked_for(*trouble);
    (scores(own).into_iter().chain([score]).collect(), offset)
}

fn scores(point: &[f64]) -> Vec<f64> {
    point.iter().map(|p| standard_normal_quantile(*p)).collect()
}

/// Draws laid out where the weights lie, each with the logarithm of prior over
/// density. None when the weights have no spread.
fn moved(cloud: &Cloud, points: &[Vec<f64>]) -> Option<Vec<(Vec<f64>, f64)>> {
    let weights = cloud.weights(cloud.power());
    let width = cloud.scores.first()?.len();
    let mean: Vec<f64> = (0..width)
        .map(|j| cloud.scores.iter().zip(&weights).map(|(z, w)| w * z[j]).sum())
        .collect();
    let covariance: Vec<Vec<f64>> = (0..width)
        .map(|i| {
            let with = |j: usize| {
                let products = cloud.scores.iter().zip(&weights);
                let sum: f64 = products.map(|(z, w)| w * (z[i] - mean[i]) * (z[j] - mean[j])).sum();
                WIDER * sum + if i == j { 1e-6 } else { 0.0 }
            };
            (0..width).map(with).collect()
        })
        .collect();
    let lower = cholesky(&covariance)?;
    let log_size: f64 = lower.iter().enumerate().map(|(i, row)| row[i].ln()).sum();
    let density = |z: &[f64]| {
        let mut steps: Vec<f64> = Vec::with_capacity(width);
        for i in 0..width {
            let known: f64 = lower[i][..i].iter().zip(&steps).map(|(l, s)| l * s).sum();
            steps.push((z[i] - mean[i] - known) / lower[i][i]);
        }
        let near = (-0.5 * square(&steps) - log_size).exp();
        let prior = (-0.5 * square(z)).exp();
        -0.5 * square(z) - (FROM_PRIOR * prior + (1.0 - FROM_PRIOR) * near).ln()
    };
    let drawn = points.iter().map(|point| {
        let (own, choice) = (&point[..width - 1], point[width - 1]);
        let step: Vec<f64> = scores(own).into_iter().chain(scores(&point[width..])).collect();
        let z = if choice < FROM_PRIOR {
            step
        } else {
            (0..width)
                .map(|i| mean[i] + lower[i].iter().zip(&step).map(|(l, s)| l * s).sum::<f64>())
                .collect()
        };
        let offset = density(&z);
        (z, offset)
    });
    Some(drawn.collect())
}

fn square(z: &[f64]) -> f64 {
    z.iter().map(|z| z * z).sum()
}

fn weighed(notes: &Notes, cloud: &Cloud, effective_at_first: f64, moves: usize) -> Update {
    let weights = cloud.weights(1.0);
    let places: Vec<(Vec<f64>, f64)> = cloud.scores.iter().map(|z| notes.place(z)).collect();
    let doubt = |(note, wrong): (&Evidence, f64)| {
        places.iter().zip(&weights).map(|((x, u), w)| w * note.doubt(x, *u, wrong)).sum()
    };
    let newest = notes.evidence.last();
    let rows = cloud.scores.iter().zip(&places).zip(&weights).map(|((z, (x, u)), weight)| Row {
        order: newest.map_or(0.0, |note| note.centre(x)) + u,
        values: notes.axes.iter().zip(z).map(|(axis, z)| axis.value(*z)).collect(),
        slower: u.exp(),
        weight: *weight,
    });
    let unknowns = notes.axes.iter().map(|axis| axis.unknown).collect();
    Update {
        posterior: Posterior::of(unknowns, rows.collect()),
        effort: Effort {
            draws: weights.len(),
            effective_at_first,
            effective: effective(&weights),
            moves,
        },
        doubts: notes.each().map(doubt).collect(),
    }
}

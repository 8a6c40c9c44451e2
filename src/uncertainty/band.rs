//! What many runs say together: a band, a chance, and which unknown widens it.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

/// The 5, 50 and 95 % points of an outcome. A point that is never reached is
/// infinite, and `null` in JSON.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// One run in twenty lies below.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub p05: f64,
    /// Half the runs lie below.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub p50: f64,
    /// One run in twenty lies above.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub p95: f64,
}

/// A number, or `null` where it is not finite: JSON has no infinity.
pub(crate) fn finite_or_null<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    if value.is_finite() { serializer.serialize_f64(*value) } else { serializer.serialize_none() }
}

impl Band {
    /// Of what never comes.
    pub const NEVER: Self = Self { p05: f64::INFINITY, p50: f64::INFINITY, p95: f64::INFINITY };

    /// The band of the outcomes of all runs; an outcome that never comes is infinite.
    /// `None` when there are no outcomes.
    pub fn of(outcomes: &[f64]) -> Option<Self> {
        let mut sorted = outcomes.to_vec();
        sorted.sort_by(f64::total_cmp);
        Some(Self {
            p05: quantile(&sorted, 0.05)?,
            p50: quantile(&sorted, 0.50)?,
            p95: quantile(&sorted, 0.95)?,
        })
    }
}

/// The p-quantile of sorted outcomes, linear between ranks: the n-th of N outcomes stands for
/// the middle of its share of the draws, which are spread evenly, (n − ½)/N (Hazen; Hyndman &
/// Fan 1996, type 5). Ranks from 0 to N − 1 (type 7) would make every band a little narrow.
fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let rank = (p * sorted.len() as f64 - 0.5).clamp(0.0, last as f64);
    let below = *sorted.get(rank.floor() as usize)?;
    let above = *sorted.get(rank.ceil() as usize)?;
    if below == above { Some(below) } else { Some(below + rank.fract() * (above - below)) }
}

/// The share of runs done by `by`; 0 when there are none.
pub fn chance(outcomes: &[f64], by: f64) -> f64 {
    let done = outcomes.iter().filter(|outcome| **outcome <= by).count();
    done as f64 / outcomes.len().max(1) as f64
}

/// How likely, in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Chance below 0.05.
    No,
    /// At least 0.05.
    Unlikely,
    /// At least 0.4.
    Even,
    /// At least 0.75.
    Likely,
    /// At least 0.95.
    Sure,
}

impl From<f64> for Verdict {
    fn from(chance: f64) -> Self {
        match chance {
            c if c >= 0.95 => Self::Sure,
            c if c >= 0.75 => Self::Likely,
            c if c >= 0.4 => Self::Even,
            c if c >= 0.05 => Self::Unlikely,
            _ => Self::No,
        }
    }
}

/// The share of the outcome's spread that each unknown explains by itself.
///
/// `columns[j][n]` is unknown j in run n. The share is the squared correlation of
/// the unknown's rank with the outcome's rank (Spearman), which an outcome that
/// never comes (infinite, the last rank) does not upset. Shares below what
/// chance alone gives with so many runs are set to zero.
pub fn variance_shares(columns: &[Vec<f64>], outcomes: &[f64]) -> Vec<f64> {
    let outcome_ranks = ranks(outcomes);
    let share = |column: &Vec<f64>| {
        let r = correlation(&ranks(column), &outcome_ranks);
        if r * r * (column.len() as f64) < 4.0 { 0.0 } else { r * r }
    };
    columns.iter().map(share).collect()
}

/// The rank of each value, ties sharing their mean rank.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut first = 0;
    for tie in order.chunk_by(|a, b| values[*a] == values[*b]) {
        for n in tie {
            ranks[*n] = first as f64 + (tie.len() as f64 - 1.0) / 2.0;
        }
        first += tie.len();
    }
    ranks
}

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let count = a.len().max(1) as f64;
    let (mean_a, mean_b) = (a.iter().sum::<f64>() / count, b.iter().sum::<f64>() / count);
    let mut sums = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(b) {
        let (dx, dy) = (x - mean_a, y - mean_b);
        sums = (sums.0 + dx * dy, sums.1 + dx * dx, sums.2 + dy * dy);
    }
    if sums.1 == 0.0 || sums.2 == 0.0 { 0.0 } else { sums.0 / (sums.1 * sums.2).sqrt() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        tables::Distribution,
        uncertainty::{RUNS, sequence},
    };
    use approx::assert_relative_eq;

    #[test]
    fn band_of_a_normal_unknown() {
        let belief = Distribution::Normal { mean: 10.0, sd: 2.0 };
        let outcomes: Vec<f64> =
            sequence(1, RUNS).iter().map(|point| belief.quantile(point[0])).collect();
        let band = Band::of(&outcomes).unwrap();
        assert_relative_eq!(band.p50, 10.0, max_relative = 0.005);
        assert_relative_eq!(band.p95, 10.0 + 2.0 * 1.6449, max_relative = 0.01);
        assert_relative_eq!(chance(&outcomes, 12.0), 0.8413, epsilon = 0.01);
    }

    #[test]
    fn a_point_never_reached_is_null() {
        let mut outcomes = vec![1.0; 90];
        outcomes.extend([f64::INFINITY; 10]);
        let band = Band::of(&outcomes).unwrap();
        assert_eq!(serde_json::to_string(&band).unwrap(), r#"{"p05":1.0,"p50":1.0,"p95":null}"#);
        assert!(Band::of(&[]).is_none());
    }

    #[test]
    fn shares_follow_the_spread() {
        let beliefs = [
            Distribution::Normal { mean: 0.0, sd: 3.0 },
            Distribution::Normal { mean: 0.0, sd: 1.0 },
            Distribution::Uniform { low: 0.0, high: 1.0 },
        ];
        let points = sequence(3, RUNS);
        let column = |(j, belief): (usize, &Distribution)| -> Vec<f64> {
            points.iter().map(|point| belief.quantile(point[j])).collect()
        };
        let columns: Vec<Vec<f64>> = beliefs.iter().enumerate().map(column).collect();
        let outcomes: Vec<f64> = columns[0].iter().zip(&columns[1]).map(|(a, b)| a + b).collect();
        let shares = variance_shares(&columns, &outcomes);
        assert_relative_eq!(shares[0], 0.9, epsilon = 0.03);
        assert_relative_eq!(shares[1], 0.1, epsilon = 0.05);
        assert!(shares[2] < 0.02);
    }

    #[test]
    fn verdicts_at_their_bounds() {
        assert_eq!(Verdict::from(0.95), Verdict::Sure);
        assert_eq!(Verdict::from(0.7499), Verdict::Even);
        assert_eq!(Verdict::from(0.0), Verdict::No);
    }
}

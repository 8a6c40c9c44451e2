//! What a diary has learnt of one appliance: weighted draws of its unknowns.

use std::sync::Arc;

use crate::tables::Unknown;

/// Weighted draws of some unknowns. Empty when nothing was learnt.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Posterior(Option<Arc<Draws>>);

#[derive(Debug, PartialEq)]
struct Draws {
    unknowns: Vec<Unknown>,
    /// In the order of the outcome they make, so that an even choice along it
    /// is an even choice of outcomes.
    rows: Vec<Vec<f64>>,
    /// By row: how many times as long everything takes as the unknowns say.
    slower: Vec<f64>,
    /// Sum of the weights up to and with each row.
    cumulative: Vec<f64>,
}

/// One weighted draw.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// An outcome to order by.
    pub(super) order: f64,
    /// Of each unknown.
    pub(super) values: Vec<f64>,
    /// How many times as long everything takes as the unknowns say, by trouble.
    pub(super) slower: f64,
    /// All sum to one.
    pub(super) weight: f64,
}

impl Posterior {
    /// From (an outcome to order by, values, weight), without trouble; weights sum to one.
    pub fn new(unknowns: Vec<Unknown>, rows: Vec<(f64, Vec<f64>, f64)>) -> Self {
        let row = |(order, values, weight)| Row { order, values, slower: 1.0, weight };
        Self::of(unknowns, rows.into_iter().map(row).collect())
    }

    pub(super) fn of(unknowns: Vec<Unknown>, mut rows: Vec<Row>) -> Self {
        rows.sort_by(|a, b| a.order.total_cmp(&b.order));
        let mut sum = 0.0;
        let cumulative = rows.iter().map(|row| {
            sum += row.weight;
            sum
        });
        let cumulative = cumulative.collect();
        let slower = rows.iter().map(|row| row.slower).collect();
        let rows = rows.into_iter().map(|row| row.values).collect();
        Self(Some(Arc::new(Draws { unknowns, rows, slower, cumulative })))
    }

    /// One of the draws, chosen by `p` between 0 and 1.
    pub fn draw(&self, p: f64) -> impl Iterator<Item = (Unknown, f64)> {
        self.0.iter().flat_map(move |draws| {
            draws.unknowns.iter().copied().zip(draws.rows[draws.at(p)].iter().copied())
        })
    }

    /// How many times as long everything takes, by trouble, as the unknowns of that draw say.
    pub fn slower(&self, p: f64) -> f64 {
        self.0.as_ref().map_or(1.0, |draws| draws.slower[draws.at(p)])
    }

    /// The middle of how many times as long everything takes as the unknowns say, where that
    /// there is trouble is likelier than not.
    pub fn trouble(&self) -> Option<f64> {
        let mut troubled = self.0.as_ref()?.factors();
        troubled.retain(|(factor, _)| *factor != 1.0);
        let all: f64 = troubled.iter().map(|(_, weight)| weight).sum();
        weighted_quantile(&troubled, 0.5 * all).filter(|_| all > 0.5)
    }

    /// The middle of how many times as long everything takes.
    pub(super) fn middle_slower(&self) -> f64 {
        self.0.as_ref().and_then(|draws| weighted_quantile(&draws.factors(), 0.5)).unwrap_or(1.0)
    }

    /// The value of an unknown below which a share `p` of the belief lies; None
    /// when it was not learnt.
    pub fn quantile(&self, unknown: Unknown, p: f64) -> Option<f64> {
        let draws = self.0.as_ref()?;
        let j = draws.unknowns.iter().position(|own| *own == unknown)?;
        let rows = draws.rows.iter().map(|row| row[j]);
        let mut column: Vec<(f64, f64)> = rows.zip(draws.weights()).collect();
        column.sort_by(|a, b| a.0.total_cmp(&b.0));
        weighted_quantile(&column, p)
    }

    /// Mean and standard deviation of an unknown; None when it was not learnt.
    pub fn moments(&self, unknown: Unknown) -> Option<(f64, f64)> {
        let draws = self.0.as_ref()?;
        let j = draws.unknowns.iter().position(|own| *own == unknown)?;
        let (mut mean, mut square) = (0.0, 0.0);
        for (row, weight) in draws.rows.iter().zip(draws.weights()) {
            mean += weight * row[j];
            square += weight * row[j] * row[j];
        }
        Some((mean, (square - mean * mean).max(0.0).sqrt()))
    }
}

impl Draws {
    /// Where the sum of the weights reaches `p`.
    fn at(&self, p: f64) -> usize {
        self.cumulative.partition_point(|sum| *sum < p).min(self.rows.len() - 1)
    }

    /// How many times as long everything takes, each with its weight, shortest first.
    fn factors(&self) -> Vec<(f64, f64)> {
        let mut all: Vec<(f64, f64)> = self.slower.iter().copied().zip(self.weights()).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all
    }

    fn weights(&self) -> impl Iterator<Item = f64> {
        let before = std::iter::once(&0.0).chain(&self.cumulative);
        self.cumulative.iter().zip(before).map(|(sum, before)| sum - before)
    }
}

/// The first of sorted (value, weight) at which the sum of the weights reaches `wanted`.
fn weighted_quantile(sorted: &[(f64, f64)], wanted: f64) -> Option<f64> {
    let mut sum = 0.0;
    let found = sorted.iter().find(|(_, weight)| {
        sum += weight;
        sum >= wanted
    });
    found.or(sorted.last()).map(|(value, _)| *value)
}

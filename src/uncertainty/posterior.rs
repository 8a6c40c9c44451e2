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
    /// Sum of the weights up to and with each row.
    cumulative: Vec<f64>,
}

impl Posterior {
    /// From (an outcome to order by, values, weight); weights sum to one.
    pub fn new(unknowns: Vec<Unknown>, mut rows: Vec<(f64, Vec<f64>, f64)>) -> Self {
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut sum = 0.0;
        let cumulative = rows.iter().map(|(_, _, weight)| {
            sum += weight;
            sum
        });
        let cumulative = cumulative.collect();
        let rows = rows.into_iter().map(|(_, values, _)| values).collect();
        Self(Some(Arc::new(Draws { unknowns, rows, cumulative })))
    }

    /// One of the draws, chosen by `p` between 0 and 1.
    pub fn draw(&self, p: f64) -> impl Iterator<Item = (Unknown, f64)> {
        self.0.iter().flat_map(move |draws| {
            let at = draws.cumulative.partition_point(|sum| *sum < p).min(draws.rows.len() - 1);
            draws.unknowns.iter().copied().zip(draws.rows[at].iter().copied())
        })
    }

    /// The value of an unknown below which a share `p` of the belief lies; None
    /// when it was not learnt.
    pub fn quantile(&self, unknown: Unknown, p: f64) -> Option<f64> {
        let draws = self.0.as_ref()?;
        let j = draws.unknowns.iter().position(|own| *own == unknown)?;
        let mut before = 0.0;
        let mut column: Vec<(f64, f64)> = draws
            .rows
            .iter()
            .zip(&draws.cumulative)
            .map(|(row, sum)| {
                let weight = sum - before;
                before = *sum;
                (row[j], weight)
            })
            .collect();
        column.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut sum = 0.0;
        let found = column.iter().find(|(_, weight)| {
            sum += weight;
            sum >= p
        });
        found.or(column.last()).map(|(value, _)| *value)
    }

    /// Mean and standard deviation of an unknown; None when it was not learnt.
    pub fn moments(&self, unknown: Unknown) -> Option<(f64, f64)> {
        let draws = self.0.as_ref()?;
        let j = draws.unknowns.iter().position(|own| *own == unknown)?;
        let (mut mean, mut square, mut before) = (0.0, 0.0, 0.0);
        for (row, sum) in draws.rows.iter().zip(&draws.cumulative) {
            mean += (sum - before) * row[j];
            square += (sum - before) * row[j] * row[j];
            before = *sum;
        }
        Some((mean, (square - mean * mean).max(0.0).sqrt()))
    }
}

//! What a diary has learnt of one appliance: weighted draws of its unknowns.

use std::sync::Arc;

/// Weighted draws of some unknowns, known by name. Empty when nothing was learnt.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Learned(Option<Arc<Draws>>);

#[derive(Debug, PartialEq)]
struct Draws {
    names: Vec<&'static str>,
    /// In the order of the outcome they make, so that an even choice along it
    /// is an even choice of outcomes.
    rows: Vec<Vec<f64>>,
    /// Sum of the weights up to and with each row.
    cumulative: Vec<f64>,
}

impl Learned {
    /// From (an outcome to order by, values, weight); weights sum to one.
    pub fn new(names: Vec<&'static str>, mut rows: Vec<(f64, Vec<f64>, f64)>) -> Self {
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut sum = 0.0;
        let cumulative = rows.iter().map(|(_, _, weight)| {
            sum += weight;
            sum
        });
        let cumulative = cumulative.collect();
        let rows = rows.into_iter().map(|(_, values, _)| values).collect();
        Self(Some(Arc::new(Draws { names, rows, cumulative })))
    }

    /// Whether nothing was learnt.
    pub fn is_empty(&self) -> bool {
        self.0.is_none()
    }

    /// The names learnt.
    pub fn names(&self) -> &[&'static str] {
        self.0.as_ref().map_or(&[], |draws| &draws.names)
    }

    /// Puts one of the draws, chosen by `p` between 0 and 1, in the place of the
    /// values of these names; others stay.
    pub fn put(&self, p: f64, names: impl Iterator<Item = &'static str>, values: &mut [f64]) {
        let Some(draws) = &self.0 else { return };
        let at = draws.cumulative.partition_point(|sum| *sum < p).min(draws.rows.len() - 1);
        for (name, value) in names.zip(values) {
            if let Some(j) = draws.names.iter().position(|own| *own == name) {
                *value = draws.rows[at][j];
            }
        }
    }

    /// The value of an unknown below which a share `p` of the belief lies; None
    /// when it was not learnt.
    pub fn quantile(&self, name: &str, p: f64) -> Option<f64> {
        let draws = self.0.as_ref()?;
        let j = draws.names.iter().position(|own| *own == name)?;
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
    pub fn moments(&self, name: &str) -> Option<(f64, f64)> {
        let draws = self.0.as_ref()?;
        let j = draws.names.iter().position(|own| *own == name)?;
        let (mut mean, mut square, mut before) = (0.0, 0.0, 0.0);
        for (row, sum) in draws.rows.iter().zip(&draws.cumulative) {
            mean += (sum - before) * row[j];
            square += (sum - before) * row[j] * row[j];
            before = *sum;
        }
        Some((mean, (square - mean * mean).max(0.0).sqrt()))
    }
}

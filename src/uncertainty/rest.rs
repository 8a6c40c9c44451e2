//! What is left of times that were not over after some hours.

use super::{
    distribution::{standard_normal_cdf, standard_normal_quantile},
    draws::RUNS,
};

/// Fewer runs than these say too little of those that go on.
const ENOUGH: usize = 20;

/// Beyond this, in standard deviations, the tail is not told any finer.
const FARTHEST: f64 = 7.0;

/// What goes on after some hours.
#[derive(Debug, Clone, PartialEq)]
pub enum Rest {
    /// The runs that do, by their numbers.
    Runs(Vec<usize>),
    /// Too few do: times of a log-normal distribution with the spread of all runs, cut off
    /// there, shortest last. They belong to no run.
    Tail(Vec<f64>),
}

impl Rest {
    /// Of the times of all runs, hours.
    pub fn after(times: &[f64], hours: f64) -> Self {
        let goes_on: Vec<usize> = (0..times.len()).filter(|n| times[*n] > hours).collect();
        match goes_on.len() >= ENOUGH {
            true => Self::Runs(goes_on),
            false => Self::Tail(tail(times, hours)),
        }
    }
}

/// Log-normal times with the mean and spread of these, cut off below `least`.
fn tail(times: &[f64], least: f64) -> Vec<f64> {
    let logs: Vec<f64> = times.iter().filter(|h| h.is_finite()).map(|h| h.ln()).collect();
    let count = logs.len().max(1) as f64;
    let mean = logs.iter().sum::<f64>() / count;
    let variance = logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / count;
    let sd = variance.sqrt().max(1e-3);
    let beyond = standard_normal_cdf(-((least.ln() - mean) / sd).min(FARTHEST));
    (0..RUNS)
        .map(|n| (n as f64 + 0.5) / RUNS as f64)
        .map(|share| (mean - sd * standard_normal_quantile(beyond * share)).exp().max(least))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::Band;

    /// A log-normal time with a median of 8 h and a factor of 1.3 to a standard deviation.
    fn times() -> Vec<f64> {
        (0..RUNS)
            .map(|n| standard_normal_quantile((n as f64 + 0.5) / RUNS as f64))
            .map(|z| 8.0 * 1.3_f64.powf(z))
            .collect()
    }

    /// Cut at the median, the median of the rest is the 75 % point: 8 · 1.3^0.6745.
    #[test]
    fn the_tail_is_the_rest_of_the_distribution() {
        let band = Band::of(&tail(&times(), 8.0)).unwrap();
        assert!((band.p50 - 9.55).abs() < 0.06, "{band:?}");
        assert!((band.p05 - 8.0).abs() < 0.2, "{band:?}");
        // Far out hardly anything is left of the spread, and never less than has passed.
        let band = Band::of(&tail(&times(), 30.0)).unwrap();
        assert!(band.p05 >= 30.0 && band.p95 < 40.0, "{band:?}");
    }
}

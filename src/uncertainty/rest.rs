//! What is left of times that were not over after some hours.
//!
//! Far beyond all kitchens it is trouble that goes on, and not the last of the usual: what is
//! left then grows with what has passed, as the tail of trouble is a power of the time.

use super::{
    distribution::{standard_normal_cdf, standard_normal_quantile},
    draws::RUNS,
    trouble,
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
    /// Too few do: times of a log-normal distribution with the spread of all runs, and of those
    /// with trouble, cut off there, shortest last. They belong to no run.
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

/// Log-normal times with the mean and spread of these, some with trouble, cut off below `least`;
/// and never, as often as runs never end among those that go on.
fn tail(times: &[f64], least: f64) -> Vec<f64> {
    let logs: Vec<f64> = times.iter().filter(|h| h.is_finite()).map(|h| h.ln()).collect();
    let count = logs.len().max(1) as f64;
    let mean = logs.iter().sum::<f64>() / count;
    let variance = logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / count;
    let sd = variance.sqrt().max(1e-3);
    let usual = standard_normal_cdf(-((least.ln() - mean) / sd).min(FARTHEST));
    let troubled = logs.iter().map(|log| trouble::beyond(least.ln() - log)).sum::<f64>() / count;
    let never = (times.len() - logs.len()) as f64;
    let go_on = times.iter().filter(|h| h.is_finite() && **h > least).count() as f64;
    let ever = go_on.max(count * (usual + troubled));
    let never = if never > 0.0 { never / (never + ever) } else { 0.0 };
    let of_trouble = troubled / (usual + troubled).max(f64::MIN_POSITIVE);
    let mut tail: Vec<f64> = (0..RUNS)
        .map(|n| (n as f64 + 0.5) / RUNS as f64)
        .map(|share| match ((share - never) / (1.0 - never), of_trouble) {
            (share, _) if share <= 0.0 => f64::INFINITY,
            (share, far) if share < far => least * trouble::longer(share / far),
            (share, far) => {
                let share = (share - far) / (1.0 - far);
                (mean - sd * standard_normal_quantile(usual * share)).exp().max(least)
            }
        })
        .collect();
    tail.sort_by(|a, b| b.total_cmp(a));
    tail
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
    fn what_never_ends_stays_so() {
        let dries = |hours: f64| hours.is_finite();
        let never_ending = |share: usize| {
            let ending = times().into_iter().skip(share);
            ending.chain(std::iter::repeat_n(f64::INFINITY, share)).collect::<Vec<_>>()
        };
        // After 14 h four of those go on that end, z > 2.13 in 256; after 1,000 h none.
        for (hours, never) in [(14.0, 10.0 / 14.0), (1000.0, 1.0)] {
            let Rest::Tail(tail) = Rest::after(&never_ending(10), hours) else { panic!("{hours}") };
            let found = tail.iter().filter(|h| !dries(**h)).count() as f64 / RUNS as f64;
            assert!((found - never).abs() < 0.1, "{hours} h: {found}");
            assert!(tail.iter().all(|h| *h >= hours));
            // What ends begins to end at once.
            let first = tail.into_iter().filter(|h| dries(*h)).reduce(f64::min);
            assert!(first.is_none_or(|first| first < hours + 0.1), "{hours} h: {first:?}");
        }
        let Rest::Tail(tail) = Rest::after(&[f64::INFINITY; 5], 3.0) else { panic!() };
        assert!(!tail.into_iter().any(dries));
    }

    #[test]
    fn the_tail_is_the_rest_of_the_distribution() {
        let band = Band::of(&tail(&times(), 8.0)).unwrap();
        assert!((band.p50 - 9.55).abs() < 0.06, "{band:?}");
        assert!((band.p05 - 8.0).abs() < 0.2, "{band:?}");
    }

    /// The longer it was not over, the longer it goes on: nobody knows why it does.
    #[test]
    fn what_is_left_grows_with_what_has_passed() {
        let mut before = 0.0;
        for least in [14.0, 16.0, 20.0, 30.0, 72.0, 300.0] {
            let band = Band::of(&tail(&times(), least)).unwrap();
            let rest = band.p50 - least;
            assert!(band.p05 >= least && rest > before, "{least} h: {band:?} after {before}");
            before = rest;
            // Where none of the usual is left, half go on for 1.4 times as long: 2^0.5.
            let far = least > 25.0;
            assert!(!far || (band.p50 / least - 1.41).abs() < 0.03, "{least} h: {band:?}");
            assert!(!far || band.p95 > 3.5 * least, "{least} h: {band:?}");
        }
    }
}

//! What is left of the night when the blocks are still wet at some time.

use super::band::Bands;
use crate::uncertainty::{RUNS, standard_normal_cdf, standard_normal_quantile};

/// Fewer evenings than these say too little of those that go on.
const ENOUGH: usize = 20;

/// Beyond this, in standard deviations, the tail is not told any finer.
const FARTHEST: f64 = 7.0;

/// The evenings in which it is still wet after `wet_h` hours, and whether there were enough
/// of them. Where there were not, the rest is that of a log-normal time with the spread of
/// all evenings, cut off at `wet_h`; such an evening belongs to no draw.
pub(super) fn still_wet(bands: Bands, wet_h: f64) -> (Bands, bool) {
    let goes_on: Vec<usize> =
        (0..bands.solid_h.len()).filter(|n| bands.solid_h[*n] > wet_h).collect();
    if goes_on.len() >= ENOUGH {
        let keep = |all: &[f64]| goes_on.iter().map(|n| all[*n]).collect();
        let (solid_h, ready_h) = (keep(&bands.solid_h), keep(&bands.ready_h));
        let draws = goes_on.iter().map(|n| bands.draws[*n].clone()).collect();
        return (Bands { draws, solid_h, ready_h, ..bands }, true);
    }
    let solid_h = tail(&bands.solid_h, wet_h);
    let later = later(&bands);
    let ready_h = solid_h.iter().map(|h| later * h).collect();
    (Bands { draws: Vec::new(), solid_h, ready_h, ..bands }, false)
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

/// How much later they are ready than solid: the middle of all evenings.
fn later(bands: &Bands) -> f64 {
    let ratios = bands.ready_h.iter().zip(&bands.solid_h).map(|(ready, solid)| ready / solid);
    let mut ratios: Vec<f64> = ratios.filter(|ratio| ratio.is_finite()).collect();
    ratios.sort_by(f64::total_cmp);
    ratios.get(ratios.len() / 2).copied().unwrap_or(1.0)
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

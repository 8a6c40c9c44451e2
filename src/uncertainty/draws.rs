//! A fixed low-discrepancy sequence over all unknowns at once.

use sobol_burley::sample;

/// How many runs make a band.
pub const RUNS: usize = 256;

/// Any fixed number: the same question gives the same band.
const SEED: u32 = 7;

/// The first `runs` points of a scrambled Sobol sequence in up to 256
/// dimensions, each coordinate strictly between 0 and 1.
///
/// With a power of two of runs every unknown is sampled once in each of `runs`
/// equal slices of its belief. Source: Sobol (1967) with the hash-based Owen
/// scrambling of Burley (2020), Journal of Computer Graphics Techniques 9(4).
pub fn sequence(dimensions: usize, runs: usize) -> Vec<Vec<f64>> {
    (0..runs as u32)
        .map(|n| (0..dimensions as u32).map(|j| inside(sample(n, j, SEED))).collect())
        .collect()
}

/// The run that takes the place of a run in another walk through the sequence: within the same
/// [`RUNS`] of it, each of which odd strides visit once.
pub fn walk(run: usize, stride: usize, first: usize) -> usize {
    let place = run % RUNS;
    run - place + (place * stride + first) % RUNS
}

/// The generator returns multiples of 2^-24 from zero: half a step keeps off both ends.
fn inside(p: f32) -> f64 {
    f64::from(p) + 0.5_f64.powi(25)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_slice_is_sampled_once() {
        for j in 0..12 {
            let mut slices: Vec<usize> =
                sequence(12, RUNS).iter().map(|p| (p[j] * RUNS as f64) as usize).collect();
            slices.sort_unstable();
            assert_eq!(slices, (0..RUNS).collect::<Vec<_>>(), "dimension {j}");
        }
    }

    #[test]
    fn pairs_are_independent() {
        let points = sequence(8, RUNS);
        for (i, j) in [(0, 1), (2, 5), (6, 7)] {
            let product: f64 = points.iter().map(|p| p[i] * p[j]).sum();
            // Independent random draws would scatter by 0.22/16 = 0.014.
            assert!((product / RUNS as f64 - 0.25).abs() < 0.01, "{i} and {j}");
        }
    }

    #[test]
    fn another_walk_visits_each_run_of_its_own_once() {
        for stride in [1, 3, 101] {
            let mut runs: Vec<usize> = (RUNS..2 * RUNS).map(|run| walk(run, stride, 37)).collect();
            assert_ne!(runs[0], RUNS);
            runs.sort_unstable();
            assert_eq!(runs, (RUNS..2 * RUNS).collect::<Vec<_>>(), "stride {stride}");
        }
    }

    #[test]
    fn same_every_time() {
        assert_eq!(sequence(6, 40), sequence(6, 40));
    }
}

//! Trouble: one factor on all times of a freezer, or of an oven with a dough, that is slower or
//! quicker than any kitchen of the tables: a door ajar, a blocked vent, a dial far off.
//!
//! Most have none, and the factor is 1. Where there is some, the logarithm of the factor has
//! exponential tails, which never end: notes that no kitchen of the tables explains ask for a
//! factor, and ask the more of it the further off they are. Answers without a diary know none.

use super::distribution::{standard_normal_cdf, standard_normal_quantile};

/// One freezer, or oven, in so many has trouble (common practice, no source).
const SHARE: f64 = 0.01;

/// Mean size of the logarithm of the factor where there is trouble: half of them are slower or
/// quicker by more than 1.4, one in twenty by more than 4.5 (common practice, no source).
const SIZE: f64 = 0.5;

/// The first draws look for trouble in this share of them, of such a mean size: rare and far as
/// it is, it has to be met to be weighed.
const LOOKED_FOR: f64 = 0.125;
const LOOKED_FAR: f64 = 1.5;

/// A standard normal distribution has less than this beyond any score that is told apart.
const LEAST_TAIL: f64 = 1e-15;

/// The logarithm of the factor on times at a standard normal score: 0 for most of them.
pub(super) fn log_slower(score: f64) -> f64 {
    let beyond = (2.0 * standard_normal_cdf(-score.abs())).max(LEAST_TAIL);
    (-SIZE * (beyond / SHARE).ln()).max(0.0).copysign(score)
}

/// One of the first draws, of a point between 0 and 1: its score, and the logarithm of the
/// prior over the density that it was drawn from.
pub(super) fn looked_for(point: f64) -> (f64, f64) {
    let (side, tail) = if point < 0.5 { (-1.0, 2.0 * point) } else { (1.0, 2.0 * (1.0 - point)) };
    if tail >= LOOKED_FOR {
        let beyond = SHARE + (1.0 - SHARE) * (tail - LOOKED_FOR) / (1.0 - LOOKED_FOR);
        let score = side * standard_normal_quantile(0.5 * beyond).abs();
        return (score, ((1.0 - SHARE) / (1.0 - LOOKED_FOR)).ln());
    }
    let size = -LOOKED_FAR * (tail / LOOKED_FOR).ln();
    let density = |share: f64, mean: f64| (share / mean).ln() - size / mean;
    let beyond = (SHARE * (-size / SIZE).exp()).max(LEAST_TAIL);
    let score = side * standard_normal_quantile(0.5 * beyond).abs();
    (score, density(SHARE, SIZE) - density(LOOKED_FOR, LOOKED_FAR))
}

/// The chance that times are longer by more than a logarithm of the factor, by trouble.
pub(super) fn beyond(log: f64) -> f64 {
    0.5 * SHARE * (-log.max(0.0) / SIZE).exp()
}

/// How many times as long it goes on that has gone on already, where a share of them goes on
/// longer than that: the same however long that is.
pub(super) fn longer(share: f64) -> f64 {
    share.powf(-SIZE)
}

/// Steps of [`all`], and how far they go: no look of a diary is so many times too late.
const STEP: f64 = 0.2;
const STEPS: i32 = 40;

/// The prior in steps: logarithms of the factor, each with its chance.
pub(super) fn all() -> Vec<(f64, f64)> {
    let step = |n: i32| {
        let (size, half) = (STEP * f64::from(n.abs()), 0.5 * STEP);
        let chance = match n {
            0 => 1.0 - 2.0 * beyond(half),
            _ => beyond(size - half) - beyond(size + half),
        };
        (STEP * f64::from(n), chance)
    };
    (-STEPS..=STEPS).map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn most_have_none_and_the_tails_are_exponential() {
        let share = |least: f64| {
            let points = (0..100_000).map(|n| (f64::from(n) + 0.5) / 100_000.0);
            let far = points.filter(|p| log_slower(standard_normal_quantile(*p)) > least);
            far.count() as f64 / 100_000.0
        };
        assert_relative_eq!(share(0.0), 0.5 * SHARE, max_relative = 0.01);
        assert_relative_eq!(share(SIZE), 0.5 * SHARE * (-1.0_f64).exp(), max_relative = 0.03);
        assert_relative_eq!(
            all().iter().map(|(_, chance)| chance).sum::<f64>(),
            1.0,
            epsilon = 1e-8
        );
    }

    /// Weighted, the first draws are the prior: the share that is slower by more than 1.6, 2.7
    /// and 20 times.
    #[test]
    fn looked_for_is_weighed_back() {
        const POINTS: i32 = 200_000;
        let drawn: Vec<(f64, f64)> = (0..POINTS)
            .map(|n| looked_for((f64::from(n) + 0.5) / f64::from(POINTS)))
            .map(|(score, offset)| (log_slower(score), offset.exp() / f64::from(POINTS)))
            .collect();
        let weight =
            |least: f64| drawn.iter().filter(|(u, _)| *u > least).map(|it| it.1).sum::<f64>();
        assert_relative_eq!(drawn.iter().map(|it| it.1).sum::<f64>(), 1.0, epsilon = 1e-3);
        for size in [0.5, 1.0, 3.0] {
            let exact = 0.5 * SHARE * (-size / SIZE).exp();
            assert_relative_eq!(weight(size), exact, max_relative = 0.01);
        }
    }
}

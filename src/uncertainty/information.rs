//! At what time a look teaches most.

use super::evidence::LOOK;

/// How much of the spread of what is learnt is left, on average, after looks at
/// these times; times are logarithms, `centres` the learnt part of the outcome
/// in equally likely kitchens, `residuals` what varies from evening to evening.
///
/// Each look splits the kitchens by the chance that it finds them done; what
/// is left is the mean over the answers of the variance within them.
pub fn variance_left(looks: &[f64], centres: &[f64], residuals: &[f64]) -> f64 {
    let before = variance(centres.iter().map(|c| (*c, 1.0)));
    if before <= 0.0 {
        return 1.0;
    }
    // Chances that the first look to find it done is this one; last, that none does.
    let mut answers = vec![vec![0.0; centres.len()]; looks.len() + 1];
    for (n, centre) in centres.iter().enumerate() {
        for residual in residuals {
            let mut wet = 1.0;
            for (look, at) in looks.iter().enumerate() {
                let done = 1.0 / (1.0 + ((centre + residual - at) / LOOK).exp());
                answers[look][n] += wet * done;
                wet *= 1.0 - done;
            }
            answers[looks.len()][n] += wet;
        }
    }
    let total = (centres.len() * residuals.len()) as f64;
    let within = answers.iter().map(|weights| {
        let share = weights.iter().sum::<f64>() / total;
        share * variance(centres.iter().copied().zip(weights.iter().copied()))
    });
    within.sum::<f64>() / before
}

fn variance(weighted: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for (value, weight) in weighted {
        sum += weight;
        first += weight * value;
        second += weight * value * value;
    }
    if sum <= 0.0 { 0.0 } else { (second / sum - (first / sum).powi(2)).max(0.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::standard_normal_quantile;
    use approx::assert_relative_eq;

    #[test]
    fn a_look_at_the_median_teaches_most() {
        let centres: Vec<f64> = (0..256)
            .map(|n| 0.3 * standard_normal_quantile((f64::from(n) + 0.5) / 256.0))
            .collect();
        let left = |at: f64| variance_left(&[at], &centres, &[0.0]);
        // A sharp look at the median of a normal leaves 1 − 2/π of its variance.
        assert_relative_eq!(left(0.0), 1.0 - 2.0 / std::f64::consts::PI, epsilon = 0.01);
        assert!(left(0.0) < left(0.2) && left(0.0) < left(-0.2));
        assert!(left(9.0) > 0.999);
        // Two looks are better than one, and evening-to-evening scatter worse than none.
        assert!(variance_left(&[-0.18, 0.18], &centres, &[0.0]) < 0.25);
        assert!(variance_left(&[0.0], &centres, &[-0.3, 0.0, 0.3]) > left(0.0));
    }
}

//! How likely what one note says is, given the learnt unknowns.
//!
//! Everything else that bears on that evening is drawn anew for it: the runs
//! behind its surfaces are averaged over.

use super::surface::Surface;

/// One note in so many is taken to be wrong altogether: the wrong day, the wrong
/// pan, a slip of the pen (common practice, no source).
pub const WRONG: f64 = 0.05;

/// Scale of the logistic error of a look, in logarithms of the time: two people
/// call a block solid within some 4 % of the time of each other (common
/// practice, no source).
pub const LOOK: f64 = 0.02;

/// What was seen of one outcome, in the units of its surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seen {
    /// The outcome is below this: it was over when looked at.
    Below(f64),
    /// The outcome is above this: it was not over yet.
    Above(f64),
    /// The outcome is this, give or take a standard deviation.
    Near(f64, f64),
}

/// Likelihood of a sight that has nothing to do with the truth: a coin for a
/// look, anywhere within twenty standard deviations for a measurement.
fn by_chance(seen: &Seen) -> f64 {
    match seen {
        Seen::Below(_) | Seen::Above(_) => 0.5,
        Seen::Near(_, sd) => 0.05 / sd,
    }
}

fn likelihood(seen: &Seen, outcome: f64) -> f64 {
    match *seen {
        Seen::Below(at) => 1.0 / (1.0 + ((outcome - at) / LOOK).exp()),
        Seen::Above(at) => 1.0 / (1.0 + ((at - outcome) / LOOK).exp()),
        Seen::Near(at, sd) => {
            let z = (outcome - at) / sd;
            (-0.5 * z * z).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt())
        }
    }
}

/// One note as evidence on the learnt unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Which of all learnt unknowns its surfaces take, in order.
    pub columns: Vec<usize>,
    /// Each outcome that was looked at, over the same runs.
    pub surfaces: Vec<Surface>,
    /// What was seen, and of which outcome.
    pub seen: Vec<(usize, Seen)>,
    /// How much it still counts, 0 to 1.
    pub weight: f64,
}

impl Evidence {
    /// The mean over its evenings of the likelihood of all that was seen, the
    /// note being right; `x` are the coordinates of all learnt unknowns.
    fn right(&self, x: &[f64]) -> f64 {
        let own: Vec<f64> = self.columns.iter().map(|j| x[*j]).collect();
        let centres: Vec<f64> = self.surfaces.iter().map(|surface| surface.at(&own)).collect();
        let Some(first) = self.surfaces.first() else { return 1.0 };
        let (mut sum, mut runs) = (0.0, 0.0);
        for k in 0..first.residuals.len() {
            let mut product = 1.0;
            for (n, seen) in &self.seen {
                product *= likelihood(seen, centres[*n] + self.surfaces[*n].residuals[k]);
            }
            if product.is_finite() {
                sum += product;
                runs += 1.0;
            }
        }
        if runs == 0.0 { 0.0 } else { sum / runs }
    }

    fn wrong(&self) -> f64 {
        self.seen.iter().map(|(_, seen)| by_chance(seen)).product()
    }

    /// Logarithm of the likelihood, faded by its weight.
    pub(super) fn log_likelihood(&self, x: &[f64]) -> f64 {
        self.weight * ((1.0 - WRONG) * self.right(x) + WRONG * self.wrong()).ln()
    }

    /// The chance that it is wrong, the learnt unknowns being known.
    pub(super) fn doubt(&self, x: &[f64]) -> f64 {
        let wrong = WRONG * self.wrong();
        wrong / (wrong + (1.0 - WRONG) * self.right(x))
    }

    /// The first outcome without what varies from evening to evening.
    pub(super) fn centre(&self, x: &[f64]) -> f64 {
        let own: Vec<f64> = self.columns.iter().map(|j| x[*j]).collect();
        self.surfaces.first().map_or(0.0, |surface| surface.at(&own))
    }
}

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
pub enum Observation {
    /// The outcome is below this: it was over when looked at.
    Below(f64),
    /// The outcome is above this: it was not over yet.
    Above(f64),
    /// The outcome is this, give or take a standard deviation.
    Near(f64, f64),
}

/// Likelihood of a sight that has nothing to do with the truth: a coin for a
/// look, anywhere within twenty standard deviations for a measurement.
fn by_chance(seen: &Observation) -> f64 {
    match seen {
        Observation::Below(_) | Observation::Above(_) => 0.5,
        Observation::Near(_, sd) => 0.05 / sd,
    }
}

fn likelihood(seen: &Observation, outcome: f64) -> f64 {
    match *seen {
        Observation::Below(at) => 1.0 / (1.0 + ((outcome - at) / LOOK).exp()),
        Observation::Above(at) => 1.0 / (1.0 + ((at - outcome) / LOOK).exp()),
        Observation::Near(at, sd) => {
            let z = (outcome - at) / sd;
            (-0.5 * z * z).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt())
        }
    }
}

/// One note as evidence on the learnt unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    columns: Vec<usize>,
    surfaces: Vec<Surface>,
    seen: Vec<(usize, Observation)>,
    weight: f64,
    table: Option<Table>,
}

/// The mean likelihood over the evenings as a function of the one outcome's
/// learnt part, at even steps; constant beyond both ends.
#[derive(Debug, Clone, PartialEq)]
struct Table {
    from: f64,
    step: f64,
    values: Vec<f64>,
}

impl Table {
    /// Steps a fifth as long as the sharpest thing seen.
    fn of(surface: &Surface, seen: &[(usize, Observation)]) -> Self {
        let residuals: Vec<f64> =
            surface.residuals.iter().copied().filter(|r| r.is_finite()).collect();
        let reach = residuals.iter().fold(0.0_f64, |most, r| most.max(r.abs()));
        let ends = seen.iter().map(|(_, seen)| match seen {
            Observation::Below(at) | Observation::Above(at) => {
                (at - 20.0 * LOOK, at + 20.0 * LOOK, LOOK)
            }
            Observation::Near(at, sd) => (at - 6.0 * sd, at + 6.0 * sd, *sd),
        });
        let (low, high, finest) =
            ends.fold((0.0, 0.0, f64::INFINITY), |all: (f64, f64, f64), one| {
                if all.2.is_infinite() {
                    return one;
                }
                (all.0.min(one.0), all.1.max(one.1), all.2.min(one.2))
            });
        let (from, to) = (low - reach, high + reach);
        let steps = ((to - from) / (0.2 * finest)).ceil().clamp(1.0, 4000.0);
        let step = (to - from) / steps;
        let mean = |n: usize| {
            let centre = from + step * n as f64;
            let each = residuals.iter().map(|residual| {
                seen.iter().map(|(_, seen)| likelihood(seen, centre + residual)).product::<f64>()
            });
            each.sum::<f64>() / residuals.len().max(1) as f64
        };
        Self { from, step, values: (0..=steps as usize).map(mean).collect() }
    }

    fn at(&self, centre: f64) -> f64 {
        let last = self.values.len() - 1;
        let place = ((centre - self.from) / self.step).clamp(0.0, last as f64);
        let below = (place.floor() as usize).min(last.saturating_sub(1));
        let share = place - below as f64;
        (1.0 - share) * self.values[below] + share * self.values[(below + 1).min(last)]
    }
}

impl Evidence {
    /// From which of all learnt unknowns its surfaces take, in order; each
    /// outcome that was looked at, over the same runs; what was seen, and of
    /// which outcome; and how much the note still counts, 0 to 1.
    pub fn new(
        columns: Vec<usize>,
        surfaces: Vec<Surface>,
        seen: Vec<(usize, Observation)>,
        weight: f64,
    ) -> Self {
        let first = seen.first().map(|(outcome, _)| *outcome);
        let one = first.filter(|first| seen.iter().all(|(outcome, _)| outcome == first));
        let table = one.and_then(|n| surfaces.get(n)).map(|surface| Table::of(surface, &seen));
        Self { columns, surfaces, seen, weight, table }
    }

    /// The mean over its evenings of the likelihood of all that was seen, the
    /// note being right; `x` are the coordinates of all learnt unknowns.
    fn right(&self, x: &[f64]) -> f64 {
        let own = self.own(x);
        let Some((first, _)) = self.seen.first() else { return 1.0 };
        if let Some(table) = &self.table {
            return table.at(self.surfaces[*first].at(&own));
        }
        let centres: Vec<f64> = self.surfaces.iter().map(|surface| surface.at(&own)).collect();
        let (mut sum, mut runs) = (0.0, 0.0);
        for k in 0..self.surfaces[*first].residuals.len() {
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
    pub fn centre(&self, x: &[f64]) -> f64 {
        self.surfaces.first().map_or(0.0, |surface| surface.at(&self.own(x)))
    }

    /// What varies from evening to evening adds one of these to the first outcome.
    pub fn scatter(&self) -> Vec<f64> {
        let all = self.surfaces.first().map_or(&[][..], |surface| &surface.residuals);
        all.iter().copied().filter(|r| r.is_finite()).collect()
    }

    /// How much it still counts.
    pub fn weight(&self) -> f64 {
        self.weight
    }

    fn own(&self, x: &[f64]) -> Vec<f64> {
        self.columns.iter().map(|j| x[*j]).collect()
    }
}

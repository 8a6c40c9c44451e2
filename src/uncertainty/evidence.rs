//! How likely what one note says is, given the learnt unknowns and what trouble the appliance has.
//!
//! Everything else that bears on that evening is drawn anew for it: the runs
//! behind its surfaces are averaged over.
//!
//! A note that is wrong tells of some other kitchen: what it says is then no likelier than it was
//! before there was any note. So a note is only ever wrong beside others that say otherwise; one
//! that is alone, or that all others bear out, is believed, however far it is from the tables.

use super::surface::Surface;
use super::trouble;

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

/// Likelihood of a sight of which nothing is known: a coin for a look, anywhere within twenty
/// standard deviations for a measurement.
fn by_chance(seen: &Observation) -> f64 {
    match seen {
        Observation::Below(_) | Observation::Above(_) => 0.5,
        Observation::Near(_, sd) => 0.05 / sd,
    }
}

/// So many evenings of another kitchen are enough.
const OF_OTHERS: usize = 8;

/// What no kitchen explains, with any trouble, is wrong: so likely is it at least.
const LEAST: f64 = 1e-12;

/// How an outcome goes with all times of an appliance being so many times as long.
#[derive(Debug, Clone, PartialEq)]
pub enum Follows {
    /// It is the logarithm of a time.
    Time,
    /// It has nothing to do with time.
    Nothing,
    /// What it changes by at the factors of [`Follows::factors`].
    Course(Vec<f64>),
}

impl Follows {
    /// Steps of a course, and how far they go either way, in logarithms of the factor.
    const STEP: f64 = 0.2;
    const STEPS: i32 = 15;

    /// The factors on times at which a course is told.
    pub fn factors() -> Vec<f64> {
        (-Self::STEPS..=Self::STEPS).map(|n| (Self::STEP * f64::from(n)).exp()).collect()
    }

    fn moved(&self, log_slower: f64) -> f64 {
        match self {
            Self::Time => log_slower,
            Self::Nothing => 0.0,
            Self::Course(points) => {
                let place = log_slower / Self::STEP + f64::from(Self::STEPS);
                between(points, place)
            }
        }
    }
}

/// Linear between points that are one step apart; constant beyond both ends.
fn between(points: &[f64], place: f64) -> f64 {
    let last = points.len() - 1;
    let place = place.clamp(0.0, last as f64);
    let below = (place.floor() as usize).min(last.saturating_sub(1));
    let share = place - below as f64;
    (1.0 - share) * points[below] + share * points[(below + 1).min(last)]
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
    follows: Vec<Follows>,
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
                (at - 40.0 * LOOK, at + 40.0 * LOOK, LOOK)
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
        between(&self.values, (centre - self.from) / self.step)
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
        let follows = vec![Follows::Time; surfaces.len()];
        Self { columns, surfaces, follows, seen, weight, table }
    }

    /// How each outcome goes with times, where not all are times.
    pub fn following(self, follows: Vec<Follows>) -> Self {
        Self { follows, ..self }
    }

    /// The learnt part of each outcome; `x` are the coordinates of all learnt unknowns.
    fn centres(&self, x: &[f64]) -> Vec<f64> {
        let own = self.own(x);
        self.surfaces.iter().map(|surface| surface.at(&own)).collect()
    }

    /// The likelihood of all that was seen, the note being right, where all times are so many
    /// times as long.
    fn right(&self, centres: &[f64], log_slower: f64) -> f64 {
        self.in_evenings(centres, log_slower, usize::MAX)
    }

    /// The same as the mean over at most so many of its evenings, where more than one outcome was
    /// looked at.
    fn in_evenings(&self, centres: &[f64], log_slower: f64, most: usize) -> f64 {
        let Some((first, _)) = self.seen.first() else { return 1.0 };
        let centre = |n: usize| centres[n] + self.follows[n].moved(log_slower);
        if let Some(table) = &self.table {
            return table.at(centre(*first));
        }
        let centres: Vec<f64> = (0..centres.len()).map(centre).collect();
        let (mut sum, mut runs) = (0.0, 0.0);
        for k in 0..self.surfaces[*first].residuals.len().min(most) {
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

    /// The likelihood of all that was seen, the note being wrong: its mean over other `kitchens`
    /// and all trouble, and no more than by chance.
    pub(super) fn wrong(&self, kitchens: &[Vec<f64>]) -> f64 {
        let trouble = trouble::all();
        let of_kitchen = |x: &Vec<f64>| {
            let centres = self.centres(x);
            trouble
                .iter()
                .map(|(slower, chance)| chance * self.in_evenings(&centres, *slower, OF_OTHERS))
                .sum::<f64>()
        };
        let sum: f64 = kitchens.iter().map(of_kitchen).sum();
        let by_chance: f64 = self.seen.iter().map(|(_, seen)| by_chance(seen)).product();
        (sum / kitchens.len().max(1) as f64).clamp(LEAST, by_chance.max(LEAST))
    }

    /// Logarithm of the likelihood, faded by its weight; `wrong` is that of [`Evidence::wrong`].
    pub(super) fn log_likelihood(&self, x: &[f64], log_slower: f64, wrong: f64) -> f64 {
        let right = self.right(&self.centres(x), log_slower);
        self.weight * ((1.0 - WRONG) * right + WRONG * wrong).ln()
    }

    /// The chance that it is wrong, the learnt unknowns being known.
    pub(super) fn doubt(&self, x: &[f64], log_slower: f64, wrong: f64) -> f64 {
        let wrong = WRONG * wrong;
        wrong / (wrong + (1.0 - WRONG) * self.right(&self.centres(x), log_slower))
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

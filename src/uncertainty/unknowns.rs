//! The unknowns that a question leaves open: drawn together from the fixed sequence, conditioned
//! by what was learnt, kept within their bounds, ranked by what they do to an outcome.

use std::ops::{Index, IndexMut};

use super::axis::Axis;
use super::band::variance_shares;
use super::draws::sequence;
use super::posterior::Posterior;
use crate::tables::{self, Prior, Question, TableError, Unknown};

/// A value for every unknown: drawn where the question leaves it open, central elsewhere.
///
/// ```
/// use solidby::{tables::{Question, Unknown}, uncertainty::{Posterior, Unknowns}};
///
/// let open = [Unknown::FilmMultiplier, Unknown::Supercooling];
/// let unknowns = Unknowns::new(Question::Ice, &open, &Posterior::default())?;
/// let draws = unknowns.draws(256);
/// assert!(draws[0][Unknown::Supercooling] != draws[1][Unknown::Supercooling]);
/// assert_eq!(draws[0][Unknown::SizeError], 1.0);
/// # Ok::<(), solidby::tables::TableError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    values: [f64; Unknown::ALL.len()],
    slower: f64,
}

impl Index<Unknown> for Draw {
    type Output = f64;

    fn index(&self, unknown: Unknown) -> &f64 {
        &self.values[unknown as usize]
    }
}

impl IndexMut<Unknown> for Draw {
    fn index_mut(&mut self, unknown: Unknown) -> &mut f64 {
        &mut self.values[unknown as usize]
    }
}

impl Draw {
    /// How many times as long everything takes as the unknowns say: 1 but where a diary tells of
    /// trouble.
    pub fn slower(&self) -> f64 {
        self.slower
    }

    /// In the freezer, or the oven, of another draw: with its trouble.
    pub fn in_that_of(&mut self, other: &Self) {
        self.slower = other.slower;
    }

    /// A value as told and as far off as `error`, or `unknown` where it was not told.
    pub fn told_or(&self, told: Option<f64>, error: Unknown, unknown: Unknown) -> f64 {
        told.map_or(self[unknown], |told| told + self[error])
    }
}

/// The unknowns that one question leaves open, each a dimension of the sequence.
#[derive(Debug, Clone)]
pub struct Unknowns {
    open: Vec<&'static Prior>,
    posterior: Posterior,
    centre: Draw,
}

impl Unknowns {
    /// These unknowns of a question, in the order of the sequence's dimensions.
    ///
    /// # Errors
    /// [`TableError`] when the embedded priors do not load, or one is not of that question.
    pub fn new(
        question: Question,
        open: &[Unknown],
        posterior: &Posterior,
    ) -> Result<Self, TableError> {
        let slower = posterior.middle_slower();
        let mut centre = Draw { values: [0.0; Unknown::ALL.len()], slower };
        for unknown in Unknown::ALL {
            centre[*unknown] = tables::prior(*unknown)?.quantile(0.5);
        }
        let open = open
            .iter()
            .map(|unknown| tables::prior(*unknown)?.on(question))
            .collect::<Result<_, _>>()?;
        let mut unknowns = Self { open, posterior: posterior.clone(), centre };
        for prior in &unknowns.open {
            unknowns.centre[prior.unknown()] = unknowns.quantile(prior, 0.5);
        }
        Ok(unknowns)
    }

    /// The value below which a share `p` of the belief lies, by the notes where there are any.
    fn quantile(&self, prior: &Prior, p: f64) -> f64 {
        self.posterior.quantile(prior.unknown(), p).unwrap_or_else(|| prior.quantile(p))
    }

    /// The central value of each.
    pub fn centre(&self) -> &Draw {
        &self.centre
    }

    /// The centre with one unknown at a quantile of its belief; None when it is not open.
    pub fn centre_but(&self, unknown: Unknown, p: f64) -> Option<Draw> {
        let prior = self.open.iter().find(|prior| prior.unknown() == unknown)?;
        let mut moved = self.centre.clone();
        moved[unknown] = self.quantile(prior, p);
        Some(moved)
    }

    /// The first `runs` draws of the fixed sequence.
    pub fn draws(&self, runs: usize) -> Vec<Draw> {
        // One more coordinate chooses among what was learnt.
        let draw = |point: Vec<f64>| {
            let mut draw = self.centre.clone();
            for (prior, p) in self.open.iter().zip(&point) {
                draw[prior.unknown()] = prior.quantile(*p);
            }
            let choice = point[self.open.len()];
            draw.slower = self.posterior.slower(choice);
            for (unknown, value) in self.posterior.draw(choice) {
                if self.open.iter().any(|prior| prior.unknown() == unknown) {
                    draw[unknown] = value;
                }
            }
            draw
        };
        sequence(self.open.len() + 1, runs).into_iter().map(draw).collect()
    }

    /// Each with the coordinate in which outcomes are smooth; `vanishes_at` as in [`Axis`].
    pub fn axes(&self, vanishes_at: impl Fn(Unknown) -> Option<f64>) -> Vec<Axis> {
        let axis = |prior: &&'static Prior| Axis {
            unknown: prior.unknown(),
            belief: prior.distribution(),
            bounds: prior.bounds(),
            vanishes_at: vanishes_at(prior.unknown()),
        };
        self.open.iter().map(axis).collect()
    }

    /// The share of the outcomes' spread that each explains by itself, the largest first.
    pub fn shares(&self, draws: &[Draw], outcomes: &[f64]) -> Vec<(&'static Prior, f64)> {
        let column = |prior: &&'static Prior| draws.iter().map(|draw| draw[prior.unknown()]);
        let columns: Vec<Vec<f64>> =
            self.open.iter().map(|prior| column(prior).collect()).collect();
        let shares = variance_shares(&columns, outcomes);
        let mut shares: Vec<_> = self.open.iter().copied().zip(shares).collect();
        shares.sort_by(|a, b| b.1.total_cmp(&a.1));
        shares
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_learnt_takes_the_place_of_the_prior_where_it_is_open() {
        let learnt = vec![Unknown::FilmMultiplier, Unknown::OvenOffset];
        let posterior = Posterior::new(learnt, vec![(0.0, vec![1.5, 7.0], 1.0)]);
        let open = [Unknown::Supercooling, Unknown::FilmMultiplier];
        let unknowns = Unknowns::new(Question::Ice, &open, &posterior).unwrap();
        let draws = unknowns.draws(64);
        assert!(draws.iter().all(|draw| draw[Unknown::FilmMultiplier] == 1.5));
        assert_eq!(unknowns.centre()[Unknown::FilmMultiplier], 1.5);
        // Not open here: as the tables have it.
        assert!(draws.iter().all(|draw| draw[Unknown::OvenOffset] == 0.0));
        assert!(unknowns.centre_but(Unknown::OvenOffset, 0.9).is_none());
    }

    #[test]
    fn draws_stay_within_the_bounds() {
        let ends = |question, unknown: Unknown| {
            let unknowns = Unknowns::new(question, &[unknown], &Posterior::default()).unwrap();
            let draws = unknowns.draws(4096);
            let column = draws.iter().map(|draw| draw[unknown]);
            column.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (v.min(a), v.max(b)))
        };
        assert_eq!(ends(Question::Dough, Unknown::TrayUnderside).1, 1.0);
        assert_eq!(ends(Question::Ice, Unknown::FreezerAirOffset), (-6.0, 6.0));
    }

    #[test]
    fn an_unknown_of_another_question_is_refused() {
        let open = [Unknown::OvenOffset];
        assert!(Unknowns::new(Question::Ice, &open, &Posterior::default()).is_err());
        assert!(Unknowns::new(Question::Dough, &open, &Posterior::default()).is_ok());
    }
}

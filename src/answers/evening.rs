//! One evening over many kitchens, with what was seen of it.

use crate::tables::Unknown;
use crate::uncertainty::{Axis, Band, Draw, Evidence, Follows, Observation, Posterior, Surface};
use crate::units::Time;

/// One look or measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed<S> {
    /// Time since it went in.
    pub after: Time,
    /// What was seen.
    pub seen: S,
}

/// The places of two looks of which the later contradicts the earlier; of one time, in the order
/// in which they are noted.
pub(super) fn contradiction<S>(
    looks: &[Timed<S>],
    contradicts: impl Fn(&S, &S) -> bool,
) -> Option<[usize; 2]> {
    let pairs = (0..looks.len()).flat_map(|n| (0..looks.len()).map(move |m| [n, m]));
    let before = |n: usize, m: usize| (looks[n].after, n) < (looks[m].after, m);
    let mut pairs = pairs.filter(|[n, m]| before(*n, *m));
    pairs.find(|[n, m]| contradicts(&looks[*n].seen, &looks[*m].seen))
}

/// What may be looked at.
#[derive(Debug, Clone)]
struct Seen {
    name: String,
    /// In each run.
    values: Vec<f64>,
    follows: Follows,
}

/// Runs of one evening, its outcomes, and what was seen of them.
#[derive(Debug, Clone)]
pub struct Evening {
    axes: Vec<Axis>,
    draws: Vec<Draw>,
    outcomes: Vec<Seen>,
    seen: Vec<(usize, Observation)>,
}

impl Evening {
    /// Of these unknowns and their draws; nothing seen yet.
    pub(super) fn new(axes: &[Axis], draws: &[Draw]) -> Self {
        Self { axes: axes.to_vec(), draws: draws.to_vec(), outcomes: Vec::new(), seen: Vec::new() }
    }

    /// The place of an outcome, which is the logarithm of a time, added when it is new.
    pub(super) fn outcome(&mut self, name: &str, values: Vec<f64>) -> usize {
        self.outcome_that(Follows::Time, name, values)
    }

    /// The same of one that follows times otherwise.
    pub(super) fn outcome_that(&mut self, follows: Follows, name: &str, values: Vec<f64>) -> usize {
        if let Some(at) = self.outcomes.iter().position(|known| known.name == name) {
            return at;
        }
        self.outcomes.push(Seen { name: name.to_owned(), values, follows });
        self.outcomes.len() - 1
    }

    /// Something was seen of an outcome.
    pub(super) fn see(&mut self, outcome: usize, seen: Observation) {
        self.seen.push((outcome, seen));
    }

    /// Its unknowns that are among these.
    pub(super) fn learnt(&self, learnt: &[Unknown]) -> impl Iterator<Item = &Axis> {
        self.axes.iter().filter(move |axis| learnt.contains(&axis.unknown))
    }

    /// As evidence on all the learnt unknowns, with the weight that is left of
    /// it. None when too few runs come to an end.
    pub(super) fn evidence(&self, learnt: &[Axis], weight: f64) -> Option<Evidence> {
        let place = |own: &Axis| learnt.iter().position(|axis| axis.unknown == own.unknown);
        let (own, other): (Vec<Axis>, Vec<Axis>) =
            self.axes.iter().partition(|axis| place(axis).is_some());
        let columns = own.iter().filter_map(place).collect();
        let coordinates = |axes: Vec<Axis>| -> Vec<Vec<f64>> {
            self.draws.iter().map(|draw| coordinates(&axes, draw)).collect()
        };
        let (own, other) = (coordinates(own), coordinates(other));
        let surfaces = self
            .outcomes
            .iter()
            .map(|outcome| Surface::fit(&own, &other, &outcome.values))
            .collect::<Option<Vec<_>>>()?;
        let follows = self.outcomes.iter().map(|outcome| outcome.follows.clone()).collect();
        Some(Evidence::new(columns, surfaces, self.seen.clone(), weight).following(follows))
    }

    /// The band of the first outcome before anything was learnt; its unit is the
    /// logarithm's.
    pub(super) fn before(&self) -> Option<Band> {
        let first = self.outcomes.first()?;
        Band::of(&first.values.iter().map(|y| y.exp()).collect::<Vec<f64>>())
    }
}

pub(super) fn coordinates(axes: &[Axis], draw: &Draw) -> Vec<f64> {
    axes.iter().map(|axis| axis.coordinate(draw[axis.unknown])).collect()
}

/// The band of the first outcome of a piece of evidence by what was learnt.
pub(super) fn prediction(
    evidence: &Evidence,
    axes: &[Axis],
    posterior: &Posterior,
) -> Option<Band> {
    const PICKS: usize = 1024;
    let scatter = evidence.scatter();
    let mut outcomes = Vec::with_capacity(PICKS);
    for n in 0..PICKS {
        let pick = (n as f64 + 0.5) / PICKS as f64;
        let drawn = posterior.draw(pick);
        // What is learnt of these very axes, in their order.
        let x: Vec<f64> =
            axes.iter().zip(drawn).map(|(axis, (_, value))| axis.coordinate(value)).collect();
        // 37 steps through the runs out of order, so that they pair with no draw twice alike.
        let usual = (evidence.centre(&x) + scatter.get(n * 37 % scatter.len())?).exp();
        outcomes.push(posterior.slower(pick) * usual);
    }
    Band::of(&outcomes)
}

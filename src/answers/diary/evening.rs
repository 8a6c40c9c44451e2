//! One evening over many kitchens, with what was seen of it.

use crate::uncertainty::{Axis, Band, Evidence, Learned, Seen, Surface};
use crate::units::Time;

/// One look or measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight<S> {
    /// Time since it went in.
    pub after: Time,
    /// What was seen.
    pub seen: S,
}

/// Runs of one evening, its outcomes, and what was seen of them.
#[derive(Debug, Clone)]
pub struct Evening {
    axes: Vec<Axis>,
    draws: Vec<Vec<f64>>,
    outcomes: Vec<(String, Vec<f64>)>,
    seen: Vec<(usize, Seen)>,
}

impl Evening {
    /// Of these unknowns and their draws; nothing seen yet.
    pub(in crate::answers) fn new(axes: &[Axis], draws: &[Vec<f64>]) -> Self {
        Self { axes: axes.to_vec(), draws: draws.to_vec(), outcomes: Vec::new(), seen: Vec::new() }
    }

    /// The place of an outcome, added when it is new.
    pub(in crate::answers) fn outcome(&mut self, name: &str, values: Vec<f64>) -> usize {
        if let Some(at) = self.outcomes.iter().position(|(known, _)| known == name) {
            return at;
        }
        self.outcomes.push((name.to_owned(), values));
        self.outcomes.len() - 1
    }

    /// Something was seen of an outcome.
    pub(in crate::answers) fn see(&mut self, outcome: usize, seen: Seen) {
        self.seen.push((outcome, seen));
    }

    /// Its unknowns that are among these names.
    pub(super) fn learnt(&self, names: &[&str]) -> impl Iterator<Item = &Axis> {
        self.axes.iter().filter(move |axis| names.contains(&axis.name))
    }

    /// As evidence on all the learnt unknowns, with the weight that is left of
    /// it. None when too few runs come to an end.
    pub(super) fn evidence(&self, learnt: &[Axis], weight: f64) -> Option<Evidence> {
        let places: Vec<Option<usize>> =
            self.axes.iter().map(|own| learnt.iter().position(|l| l.name == own.name)).collect();
        let coordinates = |draw: &Vec<f64>, wanted: bool| -> Vec<f64> {
            self.axes
                .iter()
                .zip(draw)
                .zip(&places)
                .filter(|(_, place)| place.is_some() == wanted)
                .map(|((axis, value), _)| axis.coordinate(*value))
                .collect()
        };
        let own: Vec<Vec<f64>> = self.draws.iter().map(|draw| coordinates(draw, true)).collect();
        let other: Vec<Vec<f64>> = self.draws.iter().map(|draw| coordinates(draw, false)).collect();
        let surfaces = self
            .outcomes
            .iter()
            .map(|(_, values)| Surface::fit(&own, &other, values))
            .collect::<Option<Vec<_>>>()?;
        let columns = places.into_iter().flatten().collect();
        Some(Evidence::new(columns, surfaces, self.seen.clone(), weight))
    }

    /// The band of the first outcome before anything was learnt; its unit is the
    /// logarithm's.
    pub(super) fn before(&self) -> Option<Band> {
        let (_, values) = self.outcomes.first()?;
        Band::of(&values.iter().map(|y| y.exp()).collect::<Vec<f64>>())
    }
}

/// The band of the first outcome of a piece of evidence by what was learnt.
pub(super) fn prediction(evidence: &Evidence, axes: &[Axis], learned: &Learned) -> Option<Band> {
    const PICKS: usize = 256;
    let scatter = evidence.scatter();
    let mut values: Vec<f64> = axes.iter().map(|axis| axis.value(0.0)).collect();
    let mut outcomes = Vec::with_capacity(PICKS);
    for n in 0..PICKS {
        learned.put((n as f64 + 0.5) / PICKS as f64, axes.iter().map(|a| a.name), &mut values);
        let x: Vec<f64> =
            axes.iter().zip(&values).map(|(axis, value)| axis.coordinate(*value)).collect();
        // 37 steps through the runs out of order, so that they pair with no draw twice alike.
        outcomes.push((evidence.centre(&x) + scatter.get(n * 37 % scatter.len())?).exp());
    }
    Band::of(&outcomes)
}

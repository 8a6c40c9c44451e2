//! What was seen of one batch of dough, as evidence on the oven and the dough.

use rayon::prelude::*;

use super::inputs::Inputs;
use super::question::{Checked, DoughQuestion, Method};
use crate::answers::AskError;
use crate::answers::evening::{Evening, Timed, contradiction};
use crate::drying::solver::CELLS;
use crate::tables::{self, Unknown};
use crate::uncertainty::{Axis, Draw, Follows, Observation, Posterior, Unknowns};
use crate::units::{Mass, Time, hours, in_fraction, in_grams, in_hours};

/// What is constant for one oven, one room and one dough. All else is drawn
/// anew for every batch.
pub(in crate::answers) const LEARNT: [Unknown; 5] = [
    Unknown::DiffusivityMultiplier,
    Unknown::IsothermMultiplier,
    Unknown::OvenOffset,
    Unknown::OvenFilmMultiplier,
    Unknown::RoomFilmMultiplier,
];

/// Runs behind the surfaces of one batch.
const BATCHES: usize = 128;

/// What was seen of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoughObservation {
    /// It gives under a thumb, or sounds dull.
    Soft,
    /// It is firm: it holds its shape, though the core may be damp.
    Hard,
    /// One piece on a scale. One weighed in the first tenth of an hour is its
    /// wet weight, and the others count as shares of it.
    Weight(Mass),
}

/// What a note or a question says of the oven; None is not said, or no oven.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OvenTold {
    /// Kind.
    pub kind: Option<&'static tables::Oven>,
}

/// A note on dough.
#[derive(Debug, Clone, PartialEq)]
pub struct DoughNote {
    /// What was made.
    pub question: DoughQuestion,
    /// What was said of the oven.
    pub told: OvenTold,
    /// What was seen, at hours after it went in.
    pub observations: Vec<Timed<DoughObservation>>,
}

/// Until when a weight is that of the wet piece, h.
const WET_H: f64 = 0.1;

/// A kitchen scale that shows whole grams, g, and crumbs and damp paper, as a
/// share (common practice, no source).
const SCALE_G: f64 = 0.5;
const CRUMBS: f64 = 0.005;

impl OvenTold {
    /// Both together; None when they contradict each other.
    pub(in crate::answers) fn with(&self, other: &Self) -> Option<Self> {
        let same = self.kind.zip(other.kind).is_none_or(|(a, b)| a == b);
        same.then_some(Self { kind: self.kind.or(other.kind) })
    }

    /// The question in such an oven.
    pub fn set(&self, question: &DoughQuestion) -> DoughQuestion {
        let method = match (&question.method, self.kind) {
            (Method::Oven(at, _), Some(kind)) => Method::Oven(*at, kind),
            (method, _) => method.clone(),
        };
        DoughQuestion { method, posterior: Posterior::default(), ..question.clone() }
    }
}

/// What is added to a weight by a scale that is read badly, by paint or by damp air, as a share
/// and in g (common practice, no source).
const HEAVIER: f64 = 1.02;
const HEAVIER_G: f64 = 1.0;

/// A piece lighter than this share of what its dry weight can be was not weighed rightly (common
/// practice, no source).
const TOO_LIGHT: f64 = 0.85;

impl DoughNote {
    /// The places of two looks that cannot both be: dough does not grow softer nor heavier.
    pub fn contradiction(&self) -> Option<[usize; 2]> {
        contradiction(&self.observations, |earlier, later| match (earlier, later) {
            (DoughObservation::Hard, DoughObservation::Soft) => true,
            (DoughObservation::Weight(then), DoughObservation::Weight(now)) => {
                in_grams(*now) > HEAVIER * in_grams(*then) + HEAVIER_G
            }
            _ => false,
        })
    }

    /// The places of the wet weight and of one that is less than what is left of it when it is
    /// dry, given what a piece of this dough weighs wet and dry, g.
    pub fn too_light(&self, wet: f64, dry: f64) -> Option<[usize; 2]> {
        let weight = |timed: &Timed<DoughObservation>| match timed.seen {
            DoughObservation::Weight(mass) => Some(in_grams(mass)),
            _ => None,
        };
        let as_shaped =
            |it: &Timed<DoughObservation>| in_hours(it.after) <= WET_H && weight(it).is_some();
        let first = self.observations.iter().position(as_shaped)?;
        let least = TOO_LIGHT * dry / wet * weight(&self.observations[first])? - HEAVIER_G;
        let light = |it: &Timed<DoughObservation>| weight(it).is_some_and(|g| g < least);
        Some([first, self.observations.iter().position(light)?])
    }
}

/// The runs of one batch.
pub(in crate::answers) struct Batches<'a> {
    checked: Checked<'a>,
    unknowns: Unknowns,
    draws: Vec<Draw>,
    inputs: Vec<Inputs>,
    turned: Option<Time>,
    /// Logarithm of the hours until firm, each run.
    firm: Vec<f64>,
}

impl<'a> Batches<'a> {
    /// Runs the batches of a question until they are firm.
    pub(in crate::answers) fn of(question: &'a DoughQuestion) -> Result<Self, AskError> {
        let checked = question.checked()?;
        let unknowns = question.unknowns()?;
        let (_, nominal) = checked.nominal(&unknowns);
        let draws = unknowns.draws(BATCHES);
        let inputs = draws.iter().map(|draw| Inputs::of(&checked, draw)).collect();
        let turned = nominal.turned;
        let mut batches = Self { checked, unknowns, draws, inputs, turned, firm: Vec::new() };
        batches.firm = batches.until_firm();
        Ok(batches)
    }

    /// The batch with what was seen of it.
    pub(in crate::answers) fn seen(&self, observations: &[Timed<DoughObservation>]) -> Evening {
        let mut evening = Evening::new(&self.axes(), &self.draws);
        let firm = evening.outcome("firm", self.firm.clone());
        let wet = observations.iter().find_map(|timed| match timed.seen {
            DoughObservation::Weight(mass) if in_hours(timed.after) <= WET_H => {
                Some(in_grams(mass))
            }
            _ => None,
        });
        for timed in observations {
            let after = in_hours(timed.after);
            let at = after.max(1e-3).ln();
            match timed.seen {
                DoughObservation::Soft => evening.see(firm, Observation::Above(at)),
                DoughObservation::Hard => evening.see(firm, Observation::Below(at)),
                DoughObservation::Weight(_) if after <= WET_H => {}
                DoughObservation::Weight(mass) => {
                    self.weighed(&mut evening, wet, after, in_grams(mass))
                }
            }
        }
        evening
    }

    fn weighed(&self, evening: &mut Evening, wet: Option<f64>, after: f64, grams: f64) {
        let name = format!("weight at {after:.3}");
        let scale = |g: f64| SCALE_G / g.max(1.0);
        let (seen, error) = match wet {
            Some(wet) => (grams / wet, scale(grams).hypot(scale(wet)).hypot(CRUMBS)),
            None => (grams, scale(grams).hypot(CRUMBS)),
        };
        let masses = self.masses(hours(after));
        let values = masses.iter().map(|(mass, share)| if wet.is_some() { *share } else { *mass });
        let values = values.map(f64::ln).collect();
        let outcome = evening.outcome_that(self.course(after), &name, values);
        evening.see(outcome, Observation::Near(seen.max(1e-6).ln(), error));
    }

    fn until_firm(&self) -> Vec<f64> {
        let run = |inputs: &Inputs| {
            let firm = inputs.run(&self.checked, self.turned).firm;
            firm.map_or(f64::INFINITY, |time| in_hours(time).ln())
        };
        self.inputs.par_iter().map(run).collect()
    }

    /// Mass of a piece at a time, g, and as a share of the wet one, each run.
    fn masses(&self, at: Time) -> Vec<(f64, f64)> {
        let mass = |inputs: &Inputs| {
            let first = in_fraction(inputs.recipe.moisture());
            let then =
                in_fraction(inputs.drying(&self.checked, self.turned, CELLS).moisture_at(at));
            let share = (1.0 + then) / (1.0 + first);
            (share * in_grams(inputs.wet_mass(&self.checked)), share)
        };
        self.inputs.par_iter().map(mass).collect()
    }

    /// How a weight after so many hours goes with all times: at the middle of the unknowns, as
    /// it is so many times sooner.
    fn course(&self, after: f64) -> Follows {
        let middle = Inputs::of(&self.checked, self.unknowns.centre());
        let mass = |factor: &f64| {
            let drying = middle.drying(&self.checked, self.turned, CELLS);
            (1.0 + in_fraction(drying.moisture_at(hours(after / factor)))).ln()
        };
        let now = mass(&1.0);
        Follows::Course(Follows::factors().par_iter().map(|factor| mass(factor) - now).collect())
    }

    /// The unknowns that bear on this way of drying.
    fn axes(&self) -> Vec<Axis> {
        let oven = self.checked.oven.is_some();
        let in_air = !oven || self.checked.asked.pre_dry.is_some();
        let bears = |axis: &Axis| match axis.unknown {
            Unknown::OvenOffset | Unknown::OvenFilmMultiplier | Unknown::OvenVapour => oven,
            Unknown::RoomFilmMultiplier => in_air,
            _ => true,
        };
        self.unknowns.axes(|_| None).into_iter().filter(bears).collect()
    }
}

//! What was seen of one evening's blocks, as evidence on the freezer.

use rayon::prelude::*;

use super::band::{FIRST_GUESS_H, fine_period, period};
use super::question::IceQuestion;
use super::scenario::Outcome;
use crate::answers::AskError;
use crate::answers::evening::{Evening, Timed, contradiction};
use crate::freezing::mesh::Resolution;
use crate::freezing::pattern::Pattern;
use crate::tables::{self, Unknown};
use crate::uncertainty::{Axis, Draw, Follows, Observation, Posterior};
use crate::units::{
    Mass, MassRate, ThermodynamicTemperature, in_celsius, in_hours, in_kelvins_apart, in_kilograms,
};

/// What is constant for one freezer. All else is drawn anew for every evening.
pub(in crate::answers) const LEARNT: [Unknown; 7] = [
    Unknown::FilmMultiplier,
    Unknown::FreezerAirOffset,
    Unknown::FreezerAirError,
    Unknown::FreezerCapacityUnknown,
    Unknown::FreezerCapacityRated,
    Unknown::StandOpenness,
    Unknown::StandContact,
];

/// Runs behind the surfaces of one evening.
pub(in crate::answers) const EVENINGS: usize = 128;

/// What was seen of a block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IceObservation {
    /// Still liquid inside.
    Wet,
    /// Some of the blocks are still liquid inside, and some frozen through.
    SomeWet,
    /// Frozen through.
    Solid,
    /// A thermometer in the middle of the block.
    Core(ThermodynamicTemperature),
    /// A thermometer in the freezer's air.
    Air(ThermodynamicTemperature),
    /// One block on a scale.
    Weight(Mass),
}

/// What a note or a question says of the freezer; None is not said.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FreezerTold {
    /// Kind.
    pub kind: Option<&'static tables::Freezer>,
    /// Mean air, as set or measured.
    pub air: Option<ThermodynamicTemperature>,
    /// Rated freezing capacity.
    pub rated: Option<MassRate>,
}

/// A note on ice.
#[derive(Debug, Clone, PartialEq)]
pub struct IceNote {
    /// What was made; kind, air and rating of the freezer come from `told`.
    pub question: IceQuestion,
    /// What was said of the freezer.
    pub told: FreezerTold,
    /// What was seen, at hours after filling.
    pub observations: Vec<Timed<IceObservation>>,
}

/// Error of a kitchen thermometer, K (common practice, no source).
const THERMOMETER: f64 = 1.0;

/// Standard deviation of one reading of a freezer's air about its mean, K: the thermometer,
/// and air that rises and falls evenly as the cooling goes on and off.
fn air_reading(freezer: &tables::Freezer) -> f64 {
    THERMOMETER.hypot(in_kelvins_apart(freezer.swing().typical) / 3.0_f64.sqrt())
}

/// Error of a kitchen scale and of what clings to a block, as a share (common practice, no source).
const SCALE: f64 = 0.02;

/// Blocks of one filling freeze within so much of each other, as a share of the time: their
/// places in the freezer differ (common practice, no source).
const ALIKE: f64 = 0.1;

/// A core colder than this is firm, °C: below it the runs end.
const FIRM_C: f64 = -5.0;

impl FreezerTold {
    /// Both together; None when they contradict each other.
    pub(in crate::answers) fn with(&self, other: &Self) -> Option<Self> {
        let same = |a: f64, b: f64| (a - b).abs() < 1e-6 * a.abs().max(1.0);
        let kinds = self.kind.zip(other.kind).is_none_or(|(a, b)| a == b);
        let airs = self.air.zip(other.air).is_none_or(|(a, b)| same(in_celsius(a), in_celsius(b)));
        let rates = self.rated.zip(other.rated).is_none_or(|(a, b)| same(a.value, b.value));
        (kinds && airs && rates).then_some(Self {
            kind: self.kind.or(other.kind),
            air: self.air.or(other.air),
            rated: self.rated.or(other.rated),
        })
    }

    /// The question in such a freezer.
    pub fn set(&self, question: &IceQuestion) -> IceQuestion {
        IceQuestion {
            freezer: self.kind.unwrap_or(question.freezer),
            air: self.air,
            rated: self.rated,
            posterior: Posterior::default(),
            ..question.clone()
        }
    }
}

impl IceNote {
    /// The places of two looks that cannot both be: what is frozen through is not wet later.
    pub fn contradiction(&self) -> Option<[usize; 2]> {
        let frozen = |seen: &IceObservation| match seen {
            IceObservation::Solid => true,
            IceObservation::Core(core) => in_celsius(*core) < -THERMOMETER,
            _ => false,
        };
        let wet = |seen: &IceObservation| match seen {
            IceObservation::Wet | IceObservation::SomeWet => true,
            IceObservation::Core(core) => in_celsius(*core) > THERMOMETER,
            _ => false,
        };
        contradiction(&self.observations, |earlier, later| frozen(earlier) && wet(later))
    }
}

/// The runs of one evening: times on the coarse grid, brought to the working
/// grid by their ratio at the central inputs.
pub(in crate::answers) struct Evenings {
    axes: Vec<Axis>,
    draws: Vec<Draw>,
    central: Outcome,
    outcomes: Vec<Outcome>,
    masses: Vec<f64>,
    airs: Vec<f64>,
    air_reading: f64,
}

impl Evenings {
    /// Runs the evenings of a question.
    pub(in crate::answers) fn of(question: &IceQuestion) -> Result<Self, AskError> {
        question.check()?;
        let unknowns = question.unknowns()?;
        let middle = question.scenario(unknowns.centre())?;
        let pattern = Pattern::of(&middle.body, Resolution::Coarse);
        let fine = Pattern::of(&middle.body, Resolution::Working);
        let central = middle.run_on(&fine, fine_period(FIRST_GUESS_H), true)?;
        let period = period(central.solid_h);
        let coarse = middle.run_on(&pattern, period, false)?;
        let gap = |fine: f64, coarse: f64| if fine.is_finite() { fine / coarse } else { 1.0 };
        let solid = gap(central.solid_h, coarse.solid_h);
        let ready = gap(central.ready_h, coarse.ready_h);
        let draws = unknowns.draws(EVENINGS);
        let runs: Vec<(Outcome, f64, f64)> = draws
            .par_iter()
            .map(|draw| {
                let scenario = question.scenario(draw)?;
                let mut run = question.outcome(draw, &pattern, period, false)?;
                run.solid_h *= solid;
                // Corrected apart, the two may cross where they nearly meet.
                run.ready_h = (run.ready_h * ready).max(run.solid_h);
                let mass = in_kilograms(scenario.mass());
                Ok((run, mass.ln(), in_celsius(scenario.freezer.air)))
            })
            .collect::<Result<_, AskError>>()?;
        let axes = question.axes(&unknowns);
        let masses = runs.iter().map(|run| run.1).collect();
        let airs = runs.iter().map(|run| run.2).collect();
        let outcomes = runs.into_iter().map(|run| run.0).collect();
        let air_reading = air_reading(question.freezer);
        Ok(Self { axes, draws, central, outcomes, masses, airs, air_reading })
    }

    /// The evening with what was seen of it.
    pub(in crate::answers) fn seen(&self, observations: &[Timed<IceObservation>]) -> Evening {
        let mut evening = Evening::new(&self.axes, &self.draws);
        let solid = evening.outcome("solid", self.log(0.0));
        for timed in observations {
            let at = in_hours(timed.after).max(1e-3).ln();
            match timed.seen {
                IceObservation::Wet => evening.see(solid, Observation::Above(at)),
                IceObservation::SomeWet => evening.see(solid, Observation::Near(at, ALIKE)),
                IceObservation::Solid => evening.see(solid, Observation::Below(at)),
                IceObservation::Core(core) => self.core(&mut evening, in_celsius(core), at),
                IceObservation::Air(air) => {
                    let airs = self.airs.clone();
                    let outcome = evening.outcome_that(Follows::Nothing, "air", airs);
                    evening.see(outcome, Observation::Near(in_celsius(air), self.air_reading));
                }
                IceObservation::Weight(mass) => {
                    let masses = self.masses.clone();
                    let outcome = evening.outcome_that(Follows::Nothing, "mass", masses);
                    evening
                        .see(outcome, Observation::Near(in_kilograms(mass).max(1e-6).ln(), SCALE));
                }
            }
        }
        evening
    }

    /// A core above the freezing point is wet; one at its coldest is ready;
    /// between, it passes its reading at a share of the time from solid to ready.
    fn core(&self, evening: &mut Evening, core_c: f64, at: f64) {
        if core_c > -0.5 * THERMOMETER {
            let solid = evening.outcome("solid", self.log(0.0));
            return evening.see(solid, Observation::Above(at));
        }
        if core_c <= FIRM_C + 0.5 * THERMOMETER {
            let ready = evening.outcome("ready", self.log(1.0));
            return evening.see(ready, Observation::Below(at));
        }
        let share = self.share(core_c);
        let log = |share: f64| self.time(&self.central, share).ln();
        let colder = log(self.share(core_c - THERMOMETER));
        let warmer = log(self.share(core_c + THERMOMETER));
        let outcome = evening.outcome(&format!("core {core_c:.2}"), self.log(share));
        evening.see(outcome, Observation::Near(at, (0.5 * (colder - warmer)).max(0.02)));
    }

    /// Where between solid (0) and ready (1) the core passes a temperature, at the
    /// central inputs.
    fn share(&self, core_c: f64) -> f64 {
        let core_c = core_c.clamp(FIRM_C, 0.0);
        let cold: Vec<_> =
            self.central.history.iter().skip_while(|moment| moment.core_c >= -0.05).collect();
        let (Some(first), Some(last)) = (cold.first(), cold.last()) else {
            return core_c / FIRM_C;
        };
        let span = (last.time - first.time).max(1.0);
        let passed = cold.iter().find(|moment| moment.core_c <= core_c).unwrap_or(last);
        (passed.time - first.time) / span
    }

    fn time(&self, run: &Outcome, share: f64) -> f64 {
        run.solid_h + share * (run.ready_h - run.solid_h)
    }

    /// Logarithm of the time to a share of the way from solid to ready, each run.
    fn log(&self, share: f64) -> Vec<f64> {
        let log = |run: &Outcome| match share {
            s if s > 0.0 => self.time(run, s).ln(),
            _ => run.solid_h.ln(),
        };
        self.outcomes.iter().map(log).collect()
    }
}

//! When a piece is firm and when it is dry: stages of air around a slab of dough.
//!
//! Not modelled: shrinkage, cracks, temperature across the thickness (Biot number
//! near 0.1 below 12 mm), heat through a tray under a covered face, pore opening, the heat of sorption of
//! the last water (at most 5 % of all heat, when heat no longer sets the pace).

mod around;
mod face;
mod grid;
mod piece;
mod state;
mod stepper;
mod turning;

pub use piece::{Edge, Faces, Piece};
use thiserror::Error;

use super::mixture::Mixture;
use crate::properties::flour::dry_flour_heat_si;
use crate::properties::moist_air::GAS_CONSTANT;
use crate::transfer::mass_transfer::{Radiation, Surroundings, vapour_concentration};
use crate::units::{
    ArealMassDensity, DiffusionCoefficient, Pressure, Ratio, ThermodynamicTemperature, Time,
    fraction, in_celsius, in_diffusivity, in_film, in_fraction, in_kelvins, in_pascals, in_seconds,
    kelvins, pascals, seconds,
};
use state::{Air, Goal, Instant, Law, Run, Slab, Until, Wetting};

/// Share of the removable water that is gone from a firm piece.
pub const FIRM: f64 = 0.9;

/// Cells through the thickness; the bias against four times as many is below 1 %.
pub const CELLS: usize = 16;

/// How fast water moves in dough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Diffusion {
    /// 3e-11 m²/s at 20 °C, 40 kJ/mol, times a factor. Computed here:
    /// picked by eye to match a few practice times (common practice, no source), good to a
    /// factor of two; not a published measurement.
    SaltDough(f64),
    /// A given constant.
    Constant(DiffusionCoefficient),
}

/// A stretch of time in air of one kind; the last one lasts as long as it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// Air, vapour, films.
    pub around: Surroundings,
    /// Air temperature at the beginning, and the time constant to the set one.
    pub warm_up: Option<(ThermodynamicTemperature, Time)>,
    /// How long; not used for the last stage.
    pub lasts: Time,
    /// Seconds per metre by which the load's own vapour stays in the air: exposed
    /// area over the volume flow that ventilates the oven.
    pub own_vapour: f64,
    /// How much the covered face of [`Faces::One`] and [`Faces::Turn`] breathes, from
    /// sealed (0) to as open as the other (1).
    pub underside: Ratio,
}

/// A wet coat of paint or glue: it puts water back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coat {
    /// When it is put on, since the start.
    pub at: Time,
    /// Water in it, kg/m² of face.
    pub water: ArealMassDensity,
}

/// The room in which the piece will live.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Air temperature.
    pub air: ThermodynamicTemperature,
    /// Relative humidity.
    pub humidity: Ratio,
}

/// Why a piece never dries.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NeverDry {
    /// Salt draws water from such air.
    #[error(
        "air at {humidity:.0} % relative humidity is as moist as salt brine ({limit:.0} %): salt dough takes up water instead of losing it"
    )]
    TooHumid {
        /// Relative humidity, %.
        humidity: f64,
        /// Relative humidity over saturated brine, %.
        limit: f64,
    },
    /// It would, but not within a year.
    #[error("it would take longer than a year")]
    TooSlow,
}

/// One instant of a drying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Since the start.
    pub time: Time,
    /// Moisture where it is wettest.
    pub core: Ratio,
    /// Mean moisture.
    pub mean: Ratio,
    /// Moisture at the open face.
    pub face: Ratio,
    /// Temperature of the piece.
    pub temperature: ThermodynamicTemperature,
}

/// What happens to a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Nine tenths of the removable water gone: holds its shape, may be handled and painted.
    pub firm: Result<Time, NeverDry>,
    /// No brine left anywhere, under the last coat: as dry as the room makes it, may be sealed.
    pub dry: Result<Time, NeverDry>,
    /// When it was turned.
    pub turned: Option<Time>,
    /// Highest vapour pressure in a still wet core over that around; `None` when it never boiled.
    pub over_pressure: Option<Pressure>,
    /// Time the dry face spent above 120 °C.
    pub browning: Time,
    /// Highest temperature of the dry face.
    pub hottest_dry_face: Option<ThermodynamicTemperature>,
    /// Largest moisture difference between mean and a face already without brine.
    pub difference: Ratio,
    /// Water that left minus water gone from the cells, over the water at the start.
    pub imbalance: f64,
    /// Time steps taken.
    pub steps: usize,
    /// The course of it, when asked for.
    pub trace: Vec<Point>,
}

/// The whole question: a piece, its stages of air, and the room it goes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying {
    /// The piece.
    pub piece: Piece,
    /// Temperature of the dough at the start.
    pub start: ThermodynamicTemperature,
    /// Stages, at least one.
    pub stages: Vec<Stage>,
    /// Where it will live.
    pub room: Room,
    /// Diffusion law.
    pub diffusion: Diffusion,
    /// When it is turned, for [`Faces::Turn`]; `None` finds half of the drying time.
    pub turn_at: Option<Time>,
    /// Wet coats on the open faces, in order.
    pub coats: Vec<Coat>,
    /// Cells through the thickness, usually [`CELLS`].
    pub cells: usize,
}

/// Relative humidity at and above which salt dough never dries: that over saturated
/// brine, and never more than 75 % (measured 74.9 to 75.6 % over 0 to 50 °C, Wexler &
/// Hasegawa 1954).
pub fn drying_limit(air: ThermodynamicTemperature) -> Ratio {
    fraction(crate::properties::brine::saturated_activity_at(in_celsius(air)).min(0.75))
}

impl Drying {
    /// Runs until firm and dry, or says why that never comes.
    ///
    /// ```
    /// use solidby::{
    ///     drying::{solver::drying_limit, recipe::Recipe},
    ///     units::*,
    /// };
    ///
    /// // Two cups of flour, one of salt, one of water lose a quarter of their mass.
    /// let dough = Recipe::measured([2.0, 1.0, 1.0].map(|cups| Amount::Volume(us_cups(cups))))?;
    /// let loss = dough.mass_loss(celsius(20.0), percents(45.0)).unwrap();
    /// assert!((0.2..0.35).contains(&in_fraction(loss)));
    /// // In air as moist as brine it never dries.
    /// assert!((in_percents(drying_limit(celsius(20.0))) - 75.0).abs() < 0.6);
    /// # Ok::<(), solidby::drying::recipe::RecipeError>(())
    /// ```
    pub fn run(&self) -> Outcome {
        self.run_traced(false)
    }

    /// [`Drying::run`], with or without the course of it.
    pub fn run_traced(&self, trace: bool) -> Outcome {
        let never = self.never();
        if let (Some(reason), 1) = (never, self.stages.len()) {
            return self.hopeless(reason);
        }
        let turn_at = match (self.piece.faces, self.turn_at) {
            (Faces::Turn, None) => Some(turning::half_way(|at, trace| self.solve(at, trace))),
            (Faces::Turn, Some(at)) => Some(in_seconds(at)),
            _ => None,
        };
        // In a room too moist it only takes up water: what is not dry by then never is.
        let whole = match never {
            Some(_) => self.stages.iter().map(|stage| in_seconds(stage.lasts)).sum(),
            None => stepper::LONGEST,
        };
        let run = self.solve_until(turn_at, Until::Done(whole), trace);
        self.outcome(&run, turn_at, never.unwrap_or(NeverDry::TooSlow))
    }

    /// Moisture left at a time, mean over the piece.
    pub fn moisture_at(&self, time: Time) -> Ratio {
        let turn_at = self.turn_at.map(in_seconds).filter(|_| self.piece.faces == Faces::Turn);
        let run = self.solve_until(turn_at, Until::Time(in_seconds(time)), false);
        fraction(run.last.mean)
    }

    /// Moistures at which it counts as firm, on average, and as dry, everywhere; a room too
    /// humid for a balance counts as 70 %.
    ///
    /// Firm: u_eq + (u_0 - u_eq)/10, nine tenths of the removable water gone. No hardness was
    /// found measured; over 24 practice times (common practice, no source) people call a piece
    /// done near this and not when its core is dry. Dry: u_b nowhere exceeded, where the last
    /// brine goes at room temperature; what is left comes to balance with the room through
    /// the vapour alone and does not sweat under a sealer.
    pub fn goals(&self) -> (Ratio, Ratio) {
        let goal = self.goal();
        (fraction(goal.firm), fraction(goal.dry))
    }

    fn goal(&self) -> Goal {
        let mixture = self.piece.recipe.mixture();
        let t = in_celsius(self.room.air);
        let humidity = in_fraction(self.room.humidity);
        let humidity =
            if humidity >= in_fraction(drying_limit(self.room.air)) { 0.70 } else { humidity };
        let balance = mixture.moisture_at(humidity.max(0.05), t);
        let mixed = in_fraction(self.piece.recipe.moisture());
        Goal { firm: balance + (1.0 - FIRM) * (mixed - balance), dry: mixture.plateau(t).low }
    }

    fn never(&self) -> Option<NeverDry> {
        let last = self.stages.last()?.around;
        let saturated = in_pascals(crate::properties::moist_air::saturation_pressure(last.air));
        let humidity = in_pascals(last.vapour) / saturated;
        let limit = in_fraction(drying_limit(last.air));
        // The humidity comes through a vapour pressure and back: allow for rounding.
        (humidity >= limit - 1e-9)
            .then_some(NeverDry::TooHumid { humidity: 100.0 * humidity, limit: 100.0 * limit })
    }

    fn solve(&self, turn_at: Option<f64>, trace: bool) -> Run {
        self.solve_until(turn_at, Until::Done(stepper::LONGEST), trace)
    }

    fn solve_until(&self, turn_at: Option<f64>, until: Until, trace: bool) -> Run {
        let stages: Vec<Air> = {
            let mirrored = self.piece.faces == Faces::Two;
            self.stages.iter().map(|stage| air_of(stage, mirrored)).collect()
        };
        stepper::run(&self.slab(turn_at), &stages, self.goal(), until, trace)
    }

    fn slab(&self, turn_at: Option<f64>) -> Slab<Mixture> {
        let recipe = &self.piece.recipe;
        let mixture = recipe.mixture();
        let (length, exposure) = self.piece.diffusion_length();
        Slab {
            material: mixture,
            solids_density: recipe.solids_density(),
            solids_heat: solids_heat(mixture.salt),
            moisture: in_fraction(recipe.moisture()),
            kelvin: in_kelvins(self.start),
            length,
            exposure,
            law: match self.diffusion {
                Diffusion::SaltDough(factor) => {
                    Law::Arrhenius(3e-11 * factor, 40_000.0 / GAS_CONSTANT)
                }
                Diffusion::Constant(d) => Law::Constant(in_diffusivity(d)),
            },
            turn_at,
            coats: self
                .coats
                .iter()
                .map(|coat| Wetting { at: in_seconds(coat.at), water: coat.water.value })
                .collect(),
            cells: self.cells,
        }
    }

    fn hopeless(&self, reason: NeverDry) -> Outcome {
        Outcome {
            firm: Err(reason),
            dry: Err(reason),
            turned: None,
            over_pressure: None,
            browning: seconds(0.0),
            hottest_dry_face: None,
            difference: fraction(0.0),
            imbalance: 0.0,
            steps: 0,
            trace: Vec::new(),
        }
    }

    fn outcome(&self, run: &Run, turned: Option<f64>, never: NeverDry) -> Outcome {
        let extremes = run.extremes;
        let or_never = |time: Option<f64>| time.map(seconds).ok_or(never);
        let start_water = self.piece.recipe.solids_density()
            * self.piece.diffusion_length().0
            * in_fraction(self.piece.recipe.moisture());
        Outcome {
            firm: or_never(run.firm),
            dry: or_never(run.dry),
            turned: turned.map(seconds),
            over_pressure: (extremes.over_pressure > 0.0).then(|| pascals(extremes.over_pressure)),
            browning: seconds(extremes.browning),
            hottest_dry_face: (extremes.dry_face_kelvin > 0.0)
                .then(|| kelvins(extremes.dry_face_kelvin)),
            difference: fraction(extremes.difference),
            imbalance: (run.evaporated - run.lost) / start_water,
            steps: run.steps,
            trace: run.trace.iter().map(point_of).collect(),
        }
    }
}

fn point_of(instant: &Instant) -> Point {
    Point {
        time: seconds(instant.time),
        core: fraction(instant.core),
        mean: fraction(instant.mean),
        face: fraction(instant.face),
        temperature: kelvins(instant.kelvin),
    }
}

fn air_of(stage: &Stage, mirrored: bool) -> Air {
    let around = &stage.around;
    let set = in_kelvins(around.air);
    let (first, warm_up) = match stage.warm_up {
        Some((first, constant)) => (in_kelvins(first), in_seconds(constant)),
        None => (set, 0.0),
    };
    let (radiative_film, emissivity) = match around.radiation {
        Radiation::Grey(emissivity) => (0.0, in_fraction(emissivity)),
        Radiation::Film(h) => (in_film(h), 0.0),
    };
    Air {
        first,
        set,
        warm_up,
        vapour: vapour_concentration(in_pascals(around.vapour), set),
        own: stage.own_vapour,
        pressure: in_pascals(around.pressure),
        film: in_film(around.film),
        radiative_film,
        emissivity,
        underside: if mirrored { 0.0 } else { in_fraction(stage.underside).clamp(0.0, 1.0) },
        lasts: in_seconds(stage.lasts),
    }
}

/// J/kg K of solids at 40 °C. Salt 860, handbook value from memory; flour by Choi & Okos.
fn solids_heat(salt: f64) -> f64 {
    const SALT_HEAT: f64 = 860.0;
    (1.0 - salt) * dry_flour_heat_si(40.0) + salt * SALT_HEAT
}

//! The freezing solver: enthalpy finite volumes, explicit in time, conservative to rounding.
//!
//! ρ dH/dt V = Σ g (Φⱼ − Φᵢ) − Σ A q, with Φ of [`crate::properties::medium`] and
//! q = (T_w − T_s)/(1/h) + e at each face, the wall temperature T_w from the
//! conduction through half a cell. Films and surroundings come from a
//! [`Surroundings`] asked every couple of minutes.

use super::kernel::Kernel;
use super::mesh::Mesh;
use crate::properties::medium::Medium;
use crate::units::{
    HeatTransfer, ThermodynamicTemperature, Time, in_celsius, in_film, in_seconds, seconds,
};

/// What surrounds the block for the next while, per kind of face (top, side,
/// base), in plain SI and °C for use inside the kernel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Film coefficient from the surface of the water or ice to the sink, wall
    /// and stand in series, W/m²K.
    pub film: [f64; 3],
    /// Temperature the film leads to, °C.
    pub sink_c: [f64; 3],
    /// Heat taken besides (evaporation), W/m².
    pub extra: [f64; 3],
}

/// What the surroundings can see of one block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Time since filling, s.
    pub time: f64,
    /// How long since last asked, s; 0 at the start.
    pub lapse: f64,
    /// Mean heat flow out of the block since last asked, W: top, side, base.
    pub heat: [f64; 3],
    /// Mean surface temperature of the water or ice, °C: top, side, base.
    pub surface_c: [f64; 3],
    /// Whether ice covers the top.
    pub skin: bool,
}

/// Where a block stands: asked for conditions about once a minute.
pub trait Surroundings {
    /// Conditions until the next call.
    fn next(&mut self, seen: &Seen) -> Conditions;
}

/// Constant films and one constant air temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant(Conditions);

impl Constant {
    /// Films of top, side and base, and the air.
    pub fn new(films: [HeatTransfer; 3], air: ThermodynamicTemperature) -> Self {
        let film = films.map(in_film);
        Self(Conditions { film, sink_c: [in_celsius(air); 3], extra: [0.0; 3] })
    }
}

impl Surroundings for Constant {
    fn next(&mut self, _: &Seen) -> Conditions {
        self.0
    }
}

/// A point of the history of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since filling, s.
    pub time: f64,
    /// Warmest point of the block, °C.
    pub core_c: f64,
    /// Mean temperature of the sinks, by conductance, °C.
    pub air_c: f64,
    /// Share of the block that is frozen, 0 to 1.
    pub frozen: f64,
}

/// What came of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Frozen {
    /// Time until no liquid is left (core at −10 °C for a solution); None if not within the limit.
    pub solid: Option<Time>,
    /// Time until the core is at −5 °C; None if not within the limit.
    pub ready: Option<Time>,
    /// Heat given off by the whole block, J.
    pub heat_removed: f64,
    /// Enthalpy lost minus heat through the faces, over the heat removed.
    pub residual: f64,
    /// Work done, in cells times stages.
    pub work: f64,
    /// Whether it was given up, as more work than there may be, or sure to become so.
    pub given_up: bool,
    /// History, one point about every call to the surroundings; empty unless asked for.
    pub history: Vec<Moment>,
}

/// How a run is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Temperature of the water when filled.
    pub start: ThermodynamicTemperature,
    /// The run ends here at the latest; sooner where the block could not get ready by then.
    pub limit: Time,
    /// Time between questions to the surroundings.
    pub period: Time,
    /// Whether to keep the history.
    pub history: bool,
    /// The run is given up after so much work, in cells times stages, or as soon as it is
    /// sure to take more: a wide and very thin block takes millions of short steps.
    pub most_work: f64,
}

impl Run {
    /// From a start temperature: at most 30 days, asking every two minutes, no
    /// history, however much work it is.
    pub fn from(start: ThermodynamicTemperature) -> Self {
        Self {
            start,
            limit: seconds(30.0 * 86_400.0),
            period: seconds(120.0),
            history: false,
            most_work: f64::INFINITY,
        }
    }
}

/// Share of the stable step that is used.
const SAFETY: f64 = 0.95;

/// Freezes a block: the explicit enthalpy method on finite volumes, the films and
/// the air asked anew every [`Run::period`].
///
/// ```
/// use solidby::{
///     freezing::{freeze::{Constant, Run, freeze}, mesh::{Mesh, Resolution}},
///     shape::Body,
///     properties::medium::{ConstantProperties, Medium},
///     units::*,
/// };
///
/// // Plank's slab: two faces, 8 W/m²K, air at -18 °C.
/// let slab = Body::slab(millimetres(30.0), square_metres(1.0)).unwrap();
/// let mesh = Mesh::of(&slab, Resolution::Working, 1.0);
/// let water = Medium::constant(&ConstantProperties::reference()).unwrap();
/// let mut air = Constant::new([film(8.0); 3], celsius(-18.0));
/// let frozen = freeze(&mesh, &water, &mut air, &Run::from(celsius(20.0)));
/// let hours = in_hours(frozen.solid.unwrap());
/// assert!((hours - 38_802.0 / 3600.0).abs() < 0.2, "{hours} h");
/// ```
pub fn freeze(
    mesh: &Mesh,
    medium: &Medium,
    surroundings: &mut impl Surroundings,
    run: &Run,
) -> Frozen {
    let mut kernel = Kernel::new(mesh, medium, in_celsius(run.start));
    let (limit, period) = (in_seconds(run.limit), in_seconds(run.period));
    let initial = kernel.enthalpy();
    let mut solid = Crossing::new(0.0);
    let mut ready = Crossing::new(medium.ready_h());
    let mut given = 0.0;
    let mut history = Vec::new();
    let surface_c = [in_celsius(run.start); 3];
    let mut seen = Seen { time: 0.0, lapse: 0.0, heat: [0.0; 3], surface_c, skin: false };
    let (mut work, mut given_up) = (0.0, false);
    let mut outlook = Outlook::new(initial, ready.level * mesh.volume.iter().sum::<f64>());
    while ready.at.is_none() && seen.time < limit && work <= run.most_work {
        let conditions = surroundings.next(&seen);
        let longest = SAFETY * kernel.set(&conditions);
        if run.history {
            let air_c = kernel.mean_sink(&conditions);
            let frozen = kernel.frozen_share();
            history.push(Moment { time: seen.time, core_c: kernel.core_c(), air_c, frozen });
        }
        let (steps, stages) = steps_and_stages(period, longest);
        let step = period / steps as f64;
        work += (steps * stages * mesh.cells()) as f64;
        let mut heat = [0.0; 3];
        for _ in 0..steps {
            let warmest = kernel.step(step, stages, &mut heat);
            solid.pass(seen.time, step, warmest);
            ready.pass(seen.time, step, warmest);
            seen.time += step;
            if ready.at.is_some() {
                break;
            }
        }
        given += heat.iter().sum::<f64>();
        seen.lapse = period;
        seen.heat = heat.map(|joules| joules * mesh.copies() / period);
        kernel.look(&mut seen);
        given_up = outlook.endless(work, run.most_work, || kernel.enthalpy());
        if given_up || outlook.hopeless(seen.time, limit, || kernel.enthalpy()) {
            break;
        }
    }
    if let Some(last) = history.last().copied() {
        let time = ready.at.unwrap_or(seen.time);
        history.push(Moment {
            time,
            core_c: kernel.core_c(),
            frozen: kernel.frozen_share(),
            ..last
        });
    }
    let lost = initial - kernel.enthalpy();
    Frozen {
        solid: solid.at.map(seconds),
        ready: ready.at.map(seconds),
        heat_removed: lost * mesh.copies(),
        residual: if lost == 0.0 { 0.0 } else { (lost - given) / lost },
        work,
        given_up: given_up || work > run.most_work,
        history,
    }
}

/// Whether a block can still get ready before the run's limit, by the heat that it lately gave
/// off. Without it a block in air that is too warm would be followed for days.
struct Outlook {
    since: f64,
    /// What was in it when filled, J.
    initial: f64,
    enthalpy: f64,
    /// What is left in it when all of it is at the level of the warmest part, J.
    least: f64,
}

impl Outlook {
    /// Heat is judged over this long, s: longer than the air needs to come back from a defrost.
    const SPAN: f64 = 12.0 * 3600.0;
    /// From then on a block in a freezer gives off heat ever more slowly; by so many times faster
    /// it would have to.
    const FASTER: f64 = 3.0;

    fn new(enthalpy: f64, least: f64) -> Self {
        Self { since: 0.0, initial: enthalpy, enthalpy, least }
    }

    /// Whether a run takes more work than it may, by the heat that it has given off for the
    /// work so far; asked once a sixteenth is done.
    fn endless(&self, work: f64, most: f64, enthalpy: impl Fn() -> f64) -> bool {
        if work < most / 16.0 {
            return false;
        }
        let share = (self.initial - enthalpy()) / (self.initial - self.least);
        work > Self::FASTER * most * share
    }

    fn hopeless(&mut self, time: f64, limit: f64, enthalpy: impl Fn() -> f64) -> bool {
        let span = time - self.since;
        if span < Self::SPAN {
            return false;
        }
        let now = enthalpy();
        let rate = (self.enthalpy - now) / span;
        (self.since, self.enthalpy) = (time, now);
        Self::FASTER * rate * (limit - time) < now - self.least
    }
}

/// Most stages of one step: more would save work but blur the front in time.
const MOST_STAGES: usize = 6;

/// Equal steps to cover a period, and the fewest stages that keep each stable,
/// given the longest plain explicit step.
fn steps_and_stages(period: f64, longest: f64) -> (usize, usize) {
    let reach = |stages: usize| longest * (stages * stages + stages) as f64 / 2.0;
    let steps = (period / reach(MOST_STAGES)).ceil().max(1.0);
    let enough = |stages: &usize| reach(*stages) >= period / steps;
    (steps as usize, (1..MOST_STAGES).find(enough).unwrap_or(MOST_STAGES))
}

/// When the warmest enthalpy passes below a level, between two steps.
struct Crossing {
    level: f64,
    before: f64,
    at: Option<f64>,
}

impl Crossing {
    fn new(level: f64) -> Self {
        Self { level, before: f64::INFINITY, at: None }
    }

    /// Notes the warmest enthalpy at `time`, one `step` after the last.
    fn pass(&mut self, time: f64, step: f64, warmest: f64) {
        if self.at.is_none() && warmest <= self.level {
            let over = (self.before - self.level) / (self.before - warmest);
            let share = if over.is_finite() { over } else { 1.0 };
            self.at = Some((time - step + share * step).max(0.0));
        }
        self.before = warmest;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        freezing::mesh::Resolution,
        properties::medium::ConstantProperties,
        shape::Body,
        units::{celsius, film, millimetres, square_metres},
    };

    /// Endless work is seen at its beginning, and work that is not is done to its end.
    #[test]
    fn more_work_than_there_may_be_is_given_up_early() {
        let slab = Body::slab(millimetres(30.0), square_metres(1.0)).unwrap();
        let mesh = Mesh::of(&slab, Resolution::Coarse, 1.0);
        let water = Medium::constant(&ConstantProperties::reference()).unwrap();
        let at_most = |most_work| {
            let mut air = Constant::new([film(8.0); 3], celsius(-18.0));
            freeze(&mesh, &water, &mut air, &Run { most_work, ..Run::from(celsius(20.0)) })
        };
        let whole = at_most(f64::INFINITY);
        let enough = at_most(1.01 * whole.work);
        assert_eq!((enough.ready, enough.given_up), (whole.ready, false));
        let half = at_most(0.5 * whole.work);
        assert!(half.given_up && half.ready.is_none());
        let tenth = at_most(0.1 * whole.work);
        assert!(
            tenth.given_up && tenth.work < 0.02 * whole.work,
            "{} of {}",
            tenth.work,
            whole.work
        );
    }
}

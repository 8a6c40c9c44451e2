//! The freezing solver: enthalpy finite volumes, explicit in time, conservative to rounding.
//!
//! ρ dH/dt V = Σ g (Φⱼ − Φᵢ) − Σ A q, with Φ of [`crate::properties::medium`] and
//! q = (T_w − T_s)/(1/h) + e at each face, the wall temperature T_w from the
//! conduction through half a cell. Films and surroundings come from a
//! [`Surroundings`] asked every couple of minutes.

use super::conditions::{Conditions, Seen, Surroundings};
use super::kernel::Kernel;
use super::mesh::Mesh;
use crate::properties::medium::Medium;
use crate::units::{ThermodynamicTemperature, Time, in_celsius, in_seconds, seconds};

/// A point of the history of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since filling, s.
    pub time: f64,
    /// Warmest point of the block, °C.
    pub core_c: f64,
    /// Temperature of the block if its heat were spread evenly, °C.
    pub mixed_c: f64,
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
    /// History, one point about every call to the surroundings; empty unless asked for.
    pub history: Vec<Moment>,
}

/// How a run is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// The run of a load ends so long after it went in at the latest; sooner where it could
    /// not get ready by then.
    pub limit: Time,
    /// Time between questions to the surroundings.
    pub period: Time,
    /// Whether to keep the history.
    pub history: bool,
    /// The run is given up after so much work, in cells times stages: a wide
    /// and very thin block takes millions of short steps.
    pub most_work: f64,
}

impl Run {
    /// At most 30 days, asking every two minutes, no history, however much work it is.
    pub fn thorough() -> Self {
        Self {
            limit: seconds(30.0 * 86_400.0),
            period: seconds(120.0),
            history: false,
            most_work: f64::INFINITY,
        }
    }
}

/// Share of the stable step that is used.
const SAFETY: f64 = 0.95;

/// One block of a load of equal ones.
#[derive(Debug, Clone, Copy)]
pub struct Load<'a> {
    /// The block.
    pub mesh: &'a Mesh,
    /// What it is filled with.
    pub medium: &'a Medium,
    /// Temperature of the water when filled.
    pub start: ThermodynamicTemperature,
    /// When it went in.
    pub since: Time,
}

/// Freezes a block: the explicit enthalpy method on finite volumes, the films and
/// the air asked anew every [`Run::period`].
///
/// ```
/// use solidby::{
///     freezing::{conditions::Constant, freeze::{Run, freeze}, mesh::{Mesh, Resolution}},
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
/// let frozen = freeze(&mesh, &water, celsius(20.0), &mut air, &Run::thorough());
/// let hours = in_hours(frozen.solid.unwrap());
/// assert!((hours - 38_802.0 / 3600.0).abs() < 0.2, "{hours} h");
/// ```
pub fn freeze(
    mesh: &Mesh,
    medium: &Medium,
    start: ThermodynamicTemperature,
    surroundings: &mut impl Surroundings,
    run: &Run,
) -> Frozen {
    let mut block = Block::new(&Load { mesh, medium, start, since: seconds(0.0) });
    march(std::slice::from_mut(&mut block), surroundings, run);
    block.frozen()
}

/// Freezes several loads that share their surroundings, each from when it went in; times
/// count from there. A load that is ready goes on giving off heat until it is as cold as
/// its surroundings or all are ready.
pub fn freeze_together(
    loads: &[Load<'_>],
    surroundings: &mut impl Surroundings,
    run: &Run,
) -> Vec<Frozen> {
    let mut blocks: Vec<Block<'_>> = loads.iter().map(Block::new).collect();
    march(&mut blocks, surroundings, run);
    blocks.into_iter().map(Block::frozen).collect()
}

/// Follows all blocks until each is ready or given up.
fn march(blocks: &mut [Block<'_>], surroundings: &mut impl Surroundings, run: &Run) {
    let none = Conditions { film: [0.0; 3], sink_c: [0.0; 3], extra: [0.0; 3] };
    let mut conditions = vec![none; blocks.len()];
    let (mut time, mut lapse) = (0.0, 0.0);
    while blocks.iter().any(|block| block.under_way(run)) {
        let seen: Vec<Option<Seen>> = blocks.iter().map(|block| block.seen_at(time)).collect();
        surroundings.next(&seen, lapse, &mut conditions);
        // No further than to when the next load goes in.
        let ahead = blocks.iter().map(|block| block.since - time).filter(|wait| *wait > 1e-6);
        lapse = ahead.fold(in_seconds(run.period), f64::min);
        for (block, around) in blocks.iter_mut().zip(&conditions) {
            if block.is_in(time) {
                block.advance(around, lapse, run);
            }
        }
        time += lapse;
    }
}

/// One block of a load on its way.
struct Block<'a> {
    kernel: Kernel<'a>,
    since: f64,
    /// Since it went in, s.
    time: f64,
    seen: Seen,
    solid: Crossing,
    ready: Crossing,
    outlook: Outlook,
    initial: f64,
    given: f64,
    work: f64,
    /// It cannot get ready within the limit.
    given_up: bool,
    /// As cold as what surrounds it: it gives off no more.
    cold: bool,
    history: Vec<Moment>,
}

/// A block counts as cold this close to its surroundings, K.
const COLD: f64 = 0.5;

impl<'a> Block<'a> {
    fn new(load: &Load<'a>) -> Self {
        let start = in_celsius(load.start);
        let kernel = Kernel::new(load.mesh, load.medium, start);
        let initial = kernel.enthalpy();
        let ready = Crossing::new(load.medium.ready_h());
        let least = ready.level * load.mesh.volume.iter().sum::<f64>();
        Self {
            kernel,
            since: in_seconds(load.since),
            time: 0.0,
            seen: Seen { heat: [0.0; 3], surface_c: [start; 3], skin: false },
            solid: Crossing::new(0.0),
            ready,
            outlook: Outlook::new(initial, least),
            initial,
            given: 0.0,
            work: 0.0,
            given_up: false,
            cold: false,
            history: Vec::new(),
        }
    }

    /// Whether it is waited for.
    fn under_way(&self, run: &Run) -> bool {
        let late = self.time >= in_seconds(run.limit) || self.work > run.most_work;
        self.ready.at.is_none() && !self.given_up && !late
    }

    fn is_in(&self, time: f64) -> bool {
        self.since <= time + 1e-6 && !self.cold
    }

    fn seen_at(&self, time: f64) -> Option<Seen> {
        self.is_in(time).then_some(self.seen)
    }

    /// One period in conditions that hold through it.
    fn advance(&mut self, conditions: &Conditions, period: f64, run: &Run) {
        let longest = SAFETY * self.kernel.set(conditions);
        let waited_for = self.ready.at.is_none();
        if run.history && waited_for {
            self.history.push(self.moment(self.kernel.mean_sink(conditions)));
        }
        let (steps, stages) = steps_and_stages(period, longest);
        let step = period / steps as f64;
        self.work += (steps * stages * self.kernel.cells()) as f64;
        let mut heat = [0.0; 3];
        for _ in 0..steps {
            let warmest = self.kernel.step(step, stages, &mut heat);
            self.solid.pass(self.time, step, warmest);
            self.ready.pass(self.time, step, warmest);
            self.time += step;
        }
        self.given += heat.iter().sum::<f64>();
        self.seen.heat = heat.map(|joules| joules * self.kernel.copies() / period);
        self.kernel.look(&mut self.seen);
        let limit = in_seconds(run.limit);
        self.given_up |= self.outlook.hopeless(self.time, limit, || self.kernel.enthalpy());
        let sink = self.kernel.mean_sink(conditions);
        self.cold = !waited_for && self.kernel.core_c() < sink + COLD;
        if let (true, true, Some(time)) = (run.history, waited_for, self.ready.at) {
            self.history.push(Moment { time, ..self.moment(sink) });
        }
    }

    fn moment(&self, air_c: f64) -> Moment {
        let (core_c, mixed_c) = (self.kernel.core_c(), self.kernel.mixed_c());
        Moment { time: self.time, core_c, mixed_c, air_c, frozen: self.kernel.frozen_share() }
    }

    fn frozen(mut self) -> Frozen {
        if let (None, Some(last)) = (self.ready.at, self.history.last().copied()) {
            self.history.push(self.moment(last.air_c));
        }
        let lost = self.initial - self.kernel.enthalpy();
        Frozen {
            solid: self.solid.at.map(seconds),
            ready: self.ready.at.map(seconds),
            heat_removed: lost * self.kernel.copies(),
            residual: if lost == 0.0 { 0.0 } else { (lost - self.given) / lost },
            work: self.work,
            history: self.history,
        }
    }
}

/// Whether a block can still get ready before the run's limit, by the heat that it lately gave
/// off. Without it a block in air that is too warm would be followed for days.
struct Outlook {
    since: f64,
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
        Self { since: 0.0, enthalpy, least }
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

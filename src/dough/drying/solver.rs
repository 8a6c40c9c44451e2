//! The transient: moisture in cells, one temperature, one open face, stages of air.
//!
//! Solids do not move and do not shrink; moisture u (kg water per kg solids) obeys
//! ∂u/∂t = D(T) ∂²u/∂x², the face loses what the air takes, the piece is warmed by
//! convection and radiation and cooled by evaporation. Time: two-stage, second-order,
//! L-stable diagonally implicit Runge-Kutta (Alexander 1977, SIAM J. Numer. Anal.
//! 14:1006) with step control; water is conserved to rounding.

use super::face::{Face, Response, Sorption, Vapour};
use super::grid::{Factored, Grid};
use crate::matter::brine::brine_vapour_pressure_pa;
use crate::matter::moist_air::heat_of_evaporation_j;
use crate::transfer::mass_transfer::lewis_ratio_si;
use crate::transfer::radiation::radiative_si;

/// γ = 1 - 1/√2 makes the two-stage scheme second order and L-stable.
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Largest first-order error of a step: mean moisture (share of the start) and kelvins.
const MOISTURE_TOLERANCE: f64 = 5e-4;
const KELVIN_TOLERANCE: f64 = 0.25;
/// A drying that takes longer than this never ends for a user, s.
pub(crate) const LONGEST: f64 = 400.0 * 86_400.0;
const MOST_STEPS: usize = 200_000;

/// Diffusivity of water in dough by temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    Constant(f64),
    /// D at 20 °C and activation energy over the gas constant, K.
    Arrhenius(f64, f64),
}

impl Law {
    fn at(self, kelvin: f64) -> f64 {
        match self {
            Self::Constant(d) => d,
            Self::Arrhenius(d, activation) => {
                d * (activation * (1.0 / 293.15 - 1.0 / kelvin)).exp()
            }
        }
    }
}

/// The dough behind one open face.
#[derive(Debug, Clone)]
pub(crate) struct Slab<S> {
    pub(crate) material: S,
    /// kg/m³
    pub(crate) solids_density: f64,
    /// J/kg K of solids
    pub(crate) solids_heat: f64,
    pub(crate) moisture: f64,
    pub(crate) kelvin: f64,
    /// From the sealed side or middle to the open face, m.
    pub(crate) length: f64,
    /// Exposed area over that of the face: edges and a hole.
    pub(crate) exposure: f64,
    pub(crate) law: Law,
    /// When the other face is opened instead, s.
    pub(crate) turn_at: Option<f64>,
    pub(crate) cells: usize,
}

/// A stretch of time in one kind of air. SI, kelvins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Air {
    pub(crate) first: f64,
    pub(crate) set: f64,
    pub(crate) warm_up: f64,
    /// Vapour, kg/m³.
    pub(crate) vapour: f64,
    /// Vapour the load adds, s/m (see [`Vapour::own`]).
    pub(crate) own: f64,
    pub(crate) pressure: f64,
    pub(crate) film: f64,
    pub(crate) radiative_film: f64,
    pub(crate) emissivity: f64,
    /// Openness of the face opposite to the open one, 0 to 1.
    pub(crate) underside: f64,
    pub(crate) lasts: f64,
}

impl Air {
    fn kelvin(&self, since: f64) -> f64 {
        if self.warm_up == 0.0 {
            return self.set;
        }
        self.set + (self.first - self.set) * (-since / self.warm_up).exp()
    }
}

/// Moistures at which the piece counts as hard (everywhere) and dry (on average).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Goal {
    pub(crate) hard: f64,
    pub(crate) dry: f64,
}

/// One instant. Moistures kg/kg; s and K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Instant {
    pub(crate) time: f64,
    pub(crate) core: f64,
    pub(crate) mean: f64,
    pub(crate) face: f64,
    pub(crate) kelvin: f64,
}

/// Extremes met on the way.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Extremes {
    /// Highest vapour pressure of brine in the core over that around, Pa; negative: never boiled.
    pub(crate) over_pressure: f64,
    /// Highest temperature, K, while the face was drier than the brine plateau.
    pub(crate) dry_face_kelvin: f64,
    /// Seconds in which the dry face was above 393 K (120 °C).
    pub(crate) browning: f64,
    /// Largest moisture difference mean - face while the face was glassy.
    pub(crate) difference: f64,
}

#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) hard: Option<f64>,
    pub(crate) dry: Option<f64>,
    pub(crate) extremes: Extremes,
    /// Water that left, kg per m² of the slab's face.
    pub(crate) evaporated: f64,
    /// Water gone from the cells, kg/m².
    pub(crate) lost: f64,
    pub(crate) trace: Vec<Instant>,
    pub(crate) steps: usize,
    pub(crate) last: Instant,
}

/// How far to go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Until {
    /// Stop once hard and dry.
    Done,
    /// Stop at a time, s, whatever the state.
    Time(f64),
}

/// Runs the stages in order; the last is held until the goal or [`LONGEST`].
pub(crate) fn run<S: Sorption>(
    slab: &Slab<S>,
    stages: &[Air],
    goal: Goal,
    until: Until,
    trace: bool,
) -> Run {
    let both_open = slab.turn_at.is_some() || stages.iter().any(|air| air.underside > 0.0);
    let mut march = March::new(slab, both_open, goal, until, trace);
    for (n, air) in stages.iter().enumerate() {
        let last = n + 1 == stages.len();
        let end = if last { march.limit } else { (march.time + air.lasts).min(march.limit) };
        march.through(air, end);
        if march.finished() {
            break;
        }
    }
    march.into_run()
}

struct March<'a, S> {
    slab: &'a Slab<S>,
    goal: Goal,
    grid: Grid,
    factored: Factored,
    u: Vec<f64>,
    /// ∂u/∂t at the end of the last step.
    rate: Vec<f64>,
    first: Vec<f64>,
    second: Vec<f64>,
    /// What a unit flux out of the upper face, and out of the underside, takes from each cell.
    upper: Vec<f64>,
    under: Vec<f64>,
    kelvin: f64,
    kelvin_rate: f64,
    /// Flux out of the underside at the end of the last step.
    under_flux: f64,
    time: f64,
    limit: f64,
    stop_when_done: bool,
    step: f64,
    turned: bool,
    keep_trace: bool,
    run: Run,
}

/// What one trial step gives.
struct Trial {
    kelvin: f64,
    kelvin_rate: f64,
    face: Face,
    under_flux: f64,
    evaporated: f64,
    error: f64,
}

impl<'a, S: Sorption> March<'a, S> {
    fn new(slab: &'a Slab<S>, both_open: bool, goal: Goal, until: Until, keep_trace: bool) -> Self {
        let grid = Grid::new(slab.length, slab.cells, both_open);
        let cells = || vec![0.0; slab.cells];
        let start = Instant {
            time: 0.0,
            core: slab.moisture,
            mean: slab.moisture,
            face: slab.moisture,
            kelvin: slab.kelvin,
        };
        let (limit, stop_when_done) = match until {
            Until::Done => (LONGEST, true),
            Until::Time(end) => (end, false),
        };
        let extremes = Extremes { over_pressure: f64::NEG_INFINITY, ..Extremes::default() };
        Self {
            goal,
            factored: Factored::for_grid(&grid),
            grid,
            u: vec![slab.moisture; slab.cells],
            rate: cells(),
            first: cells(),
            second: cells(),
            upper: cells(),
            under: cells(),
            kelvin: slab.kelvin,
            kelvin_rate: 0.0,
            under_flux: 0.0,
            time: 0.0,
            limit,
            stop_when_done,
            step: 1.0,
            turned: false,
            keep_trace,
            run: Run {
                hard: None,
                dry: None,
                extremes,
                evaporated: 0.0,
                lost: 0.0,
                trace: if keep_trace { vec![start] } else { Vec::new() },
                steps: 0,
                last: start,
            },
            slab,
        }
    }

    fn finished(&self) -> bool {
        self.time >= self.limit
            || self.run.steps >= MOST_STEPS
            || (self.stop_when_done && self.run.hard.is_some() && self.run.dry.is_some())
    }

    fn through(&mut self, air: &Air, end: f64) {
        let began = self.time;
        while self.time < end && !self.finished() {
            let turn = self.slab.turn_at.filter(|_| !self.turned).unwrap_or(f64::INFINITY);
            let stop = end.min(turn.max(self.time));
            let left = stop - self.time;
            if left <= 1e-9 * stop.max(1.0) {
                self.time = stop;
                if stop == turn {
                    self.turn();
                }
                continue;
            }
            self.advance(air, began, left);
        }
    }

    /// The sealed face becomes the open one.
    fn turn(&mut self) {
        self.u.reverse();
        self.rate.reverse();
        self.turned = true;
        self.step = self.step.min(30.0);
    }

    fn advance(&mut self, air: &Air, began: f64, left: f64) {
        loop {
            let clipped = self.step >= left;
            let dt = if clipped { left } else { self.step };
            let trial = self.trial(air, self.time - began, dt);
            let grow = (0.9 / trial.error.max(1e-6).sqrt()).clamp(0.2, 3.0);
            if trial.error > 1.0 && dt > 1e-9 {
                self.step = dt * grow;
                continue;
            }
            if !clipped || grow < 1.0 {
                self.step = dt * grow;
            }
            self.accept(air, dt, trial);
            return;
        }
    }

    fn trial(&mut self, air: &Air, since: f64, dt: f64) -> Trial {
        let slab = self.slab;
        let implicit = GAMMA * dt;
        let middle = self.kelvin + 0.5 * dt.min(600.0) * self.kelvin_rate;
        let d = slab.law.at(middle.clamp(self.kelvin - 10.0, self.kelvin + 10.0));
        self.factored.set(&self.grid, d * implicit);
        let last = slab.cells - 1;
        let resistance = self.unit_fluxes(d, implicit, air.underside > 0.0);
        let around = Around::new(slab, air, self.kelvin, self.grid.mean(&self.u), implicit);
        let responses = |cells: &[f64]| Responses {
            upper: Response { at_rest: cells[last], per_flux: resistance[1] },
            under: Response { at_rest: cells[0], per_flux: resistance[0] },
            upper_of_under: self.under[last],
            under_of_upper: self.upper[0],
        };

        self.first.copy_from_slice(&self.u);
        self.factored.solve(&mut self.first);
        let one = around.balance(
            air.kelvin(since + implicit),
            responses(&self.first),
            self.kelvin,
            (self.kelvin + implicit * self.kelvin_rate, self.under_flux),
        );
        let explicit = (1.0 - GAMMA) / GAMMA;
        for i in 0..slab.cells {
            self.first[i] -= one.faces.taken_from(self.upper[i], self.under[i]);
            self.second[i] = self.u[i] + explicit * (self.first[i] - self.u[i]);
        }
        let base = self.kelvin + explicit * (one.kelvin - self.kelvin);
        self.factored.solve(&mut self.second);
        let two = around.balance(
            air.kelvin(since + dt),
            responses(&self.second),
            base,
            (one.kelvin, one.faces.under),
        );
        for i in 0..slab.cells {
            self.second[i] -= two.faces.taken_from(self.upper[i], self.under[i]);
        }
        let (first_flux, second_flux) = (one.faces.flux(), two.faces.flux());
        let scale = GAMMA * dt;
        let moved = scale * (second_flux - first_flux)
            / (slab.solids_density * self.grid.length * slab.moisture);
        let kelvin_rate = (two.kelvin - base) / implicit;
        let warmed = scale * (kelvin_rate - (one.kelvin - self.kelvin) / implicit);
        let error = (moved.abs() / MOISTURE_TOLERANCE).max(warmed.abs() / KELVIN_TOLERANCE);
        Trial {
            kelvin: two.kelvin,
            kelvin_rate,
            face: two.faces.upper,
            under_flux: two.faces.under,
            evaporated: dt * ((1.0 - GAMMA) * first_flux + GAMMA * second_flux),
            error,
        }
    }

    /// Sets what a unit flux through either face takes, and gives the fall of face moisture
    /// it makes: (underside, upper face).
    fn unit_fluxes(&mut self, d: f64, implicit: f64, both: bool) -> [f64; 2] {
        let density = self.slab.solids_density;
        let unit = |values: &mut [f64], at: usize| {
            let width = self.grid.width[at];
            values.fill(0.0);
            values[at] = implicit / (density * width);
            self.factored.solve(values);
            values[at] + 0.5 * width / (density * d)
        };
        let upper = unit(&mut self.upper, self.slab.cells - 1);
        let under = if both { unit(&mut self.under, 0) } else { 0.0 };
        if !both {
            self.under.fill(0.0);
        }
        [under, upper]
    }

    fn accept(&mut self, air: &Air, dt: f64, trial: Trial) {
        let before = self.instant_values();
        let explicit = (1.0 - GAMMA) / GAMMA;
        for i in 0..self.u.len() {
            let base = self.u[i] + explicit * (self.first[i] - self.u[i]);
            self.rate[i] = (self.second[i] - base) / (GAMMA * dt);
        }
        self.u.copy_from_slice(&self.second);
        self.kelvin = trial.kelvin;
        self.kelvin_rate = trial.kelvin_rate;
        self.under_flux = trial.under_flux;
        let after = self.instant_values();
        self.note_goals(dt, before, after);
        self.time += dt;
        self.run.steps += 1;
        self.run.evaporated += trial.evaporated;
        let now = Instant {
            time: self.time,
            core: after.core.0,
            mean: after.mean.0,
            face: trial.face.moisture,
            kelvin: self.kelvin,
        };
        self.note_extremes(air, dt, now);
        self.run.last = now;
        if self.keep_trace {
            self.run.trace.push(now);
        }
    }

    /// Wettest cell and mean, each with its rate of change.
    fn instant_values(&self) -> Watched {
        let wettest = (0..self.u.len()).max_by(|a, b| self.u[*a].total_cmp(&self.u[*b]));
        let wettest = wettest.unwrap_or(0);
        Watched {
            core: (self.u[wettest], self.rate[wettest]),
            mean: (self.grid.mean(&self.u), self.grid.mean(&self.rate)),
        }
    }

    fn note_goals(&mut self, dt: f64, before: Watched, after: Watched) {
        let hard = crossing(before.core, after.core, dt, self.goal.hard);
        if self.run.hard.is_none() {
            self.run.hard = hard.map(|part| self.time + part);
        }
        if self.run.dry.is_none() {
            let mean = crossing(before.mean, after.mean, dt, self.goal.dry);
            // Dry through is never before hard through.
            self.run.dry = self
                .run
                .hard
                .and(mean)
                .map(|part| (self.time + part).max(self.run.hard.unwrap_or(0.0)));
        }
    }

    fn note_extremes(&mut self, air: &Air, dt: f64, now: Instant) {
        let extremes = &mut self.run.extremes;
        let t = now.kelvin - 273.15;
        let brine_low = self.slab.material.brine_exhausted_at(t);
        if now.core > brine_low {
            let over = brine_vapour_pressure_pa(now.kelvin) - air.pressure;
            extremes.over_pressure = extremes.over_pressure.max(over);
        }
        if now.face < brine_low {
            extremes.dry_face_kelvin = extremes.dry_face_kelvin.max(now.kelvin);
            if t > 120.0 {
                extremes.browning += dt;
            }
            extremes.difference = extremes.difference.max(now.mean - now.face);
        }
    }

    fn into_run(mut self) -> Run {
        let held = self.slab.solids_density * self.grid.length;
        self.run.lost = held * (self.slab.moisture - self.grid.mean(&self.u));
        self.run
    }
}

/// Values and their rates.
#[derive(Clone, Copy)]
struct Watched {
    core: (f64, f64),
    mean: (f64, f64),
}

/// When a falling value passes `level` within a step, by the cubic through both ends and slopes.
fn crossing(before: (f64, f64), after: (f64, f64), dt: f64, level: f64) -> Option<f64> {
    if after.0 > level {
        return None;
    }
    if before.0 <= level {
        return Some(0.0);
    }
    let cubic = |s: f64| {
        let r = 1.0 - s;
        r * r * ((1.0 + 2.0 * s) * before.0 + s * dt * before.1)
            + s * s * ((1.0 + 2.0 * r) * after.0 - r * dt * after.1)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if cubic(middle) > level { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high) * dt)
}

/// Heat and vapour around the slab, fixed within a step.
struct Around<'a, S> {
    material: &'a S,
    vapour: Vapour,
    under_vapour: Option<Vapour>,
    /// Heat capacity over the implicit time, W/m²K.
    storage: f64,
    convective: f64,
    emissivity: f64,
}

struct Balanced {
    faces: Faces,
    kelvin: f64,
}

/// How face moistures answer the fluxes out of both faces.
#[derive(Clone, Copy)]
struct Responses {
    upper: Response,
    under: Response,
    /// Fall of the upper face for a unit flux out of the underside, and the reverse.
    upper_of_under: f64,
    under_of_upper: f64,
}

/// Both faces at one temperature; the underside gives nothing off where it is sealed.
#[derive(Clone, Copy)]
struct Faces {
    upper: Face,
    under: f64,
    under_slope: f64,
}

impl Faces {
    fn flux(&self) -> f64 {
        self.upper.flux + self.under
    }

    fn taken_from(&self, upper: f64, under: f64) -> f64 {
        self.upper.flux * upper + self.under * under
    }
}

impl<'a, S: Sorption> Around<'a, S> {
    fn new(slab: &'a Slab<S>, air: &Air, kelvin: f64, mean: f64, implicit: f64) -> Self {
        /// Heat capacity of water in dough, J/kg K. Source: Choi & Okos (1986) near 60 °C.
        const WATER_HEAT: f64 = 4180.0;
        let mass = slab.solids_density * slab.length;
        let film = air.film * slab.exposure;
        let coefficient = film * lewis_ratio_si(0.5 * (kelvin + air.set), air.pressure);
        let vapour = Vapour { coefficient, in_air: air.vapour, own: air.own };
        let under = air.underside;
        let faces = slab.exposure * (1.0 + under);
        Self {
            material: &slab.material,
            vapour,
            under_vapour: (under > 0.0)
                .then_some(Vapour { coefficient: coefficient * under, ..vapour }),
            storage: mass * (slab.solids_heat + WATER_HEAT * mean) / implicit,
            convective: (air.film + air.radiative_film) * faces,
            emissivity: air.emissivity * faces,
        }
    }

    /// The temperature at which storage, heat from around and evaporation balance:
    /// Newton with the face's own slope, then secants, kept between bounds.
    fn balance(&self, air: f64, responses: Responses, base: f64, guess: (f64, f64)) -> Balanced {
        let mut kelvin = guess.0.clamp(230.0, 600.0);
        let mut faces = self.faces(responses, kelvin, guess.1);
        let mut residual = self.residual(air, base, kelvin, faces.flux());
        let radiative = radiative_si(self.emissivity, kelvin, air);
        let evaporative =
            (faces.upper.slope + faces.under_slope) * heat_of_evaporation_j(kelvin - 273.15);
        let mut slope = self.storage + self.convective + radiative + evaporative;
        let (mut low, mut high) = (150.0, 700.0);
        for _ in 0..40 {
            if residual > 0.0 {
                high = kelvin
            } else {
                low = kelvin
            }
            let newton = kelvin - residual / slope;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            let move_by = next - kelvin;
            kelvin = next;
            faces = self.faces(responses, kelvin, faces.under);
            if move_by.abs() < 1e-3 {
                break;
            }
            let next_residual = self.residual(air, base, kelvin, faces.flux());
            slope = ((next_residual - residual) / move_by).max(self.storage + self.convective);
            residual = next_residual;
        }
        Balanced { faces, kelvin }
    }

    /// Both faces, each of which dries the other a little: the underside's flux q solves
    /// q = under(upper(q)), by secants from a guess.
    fn faces(&self, responses: Responses, kelvin: f64, guess: f64) -> Faces {
        let warm = self.material.warm(kelvin);
        let upper_at = |under: f64| {
            let at_rest = responses.upper.at_rest - responses.upper_of_under * under;
            self.material.face(&warm, Response { at_rest, ..responses.upper }, self.vapour)
        };
        let Some(under_vapour) = self.under_vapour else {
            return Faces { upper: upper_at(0.0), under: 0.0, under_slope: 0.0 };
        };
        let under_at = |upper: f64| {
            let at_rest = responses.under.at_rest - responses.under_of_upper * upper;
            self.material.face(&warm, Response { at_rest, ..responses.under }, under_vapour)
        };
        let mut tried = guess;
        let mut upper = upper_at(tried);
        let mut under = under_at(upper.flux);
        let mut slope = 0.0;
        for _ in 0..20 {
            let excess = under.flux - tried;
            if excess.abs() <= 1e-5 * (upper.flux.abs() + under.flux.abs()) {
                break;
            }
            let before = (tried, under.flux);
            tried += excess / (1.0 - slope);
            upper = upper_at(tried);
            under = under_at(upper.flux);
            if tried != before.0 {
                // The slope of under(upper(q)) lies between 0 and 1.
                slope = f64::clamp((under.flux - before.1) / (tried - before.0), 0.0, 0.95);
            }
        }
        Faces { upper, under: under.flux, under_slope: under.slope }
    }

    fn residual(&self, air: f64, base: f64, kelvin: f64, flux: f64) -> f64 {
        let radiative = radiative_si(self.emissivity, kelvin, air);
        self.storage * (kelvin - base) - (self.convective + radiative) * (air - kelvin)
            + flux * heat_of_evaporation_j(kelvin - 273.15)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A film on a linear isotherm: q = k u at the face, as in Crank's eq. 4.53.
    struct LinearFilm(f64);

    impl Sorption for LinearFilm {
        type Warm = ();

        fn warm(&self, _: f64) {}

        fn face(&self, (): &(), response: Response, _: Vapour) -> Face {
            let flux = self.0 * response.at_rest / (1.0 + self.0 * response.per_flux);
            let moisture = response.at_rest - response.per_flux * flux;
            Face { flux, moisture, slope: 0.0 }
        }

        fn brine_exhausted_at(&self, _: f64) -> f64 {
            0.0
        }
    }

    fn slab<S>(material: S, length: f64, density: f64, moisture: f64, d: f64) -> Slab<S> {
        Slab {
            material,
            solids_density: density,
            solids_heat: 1000.0,
            moisture,
            kelvin: 293.15,
            length,
            exposure: 1.0,
            law: Law::Constant(d),
            turn_at: None,
            cells: 40,
        }
    }

    /// The huge film holds the temperature, which these faces do not see.
    const STEADY: Air = Air {
        first: 293.15,
        set: 293.15,
        warm_up: 0.0,
        vapour: 0.0,
        own: 0.0,
        pressure: 101_325.0,
        film: 1e9,
        radiative_film: 0.0,
        emissivity: 0.0,
        underside: 0.0,
        lasts: 0.0,
    };

    fn remaining(bi: f64, fo: f64) -> f64 {
        let (length, d, density) = (0.003, 1e-9, 900.0);
        let slab = slab(LinearFilm(bi * d * density / length), length, density, 1.0, d);
        let end = Until::Time(fo * length * length / d);
        run(&slab, &[STEADY], Goal { hard: 0.0, dry: 0.0 }, end, false).last.mean
    }

    #[test]
    fn wood_of_a_textbook() {
        // Geankoplis, Transport Processes 3rd ed., example 9.9-1: slab of 25.4 mm, both
        // faces, D 2.97e-6 m²/h, free moisture 0.25 to 0.05: 30.8 h.
        let (length, d) = (0.0127, 2.97e-6 / 3600.0);
        let slab = slab(LinearFilm(1.0), length, 500.0, 0.25, d);
        let run = run(&slab, &[STEADY], Goal { hard: 0.25, dry: 0.05 }, Until::Done, false);
        assert_relative_eq!(run.dry.unwrap() / 3600.0, 30.8, max_relative = 2e-3);
    }

    /// A face that gives off water at a constant rate.
    struct ConstantFlux(f64);

    impl Sorption for ConstantFlux {
        type Warm = ();

        fn warm(&self, _: f64) {}

        fn face(&self, (): &(), response: Response, _: Vapour) -> Face {
            let moisture = response.at_rest - response.per_flux * self.0;
            Face { flux: self.0, moisture, slope: 0.0 }
        }

        fn brine_exhausted_at(&self, _: f64) -> f64 {
            0.0
        }
    }

    #[test]
    fn tray_at_constant_rate() {
        // Geankoplis, example 9.6-2: 21.5 kg/m², 1.51 kg/m²h, moisture 0.38 to 0.25: 1.85 h.
        let slab = slab(ConstantFlux(1.51 / 3600.0), 0.02, 21.5 / 0.02, 0.38, 1e-5);
        let run = run(&slab, &[STEADY], Goal { hard: 0.38, dry: 0.25 }, Until::Done, false);
        assert_relative_eq!(run.dry.unwrap() / 3600.0, 1.851, max_relative = 1e-3);
    }

    #[test]
    fn slab_with_surface_resistance() {
        // Crank (1975) eq. 4.53 evaluated, drying notes 6.2; 1e-3 with 40 cells as asked there.
        const FO: [f64; 6] = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0];
        for (bi, row) in [
            (0.1, [0.99023, 0.97591, 0.95257, 0.90759, 0.82389, 0.61632]),
            (0.5, [0.95538, 0.89513, 0.80433, 0.64976, 0.42405, 0.11787]),
            (1.0, [0.91960, 0.82017, 0.68110, 0.47040, 0.22439, 0.02436]),
            (2.0, [0.86637, 0.72217, 0.53962, 0.30216, 0.09476, 0.00292]),
            (5.0, [0.78142, 0.59413, 0.38517, 0.16248, 0.02892, 0.00016]),
            (10.0, [0.72612, 0.52561, 0.31502, 0.11350, 0.01473, 0.00003]),
            (50.0, [0.66246, 0.45699, 0.25234, 0.07709, 0.00719, 0.00001]),
        ] {
            for (fo, wanted) in FO.into_iter().zip(row) {
                let found = remaining(bi, fo);
                assert_relative_eq!(found, wanted, epsilon = 1e-3);
            }
        }
    }
}

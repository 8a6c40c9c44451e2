//! The transient: moisture in cells, one temperature, an open face and an underside
//! that may breathe a little, stages of air.
//!
//! Solids do not move and do not shrink; moisture u (kg water per kg solids) obeys
//! ∂u/∂t = D(T) ∂²u/∂x², the face loses what the air takes, the piece is warmed by
//! convection and radiation and cooled by evaporation. Time: two-stage, second-order,
//! L-stable diagonally implicit Runge-Kutta (Alexander 1977, SIAM J. Numer. Anal.
//! 14:1006) with step control, within 0.25 % of far smaller steps on the anchors of
//! tests/physics/dough_drying.rs; water is conserved to rounding.

use super::around::{Around, Responses};
use super::face::{Face, Response, Sorption};
use super::grid::{Factored, Grid};
use super::state::{Air, Extremes, Goal, Instant, Run, Slab, Until, Wetting};
use crate::properties::bisection::turn;
use crate::properties::brine::brine_vapour_pressure_pa;

/// γ = 1 - 1/√2 makes the two-stage scheme second order and L-stable.
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Largest first-order error of a step: mean moisture (share of the start) and kelvins.
const MOISTURE_TOLERANCE: f64 = 5e-4;
const KELVIN_TOLERANCE: f64 = 0.25;
/// A drying that takes longer than this never ends for a user, s.
pub(crate) const LONGEST: f64 = 400.0 * 86_400.0;
const MOST_STEPS: usize = 200_000;

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
    coated: usize,
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
            Until::Done(end) => (end, true),
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
            coated: 0,
            keep_trace,
            run: Run {
                firm: None,
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
            || (self.stop_when_done && self.run.dry.is_some() && self.next_coat().is_none())
    }

    fn next_coat(&self) -> Option<Wetting> {
        self.slab.coats.get(self.coated).copied()
    }

    fn through(&mut self, air: &Air, end: f64) {
        let began = self.time;
        while self.time < end && !self.finished() {
            let turn = self.slab.turn_at.filter(|_| !self.turned).unwrap_or(f64::INFINITY);
            let coat = self.next_coat().map_or(f64::INFINITY, |coat| coat.at);
            let stop = end.min(turn.min(coat).max(self.time));
            let left = stop - self.time;
            if left <= 1e-9 * stop.max(1.0) {
                self.time = stop;
                // A step may end a rounding beyond the turn.
                if stop >= turn {
                    self.turn();
                }
                if stop >= coat {
                    self.coat();
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

    /// Puts a coat on the open face: its water soaks as deep as it dissolves all the salt.
    fn coat(&mut self) {
        let Some(coat) = self.next_coat() else { return };
        let full = self.slab.material.crystals_dissolved_at(self.kelvin - 273.15);
        let mut water = coat.water * self.slab.exposure;
        self.run.lost += water;
        for (u, width) in self.u.iter_mut().zip(&self.grid.width).rev() {
            let holds = self.slab.solids_density * width;
            let taken = (holds * (full - *u)).clamp(0.0, water);
            *u += taken / holds;
            water -= taken;
        }
        self.rate.fill(0.0);
        self.step = self.step.min(1.0);
        self.coated += 1;
        self.run.dry = None;
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
        let passed = |(before, after), level| {
            crossing(before, after, dt, level).map(|part| self.time + part)
        };
        let firm = self.run.firm.or_else(|| passed((before.mean, after.mean), self.goal.firm));
        let dry = passed((before.core, after.core), self.goal.dry);
        // Dry is never before firm.
        let dry = firm.zip(dry).map(|(firm, dry)| dry.max(firm));
        self.run.firm = firm;
        self.run.dry = self.run.dry.or(dry);
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
        // Coats are already in it, with what they brought.
        self.run.lost += held * (self.slab.moisture - self.grid.mean(&self.u));
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
    Some(turn(0.0, 1.0, 40, |s| cubic(s) > level) * dt)
}

#[cfg(test)]
#[path = "stepper_tests.rs"]
mod tests;

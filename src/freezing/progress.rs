//! One block on its way: when it is solid, when it is ready, whether it can still get there.

use super::run::{Load, Moment, Run};
use crate::units::in_seconds;

/// One block on its way.
pub(super) struct Progress {
    pub(super) since: f64,
    /// Since it went in, s.
    pub(super) time: f64,
    pub(super) solid: Crossing,
    pub(super) ready: Crossing,
    pub(super) outlook: Outlook,
    pub(super) initial: f64,
    pub(super) given: f64,
    pub(super) work: f64,
    /// It cannot get ready within the limit.
    pub(super) given_up: bool,
    /// As cold as what surrounds it: it gives off no more.
    pub(super) cold: bool,
    /// Whether it has a history.
    pub(super) is_noted: bool,
    pub(super) history: Vec<Moment>,
}

impl Progress {
    /// Of a load whose enthalpy is `initial`, J.
    pub(super) fn new(load: &Load<'_>, initial: f64) -> Self {
        let ready = Crossing::new(load.medium.ready_h());
        let least = ready.level * load.mesh.volume.iter().sum::<f64>();
        Self {
            since: in_seconds(load.since),
            time: 0.0,
            solid: Crossing::new(0.0),
            ready,
            outlook: Outlook::new(initial, least),
            initial,
            given: 0.0,
            work: 0.0,
            given_up: false,
            cold: false,
            is_noted: false,
            history: Vec::new(),
        }
    }

    /// Whether it is waited for.
    pub(super) fn under_way(&self, run: &Run) -> bool {
        let late = self.time >= in_seconds(run.limit) || self.work > run.most_work;
        self.ready.at.is_none() && !self.given_up && !late
    }

    pub(super) fn is_in(&self, time: f64) -> bool {
        self.since <= time + 1e-6 && !self.cold
    }

    /// One step, before which the warmest enthalpy was `warmest`.
    pub(super) fn pass(&mut self, step: f64, warmest: f64) {
        self.solid.pass(self.time, step, warmest);
        self.ready.pass(self.time, step, warmest);
        self.time += step;
    }
}

/// Whether a block can still get ready before the run's limit, by the heat that it lately gave
/// off. Without it a block in air that is too warm would be followed for days.
pub(super) struct Outlook {
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

    pub(super) fn new(enthalpy: f64, least: f64) -> Self {
        Self { since: 0.0, enthalpy, least }
    }

    pub(super) fn hopeless(&mut self, time: f64, limit: f64, enthalpy: impl Fn() -> f64) -> bool {
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

/// When the warmest enthalpy passes below a level, between two steps.
pub(super) struct Crossing {
    level: f64,
    before: f64,
    pub(super) at: Option<f64>,
}

impl Crossing {
    pub(super) fn new(level: f64) -> Self {
        Self { level, before: f64::INFINITY, at: None }
    }

    /// Notes the warmest enthalpy at `time`, one `step` after the last.
    pub(super) fn pass(&mut self, time: f64, step: f64, warmest: f64) {
        if self.at.is_none() && warmest <= self.level {
            let over = (self.before - self.level) / (self.before - warmest);
            let share = if over.is_finite() { over } else { 1.0 };
            self.at = Some((time - step + share * step).max(0.0));
        }
        self.before = warmest;
    }
}

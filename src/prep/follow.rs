//! How a plan is followed: where to look, and what is kept for what was not ready.

use super::{
    carry::leaving,
    clock::{Tick, hours_of},
    draft::{Draft, Ends, Passive, RARE},
    durations::{Drying, Durations, Process, Until},
    kept::KeptPlan,
    reasons::Because,
    replay::{Replay, Reserve, waits_of},
    round::Round,
    tell::{IfNot, Look, TimedStep},
    trips::SessionAt,
};
use crate::{
    planfile::{Ice, Plan},
    scheduler::{ActivityId, Solution},
    tables::{self, Step},
};

/// A plan and what came of following it.
pub struct Followed<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its steps.
    pub draft: &'a Draft,
    /// When each starts.
    pub solution: &'a Solution,
    /// What came of following it.
    pub replay: &'a Replay,
    /// The physics.
    pub durations: &'a dyn Durations,
}

impl Followed<'_> {
    /// Adds to the steps what is known of following them.
    pub fn add_to(&self, steps: &mut [TimedStep<'_>]) {
        for (number, span) in self.draft.spans.iter().enumerate() {
            let Some(chance) = self.replay.chances.waits.get(&number) else { continue };
            if let Some(step) = steps.iter_mut().find(|step| step.task.id == span.task.id) {
                step.chance = Some(*chance).filter(|chance| *chance < 1.0);
            }
            for task in waits_of(self.draft, span.after, span.before).map(|link| link.after) {
                let id = self.draft.tasks.get(task.0).map(|task| task.id.as_str());
                let step = steps.iter_mut().find(|step| Some(step.task.id.as_str()) == id);
                if let (Some(step), Some(look)) = (step, self.look(number, span, task)) {
                    step.weigh_g = look.weigh_g;
                    // Several loads are looked at together: as likely as the least likely.
                    match step.looks.iter_mut().find(|there| there.at == look.at) {
                        Some(there) if there.chance <= look.chance => {}
                        Some(there) => *there = look,
                        None => step.looks.push(look),
                    }
                }
            }
        }
        for step in &mut *steps {
            self.beside_oven(step);
        }
        self.as_she_packs(steps);
    }

    /// What is only needed where a step was not possible.
    pub fn reserves<'t>(&self, steps: &[TimedStep<'t>]) -> Vec<TimedStep<'t>> {
        let reserves = self.replay.reserves.iter().filter(|reserve| reserve.needed >= RARE);
        reserves.filter_map(|reserve| self.reserve(reserve, steps)).collect()
    }

    /// Adds what is looked at as pieces come out of an oven.
    fn beside_oven(&self, step: &mut TimedStep<'_>) {
        let row = tables::look_before(step.task.step);
        let Some((out, row)) = step.task.comes_out.zip(row) else { return };
        let drying = step.task.process.as_ref().and_then(|process| self.drying(process));
        let Some(drying) = drying else { return };
        step.risks = self.durations.risks(self.plan, &drying);
        step.weigh_g = self.durations.weights(&drying);
        let ready_g = step.weigh_g.and_then(|weights| match out.until {
            Until::Firm => weights.firm,
            Until::Dry => weights.dry,
        });
        step.looks = vec![Look {
            at: step.end,
            place: step.task.place.clone(),
            row,
            weigh_g: step.weigh_g,
            ready_g,
            chance: out.ready,
            if_not: if out.again { IfNot::Again } else { IfNot::StaysOut },
        }];
    }

    /// Adds what is looked at as she packs: what stayed wet freezes on until then.
    fn as_she_packs(&self, steps: &mut [TimedStep<'_>]) {
        let Some(kept) = KeptPlan::of(self.plan, self.draft.clock) else { return };
        for (at, pack) in &self.draft.packs {
            let id = &self.draft.tasks[pack.0].id;
            let step = steps.iter_mut().find(|step| step.task.id == *id);
            let row = tables::look_before(Step::Pack);
            let Some(((step, start), row)) = step.zip(self.solution.start(*pack)).zip(row) else {
                continue;
            };
            let chances = kept.left_behind(*at).into_iter();
            let chances = chances.filter_map(|round| self.solid_by(*at, &round, start));
            if let Some(chance) = chances.reduce(f64::min) {
                let if_not = IfNot::Waits { kept: None, others_late: false };
                let (at, weigh_g, ready_g) = (step.start, None, None);
                let place = step.task.place.clone();
                step.looks = vec![Look { at, place, row, weigh_g, ready_g, chance, if_not }];
            }
        }
    }

    /// The chance that a round which was seen to be wet is solid at a moment.
    fn solid_by(&self, (ice, _): SessionAt, round: &Round, at: Tick) -> Option<f64> {
        let Ice { mould, freezer, .. } = self.plan.ice[ice];
        let (mould, freezer) = (&self.plan.moulds[mould], &self.plan.freezers[freezer]);
        let filled = round.fill.1;
        let outcomes = self.durations.freeze(mould, freezer, round.beside).ok()?;
        let left = outcomes.given_longer_than(hours_of(round.wet_at? - filled));
        Some(left.chance(hours_of(at - filled)))
    }

    /// The look before a step that waits for something.
    fn look(&self, number: usize, span: &Passive, task: ActivityId) -> Option<Look> {
        let told = self.draft.tasks.get(task.0)?;
        let row = tables::look_before(told.step)?;
        let start = self.solution.start(task)?;
        let lies = Some(&span.task.place).filter(|lies| **lies != told.place);
        let before = lies.and_then(|lies| Some((self.last_there(lies, start)?, lies)));
        let (at, place) = before.unwrap_or((start, &told.place));
        let chance = self.replay.kitchens.share(number, at)?;
        if chance >= 1.0 {
            return None;
        }
        let instant = |tick| self.draft.clock.instant(tick);
        let later = self.replay.chances.later.get(&number);
        let warning = later.filter(|later| later.after_wet > later.after_ready + RARE);
        let kept = self.replay.reserves.iter().find(|reserve| reserve.of == task);
        let kept = kept.filter(|kept| kept.needed >= RARE).map(|kept| instant(kept.start));
        let others_late = warning.is_some_and(|later| later.after_wet >= 0.5);
        let drying = span.task.process.as_ref().and_then(|process| self.drying(process));
        let weigh_g = drying.and_then(|drying| self.durations.weights(&drying));
        let ready_g = weigh_g.and_then(|weights| match span.ends {
            Ends::Dry { .. } => weights.dry,
            _ => weights.firm,
        });
        let (at, if_not) = (instant(at), IfNot::Waits { kept, others_late });
        let place = place.clone();
        Some(Look { at, place, row, weigh_g, ready_g, chance, if_not })
    }

    fn drying<'p>(&self, process: &'p Process) -> Option<Drying<'p>> {
        let Process::Drying { ornament, pieces, heat, .. } = process else { return None };
        Some(Drying { ornament, pieces: *pieces, room: self.plan.room, heat: *heat })
    }

    /// The last time before a step elsewhere at which she is where things lie: the begin of those
    /// hours, or as she leaves; none where she has left.
    fn last_there(&self, lies: &str, start: Tick) -> Option<Tick> {
        let clock = self.draft.clock;
        let place = self.plan.places.iter().position(|place| place.name == lies);
        let open = place.map_or_else(Vec::new, |place| clock.hours(self.plan, place));
        let leaves = clock.floor(leaving(self.plan, clock.instant(start)));
        let begins = open.iter().rev().map(|open| open.start).find(|at| *at <= start);
        begins.or(Some(leaves).filter(|leaves| *leaves >= 0))
    }

    /// A step that is only needed where the one it stands for was not possible.
    fn reserve<'t>(&self, reserve: &Reserve, steps: &[TimedStep<'t>]) -> Option<TimedStep<'t>> {
        let task = self.draft.tasks.get(reserve.of.0)?;
        let of = steps.iter().find(|step| step.task.id == task.id)?;
        Some(TimedStep {
            start: self.draft.clock.instant(reserve.start),
            end: self.draft.clock.instant(reserve.end),
            because: Some(Because::StandsIn),
            slack_h: 0.0,
            chance: None,
            reserve: true,
            needed: Some(reserve.needed),
            looks: Vec::new(),
            weigh_g: None,
            risks: Vec::new(),
            ..*of
        })
    }
}

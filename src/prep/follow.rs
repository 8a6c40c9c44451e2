//! How a plan is followed: what each step is called, where to look, and what is kept for what
//! was not ready.

use super::{
    clock::Tick,
    draft::{Draft, Ends, Passive},
    durations::{Drying, Durations, Process},
    replay::{RARE, Replay, Reserve, waits_of},
    schedule::{Attention, Follow, LookAt, PlanChance, Promise, STANDS_IN, Step, WatchHours},
    steps::{moment_words, pieces},
    stretches::Until,
    tell::by_time,
};
use crate::{
    answers::dough::WeighGrams,
    planfile::Plan,
    scheduler::{ActivityId, Solution},
    tables::{self, Look},
    units::hours_between,
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
    /// What is promised of the whole.
    pub fn promise(&self, steps: &[Step]) -> Promise {
        let planned = |goal: &usize| self.solution.levels[*goal].is_some();
        let goals = (0..self.draft.goals.len()).filter(planned);
        let chances = &self.replay.chances;
        let by_goal = goals.map(|goal| (self.draft.goals[goal].words.clone(), chances.goals[goal]));
        let by_goal = by_goal.collect();
        let watched = || steps.iter().filter(|step| step.attention == Attention::Watch);
        let hours = |step: &Step| hours_between(step.start, step.end);
        let expected = |step: &Step| hours(step) * step.follow.needed.unwrap_or(1.0);
        Promise {
            chance: self
                .solution
                .unserved()
                .is_empty()
                .then_some(PlanChance { all: chances.all, by_goal }),
            watch_h: WatchHours {
                expected: watched().map(expected).fold(0.0, |all, own| all + own),
                reserved: watched().map(hours).fold(0.0, |all, own| all + own),
            },
        }
    }

    /// Adds to the steps what is known of following them, and the reserves.
    pub fn add_to(&self, steps: &mut Vec<Step>) {
        for (number, span) in self.draft.spans.iter().enumerate() {
            let Some(chance) = self.replay.chances.waits.get(&number) else { continue };
            if let Some(step) = steps.iter_mut().find(|step| step.id == span.task.id) {
                step.chance = Some(*chance).filter(|chance| *chance < 1.0);
            }
            for task in waits_of(self.draft, span.after, span.before).map(|link| link.after) {
                let look = self.look(number, span, task);
                let id = self.draft.tasks.get(task.0).map(|task| task.id.as_str());
                let step = steps.iter_mut().find(|step| Some(step.id.as_str()) == id);
                if let (Some(step), Some((look, weights))) = (step, look) {
                    // Several loads are looked at together: as likely as the least likely.
                    let same = |there: &&mut LookAt| there.at == look.at && there.see == look.see;
                    match step.follow.looks.iter_mut().find(same) {
                        Some(there) => there.chance = there.chance.min(look.chance),
                        None => step.follow.looks.push(look),
                    }
                    step.follow.weigh_g = weights;
                }
            }
        }
        self.beside_ovens(steps);
        let reserves = self.replay.reserves.iter().filter(|reserve| reserve.needed >= RARE);
        let reserves: Vec<Step> = reserves.filter_map(|it| self.reserve(it, steps)).collect();
        steps.extend(reserves);
        by_time(steps);
    }

    /// Adds what is looked at as pieces come out of an oven.
    fn beside_ovens(&self, steps: &mut [Step]) {
        for task in &self.draft.tasks {
            let Some((out, row)) = task.comes_out.zip(tables::look_before(task.step)) else {
                continue;
            };
            let Some(step) = steps.iter_mut().find(|step| step.id == task.id) else { continue };
            let drying = task.process.as_ref().and_then(|process| self.drying(process));
            step.follow.risks =
                drying.as_ref().map_or(Vec::new(), |it| self.durations.risks(self.plan, it));
            step.follow.weigh_g = drying.as_ref().and_then(|it| self.durations.weights(it));
            let weights = step.follow.weigh_g.as_ref();
            let ready = weights.and_then(|weights| match out.until {
                Until::Firm => weights.firm,
                Until::Dry => weights.dry,
            });
            let (if_not, short) = match out.again {
                true => (&row.if_again, &row.short_again),
                false => (&None, &row.short_weighed),
            };
            let short = in_grams(short.as_ref(), weights, ready);
            step.follow.looks = vec![LookAt {
                at: step.end,
                see: seen(row, weights, ready),
                short: short.unwrap_or_else(|| row.short.clone()),
                if_not: if_not.as_ref().unwrap_or(&row.if_not).clone(),
                chance: out.ready,
                ready_g: ready.filter(|_| out.again),
            }];
        }
    }

    /// The look before a step that waits for something.
    fn look(
        &self,
        number: usize,
        span: &Passive,
        task: ActivityId,
    ) -> Option<(LookAt, Option<WeighGrams>)> {
        let told = self.draft.tasks.get(task.0)?;
        let row = tables::look_before(told.step)?;
        let start = self.solution.start(task)?;
        let at = match span.ends {
            Ends::Block => start,
            _ => self.last_at_home(start),
        };
        let chance = self.replay.kitchens.share(number, at)?;
        if chance >= 1.0 {
            return None;
        }
        let weights = self.weights(span);
        let later = self.replay.chances.later.get(&number);
        let warning = later.filter(|later| later.after_wet > later.after_ready + RARE);
        let mut if_not = row.if_not.clone();
        let kept = self.replay.reserves.iter().find(|reserve| reserve.of == task);
        if let Some(kept) = kept.filter(|kept| kept.needed >= RARE) {
            let [now, then] = [at, kept.start].map(|tick| self.draft.clock.instant(tick));
            if_not +=
                &format!(" A time is kept for it {}.", moment_words(now, then, self.draft.locale));
        }
        if warning.is_some_and(|later| later.after_wet >= 0.5) {
            if_not += " The later rounds will then probably be late too: say what you saw, and they are planned anew.";
        }
        let at = self.draft.clock.instant(at);
        let ready = weights.as_ref().and_then(|weights| match span.ends {
            Ends::Dry { .. } => weights.dry,
            _ => weights.firm,
        });
        let (see, short) = (seen(row, weights.as_ref(), ready), row.short.clone());
        Some((LookAt { at, see, short, if_not, chance, ready_g: None }, weights))
    }

    fn weights(&self, span: &Passive) -> Option<WeighGrams> {
        self.durations.weights(&self.drying(span.task.process.as_ref()?)?)
    }

    fn drying<'p>(&self, process: &'p Process) -> Option<Drying<'p>> {
        let Process::Drying { ornament, pieces, heat, .. } = process else { return None };
        Some(Drying { ornament, pieces: *pieces, room: self.plan.room, heat: *heat })
    }

    /// The last time before a step at which she is at home: the begin of those hours.
    fn last_at_home(&self, start: Tick) -> Tick {
        let home = &self.plan.places[self.plan.home()];
        let open = self.draft.clock.hours(&self.plan.away, home);
        open.iter().rev().map(|open| open.start).find(|at| *at <= start).unwrap_or(start)
    }

    /// A step that is only needed where the one it stands for was not possible.
    fn reserve(&self, reserve: &Reserve, steps: &[Step]) -> Option<Step> {
        let task = self.draft.tasks.get(reserve.of.0)?;
        let of = steps.iter().find(|step| step.id == task.id)?;
        let what = match task.step {
            tables::Step::TurnOut => {
                format!("Turn out what was still wet of {}", pieces(of.count, "block"))
            }
            _ => format!("{}, if the pieces were not ready", of.what),
        };
        Some(Step {
            id: format!("{}{STANDS_IN}", of.id),
            what,
            start: self.draft.clock.instant(reserve.start),
            end: self.draft.clock.instant(reserve.end),
            because: format!("It is kept for when “{}” was not possible yet.", of.what),
            slack_h: 0.0,
            chance: None,
            amounts: Vec::new(),
            curve: None,
            follow: Follow {
                short: format!("{}{STANDS_IN}", of.follow.short),
                reserve: true,
                needed: Some(reserve.needed),
                looks: Vec::new(),
                weigh_g: None,
                risks: Vec::new(),
            },
            ..of.clone()
        })
    }
}

/// What ready looks like: on a scale first of all, where one says it.
fn seen(row: &Look, weights: Option<&WeighGrams>, ready: Option<f64>) -> String {
    match in_grams(row.weighed.as_ref(), weights, ready) {
        Some(words) => format!("{words}. {}", row.see),
        None => row.see.clone(),
    }
}

/// Words with weights in them; none where one is not known.
fn in_grams(
    words: Option<&String>,
    weights: Option<&WeighGrams>,
    ready: Option<f64>,
) -> Option<String> {
    // A kitchen scale shows whole grams; an ounce is too coarse for one piece.
    let show = |mass: f64| format!("{mass:.0} g");
    let (words, weights) = words.zip(weights)?;
    let wet = Some(weights.wet);
    let of = [("{ready}", ready), ("{wet}", wet), ("{firm}", weights.firm), ("{dry}", weights.dry)];
    let known = of.iter().filter_map(|(name, mass)| Some((name, show((*mass)?))));
    let words = known.fold(words.clone(), |words, (name, mass)| words.replace(name, &mass));
    Some(words).filter(|words| !words.contains('{'))
}

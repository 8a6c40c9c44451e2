//! The schedule that all outputs print: the steps of a plan with their times, in words.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::{
    amounts::{dough, measured_out, oil, shopping, water},
    carry::Carried,
    words::{Explained, elsewhere, goal, look, notes, pieces, served, thing, uses, what, without},
};
use crate::{
    planfile::Plan,
    prep::{
        Durations, Laid, LayError,
        draft::{Serves, Task},
        needs,
        schedule::{
            Amount, Attention, Caution, Follow, PlanChance, Promise, SCHEMA, STANDS_IN, Schedule,
            Step, WatchHours, Ways,
        },
        tell::{TimedStep, Timetable},
        what::What,
    },
    tables,
    units::{Locale, hours_between, in_fraction},
};

impl Laid {
    /// The schedule of what can be served; what cannot is left out and not
    /// explained.
    ///
    /// # Errors
    /// [`LayError`] when a thing of the plan is outside the physics' range.
    pub fn schedule(
        &self,
        plan: &Plan,
        now: DateTime<Utc>,
        durations: &dyn Durations,
    ) -> Result<Schedule, LayError> {
        let timetable = self.timetable(plan, durations)?;
        let needs = needs(plan, &self.draft, &self.solution);
        let words = Words { plan, laid: self, durations, needs };
        let mut steps: Vec<Step> = timetable.steps.iter().map(|step| words.step(step)).collect();
        let shopping = shopping(plan, &steps, durations);
        let looks = steps.iter().flat_map(elsewhere).collect();
        let carried = Carried { plan, steps: &timetable.steps };
        let promise = words.promise(&timetable);
        let without = without(plan);
        let lacking = without.iter().map(|words| format!("{words}."));
        let notes = lacking.chain(notes(plan, self, &timetable)).collect();
        steps.extend(timetable.reserves.iter().map(|reserve| words.reserve(reserve)));
        steps.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
        Ok(Schedule {
            schema: SCHEMA,
            title: plan.title.clone(),
            timezone: plan.zone,
            locale: plan.locale(),
            spelling: plan.spelling(),
            computed: now,
            feasible: self.solution.unserved().is_empty(),
            status: self.status(),
            price: self.price,
            promise,
            shopping,
            carry: carried.out(),
            back: carried.back(),
            steps,
            looks,
            problems: Vec::new(),
            one_change: Ways::default(),
            notes,
            without,
        })
    }
}

/// A plan that is put into words.
struct Words<'a> {
    plan: &'a Plan,
    laid: &'a Laid,
    durations: &'a dyn Durations,
    needs: BTreeMap<String, Vec<String>>,
}

impl Words<'_> {
    /// What is promised of the whole.
    fn promise(&self, timetable: &Timetable<'_>) -> Promise {
        let Laid { draft, solution, .. } = self.laid;
        let chances = &timetable.chances;
        let goals = draft.goals.iter().zip(&chances.goals).zip(&solution.levels);
        let planned = goals.filter(|(_, level)| level.is_some());
        let by_goal = planned.map(|((serves, chance), _)| (goal(self.plan, *serves), *chance));
        let wished = in_fraction(self.plan.wishes.sureness);
        let chance = PlanChance { all: chances.all, wished, by_goal: by_goal.collect() };
        let steps = timetable.steps.iter();
        let watched = steps.filter(|step| step.task.attention == Attention::Watch);
        let hours = watched.map(|step| (hours_between(step.start, step.end), step.needed));
        let watch_h = hours.fold(WatchHours::default(), |all, (own, needed)| WatchHours {
            expected: all.expected + own * needed.unwrap_or(1.0),
            reserved: all.reserved + own,
        });
        Promise { chance: solution.unserved().is_empty().then_some(chance), watch_h }
    }

    fn step(&self, step: &TimedStep<'_>) -> Step {
        let (plan, task) = (self.plan, step.task);
        let things = |things: &[_]| things.iter().map(|it| thing(*it)).collect();
        let course = |process| self.durations.course(plan, process);
        Step {
            id: task.id.clone(),
            goal: served(plan, step.goal),
            what: what(plan, task),
            place: task.place.clone(),
            group: task.group.clone(),
            start: step.start,
            end: step.end,
            attention: task.attention,
            uses: uses(plan, task.what).into_iter().collect(),
            amounts: self.amounts(task, step.goal),
            bring: things(&task.bring),
            take_back: things(&task.take_back),
            because: Explained { plan, laid: self.laid, step }.because(),
            cautions: cautions(task, plan.locale()),
            slack_h: step.slack_h,
            chance: step.chance,
            follow: Follow {
                short: task.short.clone(),
                reserve: step.reserve,
                needed: step.needed,
                looks: step.looks.iter().map(|it| look(plan, it)).collect(),
                weigh_g: step.weigh_g,
                risks: step.risks.clone(),
            },
            kind: task.step,
            count: task.count,
            after: self.needs.get(&task.id).cloned().unwrap_or_default(),
            curve: task.process.as_ref().and_then(course),
        }
    }

    /// A step that is only needed where the one it stands for was not possible.
    fn reserve(&self, reserve: &TimedStep<'_>) -> Step {
        let of = self.step(reserve);
        let what = match reserve.task.what {
            What::TurnOut(count, _) => {
                format!("Turn out what was still wet of {}", pieces(count, "block"))
            }
            _ => format!("{}, if the pieces were not ready", of.what),
        };
        Step {
            id: format!("{}{STANDS_IN}", of.id),
            what,
            amounts: Vec::new(),
            curve: None,
            follow: Follow { short: format!("{}{STANDS_IN}", of.follow.short), ..of.follow },
            ..of
        }
    }

    /// How much of what a step takes.
    fn amounts(&self, task: &Task, goal: Serves) -> Vec<Amount> {
        let (plan, units) = (self.plan, self.plan.units);
        match (task.what, goal) {
            (What::Fill(of, _), _) => vec![water(units, &plan.moulds[of.mould], of.count)],
            (What::Mix, Serves::Gift { ornament }) => {
                let own = &plan.ornaments[ornament];
                let amounts = measured_out(plan, own, task.count, self.durations);
                let all = amounts.map(|it| (dough(units, &it), oil(units, own.recipe, &it)));
                all.into_iter().flat_map(|(dough, oil)| dough.into_iter().chain(oil)).collect()
            }
            _ => Vec::new(),
        }
    }
}

/// The cautions that `tables/cautions.toml` has for a step.
fn cautions(task: &Task, locale: Locale) -> Vec<Caution> {
    tables::cautions_at(task.step, task.youngest)
        .filter(|caution| caution.dried.is_none() || caution.dried == task.dried)
        .map(|caution| Caution {
            id: caution.id.clone(),
            title: caution.title.clone(),
            text: caution.text.clone(),
            source: caution.source_title().to_owned(),
            short: caution.short_in(locale),
            said: caution.text_in(locale),
        })
        .collect()
}

//! Batches of ornaments as the search by sittings is told them: a chain of steps for
//! each way of drying, read off the same draft of tasks and waits that people are told.

use std::ops::Range;

use chrono::{Datelike, NaiveDate, NaiveTime};

use super::{
    clock::{Clock, NEVER, Tick, hours_of},
    cost::cost,
    done::take_known,
    draft::Draft,
    durations::{Drying, DurationError, Durations},
    kept::KeptPlan,
    looks::ways_on,
    rounds::Rounds,
    schedule::Attention,
    steps::{Shared, add_ornament},
    ways::{Way, ways},
};
use crate::{
    planfile::Plan,
    scheduler::{
        Link,
        sittings::{self, Chain, Cost, MOST_STEPS, Same, Step, Wait},
    },
    tables::{self, Term, Work},
};

/// Hands that load an oven and empty it, in hours (common practice, no source): what is left of a stretch at home is
/// how long it can be watched.
const LOADING_H: f64 = 0.5;

/// A batch of the plan and what its chain stands for.
#[derive(Debug, Clone)]
pub struct Batch {
    /// Its position in the plan's list.
    pub ornament: usize,
    /// Whether it may be baked on several days.
    pub again: bool,
    /// How sure its waits are, as a place in [`LEVELS`](super::draft::LEVELS).
    pub level: usize,
    /// By way of the chain: the way, and the task of each step among the batch's own tasks.
    pub ways: Vec<(Way, Vec<usize>)>,
}

/// The chain of a batch: every way of drying that can be planned at all.
///
/// # Errors
/// [`DurationError`] when a piece is outside the physics' range.
pub fn chain(
    rounds: &mut Rounds<'_>,
    durations: &dyn Durations,
    ornament: usize,
    (again, level): (bool, usize),
    begun: Option<Way>,
) -> Result<(Chain, Batch), DurationError> {
    let (plan, clock) = (rounds.plan, rounds.clock);
    let mut batch = Batch { ornament, again, level, ways: Vec::new() };
    let mut chain = Chain {
        ways: Vec::new(),
        day: cost(Term::DayLying),
        apart: cost(Term::CarriedAgain),
        days: class_days(plan, clock).map(|day| day.num_days_from_ce()).collect(),
    };
    let mut drafts = Vec::new();
    let ways = match begun {
        Some(way) => ways_on(plan, &plan.ornaments[ornament], way),
        None => possible(plan, durations, clock, (ornament, again)),
    };
    for way in ways {
        let mut draft = Draft::new(clock);
        let shared = Shared::book(&mut draft, plan);
        add_ornament(&mut draft, plan, &shared, (ornament, way), durations)?;
        let known = take_known(&mut draft, plan);
        drafts.push((way, draft, known));
    }
    if let Some((_, draft, _)) = drafts.first() {
        reserve(rounds, draft);
    }
    let most = drafts.iter().map(|(.., known)| *known).max().unwrap_or(0);
    for (way, draft, _) in drafts.iter().filter(|(.., known)| *known == most) {
        if let Some((steps, tasks)) = (Reading { rounds, draft, level }).way() {
            chain.ways.push(steps);
            batch.ways.push((*way, tasks));
        }
    }
    Ok((chain, batch))
}

/// Hours in which a batch is dry through with a chance, in the way that is quickest.
pub fn dry_hours(plan: &Plan, durations: &dyn Durations, ornament: usize, chance: f64) -> f64 {
    let own = &plan.ornaments[ornament];
    let hours = |way: Way| {
        let (heat, pieces) = (way.heat(plan), own.pieces(plan));
        let drying = Drying { ornament: own, pieces, room: plan.room, heat };
        durations.dry(&drying).map_or(f64::INFINITY, |dried| dried.dry.point(chance))
    };
    ways(own, f64::INFINITY, false).into_iter().map(hours).fold(f64::INFINITY, f64::min)
}

/// Keeps time in class for asking for photos and gathering them, as early as can be: what
/// waits for them may then count on it.
fn reserve(rounds: &mut Rounds<'_>, draft: &Draft) {
    for (number, task) in draft.tasks.iter().enumerate() {
        let gathers = task.step == tables::Step::Gather && !task.done;
        if !gathers || rounds.hours.reserved.contains_key(&task.id) {
            continue;
        }
        let waits = draft.problem.links.iter().filter(|link| link.after.0 == number);
        let ready = waits.filter_map(|link| {
            let before = draft.tasks.get(link.before.0)?;
            let activity = draft.problem.activities.get(link.before.0)?;
            let done = activity.windows.first().filter(|_| before.done).map(|window| window.end);
            let reserved = rounds.hours.reserved.get(&before.id).map(|reserved| reserved.end);
            Some(done.or(reserved)? + link.shortest(0))
        });
        let ready = ready.max().unwrap_or(0).max(0);
        let activity = &draft.problem.activities[number];
        let span = activity
            .windows
            .iter()
            .find_map(|open| rounds.hours.free(open.start.max(ready)..open.end, activity.duration));
        if let Some(span) = span {
            rounds.hours.reserved.insert(task.id.clone(), span);
        }
    }
}

/// The way in which a batch is told where none is chosen.
pub fn usual_way(plan: &Plan, durations: &dyn Durations, clock: Clock, ornament: usize) -> Way {
    let possible = possible(plan, durations, clock, (ornament, false));
    let oven = plan.ornaments[ornament].method.oven();
    // No hours are long enough for it, which is then what stands in the way.
    let oven = oven.map(|oven| Way::Oven { oven, lasts_h: 2.0, times: 1 });
    possible.last().copied().or(oven).unwrap_or(Way::Air)
}

/// The ways for which some day has the hours, with mixing and cutting on it.
fn possible(
    plan: &Plan,
    durations: &dyn Durations,
    clock: Clock,
    (ornament, again): (usize, bool),
) -> Vec<Way> {
    let ornament = &plan.ornaments[ornament];
    let count = ornament.pieces(plan);
    let batches = durations.batches(ornament, count);
    let before_h = Work::mix().usual_h(batches) + Work::roll().usual_h(count);
    let open = clock.hours(plan, plan.made_at(ornament));
    ways(ornament, longest_h(clock, &open, before_h) - LOADING_H, again)
}

/// The longest stretch of the open hours, with what has to be done before it on its day: that
/// takes so many hours, and is done earlier that day as far as there is time.
fn longest_h(clock: Clock, open: &[Range<Tick>], before_h: f64) -> f64 {
    let (mut longest, mut day, mut earlier) = (0.0_f64, None, 0.0);
    for window in open {
        let date = clock.instant(window.start).date_naive();
        let lasts = hours_of(window.end - window.start);
        if day.replace(date) != Some(date) {
            earlier = 0.0;
        }
        longest = longest.max(lasts - (before_h - earlier).max(0.0));
        earlier += lasts;
    }
    longest
}

/// Days on which class is held, of whatever group.
fn class_days(plan: &Plan, clock: Clock) -> impl DoubleEndedIterator<Item = NaiveDate> {
    let first = clock.instant(0).date_naive();
    let days = (clock.instant(clock.horizon()).date_naive() - first).num_days().max(0) as usize;
    let open = |day: &NaiveDate| plan.is_class_day(*day);
    let days: Vec<NaiveDate> = first.iter_days().take(days).filter(open).collect();
    days.into_iter()
}

/// Reads the steps of a chain off a draft that has one batch alone.
struct Reading<'r, 'a> {
    rounds: &'r mut Rounds<'a>,
    draft: &'r Draft,
    level: usize,
}

/// How a task of the draft takes part in the chain.
#[derive(Clone, Copy)]
enum Part {
    /// As a step, by its number.
    Step(usize),
    /// It was done, or is done in class before anything waits for it: by then.
    Before(Tick),
    /// It is done in class at the end: all is ready by then, as she leaves for it at the latest.
    After(Tick),
    /// Somebody stays near, between two steps.
    Between,
}

impl Reading<'_, '_> {
    /// The steps, and the task of each; none where this way cannot be gone.
    fn way(&mut self) -> Option<(sittings::Way, Vec<usize>)> {
        let parts = self.parts()?;
        let steps = parts.iter().filter(|part| matches!(part, Part::Step(_)));
        if steps.count() > MOST_STEPS {
            return None;
        }
        let mut way = sittings::Way::default();
        let mut tasks = Vec::new();
        for (task, part) in parts.iter().enumerate() {
            if let Part::Step(number) = part {
                way.steps.push(self.step(&parts, task)?);
                tasks.push(task);
                let children = self.draft.tasks[task].step == tables::Step::Paint;
                way.together.extend(children.then_some(*number));
            }
        }
        self.finished_early(&parts, &mut way);
        Some((way, tasks))
    }

    fn parts(&self) -> Option<Vec<Part>> {
        let mut parts: Vec<Part> = Vec::new();
        let mut steps = 0;
        for (number, task) in self.draft.tasks.iter().enumerate() {
            let ended = self.draft.problem.activities[number].windows.first()?.end;
            parts.push(match (task.done, task.step, task.attention) {
                (true, ..) => Part::Before(ended),
                (_, tables::Step::Gather, _) => {
                    Part::Before(self.rounds.hours.reserved.get(&task.id)?.end)
                }
                (_, tables::Step::Give, _) => Part::After(self.given(number)?),
                (.., Attention::Watch) => Part::Between,
                _ => {
                    steps += 1;
                    Part::Step(steps - 1)
                }
            });
        }
        Some(parts)
    }

    /// The latest start of what is done in class at the end: one group after another.
    fn given(&self, task: usize) -> Option<Tick> {
        let activities = &self.draft.problem.activities;
        let last = activities[task].windows.last()?;
        let gives = self.draft.tasks.iter().zip(activities).filter(|(other, activity)| {
            other.step == tables::Step::Give && activity.windows.last() == Some(last)
        });
        let start = last.end - gives.map(|(_, activity)| activity.duration).sum::<Tick>();
        Some(if self.made_at_home() { self.rounds.hours.leaving(start) } else { start })
    }

    /// Whether the pieces are not made where the groups are, so that they are carried there.
    fn made_at_home(&self) -> bool {
        let places = &self.rounds.plan.places;
        let at = &self.draft.tasks[0].place;
        self.rounds.plan.groups.iter().all(|group| &places[group.place].name != at)
    }

    fn step(&mut self, parts: &[Part], task: usize) -> Option<Step> {
        let activity = &self.draft.problem.activities[task];
        let told = &self.draft.tasks[task];
        let place = match told.group {
            Some(_) => self.rounds.hours.room(&activity.windows),
            None => self.rounds.plan.places.iter().position(|place| place.name == told.place)?,
        };
        let mut step = Step {
            place,
            ticks: activity.duration,
            waits: Vec::new(),
            carried: told.group.is_some() && self.made_at_home(),
            same: None,
            from: 0,
            quiet: false,
            price: 0,
            late: Vec::new(),
            end_by: NEVER,
            kept: KeptPlan::of(self.rounds.plan, self.rounds.clock)
                .and_then(|kept| kept.start(&told.id)),
            keeps: None,
        };
        if let Some(first) = self.draft.same_day.get(&task) {
            match parts[*first] {
                Part::Step(first) => step.same = Some(Same::Day(first)),
                Part::Before(end) => step.end_by = self.midnight_after(end),
                Part::After(_) | Part::Between => return None,
            }
        }
        for link in &self.draft.problem.links {
            if link.after.0 == task {
                self.waits(parts, link, &mut step)?;
            } else if link.before.0 == task {
                self.precedes(parts, link, &mut step);
            }
        }
        Some(step)
    }

    fn midnight_after(&self, tick: Tick) -> Tick {
        let clock = self.rounds.clock;
        let day = clock.instant(tick).date_naive();
        day.succ_opt().map_or(tick, |next| clock.at(next, NaiveTime::MIN))
    }

    /// What a step waits for.
    fn waits(&self, parts: &[Part], link: &Link, step: &mut Step) -> Option<()> {
        let (min, max) = (link.shortest(self.level), link.max);
        if min >= NEVER {
            return None;
        }
        match parts[link.before.0] {
            Part::Step(of) => step.waits.push(Wait { of, min, max }),
            Part::Before(end) => {
                step.from = step.from.max(end + min);
                if let Some(max) = max {
                    step.end_by = step.end_by.min(end + max + step.ticks);
                }
            }
            Part::Between => self.taken_out(parts, link, step)?,
            Part::After(_) => return None,
        }
        Some(())
    }

    /// Pieces come out when their time in the oven is over, while she is still there.
    fn taken_out(&self, parts: &[Part], link: &Link, step: &mut Step) -> Option<()> {
        let watched = link.before;
        let links = &self.draft.problem.links;
        let before = links.iter().find(|link| link.after == watched)?.before;
        let lasts = self.draft.problem.activities[watched.0].duration;
        match parts[before.0] {
            Part::Step(of) => {
                step.waits.push(Wait { of, min: lasts, max: Some(lasts) });
                step.same = Some(Same::Stretch(of));
                let needed = self.draft.tasks[watched.0].needed.unwrap_or(1.0);
                let [beside, kept] = [Term::OvenHour, Term::OvenReserved].map(|it| cost(it) as f64);
                let hour = needed * beside + (1.0 - needed) * kept;
                step.price = (hours_of(lasts) * hour).round() as Cost;
            }
            Part::Before(end) => step.from = step.from.max(end + lasts),
            Part::After(_) | Part::Between => return None,
        }
        step.quiet = true;
        Some(())
    }

    /// What waits for a step.
    fn precedes(&self, parts: &[Part], link: &Link, step: &mut Step) {
        match parts[link.after.0] {
            Part::After(start) => step.end_by = step.end_by.min(start - link.shortest(self.level)),
            Part::Between => {
                let lasts = self.draft.problem.activities[link.after.0].duration;
                let holds = self.draft.problem.holds.iter();
                let oven = holds.filter(|hold| hold.from == link.after).map(|hold| hold.resource.0);
                step.keeps = oven.min().map(|oven| (oven, lasts));
            }
            Part::Step(_) | Part::Before(_) => {}
        }
    }

    /// What comes before the giving has a price where it is late: class days are room for
    /// an ill child.
    fn finished_early(&self, parts: &[Part], way: &mut sittings::Way) {
        let (plan, clock) = (self.rounds.plan, self.rounds.clock);
        let given = parts.iter().filter_map(|part| match part {
            Part::After(start) => Some(*start),
            _ => None,
        });
        let Some(given) = given.min() else { return };
        let given = clock.instant(given).date_naive();
        let before: Vec<NaiveDate> = class_days(plan, clock).filter(|day| *day < given).collect();
        let first = std::iter::repeat_n(Term::BufferFirst, plan.wishes.buffer as usize);
        let terms = first.chain([Term::BufferSecond, Term::BufferThird]);
        let late = before.iter().rev().zip(terms);
        let dries = self.last_dries(parts);
        let late: Vec<(Tick, Cost)> =
            late.map(|(day, term)| (clock.at(*day, NaiveTime::MIN) - dries, cost(term))).collect();
        let last = way.steps.iter_mut().rfind(|step| step.end_by < NEVER);
        if let Some(last) = last {
            last.late = late;
        }
    }

    /// How long the last step dries before the giving.
    fn last_dries(&self, parts: &[Part]) -> Tick {
        let step = |task: usize| match parts[task] {
            Part::Step(number) => Some(number),
            _ => None,
        };
        let gives = self.draft.problem.links.iter();
        let gives = gives.filter(|link| matches!(parts[link.after.0], Part::After(_)));
        let last = gives.filter_map(|link| Some((step(link.before.0)?, link.shortest(self.level))));
        last.max().map_or(0, |(_, dries)| dries)
    }
}

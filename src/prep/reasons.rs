//! Why a step is where it is, in the plan's own facts and in plain words:
//! `Sunday 18:30, since freezing needs 9 h 40 min to be sure and Monday evening
//! is too late for turning out on Tuesday at 06:45.`

use super::{
    draft::{Draft, Task},
    steps::{day_part, moment_words},
};
use crate::scheduler::{ActivityId, Binding, Link, Solution, Tick};

/// What one more tick, or the next open hours, would break.
enum Cause<'a> {
    /// Something has to wait for this step.
    Wait(&'a str, ActivityId),
    /// This step may only be so long after another.
    Limit(&'a str, ActivityId),
    /// Another step comes after this one.
    Order(ActivityId),
    /// A shared thing is taken, by another step where it is known which.
    Taken(&'a str, Option<ActivityId>),
    /// It would be work in one more evening or morning.
    Sitting,
}

impl Cause<'_> {
    fn other(&self) -> Option<ActivityId> {
        match self {
            Self::Wait(_, other) | Self::Limit(_, other) | Self::Order(other) => Some(*other),
            Self::Taken(_, other) => *other,
            Self::Sitting => None,
        }
    }
}

/// One sentence: what keeps a task from being later.
pub fn because(draft: &Draft, solution: &Solution, task: ActivityId, binding: &Binding) -> String {
    sentence(draft, solution, task, binding).unwrap_or_default()
}

/// The tasks that keep a task from being later, the strongest reason first.
pub fn others(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Vec<ActivityId> {
    causes(draft, solution, task, binding).iter().filter_map(Cause::other).collect()
}

fn sentence(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Option<String> {
    let start = solution.start(task)?;
    let activity = draft.problem.activities.get(task.0)?;
    let window = activity.windows.iter().find(|w| w.start <= start && start < w.end)?;
    let said = Saying { draft, solution, task: draft.tasks.get(task.0)?, start };
    if window.end - window.start == activity.duration {
        return Some(capital(&format!("{}.", draft.facts.get(activity.fact.0)?)));
    }
    let when = draft.locale.weekday_and_time(&draft.clock.instant(start));
    let hours = draft.ends.get(task.0)?;
    let causes = causes(draft, solution, task, binding);
    let words = match (causes.first(), binding.next.filter(|_| binding.window)) {
        (Some(cause), Some(next)) => said.next_hours(cause, &when, hours, next)?,
        (Some(cause), None) => format!("{when}, since {}", said.at_once(cause)?),
        (None, _) if binding.window => format!("{when}, as late as {hours}"),
        (None, _) => match before(draft, solution, task, start) {
            Some(doing) => format!("{when}, right after {doing}: it begins no sitting of its own"),
            None => format!("{when}: of all times that do, this one costs the least trouble"),
        },
    };
    Some(format!("{words}."))
}

/// What hands do in the same place until a task begins.
fn before(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    start: Tick,
) -> Option<&'static str> {
    let place = &draft.tasks.get(task.0)?.place;
    let mut others = draft.tasks.iter().enumerate().filter(|(other, told)| {
        let activity = draft.problem.activities.get(*other);
        let end = solution.start(ActivityId(*other)).zip(activity);
        told.place == *place && end.is_some_and(|(at, activity)| at + activity.duration == start)
    });
    others.next().map(|(_, told)| told.doing)
}

/// Everything the next later start would break, what explains most first.
fn causes<'a>(
    draft: &'a Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Vec<Cause<'a>> {
    let (mut waits, mut orders) = (Vec::new(), Vec::new());
    for (index, other) in &binding.links {
        let Some(link) = draft.problem.links.get(*index) else { continue };
        let fact = draft.facts.get(link.fact.0).map_or("", String::as_str);
        if link.after == task {
            waits.push(Cause::Limit(fact, *other));
        } else if shortest(draft, solution, link) > 0 {
            waits.push(Cause::Wait(fact, *other));
        } else {
            orders.push(Cause::Order(*other));
        }
    }
    orders.extend(binding.holds.iter().map(|other| Cause::Order(*other)));
    let taken = binding.resources.iter().filter_map(|(resource, others)| {
        Some(Cause::Taken(draft.resources.get(resource.0)?, others.first().copied()))
    });
    let sitting = binding.sitting.map(|_| Cause::Sitting);
    waits.into_iter().chain(orders).chain(taken).chain(sitting).collect()
}

/// The shortest wait of a link at the level that its goal is served at.
fn shortest(draft: &Draft, solution: &Solution, link: &Link) -> Tick {
    let goal = draft.problem.activities.get(link.after.0).map(|activity| activity.goal.0);
    let level = goal.and_then(|goal| solution.levels.get(goal).copied().flatten());
    link.shortest(level.unwrap_or(0))
}

/// One task whose place is being explained.
struct Saying<'a> {
    draft: &'a Draft,
    solution: &'a Solution,
    task: &'a Task,
    start: Tick,
}

impl Saying<'_> {
    /// `turning out on Tuesday at 06:45`.
    fn doing(&self, other: ActivityId) -> Option<String> {
        let (name, at) = self.parted(other)?;
        Some(format!("{name} {at}"))
    }

    /// The same in two parts.
    fn parted(&self, other: ActivityId) -> Option<(String, String)> {
        let task = self.draft.tasks.get(other.0)?;
        let mut name = task.doing.to_owned();
        if task.goal != self.task.goal {
            name += &format!(" for “{}”", task.goal);
        }
        let start = self.draft.clock.instant(self.solution.start(other)?);
        Some((name, moment_words(self.draft.clock.instant(self.start), start, self.draft.locale)))
    }

    /// What forbids the next tick in the same hours.
    fn at_once(&self, cause: &Cause<'_>) -> Option<String> {
        Some(match cause {
            Cause::Wait(fact, other) | Cause::Limit(fact, other) => {
                let (name, at) = self.parted(*other)?;
                format!("{fact} and {name} is {at}")
            }
            Cause::Order(other) => {
                let (name, at) = self.parted(*other)?;
                format!("{name} follows {at}")
            }
            Cause::Taken(thing, Some(other)) => format!("{thing} {}", self.doing(*other)?),
            Cause::Taken(thing, None) => format!("{thing} other work"),
            Cause::Sitting => "later would be one more sitting of work".to_owned(),
        })
    }

    /// What forbids the next open hours, where these end.
    fn next_hours(&self, cause: &Cause<'_>, when: &str, hours: &str, next: Tick) -> Option<String> {
        let instant = |tick| self.draft.clock.instant(tick);
        let slot = day_part(instant(self.start), instant(next), self.draft.locale);
        let limit = format!("{when}, as late as {hours}");
        Some(match cause {
            Cause::Wait(fact, other) => {
                format!("{when}, since {fact} and {slot} is too late for {}", self.doing(*other)?)
            }
            Cause::Limit(fact, _) => format!("{limit}: {fact}, and {slot} is too late"),
            Cause::Order(other) => {
                format!("{limit}: {slot} is too late for {}", self.doing(*other)?)
            }
            Cause::Taken(thing, other) => {
                let by = other.and_then(|other| self.doing(other));
                let by = by.unwrap_or_else(|| "other work".to_owned());
                format!("{limit}: after that, {thing} {by}")
            }
            Cause::Sitting => format!("{limit}; {slot} would be one more sitting of work"),
        })
    }
}

/// The sentence with a capital first letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

//! Class days between a gift that is finished and its giving: room for an ill child.

use chrono::DateTime;
use chrono_tz::Tz;

use super::{
    draft::{Draft, Serves},
    lay::Laid,
};
use crate::{planfile::Plan, scheduler::ActivityId, tables::Step};

/// A gift with fewer class days to spare than were wished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShortBuffer {
    /// Its batch.
    pub ornament: usize,
    /// When its pieces are finished, their last coat dry.
    pub finished: DateTime<Tz>,
    /// When the first of them are given.
    pub given: DateTime<Tz>,
    /// Class days between.
    pub days: u32,
}

/// The gifts of a plan that are finished later than was wished, in the order of the file.
pub fn short_buffers(plan: &Plan, laid: &Laid) -> Vec<ShortBuffer> {
    (0..plan.ornaments.len())
        .filter_map(|ornament| buffer(plan, laid, ornament))
        .filter(|buffer| buffer.days < plan.wishes.buffer)
        .collect()
}

/// None of a batch that is not served, or of which pieces were given.
fn buffer(plan: &Plan, laid: &Laid, ornament: usize) -> Option<ShortBuffer> {
    let Laid { draft, solution, .. } = laid;
    let gives = || gives(draft, ornament);
    if gives().any(|give| draft.tasks[give.0].done) {
        return None;
    }
    let given = gives().filter_map(|give| solution.start(give)).min()?;
    let goal = draft.problem.activities[gives().next()?.0].goal;
    let level = solution.level(goal)?;
    let links = draft.problem.links.iter().filter(|link| gives().any(|give| give == link.after));
    let finished = links.filter_map(|link| {
        let lasts = draft.problem.activities[link.before.0].duration;
        Some(solution.start(link.before)? + lasts + link.shortest(level))
    });
    let [finished, given] = [finished.max()?, given].map(|tick| draft.clock.instant(tick));
    let (first, last) = (finished.date_naive(), given.date_naive());
    let between = first.iter_days().skip(1).take_while(|day| *day < last);
    let days = between.filter(|day| plan.is_class_day(*day)).count() as u32;
    Some(ShortBuffer { ornament, finished, given, days })
}

/// The givings of a batch.
fn gives(draft: &Draft, ornament: usize) -> impl Iterator<Item = ActivityId> {
    let own = move |n: usize| {
        let goal = draft.problem.activities[n].goal;
        draft.goals.get(goal.0) == Some(&Serves::Gift { ornament })
    };
    let tasks = draft.tasks.iter().enumerate();
    tasks.filter(move |(n, task)| task.step == Step::Give && own(*n)).map(|(n, _)| ActivityId(n))
}

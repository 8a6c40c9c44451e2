//! Pieces of dough as they are followed: what waits for them is done as planned where they are
//! firm or dry, else when hands and hours next allow it before what comes after.

use std::{collections::BTreeMap, ops::Range};

use super::{Kitchens, Reserve, end_of, reserves::DONE_AT_LAST};
use crate::{
    prep::{
        clock::Tick,
        draft::{Draft, Ends, RARE},
    },
    scheduler::{ActivityId, Link, Solution},
};

/// All steps of a plan that wait for pieces to be firm or dry.
pub struct Pieces {
    waiting: Vec<Waiting>,
}

/// A step that waits for pieces.
struct Waiting {
    /// What it waits for, among the waits of the draft.
    span: usize,
    task: ActivityId,
    goal: usize,
    start: Tick,
    duration: Tick,
    /// When it could begin instead, later than planned and before what comes after.
    others: Vec<Range<Tick>>,
}

impl Pieces {
    /// The steps of a plan that wait for pieces.
    pub fn of(draft: &Draft, solution: &Solution) -> Self {
        let mut waiting = Vec::new();
        for (number, span) in draft.spans.iter().enumerate().filter(|(_, span)| !span.over) {
            if !matches!(span.ends, Ends::Firm { .. } | Ends::Dry { .. }) {
                continue;
            }
            for link in waits_of(draft, span.after, span.before) {
                waiting.extend(waits(draft, solution, number, link.after));
            }
        }
        Self { waiting }
    }

    /// Follows them in one kitchen; says which goals are not served.
    pub fn follow(&self, kitchens: &Kitchens, kitchen: usize, served: &mut [bool]) {
        for waiting in &self.waiting {
            if waiting.begins(kitchens, kitchen).is_none() {
                served[waiting.goal] = false;
            }
        }
    }

    /// For each step that may have to wait, for one load of pieces or for several: when it is
    /// done then.
    pub fn reserves(&self, kitchens: &Kitchens) -> Vec<Reserve> {
        let mut tasks: BTreeMap<ActivityId, Vec<&Waiting>> = BTreeMap::new();
        for waiting in &self.waiting {
            tasks.entry(waiting.task).or_default().push(waiting);
        }
        let of = |(task, loads): (ActivityId, Vec<&Waiting>)| {
            let first = loads.first()?;
            let begins = kitchens.each(|kitchen| {
                let each = loads.iter().map(|load| load.begins(kitchens, kitchen));
                each.collect::<Option<Vec<Tick>>>()?.into_iter().max()
            });
            let mut late: Vec<Tick> =
                begins.iter().flatten().copied().filter(|start| *start > first.start).collect();
            late.sort_unstable();
            if (late.len() as f64) < RARE * begins.len() as f64 {
                return None;
            }
            let start = *late.get((DONE_AT_LAST * late.len() as f64) as usize)?;
            // Also where it comes too late: who looks and finds it damp knows no more.
            let on_time = begins.iter().filter(|begins| **begins == Some(first.start)).count();
            let needed = 1.0 - on_time as f64 / begins.len() as f64;
            Some(Reserve { of: task, start, end: start + first.duration, needed })
        };
        tasks.into_iter().filter_map(of).collect()
    }
}

/// The links of all that waits for the same thing: for the same reason, as long. What is not firm
/// in time for sure, and what is not dry, have one reason.
pub fn waits_of(
    draft: &Draft,
    after: ActivityId,
    before: ActivityId,
) -> impl Iterator<Item = &Link> {
    let links = &draft.problem.links;
    let first = links
        .iter()
        .find(|link| link.before == after && link.after == before && link.shortest(0) > 0);
    let same = move |link: &&Link| {
        first.is_some_and(|first| link.fact == first.fact && link.min == first.min)
    };
    links.iter().filter(move |link| link.before == after).filter(same)
}

fn waits(draft: &Draft, solution: &Solution, span: usize, task: ActivityId) -> Option<Waiting> {
    let activity = draft.problem.activities.get(task.0)?;
    let start = solution.start(task).filter(|_| !draft.tasks[task.0].done)?;
    let end = start + activity.duration;
    // What waits for it stays where it is planned.
    let after = draft.problem.links.iter().filter(|link| link.before == task);
    let until = after
        .filter_map(|link| Some(solution.start(link.after)? - link.shortest(0).max(0)))
        .min()
        .unwrap_or(end);
    let busy = busy(draft, solution, task);
    let windows = activity.windows.iter().map(|open| open.start.max(end)..open.end.min(until));
    let windows = windows.filter(|open| open.end - open.start >= activity.duration);
    let others = windows.flat_map(|open| {
        let whole = vec![open];
        let free = busy.iter().fold(whole, crate::prep::clock::without);
        free.into_iter().filter(|free| free.end - free.start >= activity.duration)
    });
    Some(Waiting {
        span,
        task,
        goal: activity.goal.0,
        start,
        duration: activity.duration,
        others: others.collect(),
    })
}

/// When hands do other work of the plan.
fn busy(draft: &Draft, solution: &Solution, task: ActivityId) -> Vec<Range<Tick>> {
    let others = draft.problem.activities.iter().enumerate();
    let others = others.filter(|(n, activity)| *n != task.0 && activity.hands);
    others
        .filter_map(|(n, _)| {
            let id = ActivityId(n);
            Some(solution.start(id)?..end_of(draft, solution, id)?)
        })
        .collect()
}

impl Waiting {
    /// When it is done in a kitchen; none where what comes after does not wait so long.
    fn begins(&self, kitchens: &Kitchens, kitchen: usize) -> Option<Tick> {
        let ready = kitchens.ready(self.span, kitchen).unwrap_or(self.start);
        if ready <= self.start {
            return Some(self.start);
        }
        let starts = self.others.iter().map(|other| (other.start.max(ready), other.end));
        starts.filter(|(start, end)| start + self.duration <= *end).map(|(start, _)| start).min()
    }
}

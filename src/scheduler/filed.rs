//! A problem with its rules filed by activity, so that to cut out a part costs
//! as much as the part and not as much as the whole.

use std::{
    borrow::Cow,
    ops::{Deref, Range},
};

use super::pieces::{Piece, pieces};
use super::problem::{Hold, Link, Problem, Tick};

/// A problem and where its rules are.
pub(super) struct Filed<'a> {
    problem: &'a Problem,
    /// Links by the activity that comes after, holds by the one that takes.
    links: Vec<Vec<usize>>,
    holds: Vec<Vec<usize>>,
    /// The activities of each goal, ascending.
    pub(super) of_goal: Vec<Vec<usize>>,
    /// The goals that a link connects with each goal, itself among them.
    pub(super) beside: Vec<Vec<usize>>,
    /// The possible starts of each activity.
    pieces: Vec<Vec<Piece>>,
    /// [`Problem::any_time`].
    horizon: Range<Tick>,
    pub(super) longest_sitting: Tick,
}

impl<'a> Filed<'a> {
    pub(super) fn new(problem: &'a Problem) -> Self {
        let goal = |i: usize| problem.activities[i].goal.0;
        let mut filed = Self {
            problem,
            links: vec![Vec::new(); problem.activities.len()],
            holds: vec![Vec::new(); problem.activities.len()],
            of_goal: vec![Vec::new(); problem.goals.len()],
            beside: (0..problem.goals.len()).map(|g| vec![g]).collect(),
            pieces: problem
                .activities
                .iter()
                .map(|activity| pieces(problem, activity, &activity.windows))
                .collect(),
            horizon: problem.any_time(),
            longest_sitting: problem.sittings.iter().map(|e| e.end - e.start).max().unwrap_or(0),
        };
        for (at, link) in problem.links.iter().enumerate() {
            filed.links[link.after.0].push(at);
            let (before, after) = (goal(link.before.0), goal(link.after.0));
            if before != after {
                filed.beside[before].push(after);
                filed.beside[after].push(before);
            }
        }
        for (at, hold) in problem.holds.iter().enumerate() {
            filed.holds[hold.from.0].push(at);
        }
        for i in 0..problem.activities.len() {
            filed.of_goal[goal(i)].push(i);
        }
        filed
    }

    /// The possible starts of activity `i` that do not end before `since`; all
    /// times where its fact is `dropped`.
    pub(super) fn pieces_since(
        &self,
        since: Tick,
        i: usize,
        dropped: &dyn Fn(usize) -> bool,
    ) -> Cow<'_, [Piece]> {
        let activity = &self.problem.activities[i];
        if dropped(activity.fact.0) {
            let always = self.horizon.start..self.horizon.end + activity.duration;
            return pieces(self.problem, activity, &[always]).into();
        }
        let own = &self.pieces[i];
        own[own.partition_point(|piece| piece.last < since)..].into()
    }

    /// The links to these activities, in the problem's order.
    pub(super) fn links_to(
        &self,
        activities: &[usize],
    ) -> impl Iterator<Item = &'a Link> + use<'a> {
        let problem = self.problem;
        of(&self.links, activities).map(|at| &problem.links[at])
    }

    /// The holds that these activities begin, in the problem's order.
    pub(super) fn holds_of(
        &self,
        activities: &[usize],
    ) -> impl Iterator<Item = &'a Hold> + use<'a> {
        let problem = self.problem;
        of(&self.holds, activities).map(|at| &problem.holds[at])
    }
}

impl Deref for Filed<'_> {
    type Target = Problem;

    fn deref(&self) -> &Problem {
        self.problem
    }
}

fn of(filed: &[Vec<usize>], activities: &[usize]) -> impl Iterator<Item = usize> + use<> {
    let mut all: Vec<usize> = activities.iter().flat_map(|&i| &filed[i]).copied().collect();
    all.sort_unstable();
    all.into_iter()
}

//! The work that is left for explaining, and what was searched for already.

use std::{
    cell::{Cell, RefCell},
    rc::Rc,
};

use chrono::{DateTime, Utc};

use super::{alone::only, let_go::LetGo};
use crate::{
    planfile::Plan,
    prep::{
        Chosen, Durations, Look, chosen,
        draft::{LEVELS, LIKELY, Serves},
    },
};

/// What one search costs beside its labels: it is made ready, and a proof may be tried.
const OVERHEAD: u64 = 300;

/// What a unit of work of the physics costs, for answers that were not known: a label takes about a
/// microsecond and it three quarters of a millisecond, as measured.
const WORK: u64 = 700;

/// A plan to try, with some facts let go.
#[derive(Clone, PartialEq)]
pub struct World {
    /// The plan.
    pub plan: Plan,
    /// From when on.
    pub now: DateTime<Utc>,
    /// What takes no time in it.
    pub let_go: LetGo,
}

impl World {
    /// A plan in which all takes its time.
    pub fn of(plan: Plan, now: DateTime<Utc>) -> Self {
        Self { plan, now, let_go: LetGo::default() }
    }

    /// The same with some of its goals alone.
    pub fn only(&self, kept: &[Serves]) -> Self {
        Self { plan: only(&self.plan, kept), ..self.clone() }
    }
}

/// How a world was tried: from which level of sureness down to which, and with how many goals
/// left out at the most.
type How = (usize, usize, usize);

/// A world that was tried, and what was chosen for it; none where it cannot be laid out.
type Tried = (World, How, Option<Rc<Chosen>>);

/// The worlds tried so far: what stands in the way of one goal often stands in the way of others.
#[derive(Default)]
pub struct Searches {
    tried: RefCell<Vec<Tried>>,
}

/// Effort that is left for explaining one goal.
pub struct Budget<'a> {
    /// In labels of the search.
    labels: Cell<u64>,
    /// The first level of sureness that is tried, and the last.
    from: usize,
    level: usize,
    durations: &'a dyn Durations,
    searches: &'a Searches,
}

impl<'a> Budget<'a> {
    /// So many labels, for searches at one of the levels of sureness.
    pub fn new(
        labels: u64,
        level: usize,
        durations: &'a dyn Durations,
        searches: &'a Searches,
    ) -> Self {
        Self { labels: Cell::new(labels), from: level, level, durations, searches }
    }

    /// A single search that goes down to the last level.
    pub fn once(durations: &'a dyn Durations, searches: &'a Searches) -> Self {
        let (labels, level) = (Cell::new(1), LEVELS.len() - 1);
        Self { labels, from: 0, level, durations, searches }
    }

    /// The level of sureness.
    pub fn level(&self) -> usize {
        self.level
    }

    /// Whether there is none left.
    pub fn is_spent(&self) -> bool {
        self.left() == 0
    }

    /// Labels that are left.
    pub fn left(&self) -> u64 {
        self.labels.get()
    }

    /// How many goals of a world are not served, or are not from a level of sureness down to
    /// [`LIKELY`].
    pub fn left_out(&self, world: &World, from: Option<usize>) -> usize {
        self.chosen(world, usize::MAX, self.levels(from)).map_or(0, |chosen| chosen.left_out())
    }

    /// Whether a world serves a goal and leaves at most so many others out.
    pub fn serves(&self, world: &World, goal: Serves, most: usize) -> bool {
        self.served_at(world, goal, most, None).is_some()
    }

    /// The level of sureness at which a world serves a goal and leaves at most so many others
    /// out; from another level down to [`LIKELY`] where one is given.
    pub fn served_at(
        &self,
        world: &World,
        goal: Serves,
        most: usize,
        from: Option<usize>,
    ) -> Option<usize> {
        let chosen = self.chosen(world, most, self.levels(from))?;
        chosen.level(goal).filter(|_| chosen.left_out() <= most)
    }

    fn levels(&self, from: Option<usize>) -> (usize, usize) {
        from.map_or((self.from, self.level), |from| (from, LIKELY))
    }

    /// The level of what is least sure in a world that serves a goal; none where it does not.
    pub fn reached(&self, world: &World, goal: Serves) -> Option<usize> {
        let levels = self.levels(None);
        let chosen = self.chosen(world, 0, levels).filter(|chosen| chosen.level(goal).is_some())?;
        Some(chosen.worst())
    }

    /// How many goals of a world are not served by what is likely; none where nothing is left to
    /// find that out.
    pub fn left_likely(&self, world: &World) -> Option<usize> {
        let chosen = self.chosen(world, usize::MAX, (0, LIKELY))?;
        // Without a price it was given up before all was tried.
        chosen.price.map(|_| chosen.left_out())
    }

    /// What is chosen for a world in a quick look; none where nothing is left to find that out.
    /// One that was tried before costs nothing.
    fn chosen(
        &self,
        world: &World,
        left_out: usize,
        (from, last): (usize, usize),
    ) -> Option<Rc<Chosen>> {
        let how = (from, last, left_out);
        let known = |(tried, tried_how, _): &&Tried| *tried_how == how && tried == world;
        if let Some((.., chosen)) = self.searches.tried.borrow().iter().find(known) {
            return chosen.clone();
        }
        if self.is_spent() {
            return None;
        }
        let look = Look { from, levels: last + 1, left_out, ..Look::QUICK };
        let quick = world.let_go.of(self.durations);
        let before = self.durations.worked_out();
        let chosen = chosen(&world.plan, world.now, &quick, look).ok().map(Rc::new);
        let labels = chosen.as_ref().map_or(0, |chosen| chosen.labels);
        let work = self.durations.worked_out() - before;
        self.labels.set(self.left().saturating_sub(labels + OVERHEAD + WORK * work));
        self.searches.tried.borrow_mut().push((world.clone(), how, chosen.clone()));
        chosen
    }
}

//! One batch of ornaments while its steps are made: its tasks, and the hand work
//! on every piece.

use super::shared::Shared;
use crate::{
    planfile::{Group, Ornament, Plan, slug},
    prep::{
        clock::hours_of,
        draft::{Draft, Ends, Task},
        durations::{Durations, Outcomes, Process},
        fact::Fact,
        schedule::Attention,
        ways::Way,
        what::{Part, Thing, What},
    },
    scheduler::{ActivityId, GoalId},
    tables::{Step, Work},
};

/// The longest stretch of one kind of hand work before it is split, in hours
/// (common practice, no source).
const PORTION_H: f64 = 1.5;

/// One batch while its steps are made.
pub struct Batch<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// What the plan shares.
    pub shared: &'a Shared,
    /// The batch.
    pub ornament: &'a Ornament,
    /// Its place in the plan.
    pub position: usize,
    /// The physics.
    pub durations: &'a dyn Durations,
    /// Its goal.
    pub goal: GoalId,
    /// Its groups.
    pub groups: Vec<&'a Group>,
    /// Pieces made, spares included.
    pub count: u32,
    /// How it is dried.
    pub way: Way,
    /// Where it is made: where the oven stands, or `home`.
    pub home: usize,
}

/// Pieces on their racks: what painting waits for, and what sealing waits for.
pub struct Raw {
    /// Firm and cool.
    pub firm: Made,
    /// Dry through.
    pub dry: Made,
}

/// What the next step has to wait for.
#[derive(Clone)]
pub struct Made {
    /// The tasks that came last.
    pub lasts: Vec<ActivityId>,
    /// How long after them.
    pub wait: Outcomes,
    /// Why.
    pub reason: Fact,
    /// What that ends with.
    pub ends: Ends,
    /// Id and step of the waiting itself, and what goes on in it.
    pub span: (String, What, Step),
    /// What goes on meanwhile.
    pub process: Option<Process>,
}

impl Batch<'_> {
    /// A task of this batch.
    pub fn task(&self, name: &str, what: What, place: usize, step: Step) -> Task {
        Task {
            id: format!("{}-{name}", slug(&self.ornament.name)),
            short: match self.is_alone() {
                true => name.to_owned(),
                false => format!("{name}-{}", slug(&self.ornament.name)),
            },
            what,
            place: self.plan.places[place].name.clone(),
            group: None,
            attention: Attention::Hands,
            bring: Vec::new(),
            take_back: Vec::new(),
            step,
            count: self.count,
            dried: Some(self.way.dried()),
            youngest: self.groups.iter().map(|g| g.youngest_years()).fold(18.0, f64::min),
            needed: None,
            comes_out: None,
            done: false,
            process: None,
        }
    }

    /// Whether it is the one batch of the file: a step of it needs no more words to be told by.
    fn is_alone(&self) -> bool {
        let is_added = |own: &Ornament| own.pieces.as_ref().is_some_and(|it| it.of.is_some());
        let of_file = self.plan.ornaments.iter().filter(|own| !is_added(own)).count();
        of_file == 1 && !is_added(self.ornament)
    }

    /// Things that go from a class to where the pieces are made; nothing if that is the same.
    pub fn take_back(&self, group: &Group, things: Vec<Thing>) -> Vec<Thing> {
        if group.place == self.home { Vec::new() } else { things }
    }

    /// Pieces that are given: each has its photo, and no spare has one.
    pub fn given(&self) -> u32 {
        self.ornament.given(self.plan)
    }

    /// Hand work on so many pieces, split into portions that fit an evening;
    /// the first and the last portion.
    pub fn handwork(
        &self,
        draft: &mut Draft,
        (name, what, count): (&str, &dyn Fn(u32, Part) -> What, u32),
        step: Step,
        work: &Work,
    ) -> (ActivityId, ActivityId) {
        let longest = hours_of(self.shared.longest(self.home)).min(PORTION_H);
        let fits = |count: &u32| work.usual_h(*count) <= longest;
        // A portion of one where not even that fits.
        let at_once = (1..=count).rev().find(fits).unwrap_or(1);
        let portions = count.div_ceil(at_once).max(1);
        let mut portion = |number: u32, before: Option<ActivityId>| {
            let part = count / portions + u32::from(number < count % portions);
            let name = match portions {
                1 => name.to_owned(),
                _ => format!("{name}-{}", number + 1),
            };
            let what = what(part, Part { number, of: portions });
            let task = self.task(&name, what, self.home, step);
            let booking = self.shared.in_hours(self.home, self.goal, work.usual_h(part));
            let id = draft.task(task, booking);
            if let Some(before) = before {
                draft.then(before, id);
            }
            id
        };
        let first = portion(0, None);
        (first, (1..portions).fold(first, |last, number| portion(number, Some(last))))
    }
}

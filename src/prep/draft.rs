//! The plan's steps as the back-scheduler sees them, each with what is told of it.

use std::{collections::BTreeMap, ops::Range};

use super::{
    clock::{Clock, Tick, ticks_down, ticks_up},
    durations::{Outcomes, Process, SURE, Until},
    fact::{Always, Fact},
    round::Round,
    schedule::Attention,
    trips::SessionAt,
    what::{Thing, What},
};
use crate::scheduler::{Activity, ActivityId, FactId, GoalId, Hold, Link, Problem, ResourceId};
use crate::tables::{Dried, Step};

/// Chances at which plans are looked for, surest first.
pub const LEVELS: [f64; 5] = [SURE, 0.90, 0.75, 0.60, 0.40];

/// The last of them that is likely: less is no way out.
pub const LIKELY: usize = 2;

/// Rarer than this a reserve is not worth a line.
pub const RARE: f64 = 0.02;

/// Longest from the first work of a day to the last, in hours.
const DAY_H: f64 = 12.0;

/// The shortest wait of a link that only says how late something may be.
const NO_WAIT: Tick = -(1 << 24);

/// Steps, waits and shared things of a whole plan.
pub struct Draft {
    /// The time line.
    pub clock: Clock,
    /// What the engine is told.
    pub problem: Problem,
    /// What is told of each activity, in the engine's order.
    pub tasks: Vec<Task>,
    /// Things that happen by themselves between two tasks.
    pub spans: Vec<Passive>,
    /// Each fact, in the engine's order.
    pub facts: Vec<Fact>,
    /// What each goal stands for, likewise.
    pub goals: Vec<Serves>,
    /// Remarks for the reader of the plan.
    pub notes: Vec<Note>,
    /// Pairs of hands that belong to a place, by its name.
    pub hands_at: BTreeMap<String, ResourceId>,
    /// Ovens that the one who goes from place to place cannot leave alone.
    pub watches: Vec<Watch>,
    /// Starts that a search has chosen.
    pub placed: BTreeMap<usize, Tick>,
    /// Tasks that are done on the day of another one.
    pub same_day: BTreeMap<usize, usize>,
    /// What is filled, where a search has chosen it.
    pub fillings: Vec<Filling>,
    /// The packing of each session's blocks.
    pub packs: BTreeMap<SessionAt, ActivityId>,
    order: FactId,
    hands: ResourceId,
}

/// A filling of some moulds: its steps, and where its blocks go.
pub struct Filling {
    /// Its filling.
    pub fill: ActivityId,
    /// Its turning out.
    pub turn_out: ActivityId,
    /// The mould, by its place in the plan.
    pub mould: usize,
    /// The freezer, likewise.
    pub freezer: usize,
    /// The round.
    pub round: Round,
}

/// An oven in use holds one part of this, work in another place all of it.
pub struct Watch {
    /// The place of the ovens.
    pub place: String,
    /// Who watches there.
    pub resource: ResourceId,
    /// How many ovens there are.
    pub ovens: u32,
}

/// What of the plan a goal stands for, by its place in the plan's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Serves {
    /// A session of an ice activity.
    Session {
        /// The ice activity.
        ice: usize,
        /// Its session.
        session: usize,
    },
    /// A batch of ornaments and its giving.
    Gift {
        /// The ornament.
        ornament: usize,
    },
}

/// A remark for the reader of the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Note {
    /// Nobody said how much a freezer holds.
    UsualRoom(usize),
    /// Nobody said how long the way to class is with some ice, but with other ice.
    SameWay(usize),
    /// How the batch of an ornament is dried that leaves the choice.
    Dried(usize, Dried),
    /// What one tray more in the oven would save.
    TrayMore {
        /// The ornament.
        ornament: usize,
        /// The oven.
        oven: usize,
        /// Loads now and then.
        loads: [u32; 2],
        /// Hours beside it, likewise.
        watched_h: [f64; 2],
    },
    /// A session or gift is over.
    Over(Serves),
    /// A task counts as done only just now.
    DoneJustNow(ActivityId),
}

/// One task, as it is told to people.
#[derive(Debug, Clone)]
pub struct Task {
    /// Stays the same from one computation to the next.
    pub id: String,
    /// Its name for people, which stays the same too.
    pub short: String,
    /// What to do.
    pub what: What,
    /// Where.
    pub place: String,
    /// The group it is for.
    pub group: Option<String>,
    /// Who must be there.
    pub attention: Attention,
    /// What to have at hand.
    pub bring: Vec<Thing>,
    /// What is carried away from it as class ends.
    pub take_back: Vec<Thing>,
    /// The kind of step.
    pub step: Step,
    /// How many blocks or pieces it is done with.
    pub count: u32,
    /// How its pieces were dried, where it has any.
    pub dried: Option<Dried>,
    /// Age of the youngest child it is done for, in years.
    pub youngest: f64,
    /// What goes on in it by itself.
    pub process: Option<Process>,
    /// How likely it is needed, where what is seen before decides that.
    pub needed: Option<f64>,
    /// What is looked at as it ends, where pieces come out of an oven.
    pub comes_out: Option<ComesOut>,
    /// Whether it is done already.
    pub done: bool,
}

/// Pieces as they come out of a stretch in the oven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComesOut {
    /// What they are baked to.
    pub until: Until,
    /// How likely that is reached.
    pub ready: f64,
    /// Whether what is not ready goes in again.
    pub again: bool,
}

/// Which end of a passive span is fixed to a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins when the first task ends.
    Start,
    /// It ends when the second task begins.
    End,
}

/// What something that happens by itself ends with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ends {
    /// Blocks are firm.
    Block,
    /// Pieces are firm, which have dried for so many hours before.
    Firm {
        /// Hours.
        before_h: f64,
    },
    /// Pieces are dry through, which have dried for so many hours before.
    Dry {
        /// Hours.
        before_h: f64,
    },
    /// Its time is over, which is known.
    Time,
}

/// Something that happens by itself between two tasks.
pub struct Passive {
    /// What is told of it; its attention is none.
    pub task: Task,
    /// The task it follows.
    pub after: ActivityId,
    /// The task that waits for it.
    pub before: ActivityId,
    /// Which end is fixed.
    pub anchor: Anchor,
    /// How long it takes.
    pub outcomes: Outcomes,
    /// What it ends with.
    pub ends: Ends,
    /// Hours after which it was seen not to be over.
    pub not_after_h: Option<f64>,
    /// Whether it is over, so that nothing waits for it any more.
    pub over: bool,
}

/// Hands or watch, how long, when.
pub struct Booking {
    /// Hours it takes.
    pub hours: f64,
    /// When it may be done.
    pub windows: Vec<Range<Tick>>,
    /// The fact behind those windows.
    pub fact: FactId,
    /// What it serves.
    pub goal: GoalId,
}

impl Draft {
    /// An empty draft on a time line.
    pub fn new(clock: Clock) -> Self {
        let mut draft = Self {
            clock,
            problem: Problem::default(),
            tasks: Vec::new(),
            spans: Vec::new(),
            facts: Vec::new(),
            goals: Vec::new(),
            notes: Vec::new(),
            hands_at: BTreeMap::new(),
            watches: Vec::new(),
            placed: BTreeMap::new(),
            same_day: BTreeMap::new(),
            fillings: Vec::new(),
            packs: BTreeMap::new(),
            order: FactId(0),
            hands: ResourceId(0),
        };
        draft.order = draft.fact(Fact::Always(Always::Order));
        draft.hands = draft.resource(1, Fact::Always(Always::OneHands));
        draft
    }

    /// A fact of the plan, to be named in a conflict.
    pub fn fact(&mut self, fact: Fact) -> FactId {
        let known = self.facts.iter().position(|known| *known == fact);
        FactId(known.unwrap_or_else(|| {
            self.facts.push(fact);
            self.facts.len() - 1
        }))
    }

    /// A session or gift, all of it or nothing.
    pub fn goal(&mut self, serves: Serves) -> GoalId {
        self.goals.push(serves);
        GoalId(self.goals.len() - 1)
    }

    /// A shared thing of which there is only so much, as a fact says.
    pub fn resource(&mut self, capacity: u32, fact: Fact) -> ResourceId {
        let fact = self.fact(fact);
        self.problem.add_resource(capacity, fact)
    }

    /// A task; hands-on ones take the pair of hands.
    pub fn task(&mut self, task: Task, booking: Booking) -> ActivityId {
        let hands = task.attention == Attention::Hands;
        let id = self.problem.add_activity(Activity {
            duration: ticks_up(booking.hours).max(1),
            windows: booking.windows,
            goal: booking.goal,
            hands,
            fact: booking.fact,
        });
        match self.hands_at.get(&task.place).copied() {
            Some(own) if hands => self.hold(own, 1, id, id),
            None if hands => {
                self.hold(self.hands, 1, id, id);
                self.away(&task.place, id);
            }
            None => self.near(&task, id),
            Some(_) => {}
        }
        self.tasks.push(task);
        id
    }

    /// Puts a task where a search has chosen.
    pub fn place(&mut self, task: ActivityId, start: Option<Tick>) {
        if let Some(start) = start {
            self.placed.insert(task.0, start);
        }
    }

    /// Hands in a place leave the ovens of all others alone.
    fn away(&mut self, place: &str, id: ActivityId) {
        let watches = self.watches.iter().filter(|watch| watch.place != place);
        let holds = watches.map(|watch| Hold {
            resource: watch.resource,
            amount: watch.ovens,
            from: id,
            to: id,
        });
        self.problem.holds.extend(holds);
    }

    /// A watched task keeps somebody in its place.
    fn near(&mut self, task: &Task, id: ActivityId) {
        let watched =
            |watch: &&Watch| task.attention == Attention::Watch && watch.place == task.place;
        if let Some(watch) = self.watches.iter().find(watched) {
            self.hold(watch.resource, 1, id, id);
        }
    }

    /// Part of a shared thing, from the start of one task to the end of another.
    pub fn hold(&mut self, resource: ResourceId, amount: u32, from: ActivityId, to: ActivityId) {
        self.problem.holds.push(Hold { resource, amount, from, to });
    }

    /// One task comes after another.
    pub fn then(&mut self, before: ActivityId, after: ActivityId) {
        self.link(before, after, vec![0], None, self.order);
    }

    /// One task comes after another, at most `max_h` hours later.
    pub fn then_within(&mut self, before: ActivityId, after: ActivityId, max_h: f64, fact: FactId) {
        self.then(before, after);
        self.link(before, after, vec![NO_WAIT], Some(ticks_down(max_h)), fact);
    }

    /// One task comes right after another.
    pub fn then_at_once(&mut self, before: ActivityId, after: ActivityId) {
        self.link(before, after, vec![0], Some(0), self.order);
    }

    /// One task is done on the day of another; its wait says only that no day of work is
    /// longer than twelve hours.
    pub fn same_day(&mut self, first: ActivityId, other: ActivityId, fact: FactId) {
        self.same_day.insert(other.0, first.0);
        self.then_within(first, other, DAY_H, fact);
    }

    /// One task comes at least `min_h` hours after another.
    pub fn then_after(&mut self, before: ActivityId, after: ActivityId, min_h: f64, fact: FactId) {
        self.link(before, after, vec![ticks_up(min_h)], None, fact);
    }

    /// One task waits for something to happen, at one of the [`LEVELS`].
    pub fn then_when(
        &mut self,
        before: ActivityId,
        after: ActivityId,
        outcomes: &Outcomes,
        fact: FactId,
    ) {
        let waits = LEVELS.iter().map(|chance| ticks_up(outcomes.point(*chance))).collect();
        self.link(before, after, waits, None, fact);
    }

    fn link(
        &mut self,
        before: ActivityId,
        after: ActivityId,
        min: Vec<Tick>,
        max: Option<Tick>,
        fact: FactId,
    ) {
        self.problem.links.push(Link { before, after, min, max, fact });
    }
}

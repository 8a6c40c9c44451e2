//! The ice of a plan as the search by sittings is told it: which moulds there
//! are, when hands are free, what must be out by when, and what comfort costs.

use std::{cell::RefCell, collections::BTreeMap, ops::Range};

use chrono::{Datelike, Days, NaiveDate, NaiveTime, Timelike};

use super::{
    clock::{Clock, TICK_S, Tick, ticks_up},
    draft::LEVELS,
    durations::{DurationError, Durations},
    round::{Round, Stage},
    steps::MOULD_ROOM,
    trips::{SessionAt, Trip, set_out_ticks, trips, way_ticks},
};
use crate::{
    planfile::{self, Blocks, Freezer, Group, Ice, Mould, Plan, Session},
    scheduler::sittings::{
        Begun, Cost, Demand, Kind, MINUTE, Place, Problem, Ripening, Store, Stretch,
    },
    tables::{Term, Work},
    units::{in_hours, in_millilitres},
};

/// Dates wholly away that do not count as dates ahead, at most.
const MOST_AWAY: u32 = 7;

/// Packing begins at most so long before she must go, in hours.
pub const PACK_H: f64 = 1.0;

/// Hours between which work costs nothing more.
const MILD: Range<u32> = 7..21;

/// The ice of a plan as a problem of sittings, and what its numbers stand for.
pub struct Rounds<'a> {
    /// The problem.
    pub problem: Problem,
    /// By kind: what it stands for.
    pub kinds: Vec<KindOf>,
    /// By demand: the ice activity and its session.
    pub demands: Vec<SessionAt>,
    /// The plan.
    pub plan: &'a Plan,
    /// Its time line.
    pub clock: Clock,
    /// When a group is in its room, and the place that stands for it.
    rooms: Vec<(Vec<Range<Tick>>, usize)>,
    /// When sessions keep her busy.
    busy: Vec<Range<Tick>>,
    /// Time in class that is kept, by the id of the step.
    pub reserved: BTreeMap<String, Range<Tick>>,
    /// By demand: whether no plan serves it, whatever is filled when.
    cannot: Vec<bool>,
    durations: &'a dyn Durations,
    /// Hours to firm by kind and number of moulds, as the physics said.
    asked: RefCell<BTreeMap<(usize, u32), f64>>,
}

/// What a kind of vessels stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KindOf {
    /// The mould, by its place in the plan.
    pub mould: usize,
    /// The freezer it stands in, likewise.
    pub freezer: usize,
    /// How sure its blocks are, as a place in [`LEVELS`].
    pub level: usize,
}

impl<'a> Rounds<'a> {
    /// The sessions of a plan that are still to come.
    ///
    /// # Errors
    /// [`DurationError`] when a mould or freezer is outside the physics' range.
    pub fn of(
        plan: &'a Plan,
        clock: Clock,
        durations: &'a dyn Durations,
    ) -> Result<Self, DurationError> {
        let mut rounds = Self {
            problem: Problem::default(),
            kinds: Vec::new(),
            demands: Vec::new(),
            plan,
            clock,
            rooms: Vec::new(),
            busy: Vec::new(),
            reserved: BTreeMap::new(),
            cannot: Vec::new(),
            durations,
            asked: RefCell::default(),
        };
        rounds.problem.places = plan.places.iter().map(workplace).collect();
        let stores = plan.freezers.iter();
        rounds.problem.stores =
            stores.map(|freezer| Store { capacity: MOULD_ROOM * freezer.holds }).collect();
        let to_come =
            |(ice, session): SessionAt| clock.floor(plan.ice[ice].sessions[session].at) > 0;
        for (at, trip) in trips(plan, clock, durations, to_come)? {
            let kind = rounds.kind(&plan.ice[at.0], 0);
            rounds.demand(kind, at, &trip);
            let busy = rounds.busy(at, &trip);
            let cannot = rounds.melts(at, &trip) || rounds.elsewhere(at, &busy);
            rounds.cannot.push(cannot);
            if !cannot {
                rounds.busy.extend(busy);
            }
        }
        Ok(rounds)
    }

    /// The kind of an ice activity at a level, made where it is the first of that mould
    /// and freezer.
    fn kind(&mut self, ice: &Ice, level: usize) -> usize {
        let own = KindOf { mould: ice.mould, freezer: ice.freezer, level };
        if let Some(known) = self.kinds.iter().position(|kind| *kind == own) {
            return known;
        }
        self.kinds.push(own);
        let (mould, freezer) = (&self.plan.moulds[ice.mould], &self.plan.freezers[ice.freezer]);
        let kind = Kind { pool: ice.mould, ..moulds(mould, ice.freezer, freezer) };
        self.problem.kinds.push(kind);
        self.kinds.len() - 1
    }

    /// How sure the blocks of a demand are.
    pub fn level(&self, demand: usize) -> usize {
        self.kinds[self.problem.demands[demand].kind].level
    }

    /// Takes the next level for a demand; where blocks like its own were begun, for all
    /// that may take them. Whether there is one.
    pub fn less_sure(&mut self, demand: usize) -> bool {
        let (kind, level) = (self.problem.demands[demand].kind, self.level(demand) + 1);
        if level >= LEVELS.len() {
            return false;
        }
        let ice = &self.plan.ice[self.demands[demand].0];
        let next = self.kind(ice, level);
        let all = self.problem.begun.iter().any(|begun| begun.kind == kind);
        for (number, other) in self.problem.demands.iter_mut().enumerate() {
            if other.kind == kind && (all || number == demand) {
                other.kind = next;
            }
        }
        for begun in self.problem.begun.iter_mut().filter(|begun| begun.kind == kind) {
            begun.kind = next;
        }
        true
    }

    /// What was begun before and is still to be used.
    pub fn begun(&mut self, begun: &[(SessionAt, Round)]) {
        for (at, round) in begun {
            let (count, kind) = (self.left_of(round), self.kind_of(*at));
            if let Some(kind) = kind.filter(|_| count > 0) {
                let filled = round.fill + self.problem.kinds[kind].fill[round.count as usize];
                let (out, ripe) = (round.stage == Stage::Out, round.stage == Stage::Firm);
                self.problem.begun.push(Begun { kind, count, filled, ripe, out });
            }
        }
    }

    /// How many blocks of a round begun before are for sessions to come.
    pub fn left_of(&self, round: &Round) -> u32 {
        round.takers.iter().filter(|taker| self.demands.contains(taker)).count() as u32
    }

    /// The kind of a session's ice, where there is something to come of it.
    pub fn kind_of(&self, at: SessionAt) -> Option<usize> {
        let demand = self.demands.iter().position(|demand| *demand == at);
        let ice = &self.plan.ice[at.0];
        let same = |kind: &KindOf| (kind.mould, kind.freezer) == (ice.mould, ice.freezer);
        let known = demand.map(|demand| self.problem.demands[demand].kind);
        known.or_else(|| self.kinds.iter().position(same))
    }

    /// A session's blocks.
    fn demand(&mut self, kind: usize, at: SessionAt, trip: &Trip) {
        let ice = &self.plan.ice[at.0];
        let session = &ice.sessions[at.1];
        let count = ice.wanted(session, &self.plan.groups[session.group]);
        self.problem.demands.push(Demand {
            kind,
            count,
            day: session.at.date_naive().num_days_from_ce(),
            earliest: earliest(self.plan, self.clock, session),
            by: trip.leave - trip.pack,
            leave: trip.leave,
            pack_from: trip.leave - ticks_up(PACK_H).max(trip.pack),
            // All that leaves together is packed at once, and counted once.
            pack: if trip.sessions.first() == Some(&at) { trip.pack } else { 0 },
        });
        self.demands.push(at);
    }

    /// From when to when packing and the way to class keep her busy, and the session from
    /// setting out to draining.
    fn busy(&self, at: SessionAt, trip: &Trip) -> [Range<Tick>; 2] {
        let ice = &self.plan.ice[at.0];
        let session = &ice.sessions[at.1];
        let children = self.plan.groups[session.group].children;
        let start = self.clock.floor(session.at);
        let turns = ice.turns_last(&self.plan.groups[session.group]).map_or(0.0, in_hours);
        let used = ticks_up(Work::use_ice().usual_h(children).max(turns)).max(1);
        let drained = ticks_up(Work::drain().usual_h(children)).max(1);
        let temper = trip.keeping.get(&at).map_or(0, |(temper, _)| *temper);
        let out = start - temper - set_out_ticks(children);
        [trip.leave - trip.pack..trip.leave + way_ticks(ice), out..start + used + drained]
    }

    /// Whether the cool box does not keep the blocks from packing to the session.
    fn melts(&self, at: SessionAt, trip: &Trip) -> bool {
        let start = self.clock.floor(self.plan.ice[at.0].sessions[at.1].at);
        let kept = trip.keeping.get(&at).map_or(0, |(_, kept)| *kept);
        start - (trip.leave - trip.pack) > kept
    }

    /// Whether another session has her hands at the same time.
    fn elsewhere(&self, at: SessionAt, [_, session]: &[Range<Tick>; 2]) -> bool {
        let group = self.plan.ice[at.0].sessions[at.1].group;
        let room = &self.plan.places[self.plan.groups[group].place];
        let meets = |other: &Range<Tick>| other.start < session.end && session.start < other.end;
        room.hands.is_none() && self.busy.iter().any(meets)
    }

    /// The place that stands for a group's room at the times when it may be used.
    pub fn room(&mut self, windows: &[Range<Tick>]) -> usize {
        if let Some((_, place)) = self.rooms.iter().find(|(open, _)| open == windows) {
            return *place;
        }
        let place = self.problem.places.len();
        self.problem.places.push(Place { begin: 0, tick: 0, shared_hands: true });
        self.rooms.push((windows.to_vec(), place));
        place
    }

    /// The first time within a span at which neither sessions nor what is reserved keep
    /// her busy for so long.
    pub fn free(&self, span: Range<Tick>, lasts: Tick) -> Option<Range<Tick>> {
        let parts = without(span, &self.busy_in_class());
        let part = parts.into_iter().find(|part| part.end - part.start >= lasts)?;
        Some(part.start..part.start + lasts)
    }

    fn busy_in_class(&self) -> Vec<Range<Tick>> {
        self.busy.iter().chain(self.reserved.values()).cloned().collect()
    }

    /// When hands are free in each place, a date at a time, but for the sessions; within
    /// the hours that she likes, or in all.
    pub fn hours(&mut self, liked: bool) {
        self.problem.stretches.clear();
        let class: Vec<Tick> =
            self.plan.groups.iter().flat_map(|group| self.bounds(group)).collect();
        for (number, place) in self.plan.places.iter().enumerate() {
            let room = self.plan.groups.iter().any(|group| group.place == number);
            if room && !self.works_at(number) {
                continue;
            }
            let parts = self.clock.hours(&self.plan.away, place).into_iter();
            let parts = parts.flat_map(|window| self.dates(window, &class));
            let liked = |span| if liked && !room { self.liked(span) } else { span };
            let busy = if place.hands.is_some() { Vec::new() } else { self.busy_in_class() };
            let free = parts.map(liked).flat_map(|span| without(span, &busy));
            let stretches: Vec<Stretch> = free.map(|span| self.stretch(number, span)).collect();
            self.problem.stretches.extend(stretches);
        }
        for (windows, place) in &self.rooms {
            let busy = self.busy_in_class();
            let free = windows.iter().flat_map(|span| without(span.clone(), &busy));
            let class = free.map(|span| Stretch {
                place: *place,
                day: self.date(span.start).num_days_from_ce(),
                dear: Vec::new(),
                dear_tick: 0,
                late: false,
                span,
            });
            let class: Vec<Stretch> = class.collect();
            self.problem.stretches.extend(class);
        }
        self.problem.stretches.sort_by_key(|stretch| (stretch.span.start, stretch.place));
    }

    /// Whether a freezer or an oven stands there.
    fn works_at(&self, place: usize) -> bool {
        self.plan.freezers.iter().any(|freezer| freezer.place == place)
            || self.plan.ovens.iter().any(|oven| oven.place == place)
    }

    /// When a group's class begins and ends: hands may go from home to class then.
    fn bounds(&self, group: &Group) -> Vec<Tick> {
        let class = self.clock.class(self.plan, group, |_| true);
        class.into_iter().flat_map(|window| [window.start, window.end]).collect()
    }

    /// What of a date's hours she likes.
    fn liked(&self, span: Range<Tick>) -> Range<Tick> {
        let day = self.date(span.start);
        let [from, until] = [self.plan.wishes.earliest, self.plan.wishes.latest]
            .map(|time| self.clock.at(day, time));
        span.start.max(from)..span.end.min(until)
    }

    /// A window cut at midnight and at some other moments.
    fn dates(&self, window: Range<Tick>, cuts: &[Tick]) -> Vec<Range<Tick>> {
        let mut parts = Vec::new();
        let mut from = window.start;
        while from < window.end {
            let next = self.date(from) + Days::new(1);
            let midnight = self.clock.at(next, NaiveTime::MIN);
            let cut = cuts.iter().filter(|cut| **cut > from).min();
            let next = cut.map_or(midnight, |cut| midnight.min(*cut));
            let until = next.min(window.end).max(from + 1);
            parts.push(from..until);
            from = until;
        }
        parts
    }

    fn date(&self, tick: Tick) -> NaiveDate {
        self.clock.instant(tick).date_naive()
    }

    fn stretch(&self, place: usize, span: Range<Tick>) -> Stretch {
        let day = self.date(span.start);
        let hour = |hour: u32| {
            self.clock.at(day, NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or(NaiveTime::MIN))
        };
        let midnight = self.clock.at(day + Days::new(1), NaiveTime::MIN);
        Stretch {
            place,
            late: self.clock.instant(span.end).hour() <= 12 && span.end < midnight,
            day: day.num_days_from_ce(),
            dear: vec![
                span.start.min(hour(MILD.start))..hour(MILD.start),
                hour(MILD.end)..midnight,
            ],
            dear_tick: cost(Term::OddHour) * minutes(1),
            span,
        }
    }
}

impl Rounds<'_> {
    /// Hours to firm with so many moulds of a kind in the freezer; infinite
    /// where the physics has no answer.
    fn hours_to_firm(&self, kind: usize, count: u32) -> f64 {
        let KindOf { mould, freezer, level } = self.kinds[kind];
        let (mould, freezer) = (&self.plan.moulds[mould], &self.plan.freezers[freezer]);
        let outcomes = self.durations.freeze(mould, freezer, count);
        outcomes.map_or(f64::INFINITY, |outcomes| outcomes.point(LEVELS[level]))
    }

    /// Asks the physics itself for a number of moulds that was only estimated;
    /// whether it takes no longer than the estimate.
    pub fn confirm(&self, kind: usize, count: u32) -> bool {
        let estimate = self.estimate(kind, count);
        let hours = self.hours_to_firm(kind, count);
        self.asked.borrow_mut().insert((kind, count), hours);
        ticks_up(hours) <= ticks_up(estimate)
    }

    /// The same from the powers of two around the number, straight between
    /// them: the physics is asked a few times and not for every number.
    fn estimate(&self, kind: usize, count: u32) -> f64 {
        if let Some(hours) = self.asked.borrow().get(&(kind, count)) {
            return *hours;
        }
        let upper = count.next_power_of_two();
        let lower = if upper == count { count } else { upper / 2 };
        let below = self.asked_at(kind, lower);
        if lower == count || below.is_infinite() {
            return below;
        }
        let share = f64::from(count - lower) / f64::from(upper - lower);
        below + share * (self.asked_at(kind, upper) - below)
    }

    fn asked_at(&self, kind: usize, count: u32) -> f64 {
        let known = self.asked.borrow().get(&(kind, count)).copied();
        known.unwrap_or_else(|| {
            let hours = self.hours_to_firm(kind, count);
            self.asked.borrow_mut().insert((kind, count), hours);
            hours
        })
    }

    /// A demand that cannot be served, or for what does not become firm even alone.
    pub fn never_firm(&self) -> Option<usize> {
        let mut demands = self.problem.demands.iter().enumerate();
        let never = |(n, demand): (usize, &Demand)| {
            let ever = || self.estimate(demand.kind, 1).is_finite();
            demand.count > 0 && (self.cannot[n] || !ever())
        };
        demands.position(never)
    }

    /// How many moulds of a kind would hold so much water, rounded up.
    pub fn moulds_for(&self, kind: usize, load: u32) -> u32 {
        load.div_ceil(self.problem.kinds[kind].load).max(1)
    }
}

impl Ripening for Rounds<'_> {
    /// Time to firm beside so much water as the moulds of this kind would hold.
    fn ticks(&self, kind: usize, load: u32) -> Option<Tick> {
        let hours = self.estimate(kind, self.moulds_for(kind, load));
        hours.is_finite().then(|| ticks_up(hours))
    }
}

/// From when on ice may be filled for a session: dates on which she is away all day
/// do not count as dates ahead.
pub fn earliest(plan: &Plan, clock: Clock, session: &Session) -> Tick {
    let day = session.at.date_naive();
    let (mut first, mut ahead, mut away) = (day, 0, 0);
    for date in day.iter_days().rev().skip(1) {
        if away < MOST_AWAY && plan.is_away_all(date) {
            away += 1;
        } else if ahead < plan.wishes.ahead {
            ahead += 1;
            first = date;
        } else {
            break;
        }
    }
    clock.at(first, NaiveTime::MIN)
}

impl Ice {
    /// Blocks for a session.
    pub fn wanted(&self, session: &Session, group: &Group) -> u32 {
        let each = match self.blocks {
            Blocks::Each => group.children,
            Blocks::Number(number) => number,
        };
        each + session.spare.unwrap_or(self.spare)
    }
}

/// The price of a term.
pub fn cost(term: Term) -> Cost {
    (term.minutes() * MINUTE as f64).round() as Cost
}

/// Minutes of so many ticks.
fn minutes(ticks: Cost) -> Cost {
    ticks * TICK_S / 60
}

/// A place where sittings are begun.
fn workplace(place: &planfile::Place) -> Place {
    let tick = cost(Term::Hands) * minutes(1);
    Place { begin: cost(Term::Sitting), tick, shared_hands: place.hands.is_none() }
}

/// Water in one mould, whole grams.
fn grams(mould: &Mould) -> u32 {
    in_millilitres(mould.volume).round().max(1.0) as u32
}

fn moulds(mould: &Mould, store: usize, freezer: &Freezer) -> Kind {
    let own = mould.own;
    let hands = |work: &Work, worth: &dyn Fn(u32) -> f64| -> Vec<Tick> {
        let ticks = |n: u32| if n == 0 { 0 } else { ticks_up(work.usual_h_of(worth(n))).max(1) };
        (0..=own).map(ticks).collect()
    };
    let worth = |count: u32| mould.worth(count);
    // A tin is washed as one.
    let tins = |count: u32| f64::from(mould.places(count));
    Kind {
        store,
        place: freezer.place,
        own,
        pool: 0,
        per_vessel: mould.cups,
        room: MOULD_ROOM,
        kept_room: 1,
        load: grams(mould),
        fill: hands(Work::fill(), &worth),
        empty: hands(Work::turn_out(), &worth),
        wash: hands(Work::wash(), &tins),
        round: cost(Term::Round),
        keep: cost(Term::DayKept),
    }
}

/// What is left of a span.
fn without(span: Range<Tick>, busy: &[Range<Tick>]) -> Vec<Range<Tick>> {
    let mut left = if span.is_empty() { Vec::new() } else { vec![span] };
    for away in busy {
        left = left
            .into_iter()
            .flat_map(|part| {
                let before = part.start..part.end.min(away.start);
                let after = part.start.max(away.end)..part.end;
                [before, after]
            })
            .filter(|part| !part.is_empty())
            .collect();
    }
    left
}

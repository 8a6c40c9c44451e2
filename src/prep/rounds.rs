//! The ice of a plan as the search by sittings is told it: which moulds there
//! are, and what must be out by when.

use std::{collections::BTreeSet, ops::Range};

use chrono::{Datelike, NaiveTime};

use super::{
    clock::{Clock, Tick, hours_of, ticks_up},
    cost::cost,
    draft::LEVELS,
    durations::{DurationError, Durations},
    firm::{Firm, KindOf, Sure},
    hours::Hours,
    round::{Round, Stage},
    trips::{SessionAt, Trip, trips, way_ticks},
};
use crate::{
    planfile::{Blocks, Freezer, Group, Ice, MOULD_ROOM, Mould, Plan, Session},
    scheduler::sittings::{Begun, Demand, Filling, Kind, Problem, Ripening, Store},
    tables::{Term, Work},
};

/// Dates wholly away that do not count as dates ahead, at most.
const MOST_AWAY: u32 = 7;

/// Moulds together up to which each number is asked of the physics where nothing else helps.
const MOST_ASKED: u32 = 16;

/// Packing begins at most so long before she must go, in hours (common practice, no source).
pub const PACK_H: f64 = 1.0;

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
    /// When hands are free.
    pub hours: Hours<'a>,
    /// How long blocks take to be firm.
    firm: Firm<'a>,
    /// By demand: whether no plan serves it, whatever is filled when.
    cannot: Vec<bool>,
    /// The rounds behind what the problem has as begun, in its order.
    begun: Vec<(SessionAt, Round)>,
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
            hours: Hours::of(plan, clock),
            firm: Firm::of(plan, durations),
            cannot: Vec::new(),
            begun: Vec::new(),
        };
        let stores = plan.freezers.iter();
        rounds.problem.stores = stores.map(|freezer| Store { capacity: freezer.room() }).collect();
        let to_come =
            |(ice, session): SessionAt| clock.floor(plan.ice[ice].sessions[session].at) > 0;
        for (at, trip) in trips(plan, clock, durations, to_come)? {
            let kind = rounds.kind(&plan.ice[at.0]);
            rounds.demand(kind, at, &trip);
            let busy = rounds.busy(at, &trip);
            let cannot = rounds.melts(at, &trip) || rounds.elsewhere(at, &busy);
            rounds.cannot.push(cannot);
            if !cannot {
                rounds.hours.busy.extend(busy.into_iter().filter(|busy| !busy.is_empty()));
                if trip.carried {
                    rounds.hours.packing.push(trip.leave - trip.pack..trip.leave);
                }
            }
        }
        Ok(rounds)
    }

    /// The kind of an ice activity, made where it is the first of that mould and freezer.
    fn kind(&mut self, ice: &Ice) -> usize {
        let own = KindOf { mould: ice.mould, freezer: ice.freezer };
        if let Some(known) = self.kinds.iter().position(|kind| *kind == own) {
            return known;
        }
        self.kinds.push(own);
        self.problem.kinds.push(self.moulds(own));
        self.kinds.len() - 1
    }

    /// A kind as the search is told it, with the time of hands for as many as there are, or
    /// as were begun: what people tell may leave more in the freezer than they own.
    fn moulds(&self, of: KindOf) -> Kind {
        let alike = self.begun.iter().filter(|(at, _)| self.plan.ice[at.0].mould == of.mould);
        let inside: u32 = alike.map(|(_, round)| self.left_of(round)).sum();
        let (mould, freezer) = (&self.plan.moulds[of.mould], &self.plan.freezers[of.freezer]);
        let kind = moulds(mould, of.freezer, freezer, mould.own.max(inside));
        Kind { pool: of.mould, ..kind }
    }

    /// How sure the blocks of a demand are, as a place in [`LEVELS`].
    pub fn level(&self, demand: usize) -> usize {
        self.problem.demands[demand].sureness
    }

    /// Takes the next level for a demand; whether there is one.
    pub fn less_sure(&mut self, demand: usize) -> bool {
        let level = self.level(demand) + 1;
        let is_one = level < LEVELS.len();
        if is_one {
            self.take_level(demand, level);
        }
        is_one
    }

    /// Takes a level for a demand; what was begun for it is taken as that sure.
    pub fn take_level(&mut self, demand: usize, level: usize) {
        self.problem.demands[demand].sureness = level;
        for number in 0..self.begun.len() {
            let (_, round) = &self.begun[number];
            self.problem.begun[number].ripe_at =
                self.known_ripe(self.problem.begun[number].kind, round);
        }
    }

    /// Demands for blocks of the same freezer, those that leave nearest to one first.
    pub fn beside(&self, demand: usize) -> Vec<usize> {
        let store = |demand: &Demand| self.problem.kinds[demand.kind].store;
        let own = &self.problem.demands[demand];
        let others = self.problem.demands.iter().enumerate();
        let others =
            others.filter(|(n, it)| *n != demand && it.count > 0 && store(it) == store(own));
        let mut others: Vec<_> = others.map(|(n, it)| ((it.leave - own.leave).abs(), n)).collect();
        others.sort_unstable();
        others.into_iter().map(|(_, n)| n).collect()
    }

    /// What was begun before and is still to be used.
    pub fn begun(&mut self, begun: &[(SessionAt, Round)]) {
        let used = |(at, round): &&(SessionAt, Round)| {
            self.kind_of(*at).is_some() && self.left_of(round) > 0
        };
        self.begun = begun.iter().filter(used).cloned().collect();
        self.problem.kinds = self.kinds.iter().map(|kind| self.moulds(*kind)).collect();
        for (at, round) in &self.begun {
            let Some(kind) = self.kind_of(*at) else { continue };
            let (count, out) = (self.left_of(round), round.stage == Stage::Out);
            let ripe_at = self.known_ripe(kind, round);
            self.problem.begun.push(Begun { kind, count, filled: round.fill.1, ripe_at, out });
        }
    }

    /// When a round is firm that was looked at.
    fn known_ripe(&self, kind: usize, round: &Round) -> Option<Tick> {
        if round.stage == Stage::Firm {
            return Some(0);
        }
        let wet_at = round.wet_at?;
        let filled = round.fill.1;
        // As sure as the first that takes some of it.
        let takers = self.demands.iter().zip(&self.problem.demands);
        let takers = takers.filter(|(at, _)| round.takers.contains(at));
        let first = takers.min_by_key(|(_, demand)| demand.leave);
        let level = first.map_or(0, |(_, demand)| demand.sureness);
        let wet_h = hours_of(wet_at - filled);
        let hours = self.firm.left_wet(self.sure(kind, level), round.beside, wet_h);
        hours.is_finite().then(|| filled + ticks_up(hours))
    }

    /// How many blocks of a round begun before are for sessions to come.
    pub fn left_of(&self, round: &Round) -> u32 {
        round.takers.iter().filter(|taker| self.demands.contains(taker)).count() as u32
    }

    /// The kind of a session's ice, where there is something to come of it.
    pub fn kind_of(&self, at: SessionAt) -> Option<usize> {
        let ice = &self.plan.ice[at.0];
        let own = KindOf { mould: ice.mould, freezer: ice.freezer };
        self.kinds.iter().position(|kind| *kind == own)
    }

    /// A session's blocks.
    fn demand(&mut self, kind: usize, at: SessionAt, trip: &Trip) {
        let ice = &self.plan.ice[at.0];
        let session = &ice.sessions[at.1];
        let count = ice.wanted(session, &self.plan.groups[session.group]);
        let pack_from = trip.leave - ticks_up(PACK_H).max(trip.pack);
        // What leaves together is packed together: from several freezers only once all is out.
        let of_one = trip.sessions.iter().all(|at| self.plan.ice[at.0].freezer == ice.freezer);
        self.problem.demands.push(Demand {
            kind,
            count,
            sureness: 0,
            day: session.at.date_naive().num_days_from_ce(),
            earliest: earliest(self.plan, self.clock, session),
            by: trip.leave - trip.pack,
            leave: trip.leave,
            pack_from: if trip.carried && of_one { pack_from } else { trip.leave },
            // All that leaves together is packed at once, and counted once.
            pack: if trip.sessions.first() == Some(&at) { trip.pack } else { 0 },
        });
        self.demands.push(at);
    }

    /// From when to when her hands are busy: packing and the way to class, setting out, and the
    /// session until the floor is wiped.
    fn busy(&self, at: SessionAt, trip: &Trip) -> [Range<Tick>; 3] {
        let table = &trip.tables[&at];
        let way = if trip.carried { way_ticks(&self.plan.ice[at.0]) } else { 0 };
        [
            trip.leave - trip.pack..trip.leave + way,
            table.set_out.clone(),
            table.used.start..table.drained.end,
        ]
    }

    /// Whether the cool box does not keep the blocks from packing to the session.
    fn melts(&self, at: SessionAt, trip: &Trip) -> bool {
        let table = &trip.tables[&at];
        trip.carried && table.used.start - (trip.leave - trip.pack) > table.kept
    }

    /// Whether another session has her hands at the same time.
    fn elsewhere(&self, at: SessionAt, [_, own @ ..]: &[Range<Tick>; 3]) -> bool {
        let group = self.plan.ice[at.0].sessions[at.1].group;
        let room = &self.plan.places[self.plan.groups[group].place];
        let meets = |other: &Range<Tick>| {
            own.iter().any(|own| other.start < own.end && own.start < other.end)
        };
        room.hands.is_none() && self.hours.busy.iter().any(meets)
    }
}

impl Rounds<'_> {
    /// A demand that cannot be served, or for what does not become firm even alone.
    pub fn never_served(&self) -> Option<usize> {
        let mut demands = self.problem.demands.iter().enumerate();
        let never = |(n, demand): (usize, &Demand)| {
            let ever = || self.estimate(demand.kind, demand.sureness, 1).is_finite();
            demand.count > 0 && (self.cannot[n] || !ever())
        };
        demands.position(never)
    }

    fn sure(&self, kind: usize, level: usize) -> Sure {
        Sure { kind: self.kinds[kind], level }
    }

    fn estimate(&self, kind: usize, level: usize, count: u32) -> f64 {
        self.firm.estimate(self.sure(kind, level), count)
    }

    /// Whether the physics says of a filling what was estimated.
    pub fn confirm(&self, lot: &Filling<'_>) -> bool {
        let kind = lot.fill.kind;
        self.firm.confirm(self.sure(kind, lot.sureness), self.moulds_for(kind, lot.load))
    }

    /// Asks the physics for each number of moulds that may be filled at once: an estimate between
    /// two of its answers may be cautious by a quarter of an hour, and an evening then too short.
    pub fn ask_each(&self) {
        for kind in 0..self.kinds.len() {
            let demands = || self.problem.demands.iter().filter(|demand| demand.kind == kind);
            let wanted: u32 = demands().map(|demand| demand.count).sum();
            let most = self.problem.kinds[kind].own.min(wanted).min(MOST_ASKED);
            let levels: BTreeSet<usize> = demands().map(|demand| demand.sureness).collect();
            for level in levels {
                self.firm.ask_each(self.sure(kind, level), most);
            }
        }
    }

    /// How many moulds of a kind would hold so much water.
    pub fn moulds_for(&self, kind: usize, load: u64) -> u32 {
        self.plan.moulds[self.kinds[kind].mould].holding(load)
    }
}

impl Ripening for Rounds<'_> {
    /// Time to firm beside so much water as the moulds of this kind would hold.
    fn ticks(&self, kind: usize, load: u64, sureness: usize) -> Option<Tick> {
        let hours = self.estimate(kind, sureness, self.moulds_for(kind, load));
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
    /// Blocks that a session cannot do without: the spare ones are for what breaks.
    pub fn needed(&self, group: &Group) -> u32 {
        match self.blocks {
            Blocks::Each => group.children,
            Blocks::Number(number) => number,
        }
    }

    /// Blocks for a session: the spare ones too, but for those that it goes without.
    pub fn wanted(&self, session: &Session, group: &Group) -> u32 {
        let all = self.needed(group) + session.spare.unwrap_or(self.spare);
        all.saturating_sub(session.without)
    }
}

/// Moulds of a kind, with the time of hands for up to so many.
fn moulds(mould: &Mould, store: usize, freezer: &Freezer, most: u32) -> Kind {
    let hands = |work: &Work, worth: &dyn Fn(u32) -> f64| -> Vec<Tick> {
        let ticks = |n: u32| if n == 0 { 0 } else { ticks_up(work.usual_h_of(worth(n))).max(1) };
        (0..=most).map(ticks).collect()
    };
    let worth = |count: u32| mould.worth(count);
    // A tin is washed as one.
    let tins = |count: u32| f64::from(mould.tins(count));
    Kind {
        store,
        place: freezer.place,
        own: mould.own,
        pool: 0,
        per_vessel: mould.on_a_place(),
        cups: mould.cups,
        room: MOULD_ROOM,
        kept_room: 1,
        load: mould.milligrams(),
        fill: hands(Work::fill(), &worth),
        empty: hands(Work::turn_out(), &worth),
        wash: hands(Work::wash(), &tins),
        round: cost(Term::Round),
        keep: cost(Term::DayKept),
    }
}

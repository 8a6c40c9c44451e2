//! An ice session up to the bagged blocks: wash, fill, freeze, turn out, as often as its
//! rounds say.

use std::collections::BTreeMap;

use chrono::Datelike;

use super::shared::Shared;
use crate::{
    planfile::{Freezer, Group, Ice, MOULD_ROOM, Mould, Plan, Session, slug},
    prep::{
        chosen::Chosen,
        clock::hours_of,
        draft::{Anchor, Draft, Ends, Filling, Passive, Serves, Task},
        durations::{DurationError, Durations, Keeping, Outcomes, Process},
        fact::{Fact, Wait},
        round::Round,
        rounds::earliest,
        schedule::Attention,
        trips::{SessionAt, Trip, trips},
        what::{Moulds, Numbered, What},
    },
    scheduler::{ActivityId, GoalId},
    tables::{Step, Work},
};

/// One session while its steps are made.
pub(super) struct Making<'a> {
    pub(super) plan: &'a Plan,
    shared: &'a Shared,
    pub(super) ice: &'a Ice,
    mould: &'a Mould,
    pub(super) group: &'a Group,
    pub(super) session: &'a Session,
    pub(super) keeping: Keeping,
    pub(super) goal: GoalId,
    pub(super) at: SessionAt,
    id: String,
    pub(super) wanted: u32,
    rounds: Vec<Freezing>,
}

/// A round while its steps are made.
struct Freezing {
    /// Moulds filled.
    count: u32,
    /// Moulds washed for it.
    wash: u32,
    /// When it is ready.
    outcomes: Outcomes,
    /// Hours after which some of it was still wet.
    wet_h: Option<f64>,
    /// What goes on in the freezer.
    process: Process,
    /// Where the search put it.
    chosen: Option<Round>,
}

/// The steps of each round of a session.
pub struct Frozen {
    /// Its filling.
    pub filled: Vec<ActivityId>,
    /// Its turning out.
    pub turned_out: Vec<ActivityId>,
}

/// Adds every session of the plan's ice, in the rounds that were chosen for it; the steps
/// of the rounds of each.
///
/// # Errors
/// [`DurationError`] when the physics has no answer for a mould or freezer.
pub fn add_ice(
    draft: &mut Draft,
    plan: &Plan,
    shared: &Shared,
    (chosen, durations): (&Chosen, &dyn Durations),
) -> Result<BTreeMap<SessionAt, Frozen>, DurationError> {
    let mut sessions = BTreeMap::new();
    for ice in 0..plan.ice.len() {
        for session in 0..plan.ice[ice].sessions.len() {
            let at = (ice, session);
            let making = Making::of(draft, (plan, shared), at, (chosen, durations))?;
            let frozen = making.freeze_all(draft);
            sessions.insert(at, (making, frozen));
        }
    }
    let trips = trips(plan, draft.clock, durations, |_| true)?;
    let mut packed: BTreeMap<SessionAt, ActivityId> = BTreeMap::new();
    for (trip, first) in trips.values().filter_map(|trip| Some((trip, first(trip, chosen)?))) {
        if let Some((making, _)) = sessions.get(&first).filter(|_| !packed.contains_key(&first)) {
            // Blocks of a session that is not served are never turned out.
            let packs = trip.clone().with(plan, |at| !chosen.unserved.contains_key(at));
            let at_home = || making.leave(draft, &packs, chosen.packed.get(&first).copied());
            let way = trip.carried.then(at_home);
            for at in &trip.sessions {
                if let Some((making, frozen)) = sessions.get(at) {
                    let set_out = making.serve(draft, &trip.tables[at], way);
                    let taken_out = way.map_or(set_out, |(pack, _)| pack);
                    packed.insert(*at, taken_out);
                    making.pack_from(draft, frozen, taken_out);
                    // The room of a bag until it leaves, as its own session knows it.
                    let until = if *at == first { taken_out } else { set_out };
                    making.bags(draft, frozen, until);
                }
            }
        }
    }
    for (session, rounds) in &chosen.rounds {
        let Some((_, frozen)) = sessions.get(session) else { continue };
        let steps = frozen.filled.iter().zip(&frozen.turned_out);
        for (round, (fill, turn_out)) in rounds.iter().zip(steps) {
            for pack in round.others(*session).filter_map(|other| packed.get(other)) {
                draft.then(*turn_out, *pack);
            }
            let Ice { mould, freezer, .. } = plan.ice[session.0];
            let (fill, turn_out, round) = (*fill, *turn_out, round.clone());
            draft.fillings.push(Filling { fill, turn_out, mould, freezer, round });
        }
    }
    draft.packs = packed;
    Ok(sessions.into_iter().map(|(at, (_, frozen))| (at, frozen)).collect())
}

/// What the ids of a session's steps begin with.
pub fn session_id(plan: &Plan, at: SessionAt) -> String {
    let ice = &plan.ice[at.0];
    let group = ice.sessions[at.1].group;
    let earlier = ice.sessions.iter().take(at.1).filter(|other| other.group == group);
    let number = earlier.count() + 1;
    format!("{}-{}-{number}", slug(&ice.name), slug(&plan.groups[group].name))
}

/// The session whose steps packing and leaving are among: the first that is served.
fn first(trip: &Trip, chosen: &Chosen) -> Option<SessionAt> {
    let served = trip.sessions.iter().find(|at| !chosen.unserved.contains_key(at));
    served.or(trip.sessions.first()).copied()
}

/// The rounds that were chosen, each beside what freezes with it.
fn placed(
    plan: &Plan,
    ice: &Ice,
    rounds: &[Round],
    durations: &dyn Durations,
) -> Result<Vec<Freezing>, DurationError> {
    let freezing = |round: &Round| {
        let wash = round.wash.map_or(0, |(_, moulds)| moulds);
        freezing(plan, ice, (round.count, wash, round.beside), Some(round.clone()), durations)
    };
    rounds.iter().map(freezing).collect()
}

/// Rounds that no search has found a place for: as large as moulds and freezer
/// allow, each as if alone in the freezer.
fn unplaced(
    plan: &Plan,
    ice: &Ice,
    wanted: u32,
    durations: &dyn Durations,
) -> Result<Vec<Freezing>, DurationError> {
    let (mould, holds) = (&plan.moulds[ice.mould], plan.freezers[ice.freezer].holds);
    let at_once = mould.own.min(mould.on_places(holds));
    let counts = rounds(wanted, at_once);
    let most = counts.iter().copied().max().unwrap_or(1);
    let of = |(number, count): (usize, &u32)| {
        let wash = if number == 0 { most } else { 0 };
        freezing(plan, ice, (*count, wash, *count), None, durations)
    };
    counts.iter().enumerate().map(of).collect()
}

fn freezing(
    plan: &Plan,
    ice: &Ice,
    (count, wash, at_once): (u32, u32, u32),
    chosen: Option<Round>,
    durations: &dyn Durations,
) -> Result<Freezing, DurationError> {
    let (mould, freezer) = (&plan.moulds[ice.mould], &plan.freezers[ice.freezer]);
    let mut outcomes = durations.freeze(mould, freezer, at_once)?;
    let wet = chosen.as_ref().and_then(|round| Some(round.wet_at? - round.fill.1));
    let wet_h = wet.map(hours_of);
    if let Some(wet_h) = wet_h {
        outcomes = outcomes.given_longer_than(wet_h);
    }
    let (mould, freezer) = (mould.clone(), freezer.clone());
    let process = Process::Freezing { mould, freezer, count: at_once, filled: count };
    Ok(Freezing { count, wash, outcomes, wet_h, process, chosen })
}

/// Blocks in each round: full rounds last, so that the odd ones lie longest.
fn rounds(wanted: u32, at_once: u32) -> Vec<u32> {
    let at_once = at_once.max(1);
    let rest = wanted % at_once;
    let full = (wanted / at_once) as usize;
    (rest > 0).then_some(rest).into_iter().chain(std::iter::repeat_n(at_once, full)).collect()
}

impl<'a> Making<'a> {
    fn of(
        draft: &mut Draft,
        (plan, shared): (&'a Plan, &'a Shared),
        at: SessionAt,
        (chosen, durations): (&Chosen, &dyn Durations),
    ) -> Result<Self, DurationError> {
        let ice = &plan.ice[at.0];
        let (mould, session) = (&plan.moulds[ice.mould], &ice.sessions[at.1]);
        let group = &plan.groups[session.group];
        let wanted = ice.wanted(session, group);
        let goal = draft.goal(Serves::Session { ice: at.0, session: at.1 });
        let rounds = match chosen.rounds.get(&at) {
            Some(rounds) => placed(plan, ice, rounds, durations)?,
            // Others' rounds have all its blocks.
            None if chosen.serves(at) => Vec::new(),
            None => unplaced(plan, ice, wanted, durations)?,
        };
        Ok(Self {
            plan,
            shared,
            ice,
            mould,
            group,
            session,
            keeping: durations.keeping(mould, wanted, plan.room)?,
            goal,
            at,
            id: session_id(plan, at),
            wanted,
            rounds,
        })
    }

    /// Every round, one after another.
    fn freeze_all(&self, draft: &mut Draft) -> Frozen {
        let mut last = None;
        let mut frozen = Frozen { filled: Vec::new(), turned_out: Vec::new() };
        for number in 0..self.rounds.len() {
            let (fill, turn_out) = self.round(draft, number, last);
            frozen.filled.push(fill);
            frozen.turned_out.push(turn_out);
            last = Some(turn_out);
        }
        for orders in [&frozen.filled, &frozen.turned_out] {
            for pair in orders.windows(2) {
                draft.then(pair[0], pair[1]);
            }
        }
        frozen
    }

    /// What is packed was turned out before, and is not too old; what other sessions take alone may
    /// be in its moulds still.
    fn pack_from(&self, draft: &mut Draft, frozen: &Frozen, pack: ActivityId) {
        let takes = |round: &Freezing| {
            round.chosen.as_ref().is_none_or(|round| round.takers.contains(&self.at))
        };
        let steps = frozen.filled.iter().zip(&frozen.turned_out).zip(&self.rounds);
        let own = steps.filter(|(_, round)| takes(round)).map(|(steps, _)| steps);
        let (filled, turned_out): (Vec<ActivityId>, Vec<ActivityId>) = own.unzip();
        for turn_out in turned_out {
            draft.then(turn_out, pack);
        }
        if self.plan.done.is_empty() {
            self.not_too_early(draft, &filled, pack);
        }
    }

    /// The room of a bag, which a block in its mould takes too.
    fn bags(&self, draft: &mut Draft, frozen: &Frozen, until: ActivityId) {
        for (fill, round) in frozen.filled.iter().zip(&self.rounds) {
            let bags = self.mould.places(round.count);
            draft.hold(self.shared.freezers[self.ice.freezer], bags, *fill, until);
        }
    }

    /// Ice is filled a few dates ahead at most.
    fn not_too_early(&self, draft: &mut Draft, filled: &[ActivityId], pack: ActivityId) {
        let start = draft.clock.floor(self.session.at);
        let longest = start - earliest(self.plan, draft.clock, self.session);
        let fact = draft.fact(Fact::Ahead);
        for fill in filled {
            draft.then_within(*fill, pack, hours_of(longest), fact);
        }
    }

    pub(super) fn freezer(&self) -> &Freezer {
        &self.plan.freezers[self.ice.freezer]
    }

    pub(super) fn task(&self, name: &str, what: What, place: usize, step: Step) -> Task {
        Task {
            id: format!("{}-{name}", self.id),
            short: self.short(name),
            what,
            place: self.plan.places[place].name.clone(),
            group: Some(self.group.name.clone()),
            attention: Attention::Hands,
            bring: Vec::new(),
            take_back: Vec::new(),
            step,
            count: self.wanted,
            dried: None,
            youngest: self.group.youngest_years(),
            needed: None,
            comes_out: None,
            done: false,
            process: None,
        }
    }

    /// `fill-2-otters-9-dec`; with the name of the activity where that alone tells it from
    /// another one.
    fn short(&self, name: &str) -> String {
        let day = |session: &Session| session.at.date_naive();
        let same = |ice: &&Ice| {
            let mut sessions = ice.sessions.iter();
            sessions.any(|at| at.group == self.session.group && day(at) == day(self.session))
        };
        let called = match self.plan.ice.iter().filter(same).count() {
            0 | 1 => String::new(),
            _ => format!("-{}", slug(&self.ice.name)),
        };
        let day = day(self.session);
        let date = format!("{}-{}", day.day(), day.format("%b").to_string().to_lowercase());
        format!("{name}-{}-{date}{called}", slug(&self.group.name))
    }

    fn moulds(&self, count: u32) -> Moulds {
        Moulds { mould: self.ice.mould, count }
    }

    /// Before the first round, or before a later one that turns nothing out first.
    fn wash(&self, draft: &mut Draft, number: usize, round: &Freezing) -> Option<ActivityId> {
        if round.wash == 0 {
            return None;
        }
        let (suffix, _) = self.numbered(number);
        let what = What::Wash(self.moulds(round.wash));
        let hours = Work::wash().usual_h(self.mould.tins(round.wash));
        let booking = self.shared.in_hours(self.freezer().place, self.goal, hours);
        let task = self.task(&format!("wash{suffix}"), what, self.freezer().place, Step::Wash);
        let wash = draft.task(task, booking);
        // Nobody washes a mould that holds a block.
        draft.hold(self.shared.moulds[self.ice.mould], round.wash, wash, wash);
        let chosen = round.chosen.as_ref().and_then(|chosen| chosen.wash);
        draft.place(wash, chosen.map(|(start, _)| start));
        Some(wash)
    }

    /// Wash, fill, freeze, turn out; the filling and the turning out.
    fn round(
        &self,
        draft: &mut Draft,
        number: usize,
        after: Option<ActivityId>,
    ) -> (ActivityId, ActivityId) {
        let round = &self.rounds[number];
        let wash = self.wash(draft, number, round);
        let fill = self.fill(draft, number);
        let moulds_free = draft.fact(Fact::Moulds(self.ice.mould));
        // A later round waits for the moulds; chosen ones may be in others of them.
        let earlier = after.filter(|_| round.chosen.is_none());
        for before in wash.into_iter().chain(earlier) {
            draft.then_after(before, fill, 0.0, moulds_free);
        }
        let turn_out = self.turn_out(draft, number);
        self.freeze(draft, number, fill, turn_out);
        (fill, turn_out)
    }

    fn fill(&self, draft: &mut Draft, number: usize) -> ActivityId {
        let (round, home) = (&self.rounds[number], self.freezer().place);
        let (suffix, of) = self.numbered(number);
        let what = What::Fill(self.moulds(round.count), of);
        let mut fill = self.task(&format!("fill{suffix}"), what, home, Step::Fill);
        fill.count = round.count;
        let hours = match &round.chosen {
            Some(chosen) => hours_of(chosen.fill.1 - chosen.fill.0),
            None => Work::fill().usual_h_of(self.mould.worth(round.count)),
        };
        let fill = draft.task(fill, self.shared.in_hours(home, self.goal, hours));
        draft.place(fill, round.chosen.as_ref().map(|chosen| chosen.fill.0));
        fill
    }

    fn turn_out(&self, draft: &mut Draft, number: usize) -> ActivityId {
        let (round, home) = (&self.rounds[number], self.freezer().place);
        let (suffix, of) = self.numbered(number);
        let what = What::TurnOut(round.count, of);
        let mut turn_out = self.task(&format!("turn-out{suffix}"), what, home, Step::TurnOut);
        turn_out.count = round.count;
        let hours = match &round.chosen {
            Some(chosen) => hours_of(chosen.out.1 - chosen.out.0),
            None => Work::turn_out().usual_h_of(self.mould.worth(round.count)),
        };
        let turn_out = draft.task(turn_out, self.shared.in_hours(home, self.goal, hours));
        draft.place(turn_out, round.chosen.as_ref().map(|chosen| chosen.out.0));
        turn_out
    }

    /// What a round adds to names where there are several, and which it is. The first keeps
    /// its name where another one is added.
    fn numbered(&self, number: usize) -> (String, Numbered) {
        let chosen = self.rounds[number].chosen.as_ref();
        let own = chosen.map_or(number as u32 + 1, |round| round.number);
        let rest = chosen.is_some_and(|round| round.rest);
        let suffix = if own == 1 { String::new() } else { format!("-{own}") };
        let suffix = if rest { suffix + "-rest" } else { suffix };
        let all = self.rounds.iter().filter_map(|round| Some(round.chosen.as_ref()?.number));
        let all = all.max().unwrap_or(self.rounds.len() as u32);
        (suffix, Numbered { own, all, rest })
    }

    /// The freezing of a round between its filling and its turning out.
    fn freeze(&self, draft: &mut Draft, number: usize, fill: ActivityId, turn_out: ActivityId) {
        let Freezing { count, outcomes, wet_h, process, .. } = &self.rounds[number];
        let fact = draft.fact(Fact::Wait(Wait::Freezing, outcomes.sure()));
        draft.then_when(fill, turn_out, outcomes, fact);
        let (suffix, round) = self.numbered(number);
        let what = What::Freeze(self.moulds(*count), round, self.ice.freezer);
        let mut freeze =
            self.task(&format!("freeze{suffix}"), what, self.freezer().place, Step::Freeze);
        freeze.attention = Attention::None;
        freeze.process = Some(process.clone());
        draft.spans.push(Passive {
            task: freeze,
            after: fill,
            before: turn_out,
            anchor: Anchor::Start,
            outcomes: outcomes.clone(),
            ends: Ends::Block,
            not_after_h: *wet_h,
            over: false,
        });
        draft.hold(self.shared.moulds[self.ice.mould], *count, fill, turn_out);
        let room = (MOULD_ROOM - 1) * self.mould.places(*count);
        draft.hold(self.shared.freezers[self.ice.freezer], room, fill, turn_out);
    }
}

#[cfg(test)]
mod tests {
    use super::rounds;

    #[test]
    fn the_odd_blocks_come_first() {
        assert_eq!(rounds(12, 4), [4, 4, 4]);
        assert_eq!(rounds(10, 4), [2, 4, 4]);
        assert_eq!(rounds(3, 4), [3]);
    }
}

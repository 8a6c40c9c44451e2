//! Blocks as they are followed: turned out where they are firm as planned, else when she is
//! there next; what is to be filled waits for its moulds.

use std::{collections::BTreeMap, ops::Range};

use super::{Kitchens, Reserve, end_of, reserves::DONE_AT_LAST};
use crate::{
    planfile::Plan,
    prep::{
        clock::{Tick, ticks_up},
        draft::{Draft, Serves},
        trips::SessionAt,
    },
    scheduler::{ActivityId, Solution},
    tables::Work,
};

/// How long before hours at home end a last look is worth it, in hours: time enough to turn
/// out a few (common practice, no source).
const BEFORE_END_H: f64 = 0.5;

/// All ice of a plan.
pub struct Blocks {
    rounds: Vec<Round>,
    sessions: BTreeMap<SessionAt, Session>,
    /// By mould: how many there are.
    moulds: Vec<u32>,
    /// By freezer: when she may look, beside the steps themselves.
    chances_to_look: Vec<Vec<Tick>>,
}

struct Round {
    /// Its freezing among the waits of the draft.
    span: usize,
    turn_out: ActivityId,
    /// From when to when it is filled, and turned out.
    filled: Tick,
    out: Tick,
    hands: Tick,
    mould: usize,
    freezer: usize,
    takers: Vec<SessionAt>,
}

struct Session {
    goal: usize,
    /// Blocks that it cannot do without.
    needs: usize,
    packed: Tick,
}

/// When a round was filled and turned out in one kitchen.
#[derive(Clone, Copy)]
struct Went {
    filled: Tick,
    out: Tick,
}

impl Blocks {
    /// The rounds of a plan that are still in the freezer or to come.
    pub fn of(plan: &Plan, draft: &Draft, solution: &Solution) -> Self {
        let mut rounds: Vec<Round> = Vec::new();
        for filling in &draft.fillings {
            let (fill, turn_out) = (filling.fill, filling.turn_out);
            let span = draft.spans.iter().position(|s| s.after == fill && s.before == turn_out);
            let times = end_of(draft, solution, fill).zip(solution.start(turn_out));
            if let Some((span, (filled, out))) = span.zip(times) {
                let (takers, freezer) = (filling.round.takers.clone(), filling.freezer);
                let hands = ticks_up(Work::turn_out().usual_h(takers.len() as u32)).max(1);
                let mould = filling.mould;
                rounds.push(Round { span, turn_out, filled, out, hands, mould, freezer, takers });
            }
        }
        rounds.sort_by_key(|round| round.filled);
        // What is packed is packed.
        let to_pack = draft.packs.iter().filter(|(_, pack)| !draft.tasks[pack.0].done);
        let sessions = to_pack.filter_map(|(at, pack)| {
            let packed = solution.start(*pack)?;
            let serves = Serves::Session { ice: at.0, session: at.1 };
            let goal = draft.goals.iter().position(|goal| *goal == serves)?;
            let ice = &plan.ice[at.0];
            let (session, group) = (&ice.sessions[at.1], &plan.groups[ice.sessions[at.1].group]);
            // A session that goes without some is one all the same.
            let needs = ice.needed(group).min(ice.wanted(session, group)) as usize;
            Some((*at, Session { goal, needs, packed }))
        });
        Self {
            sessions: sessions.collect(),
            rounds,
            moulds: plan.moulds.iter().map(|mould| mould.own).collect(),
            chances_to_look: plan.freezers.iter().map(|it| home(plan, draft, it.place)).collect(),
        }
    }

    /// Follows them in one kitchen; says which goals are not served.
    pub fn follow(&self, kitchens: &Kitchens, kitchen: usize, served: &mut [bool]) {
        let went = self.went(kitchens, kitchen);
        for (at, session) in &self.sessions {
            let there: usize = self
                .rounds
                .iter()
                .zip(&went)
                .filter(|(_, went)| went.out <= session.packed)
                .map(|(round, _)| round.takers.iter().filter(|taker| *taker == at).count())
                .sum();
            let planned = self.rounds.iter().any(|round| round.takers.contains(at));
            if planned && there < session.needs {
                served[session.goal] = false;
            }
        }
    }

    /// When each round is filled and out.
    fn went(&self, kitchens: &Kitchens, kitchen: usize) -> Vec<Went> {
        let mut went: Vec<Went> = Vec::new();
        for round in &self.rounds {
            let ready = kitchens.ready(round.span, kitchen).unwrap_or(round.out);
            let Some(filled) = self.moulds_free(round, &went) else {
                went.push(Went { filled: Tick::MAX, out: Tick::MAX });
                continue;
            };
            let out = match ready.saturating_add(filled - round.filled) {
                ready if ready <= round.out => round.out,
                ready => self.next_look(round, ready),
            };
            went.push(Went { filled, out });
        }
        went
    }

    /// When moulds are there for a round: as planned, else when earlier ones are out; none
    /// where they never are.
    fn moulds_free(&self, round: &Round, went: &[Went]) -> Option<Tick> {
        let earlier = || self.rounds.iter().zip(went).filter(|(own, _)| own.mould == round.mould);
        let own = self.moulds[round.mould] as usize;
        let inside = |at: Tick| -> usize {
            let there = earlier().filter(|(_, went)| went.filled <= at && at < went.out);
            there.map(|(round, _)| round.takers.len()).sum()
        };
        // A round whose blocks came out as planned has left its moulds by now.
        let late = earlier().filter(|(own, went)| went.out > own.out && went.out < Tick::MAX);
        let mut times: Vec<Tick> = late.map(|(_, went)| went.out).collect();
        times.sort_unstable();
        let mut moments = std::iter::once(round.filled)
            .chain(times.into_iter().filter(|out| *out > round.filled));
        let fits = |at: &Tick| inside(*at) + round.takers.len() <= own;
        moments.find(fits)
    }

    /// The first time at which she is there and the blocks are firm; packing is the last.
    fn next_look(&self, round: &Round, ready: Tick) -> Tick {
        let packed = round.takers.iter().filter_map(|at| self.sessions.get(at)).map(|s| s.packed);
        let looks = self.chances_to_look[round.freezer].iter().copied().chain(packed);
        looks.filter(|look| *look >= ready).min().unwrap_or(Tick::MAX)
    }

    /// For each round that is not sure: when what was not firm is turned out after all.
    pub fn reserves(&self, kitchens: &Kitchens) -> Vec<Reserve> {
        let went = kitchens.each(|kitchen| self.went(kitchens, kitchen));
        let of = |(number, round): (usize, &Round)| {
            let mut late: Vec<Tick> = went
                .iter()
                .map(|went| went[number].out)
                .filter(|out| *out > round.out && *out < Tick::MAX)
                .collect();
            late.sort_unstable();
            let needed = late.len() as f64 / went.len() as f64;
            let at = *late.get((DONE_AT_LAST * late.len() as f64) as usize)?;
            let packed = round.takers.iter().filter_map(|at| self.sessions.get(at));
            let packed = packed.map(|session| session.packed).min()?;
            // As she packs, they go from the mould into the box: no step of its own.
            (at < packed).then_some(Reserve {
                of: round.turn_out,
                start: at,
                end: at + round.hands,
                needed,
            })
        };
        self.rounds.iter().enumerate().filter_map(of).collect()
    }
}

/// When she may look beside the steps themselves: as hours at home begin, and before they
/// end, both within what she likes of them.
fn home(plan: &Plan, draft: &Draft, place: usize) -> Vec<Tick> {
    let before_end = ticks_up(BEFORE_END_H);
    let liked = |open: Range<Tick>| {
        let days = draft.clock.instant(open.start).date_naive().iter_days();
        let days = days.map(|day| draft.clock.liked(&plan.wishes, day));
        let days = days.take_while(|liked| liked.start < open.end);
        let within = days.map(|liked| liked.start.max(open.start)..liked.end.min(open.end));
        let within: Vec<Range<Tick>> = within.filter(|liked| !liked.is_empty()).collect();
        if within.is_empty() { vec![open] } else { within }
    };
    let open = draft.clock.hours(plan, place).into_iter().flat_map(liked);
    let mut looks: Vec<Tick> =
        open.flat_map(|open| [open.start, (open.end - before_end).max(open.start)]).collect();
    looks.dedup();
    looks
}

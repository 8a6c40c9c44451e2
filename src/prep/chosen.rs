//! The rounds that the search by sittings has chosen, by the session that takes
//! the first block of each.

use std::collections::BTreeMap;

use super::{
    clock::{Clock, Tick},
    durations::{DurationError, Durations},
    rounds::Rounds,
};
use crate::{
    planfile::Plan,
    scheduler::sittings::{self, Effort, Filling, Stop, search, shown_impossible},
};

/// Searches before it is given up: each leaves out a session more, or knows more
/// of the freezing.
const MOST_TRIES: usize = 12;

/// An ice activity and its session, by their places in the plan.
pub type SessionAt = (usize, usize);

/// One filling.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Round {
    /// Moulds filled.
    pub count: u32,
    /// Moulds whose water would be all that freezes beside it, itself included.
    pub beside: u32,
    /// When moulds are washed for it, and how many.
    pub wash: Option<(Tick, u32)>,
    /// When the filling begins.
    pub fill: Tick,
    /// From when to when they are turned out.
    pub out: (Tick, Tick),
    /// The other sessions that take some of its blocks.
    pub also: Vec<SessionAt>,
}

/// What a search has chosen.
#[derive(Debug, Clone, Default)]
pub struct Chosen {
    /// The rounds by the session that takes the first block of each.
    pub rounds: BTreeMap<SessionAt, Vec<Round>>,
    /// Sessions that it does not serve, and whether no plan can.
    pub unserved: BTreeMap<SessionAt, bool>,
}

/// Searches for the rounds of all sessions to come, or of as many as can be served.
///
/// # Errors
/// [`DurationError`] when a mould or freezer is outside the physics' range.
pub fn choose(
    plan: &Plan,
    clock: Clock,
    durations: &dyn Durations,
    effort: Effort,
) -> Result<Chosen, DurationError> {
    let mut rounds = Rounds::of(plan, clock, durations)?;
    let mut chosen = Chosen::default();
    for demand in rounds.never_firm() {
        give_up(&mut rounds, &mut chosen, (demand, true));
    }
    for _ in 0..=MOST_TRIES {
        if rounds.problem.demands.iter().all(|demand| demand.count == 0) {
            break;
        }
        match found(&rounds, effort) {
            Ok(plan) => {
                let lots = plan.lots(&rounds.problem, &rounds).unwrap_or_default();
                if confirmed(&rounds, &lots) {
                    chosen.rounds = by_session(&rounds, &lots);
                    break;
                }
            }
            Err(Some(stopped)) => give_up(&mut rounds, &mut chosen, stopped),
            Err(None) => break,
        }
    }
    Ok(chosen)
}

/// Leaves a demand out, of which it is shown or not that no plan serves it
/// beside the others.
fn give_up(rounds: &mut Rounds<'_>, chosen: &mut Chosen, (demand, shown): (usize, bool)) {
    chosen.unserved.insert(rounds.demands[demand], shown);
    rounds.problem.demands[demand].count = 0;
}

/// A plan, or the demand that it could not get past and whether none can.
fn found(rounds: &Rounds<'_>, effort: Effort) -> Result<sittings::Plan, Option<(usize, bool)>> {
    let demand = |stop: Option<Stop>| match stop {
        Some(Stop::Demand(demand)) => Some(demand),
        _ => None,
    };
    if search(&rounds.problem, rounds, Effort::QUICK).plan.is_none()
        && let Some(shown) = demand(shown_impossible(&rounds.problem, rounds))
    {
        return Err(Some((shown, true)));
    }
    let outcome = search(&rounds.problem, rounds, effort);
    outcome.plan.ok_or_else(|| demand(outcome.stopped).map(|stopped| (stopped, false)))
}

/// Whether what was estimated holds; where it does not, the next search knows better.
fn confirmed(rounds: &Rounds<'_>, lots: &[Filling<'_>]) -> bool {
    let confirm = |lot: &Filling<'_>| {
        let kind = lot.fill.kind;
        rounds.confirm(kind, rounds.moulds_for(kind, lot.load))
    };
    lots.iter().map(confirm).fold(true, |all, one| all && one)
}

impl Chosen {
    /// The same on a time line that begins so many ticks earlier.
    pub fn later(mut self, by: Tick) -> Self {
        for round in self.rounds.values_mut().flatten() {
            round.fill += by;
            round.out = (round.out.0 + by, round.out.1 + by);
            round.wash = round.wash.map(|(start, moulds)| (start + by, moulds));
        }
        self
    }
}

/// Hands each filling to the session that takes its first block, the oldest
/// blocks to the session that leaves first.
fn by_session(rounds: &Rounds<'_>, lots: &[Filling<'_>]) -> BTreeMap<SessionAt, Vec<Round>> {
    let mut chosen: BTreeMap<SessionAt, Vec<Round>> = BTreeMap::new();
    for kind in 0..rounds.kinds.len() {
        let takers = takers(rounds, kind);
        let mut from = 0;
        for lot in lots.iter().filter(|lot| lot.fill.kind == kind) {
            let until = from + lot.fill.fill as usize;
            let mut own = takers.get(from..until).unwrap_or_default().to_vec();
            own.dedup();
            from = until;
            let Some((first, also)) = own.split_first() else { continue };
            chosen.entry(*first).or_default().push(round(rounds, lot, also));
        }
    }
    chosen
}

/// The session that takes each block of a kind, in the order of filling.
fn takers(rounds: &Rounds<'_>, kind: usize) -> Vec<SessionAt> {
    let demands = rounds.problem.demands.iter().zip(&rounds.demands);
    let mut own: Vec<_> = demands.filter(|(demand, _)| demand.kind == kind).collect();
    own.sort_by_key(|(demand, _)| (demand.leave, demand.by));
    let each = own.into_iter().flat_map(|(demand, at)| (0..demand.count).map(|_| *at));
    each.collect()
}

fn round(rounds: &Rounds<'_>, lot: &Filling<'_>, also: &[SessionAt]) -> Round {
    let beside = rounds.moulds_for(lot.fill.kind, lot.load);
    let kind = &rounds.problem.kinds[lot.fill.kind];
    let (fill, empty) = (lot.fill, lot.empty);
    let filling = fill.end - kind.fill[fill.fill as usize];
    let washing = filling - kind.wash[fill.wash as usize];
    let out = |pieces: u32| empty.start + kind.empty[pieces as usize];
    Round {
        count: fill.fill,
        beside,
        wash: (fill.wash > 0).then_some((washing, fill.wash)),
        fill: filling,
        out: (out(lot.first), out(lot.first + fill.fill)),
        also: also.to_vec(),
    }
}

//! The rounds that the search by sittings has chosen, by the session that takes
//! the first block of each.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    chains::{Batch, chain},
    clock::{Clock, Tick},
    durations::{DurationError, Durations},
    round::{Followed, Round, Stage},
    rounds::Rounds,
    trips::SessionAt,
    ways::Way,
};
use crate::{
    planfile::Plan,
    scheduler::sittings::{
        self, Act, Chain, Effort, Filling, MINUTE, Stop, Turn, search, shown_impossible,
    },
};

/// Searches before it is given up: each leaves out a session more, or knows more
/// of the freezing.
const MOST_TRIES: usize = 12;

/// How a batch is dried, and when each of its tasks begins, counted among its own.
#[derive(Debug, Clone)]
pub struct Dried {
    /// The way.
    pub way: Way,
    /// Tasks and their starts.
    pub starts: Vec<(usize, Tick)>,
}

/// What a search has chosen.
#[derive(Debug, Clone, Default)]
pub struct Chosen {
    /// The rounds by the session that takes the first block of each.
    pub rounds: BTreeMap<SessionAt, Vec<Round>>,
    /// When packing begins, by the session whose step it is, where a refill waits for it.
    pub packed: BTreeMap<SessionAt, Tick>,
    /// Sessions that it serves.
    pub served: BTreeSet<SessionAt>,
    /// Sessions that it does not serve, and whether no plan can.
    pub unserved: BTreeMap<SessionAt, bool>,
    /// Batches of ornaments, by their position.
    pub batches: BTreeMap<usize, Dried>,
    /// Batches that it cannot finish in time, and whether no plan can.
    pub late: BTreeMap<usize, bool>,
    /// Its price in minutes, where it has a plan.
    pub price: Option<f64>,
}

/// Searches for the rounds of all sessions to come and the steps of all batches, or of as
/// many as can be served.
///
/// # Errors
/// [`DurationError`] when a mould, freezer or piece is outside the physics' range.
pub fn choose(
    plan: &Plan,
    clock: Clock,
    durations: &dyn Durations,
    effort: Effort,
    begun: &Followed,
) -> Result<Chosen, DurationError> {
    let mut search = Searching::of(plan, clock, durations, effort, begun)?;
    search.rounds.hours(true);
    let liked = search.rounds.problem.stretches.clone();
    let chosen = search.all()?;
    if chosen.is_whole() {
        return Ok(chosen);
    }
    let mut search = Searching::of(plan, clock, durations, effort, begun)?;
    search.rounds.hours(false);
    if search.rounds.problem.stretches == liked {
        return Ok(chosen);
    }
    let wider = search.all()?;
    Ok(if wider.worth() > chosen.worth() { wider } else { chosen })
}

/// A search that leaves out what it cannot serve.
struct Searching<'a> {
    rounds: Rounds<'a>,
    batches: Vec<Batch>,
    chosen: Chosen,
    durations: &'a dyn Durations,
    effort: Effort,
    /// Rounds begun before, with the session of each.
    begun: Vec<(SessionAt, Round)>,
    /// Whether each batch may be baked on several days.
    again: Vec<bool>,
}

impl<'a> Searching<'a> {
    fn of(
        plan: &'a Plan,
        clock: Clock,
        durations: &'a dyn Durations,
        effort: Effort,
        followed: &Followed,
    ) -> Result<Self, DurationError> {
        let mut rounds = Rounds::of(plan, clock, durations)?;
        let mut batches = Vec::new();
        for ornament in 0..plan.ornaments.len() {
            let (chain, batch) = chain(&mut rounds, durations, ornament, false)?;
            rounds.problem.chains.push(chain);
            batches.push(batch);
        }
        let again = vec![false; batches.len()];
        let chosen = Chosen::default();
        let begun =
            followed.iter().flat_map(|(at, own)| own.iter().map(|round| (*at, round.clone())));
        let mut begun: Vec<(SessionAt, Round)> = begun.collect();
        begun.sort_by_key(|(at, round)| (round.fill, *at));
        rounds.begun(&begun);
        Ok(Self { rounds, batches, chosen, durations, effort, begun, again })
    }

    fn all(mut self) -> Result<Chosen, DurationError> {
        for demand in self.rounds.never_firm() {
            self.give_up_demand(demand, true);
        }
        for chain in 0..self.batches.len() {
            self.begun_or_over(chain)?;
        }
        for _ in 0..MOST_TRIES + self.batches.len() {
            let rounds = &self.rounds;
            match found(rounds, self.effort) {
                Ok(plan) => {
                    let lots = plan.lots(&rounds.problem, rounds).unwrap_or_default();
                    if confirmed(rounds, &lots) {
                        self.chosen.rounds = by_session(rounds, &self.begun, (&plan, &lots));
                        self.chosen.packed = packed(rounds, &plan);
                        let demands = rounds.problem.demands.iter().zip(&rounds.demands);
                        let served = demands.filter(|(demand, _)| demand.count > 0);
                        self.chosen.served = served.map(|(_, at)| *at).collect();
                        self.chosen.price = Some(plan.price as f64 / MINUTE as f64);
                        self.batches_of(&plan);
                        break;
                    }
                }
                Err(Some((Stop::Demand(demand), shown))) => self.give_up_demand(demand, shown),
                Err(Some((Stop::Chain(chain), shown))) => self.give_up_chain(chain, shown)?,
                Err(None) => break,
            }
        }
        Ok(self.chosen)
    }

    /// A batch whose time is past, or of which nothing is left to do, is no part of it.
    fn begun_or_over(&mut self, chain: usize) -> Result<(), DurationError> {
        let ways = &self.rounds.problem.chains[chain].ways;
        if ways.is_empty() {
            self.give_up_chain(chain, false)?;
        } else if ways.iter().all(|way| way.steps.is_empty()) {
            self.rounds.problem.chains[chain] = nothing();
        }
        Ok(())
    }

    /// Leaves a demand out, of which it is shown or not that no plan serves it beside the
    /// others.
    fn give_up_demand(&mut self, demand: usize, shown: bool) {
        self.chosen.unserved.insert(self.rounds.demands[demand], shown);
        self.rounds.problem.demands[demand].count = 0;
    }

    /// Leaves a batch out, unless baking it on several days was not tried yet.
    fn give_up_chain(&mut self, number: usize, shown: bool) -> Result<(), DurationError> {
        let ornament = self.batches[number].ornament;
        if !self.again[number] {
            self.again[number] = true;
            let (chain, batch) = chain(&mut self.rounds, self.durations, ornament, true)?;
            if chain.ways.len() > self.batches[number].ways.len() {
                self.rounds.problem.chains[number] = chain;
                self.batches[number] = batch;
                return Ok(());
            }
        }
        self.chosen.late.insert(ornament, shown);
        self.rounds.problem.chains[number] = nothing();
        Ok(())
    }

    /// The steps of each batch where the plan puts them.
    fn batches_of(&mut self, plan: &sittings::Plan) {
        for act in &plan.acts {
            let Act::Step(done) = act else { continue };
            let batch = &self.batches[done.chain];
            let Some((way, tasks)) = batch.ways.get(done.way) else { continue };
            let dried = self.chosen.batches.entry(batch.ornament);
            let dried = dried.or_insert(Dried { way: *way, starts: Vec::new() });
            dried.starts.push((tasks[done.step], done.start));
        }
    }
}

/// A chain of which nothing is left.
fn nothing() -> Chain {
    Chain::default()
}

/// A plan, or what it could not get past and whether none can.
fn found(rounds: &Rounds<'_>, effort: Effort) -> Result<sittings::Plan, Option<(Stop, bool)>> {
    if search(&rounds.problem, rounds, Effort::QUICK).plan.is_none()
        && let Some(shown) = shown_impossible(&rounds.problem, rounds)
    {
        return Err(Some((shown, true)));
    }
    let outcome = search(&rounds.problem, rounds, effort);
    outcome.plan.ok_or_else(|| outcome.stopped.map(|stopped| (stopped, false)))
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
    /// Whether all is served.
    fn is_whole(&self) -> bool {
        self.unserved.is_empty() && self.late.is_empty()
    }

    /// Whether the plan serves a session.
    pub fn serves(&self, at: SessionAt) -> bool {
        self.served.contains(&at)
    }

    /// How much the plan serves.
    fn worth(&self) -> i64 {
        let left = (self.unserved.len() + self.late.len()) as i64;
        if self.price.is_some() { -left } else { i64::MIN }
    }

    /// The same on a time line that begins so many ticks earlier.
    pub fn later(mut self, by: Tick) -> Self {
        for round in self.rounds.values_mut().flatten() {
            round.fill += by;
            round.out = (round.out.0 + by, round.out.1 + by);
            round.wash = round.wash.map(|(start, moulds)| (start + by, moulds));
        }
        for start in self.packed.values_mut() {
            *start += by;
        }
        for (_, start) in self.batches.values_mut().flat_map(|batch| &mut batch.starts) {
            *start += by;
        }
        self
    }
}

/// When packing begins before a refill, by the first session of each trip.
fn packed(rounds: &Rounds<'_>, plan: &sittings::Plan) -> BTreeMap<SessionAt, Tick> {
    let mut packed = BTreeMap::new();
    for act in &plan.acts {
        let Act::Turn(Turn { kind, out, pack: Some(_), .. }) = act else { continue };
        let store = rounds.problem.kinds[*kind].store;
        let mut at = *out;
        for (demand, session) in rounds.problem.demands.iter().zip(&rounds.demands) {
            let same = rounds.problem.kinds[demand.kind].store == store;
            if same && demand.pack > 0 && (demand.pack_from..demand.leave).contains(out) {
                packed.insert(*session, at);
                at += demand.pack;
            }
        }
    }
    packed
}

/// Hands each filling to the session that takes its first block, the oldest
/// blocks to the session that leaves first; what was begun stays with its own.
fn by_session(
    rounds: &Rounds<'_>,
    begun: &[(SessionAt, Round)],
    (plan, lots): (&sittings::Plan, &[Filling<'_>]),
) -> BTreeMap<SessionAt, Vec<Round>> {
    let mut chosen: BTreeMap<SessionAt, Vec<Round>> = BTreeMap::new();
    let mut next: Vec<std::vec::IntoIter<SessionAt>> =
        (0..rounds.kinds.len()).map(|kind| takers(rounds, kind).into_iter()).collect();
    let mut outs = plan.begun_out(&rounds.problem).into_iter();
    for (at, round) in begun {
        let kind = rounds.kind_of(*at);
        let left = rounds.left_of(round) as usize;
        let mut round = Round {
            takers: kind.map_or_else(Vec::new, |kind| next[kind].by_ref().take(left).collect()),
            ..round.clone()
        };
        let out =
            if left > 0 && round.stage == Stage::Filled { outs.next().flatten() } else { None };
        if let Some((turn, first)) = out {
            round.out = turned_out(rounds, turn, first, left as u32);
        }
        chosen.entry(*at).or_default().push(round);
    }
    for lot in lots {
        let blocks = next[lot.fill.kind].by_ref().take(lot.fill.fill as usize);
        let own: Vec<SessionAt> = blocks.collect();
        let Some(first) = own.first().copied() else { continue };
        chosen.entry(first).or_default().push(round(rounds, lot, own));
    }
    chosen
}

/// From when to when some pieces are turned out after others in one turn.
fn turned_out(rounds: &Rounds<'_>, turn: &Turn, first: u32, pieces: u32) -> (Tick, Tick) {
    let own = &rounds.problem.kinds[turn.kind];
    let at = |pieces: u32| turn.start + own.empty[pieces.min(turn.empty) as usize];
    (at(first), at(first + pieces))
}

/// The session that takes each block of a kind, in the order of filling.
fn takers(rounds: &Rounds<'_>, kind: usize) -> Vec<SessionAt> {
    let demands = rounds.problem.demands.iter().zip(&rounds.demands);
    let mut own: Vec<_> = demands.filter(|(demand, _)| demand.kind == kind).collect();
    own.sort_by_key(|(demand, _)| (demand.leave, demand.by));
    let each = own.into_iter().flat_map(|(demand, at)| (0..demand.count).map(|_| *at));
    each.collect()
}

fn round(rounds: &Rounds<'_>, lot: &Filling<'_>, takers: Vec<SessionAt>) -> Round {
    let beside = rounds.moulds_for(lot.fill.kind, lot.load);
    let kind = &rounds.problem.kinds[lot.fill.kind];
    let fill = lot.fill;
    let filling = fill.end - kind.fill[fill.fill as usize];
    let washing = filling - kind.wash[fill.wash as usize];
    Round {
        count: fill.fill,
        beside,
        wash: (fill.wash > 0).then_some((washing, fill.wash)),
        fill: filling,
        out: turned_out(rounds, lot.empty, lot.first, fill.fill),
        takers,
        stage: Stage::ToCome,
    }
}

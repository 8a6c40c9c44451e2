//! The search for what a plan does: rounds by sittings, and the steps of batches.

mod brought_back;
mod nearer;

use super::{
    chains::{Batch, chain},
    chosen::{Chosen, Dried},
    clock::Clock,
    draft::LEVELS,
    durations::{DurationError, Durations},
    handed::{by_session, keep_names, kept_turns, packed},
    round::{Begun, Round},
    rounds::Rounds,
    trips::SessionAt,
};
use crate::{
    planfile::Plan,
    scheduler::sittings::{
        self, Act, Chain, Effort, Filling, MINUTE, Outcome, Stop, Stretch, search, search_forward,
        search_on, shown_impossible, sooner,
    },
};

/// Searches before it is given up: each leaves out a session more, or knows more
/// of the freezing.
const MOST_TRIES: usize = 12;

/// Labels after which a search that leaves something out is content with quick looks.
const MOST_LABELS: u64 = 500_000;

/// Times that it is tried to show that there is no plan: each may take a second.
const MOST_PROOFS: u32 = 1;

/// How far a search for a plan looks.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// How many labels.
    pub effort: Effort,
    /// The first of the [`LEVELS`] of sureness that is tried.
    pub from: usize,
    /// How many of them there are until the last one that is tried.
    pub levels: usize,
    /// Labels after which it is given up.
    pub most: u64,
    /// Goals left out at the most, or it is given up.
    pub left_out: usize,
}

impl Look {
    /// For the plan that is told.
    pub const WHOLE: Self = Self {
        effort: Effort::USUAL,
        from: 0,
        levels: LEVELS.len(),
        most: u64::MAX,
        left_out: usize::MAX,
    };

    /// For whether there is a sure plan.
    pub const QUICK: Self =
        Self { effort: Effort::QUICK, from: 0, levels: 1, most: 100_000, left_out: usize::MAX };
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
    look: Look,
    begun: &Begun,
) -> Result<Chosen, DurationError> {
    Searching::of(plan, clock, durations, look, begun)?.all()
}

/// A search that leaves out what it cannot serve.
struct Searching<'a> {
    rounds: Rounds<'a>,
    batches: Vec<Batch>,
    chosen: Chosen,
    durations: &'a dyn Durations,
    look: Look,
    /// Times that it was tried to show that there is no plan.
    proofs: u32,
    /// Demands that were left out and may be brought back, with their pieces.
    left_out: Vec<(usize, u32)>,
    /// A demand before which all can be served, as far as is known.
    served_until: Option<usize>,
    /// A demand that is served at the last level, or was taken at that.
    stepping: Option<usize>,
    /// All her hours, those that she does not like shunned, until they are used.
    unliked: Option<Vec<Stretch>>,
    /// Once they are: the hours that she likes, and all of them with the others shunned.
    fewer: Vec<Vec<Stretch>>,
    /// Rounds begun before, with the session of each.
    begun: Vec<(SessionAt, Round)>,
    /// What is known from before.
    followed: &'a Begun,
    /// Whether the physics was asked for every number of moulds.
    asked: bool,
}

impl<'a> Searching<'a> {
    fn of(
        plan: &'a Plan,
        clock: Clock,
        durations: &'a dyn Durations,
        look: Look,
        followed: &'a Begun,
    ) -> Result<Self, DurationError> {
        let mut rounds = Rounds::of(plan, clock, durations)?;
        let mut batches = Vec::new();
        let today = clock.instant(0).date_naive();
        let begun_way = |ornament: usize| followed.ways.get(&ornament).copied();
        for (ornament, own) in plan.ornaments.iter().enumerate() {
            // What was given is no part of the search.
            let over = Batch { ornament, again: true, level: look.levels, ways: Vec::new() };
            let (chain, batch) = match own.give < today {
                true => (Chain::default(), over),
                false => {
                    let begun = begun_way(ornament);
                    chain(&mut rounds, durations, ornament, (false, look.from), begun)?
                }
            };
            rounds.problem.chains.push(chain);
            batches.push(batch);
        }
        let chosen = Chosen::default();
        let begun = followed
            .rounds
            .iter()
            .flat_map(|(at, own)| own.iter().map(|round| (*at, round.clone())));
        let mut begun: Vec<(SessionAt, Round)> = begun.collect();
        begun.sort_by_key(|(at, round)| (round.fill, *at));
        rounds.begun(&begun);
        rounds.problem.kept = kept_turns(&rounds, followed);
        rounds.problem.places.clone_from(&rounds.hours.places);
        let all = rounds.hours.stretches(false);
        rounds.problem.stretches = rounds.hours.stretches(true);
        let unliked = Some(all).filter(|all| *all != rounds.problem.stretches);
        Ok(Self {
            rounds,
            batches,
            chosen,
            durations,
            look,
            proofs: 0,
            left_out: Vec::new(),
            served_until: None,
            stepping: None,
            unliked,
            fewer: Vec::new(),
            begun,
            followed,
            asked: false,
        })
    }

    fn all(mut self) -> Result<Chosen, DurationError> {
        for chain in 0..self.batches.len() {
            self.begun_or_over(chain)?;
        }
        self.leave_out_missed();
        for demand in 0..self.rounds.demands.len() {
            while self.rounds.level(demand) < self.look.from && self.rounds.less_sure(demand) {}
        }
        let mut best: Option<Chosen> = None;
        let goals = self.batches.len() + 2 * self.rounds.demands.len();
        let most = MOST_TRIES + self.look.levels * goals;
        for _ in 0..most {
            let most = self.look.left_out;
            if self.chosen.labels > self.look.most || self.chosen.left_out() > most {
                break;
            }
            if let Some(never) = self.rounds.never_served() {
                self.less_sure(never, true);
                continue;
            }
            match self.found() {
                Ok(plan) => {
                    let plan = self.nearer(plan);
                    let rounds = &self.rounds;
                    let plan = plan.closed_up(&rounds.problem, rounds);
                    let taken = self.take(&plan.turned_out_late(&rounds.problem, rounds));
                    let fewer = |best: &Chosen| self.chosen.left_out() < best.left_out();
                    if taken && best.as_ref().is_none_or(fewer) {
                        best = Some(self.chosen.clone());
                    }
                    if taken && !self.brings_back() {
                        break;
                    }
                }
                // The physics may be quicker than what was estimated between its answers.
                Err(Some((Stop::Demand(_), _))) if self.look.levels > 1 && self.asks_more() => {}
                Err(Some((Stop::Demand(demand), shown))) => self.less_sure(demand, shown),
                Err(Some((Stop::Chain(chain), shown))) => self.other_ways(chain, shown)?,
                Err(None) => break,
            }
        }
        let labels = self.chosen.labels;
        Ok(Chosen { labels, ..best.unwrap_or(self.chosen) })
    }

    /// Takes what a plan says, unless the physics says more than was estimated.
    fn take(&mut self, plan: &sittings::Plan) -> bool {
        let rounds = &self.rounds;
        let lots = plan.lots(&rounds.problem, rounds).unwrap_or_default();
        if !confirmed(rounds, &lots) {
            return false;
        }
        let mut by_session = by_session(rounds, &self.begun, (plan, &lots));
        keep_names(rounds, &self.followed.kept, &mut by_session);
        self.chosen.rounds = by_session;
        self.chosen.packed = packed(rounds, plan);
        let reserved = rounds.hours.reserved.iter();
        self.chosen.reserved = reserved.map(|(id, span)| (id.clone(), span.start)).collect();
        let served = rounds.demands.iter().enumerate();
        let served = served.filter(|(n, _)| rounds.problem.demands[*n].count > 0);
        self.chosen.served = served.map(|(number, at)| (*at, rounds.level(number))).collect();
        let served = &self.chosen.served;
        self.chosen.unserved.retain(|at, _| !served.contains_key(at));
        self.chosen.price = Some(plan.price as f64 / MINUTE as f64);
        self.chosen.terms = Some(plan.terms(&rounds.problem));
        self.batches_of(plan);
        true
    }

    /// Leaves out the sessions for which it is too late to leave.
    fn leave_out_missed(&mut self) {
        for at in &self.followed.missed {
            self.chosen.unserved.insert(*at, true);
            if let Some(demand) = self.rounds.demands.iter().position(|demand| demand == at) {
                self.rounds.problem.demands[demand].count = 0;
            }
        }
    }

    /// A batch of which nothing is left to do, or that has no way, is no part of the search.
    fn begun_or_over(&mut self, chain: usize) -> Result<(), DurationError> {
        while self.batches[chain].level < self.look.levels
            && self.rounds.problem.chains[chain].ways.is_empty()
            && !self.chosen.late.contains_key(&self.batches[chain].ornament)
        {
            self.other_ways(chain, false)?;
        }
        if self.rounds.problem.chains[chain].ways.iter().any(|way| way.steps.is_empty()) {
            self.rounds.problem.chains[chain] = Chain::default();
        }
        Ok(())
    }

    /// Asks the physics for what was only estimated between its answers, once; whether it did.
    fn asks_more(&mut self) -> bool {
        let asks = !std::mem::replace(&mut self.asked, true);
        if asks {
            self.rounds.ask_each();
        }
        asks
    }

    /// Takes a demand at a lower level, or leaves it out where there is none: whether it
    /// was shown that no plan serves it beside the others.
    fn less_sure(&mut self, demand: usize, mut shown: bool) {
        self.served_until.take_if(|until| *until != demand);
        if self.rounds.level(demand) + 1 < self.look.levels {
            match self.shown_in_vain(demand) {
                Some(in_vain) => shown = in_vain,
                None if self.rounds.less_sure(demand) => return,
                None => {}
            }
        }
        self.chosen.unserved.insert(self.rounds.demands[demand], shown);
        let count = std::mem::take(&mut self.rounds.problem.demands[demand].count);
        self.left_out.push((demand, count));
    }

    /// Takes a demand at the last level at once where much was searched already and it is not
    /// served at that one either: whether no plan can serve it there.
    fn shown_in_vain(&mut self, demand: usize) -> Option<bool> {
        let last = self.look.levels - 1;
        let several = self.rounds.level(demand) + 1 < last;
        if !several || !self.is_hasty() || self.stepping == Some(demand) {
            return None;
        }
        self.stepping = Some(demand);
        let problem = &self.rounds.problem;
        let now = (problem.demands.clone(), problem.begun.clone());
        self.rounds.take_level(demand, last);
        let outcome = self.search(Effort::HASTY);
        let in_vain = outcome.plan.is_none() && outcome.stopped == Some(Stop::Demand(demand));
        if !in_vain {
            self.taken_as(now);
        }
        in_vain.then_some(outcome.whole)
    }

    /// Whether so much was searched that quick looks are enough.
    fn is_hasty(&self) -> bool {
        self.chosen.labels > MOST_LABELS
    }

    /// Looks at a batch in other ways: baked on several days, then less sure; leaves it
    /// out where there are none.
    fn other_ways(&mut self, number: usize, shown: bool) -> Result<(), DurationError> {
        let batch = &self.batches[number];
        let (ornament, level) = (batch.ornament, batch.level + usize::from(batch.again));
        if level < self.look.levels {
            let begun = self.followed.ways.get(&ornament).copied();
            let look = (true, level);
            let (chain, batch) = chain(&mut self.rounds, self.durations, ornament, look, begun)?;
            self.rounds.problem.chains[number] = chain;
            self.batches[number] = batch;
        } else {
            self.chosen.late.insert(ornament, shown);
            self.rounds.problem.chains[number] = Chain::default();
        }
        Ok(())
    }

    /// A plan, or what it could not get past and whether none can: in the hours that she
    /// likes, else in all of them, with as little as can be in those that she does not like.
    fn found(&mut self) -> Result<sittings::Plan, Option<(Stop, bool)>> {
        let much = self.is_hasty();
        let effort = if much { Effort::HASTY } else { Effort::QUICK };
        if let Some(shunning) = self.fewer.last() {
            // What was found last time, perhaps in fewer hours, did not hold.
            self.within(alike(shunning));
        }
        let mut quick = self.search(effort);
        // What the physics says may do within the hours that she likes where estimates do not.
        let stopped = matches!(quick.stopped, Some(Stop::Demand(_))) && self.look.levels > 1;
        if stopped && self.unliked.is_some() && self.asks_more() {
            quick = self.search(effort);
        }
        if let Some(shunning) = self.unliked.take_if(|_| quick.plan.is_none()) {
            let liked = self.within(alike(&shunning));
            self.fewer = vec![liked, shunning];
            quick = self.search(effort);
        }
        let look = if much { effort } else { self.look.effort };
        if quick.whole || look.width <= Effort::QUICK.width {
            let plan = quick.plan.ok_or(quick.stopped.map(|stopped| (stopped, quick.whole)))?;
            let spares = self.look.effort.width > Effort::QUICK.width;
            return Ok(if spares { self.sparing(plan, look) } else { plan });
        }
        let last = |stop: &Stop| match stop {
            Stop::Demand(demand) => self.rounds.level(*demand) + 1 == LEVELS.len(),
            Stop::Chain(chain) => self.batches[*chain].level + 1 == LEVELS.len(),
        };
        if quick.stopped.as_ref().is_some_and(last) && self.proofs < MOST_PROOFS {
            self.proofs += 1;
            if let Some(shown) = shown_impossible(&self.rounds.problem, &self.rounds) {
                return Err(Some((shown, true)));
            }
        }
        let outcome = match quick.plan {
            Some(_) if !quick.spent => self.widened(look, quick),
            _ => self.search(look),
        };
        let plan = outcome.plan.ok_or(outcome.stopped.map(|stopped| (stopped, false)))?;
        Ok(self.sparing(plan, look))
    }

    /// The same plan where it needs no hour that she does not like; else one in the hours
    /// that she likes, or with as little as can be in the others.
    fn sparing(&mut self, plan: sittings::Plan, effort: Effort) -> sittings::Plan {
        if self.fewer.last().is_none_or(|shunning| plan.shunned(shunning) == 0) {
            return plan;
        }
        // Estimates are cautious, and hours are a reason to know better.
        self.asks_more();
        let all = self.rounds.problem.stretches.clone();
        for hours in self.fewer.clone() {
            self.within(hours);
            if let Some(fewer) = self.found_somehow(effort) {
                return fewer;
            }
        }
        self.within(all);
        plan
    }

    /// A plan in the hours of now, however it is found. One that leaves something out anyway is
    /// not worth the time.
    fn found_somehow(&self, effort: Effort) -> Option<sittings::Plan> {
        let (problem, rounds) = (&self.rounds.problem, &self.rounds);
        let found = search(problem, rounds, effort.late()).plan;
        if found.is_some() || self.chosen.left_out() > 0 {
            return found;
        }
        let found = found.or_else(|| search_forward(problem, rounds, self.look.effort).plan);
        found.or_else(|| search(problem, rounds, Effort::WIDE).plan)
    }

    /// Other hours for the searches to come; those until now.
    fn within(&mut self, hours: Vec<Stretch>) -> Vec<Stretch> {
        std::mem::replace(&mut self.rounds.problem.stretches, hours)
    }

    fn search(&mut self, effort: Effort) -> Outcome {
        let outcome = search(&self.rounds.problem, &self.rounds, effort);
        let outcome = self.stopped_soonest(outcome, effort);
        if self.chosen.labels == 0 {
            self.chosen.first_labels = outcome.labels;
        }
        self.chosen.labels += outcome.labels;
        outcome
    }

    /// The same, stopped by what comes first, where that makes a difference and is not known.
    fn stopped_soonest(&mut self, outcome: Outcome, effort: Effort) -> Outcome {
        let Some(Stop::Demand(demand)) = outcome.stopped.filter(|_| outcome.labels == 0) else {
            return outcome;
        };
        let any_will_do = self.look.left_out == 0 && self.look.levels == self.look.from + 1;
        if any_will_do || self.served_until == Some(demand) {
            return outcome;
        }
        let outcome = sooner(&self.rounds.problem, &self.rounds, effort, outcome);
        self.served_until = Some(demand).filter(|_| outcome.stopped == Some(Stop::Demand(demand)));
        outcome
    }

    /// The search that goes on from a narrow one.
    fn widened(&mut self, effort: Effort, narrow: Outcome) -> Outcome {
        let counted = narrow.labels;
        let outcome = search_on(&self.rounds.problem, &self.rounds, effort, narrow);
        self.chosen.labels += outcome.labels - counted;
        outcome
    }

    /// The steps of each batch where the plan puts them.
    fn batches_of(&mut self, plan: &sittings::Plan) {
        self.chosen.batches.clear();
        for act in &plan.acts {
            let Act::Step(done) = act else { continue };
            let batch = &self.batches[done.chain];
            let Some((way, tasks)) = batch.ways.get(done.way) else { continue };
            let dried = self.chosen.batches.entry(batch.ornament);
            let level = batch.level;
            let dried = dried.or_insert(Dried { way: *way, level, starts: Vec::new() });
            dried.starts.push((tasks[done.step], done.start));
        }
    }
}

/// Hours of which none is shunned.
fn alike(hours: &[Stretch]) -> Vec<Stretch> {
    hours.iter().map(|span| Stretch { shunned: Vec::new(), ..span.clone() }).collect()
}

/// Whether what was estimated holds; where it does not, the next search knows better.
fn confirmed(rounds: &Rounds<'_>, lots: &[Filling<'_>]) -> bool {
    // Each is asked, also after one that does not hold.
    lots.iter().filter(|lot| !rounds.confirm(lot)).count() == 0
}

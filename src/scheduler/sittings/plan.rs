//! A plan, and what it costs by term.

use super::super::problem::Tick;
use super::label::{inside, put_in};
use super::problem::{Cost, Problem, Ripening, Stretch};

/// Turning out, washing and filling vessels of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Index into [`Problem::stretches`].
    pub stretch: usize,
    /// Index into [`Problem::kinds`].
    pub kind: usize,
    /// When it begins.
    pub start: Tick,
    /// When all is out.
    pub out: Tick,
    /// How long is packed then, before the filling; none where nothing is.
    pub pack: Option<Tick>,
    /// When all is filled.
    pub end: Tick,
    /// How many pieces are turned out.
    pub empty: u32,
    /// For how many vessels are washed.
    pub wash: u32,
    /// How many are filled.
    pub fill: u32,
}

/// A step of a chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// Index into [`Problem::stretches`].
    pub stretch: usize,
    /// Index into [`Problem::chains`].
    pub chain: usize,
    /// The way taken.
    pub way: usize,
    /// The step of that way.
    pub step: usize,
    /// When it begins.
    pub start: Tick,
    /// When it ends.
    pub end: Tick,
}

/// Pieces that are filled together.
#[derive(Clone, Debug)]
pub struct Filling<'a> {
    /// The turn that fills them.
    pub fill: &'a Turn,
    /// The turn that turns them out.
    pub empty: &'a Turn,
    /// How many others that turn turns out before them.
    pub first: u32,
    /// The load that ripens together with them, themselves included.
    pub load: u32,
}

/// Something done without a pause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// Vessels.
    Turn(Turn),
    /// A step.
    Step(Done),
}

/// A plan that serves every demand and finishes every chain.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What is done, in time order.
    pub acts: Vec<Act>,
    /// Its price.
    pub price: Cost,
}

/// The price of a plan by term.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Terms {
    /// Sittings begun.
    pub sittings: Cost,
    /// Hands, and waiting inside a sitting.
    pub hands: Cost,
    /// At hours that cost more.
    pub dear: Cost,
    /// Pieces kept beyond the first night.
    pub kept: Cost,
    /// Fillings.
    pub rounds: Cost,
    /// What steps cost of their own.
    pub steps: Cost,
    /// Days between the first step of a chain and its last.
    pub days: Cost,
    /// Steps that end late.
    pub late: Cost,
    /// Steps that are apart.
    pub apart: Cost,
}

impl Terms {
    /// The whole price.
    pub fn sum(&self) -> Cost {
        let own = [self.sittings, self.hands, self.dear, self.kept, self.rounds];
        let chains = [self.steps, self.days, self.late, self.apart];
        own.iter().chain(&chains).sum()
    }
}

impl Act {
    fn span(&self) -> (usize, Tick, Tick) {
        match self {
            Self::Turn(turn) => (turn.stretch, turn.start, turn.end),
            Self::Step(done) => (done.stretch, done.start, done.end),
        }
    }

    /// Ticks of packing, which have no price.
    fn packing(&self) -> Tick {
        match self {
            Self::Turn(turn) => turn.pack.unwrap_or(0),
            Self::Step(_) => 0,
        }
    }
}

impl Plan {
    /// Every filling with how many it fills, the turn that fills it, the one
    /// that turns it out, and the load that it ripens beside in the end, itself
    /// included. None where something is never ripe.
    pub fn lots(&self, problem: &Problem, ripening: &dyn Ripening) -> Option<Vec<Filling<'_>>> {
        let ripens = |kind, load| ripening.ticks(kind, load);
        let mut lots = inside(problem, ripens)?;
        let begun = lots.len();
        for turn in self.turns().filter(|turn| turn.fill > 0) {
            let filling = (turn.kind, turn.fill);
            put_in(&mut lots, &problem.kinds, filling, turn.end, ripens)?;
        }
        let mut inside = vec![0; problem.kinds.len()];
        for lot in &lots[..begun] {
            inside[lot.kind] += lot.count;
        }
        let fills = self.turns().filter(|turn| turn.fill > 0).zip(&lots[begun..]);
        fills
            .map(|(fill, lot)| {
                let (empty, first) = self.out(fill.kind, inside[fill.kind])?;
                inside[fill.kind] += fill.fill;
                Some(Filling { fill, empty, first, load: lot.load })
            })
            .collect()
    }

    /// The turn that turns out what was filled before, in the order of [`Problem::begun`]
    /// but for what is out already, and how many others it turns out first.
    pub fn begun_out(&self, problem: &Problem) -> Vec<Option<(&Turn, u32)>> {
        let mut inside = vec![0; problem.kinds.len()];
        let open = problem.begun.iter().filter(|begun| !begun.out);
        open.map(|begun| {
            let out = self.out(begun.kind, inside[begun.kind]);
            inside[begun.kind] += begun.count;
            out
        })
        .collect()
    }

    /// Its turns in the order of time.
    pub fn turns(&self) -> impl Iterator<Item = &Turn> {
        self.acts.iter().filter_map(|act| match act {
            Act::Turn(turn) => Some(turn),
            Act::Step(_) => None,
        })
    }

    /// The turn that turns out a piece of a kind, so many being inside before it, and how
    /// many others it turns out first.
    fn out(&self, kind: usize, before: u32) -> Option<(&Turn, u32)> {
        let mut emptied = 0;
        let turn = self.turns().filter(|turn| turn.kind == kind).find(|turn| {
            emptied += turn.empty;
            emptied > before
        })?;
        Some((turn, before - (emptied - turn.empty)))
    }

    /// The same plan where what of some kinds is turned out and nothing filled, as late before the
    /// next work as costs the same: it is perhaps not ripe, and more likely so later.
    #[must_use]
    pub fn turned_out_late(mut self, problem: &Problem, perhaps: impl Fn(usize) -> bool) -> Self {
        let costs = |plan: &Self| (plan.terms(problem).sum(), plan.shunned(&problem.stretches));
        for n in 0..self.acts.len() {
            let Act::Turn(turn) = &self.acts[n] else { continue };
            let is_all = turn.fill == 0 && turn.wash == 0 && turn.pack.is_none();
            if is_all && perhaps(turn.kind) {
                let (own, later) = (costs(&self), (1..=self.idle_after(turn, n, problem)).rev());
                let latest = later.map(|by| self.delayed(n, by)).find(|plan| costs(plan) == own);
                self = latest.unwrap_or(self);
            }
        }
        self
    }

    /// The same plan with one turn so much later.
    fn delayed(&self, n: usize, by: Tick) -> Self {
        let mut plan = self.clone();
        if let Act::Turn(Turn { start, out, end, .. }) = &mut plan.acts[n] {
            for at in [start, out, end] {
                *at += by;
            }
        }
        plan
    }

    /// How long nothing is done after a turn until its stretch ends or its pieces leave.
    fn idle_after(&self, turn: &Turn, n: usize, problem: &Problem) -> Tick {
        let leaves = problem.demands.iter().filter(|demand| demand.kind == turn.kind);
        let leaves = leaves.map(|demand| demand.by).filter(|by| *by >= turn.end).min();
        let next = self.acts.get(n + 1).map(|next| next.span().1);
        let stretch = problem.stretches[turn.stretch].span.end;
        [leaves, next].into_iter().flatten().fold(stretch, Tick::min) - turn.end
    }

    /// What its work in shunned hours weighs.
    pub fn shunned(&self, stretches: &[Stretch]) -> Cost {
        let spans = self.acts.iter().map(Act::span);
        spans.map(|(stretch, start, end)| stretches[stretch].shunned(start, end)).sum()
    }

    /// What it costs, added up from what is done and not from the search.
    pub fn terms(&self, problem: &Problem) -> Terms {
        let mut terms = Terms::default();
        let mut sat: Option<(usize, Tick)> = None;
        for act in &self.acts {
            let (number, start, end) = act.span();
            let stretch = &problem.stretches[number];
            let place = &problem.places[stretch.place];
            terms.hands += Cost::from(end - start - act.packing()) * place.tick;
            terms.dear += stretch.dear(start, end);
            if let Act::Step(done) = act {
                let step = &problem.chains[done.chain].ways[done.way].steps[done.step];
                terms.steps += step.price;
                terms.late +=
                    step.late.iter().filter(|late| end > late.0).map(|l| l.1).sum::<Cost>();
                if step.quiet {
                    continue;
                }
            }
            let waited = sat.filter(|(other, _)| *other == number).map(|(_, since)| {
                (Cost::from(start - since) * place.tick, stretch.dear(since, start))
            });
            match waited {
                Some((hands, dear)) if hands + dear < place.begin => {
                    terms.hands += hands;
                    terms.dear += dear;
                }
                _ => terms.sittings += place.begin,
            }
            sat = Some((number, end));
        }
        self.price_kept(problem, &mut terms);
        self.price_chains(problem, &mut terms);
        terms
    }

    /// Rounds, and days that pieces are kept: oldest first to what leaves first.
    fn price_kept(&self, problem: &Problem, terms: &mut Terms) {
        for (number, kind) in problem.kinds.iter().enumerate() {
            let mut demands: Vec<_> =
                problem.demands.iter().filter(|demand| demand.kind == number).collect();
            demands.sort_by_key(|demand| (demand.leave, demand.by));
            let begun = problem.begun.iter().filter(|begun| begun.kind == number);
            let begun: u32 = begun.map(|begun| begun.count).sum();
            let needs = demands.iter().flat_map(|demand| (0..demand.count).map(|_| demand.day));
            let needs = needs.skip(begun as usize);
            let fills = self.acts.iter().filter_map(|act| match act {
                Act::Turn(turn) if turn.kind == number && turn.fill > 0 => Some(turn),
                _ => None,
            });
            terms.rounds += Cost::from(fills.clone().count() as u32) * kind.round;
            let filled =
                fills.flat_map(|turn| (0..turn.fill).map(|_| problem.stretches[turn.stretch].day));
            let kept: i32 = needs.zip(filled).map(|(need, day)| (need - day - 1).max(0)).sum();
            terms.kept += Cost::from(kept) * kind.keep;
        }
    }

    fn price_chains(&self, problem: &Problem, terms: &mut Terms) {
        for (number, chain) in problem.chains.iter().enumerate() {
            let own: Vec<_> = self
                .acts
                .iter()
                .filter_map(|act| match act {
                    Act::Step(done) if done.chain == number => Some(done),
                    _ => None,
                })
                .collect();
            let day = |stretch: usize| problem.stretches[stretch].day;
            if let (Some(first), Some(last)) = (own.first(), own.last()) {
                terms.days += Cost::from(day(last.stretch) - day(first.stretch)) * chain.day;
            }
            let together =
                own.iter().filter(|done| chain.ways[done.way].together.contains(&done.step));
            let counted: Vec<usize> = together
                .map(|done| chain.days.partition_point(|other| *other < day(done.stretch)))
                .collect();
            let far = counted.windows(2).filter(|pair| pair[1] - pair[0] > 1).count();
            terms.apart += Cost::from(far as u32) * chain.apart;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::problem::{Demand, Kind, Place, Store};
    use super::*;

    /// One evening of 100 ticks, the last ten of them dear, and two pieces that leave after it.
    fn evening(by: Tick) -> Problem {
        let hands = vec![0, 2, 2];
        Problem {
            places: vec![Place { begin: 1_500, tick: 500, shared_hands: true }],
            stretches: vec![Stretch {
                place: 0,
                span: 0..100,
                leave: 0,
                day: 1,
                dear: std::iter::once(90..100).collect(),
                dear_tick: 100,
                shunned: Vec::new(),
                late: false,
            }],
            stores: vec![Store { capacity: 10 }],
            kinds: vec![Kind {
                store: 0,
                place: 0,
                own: 2,
                pool: 0,
                per_vessel: 1,
                room: 3,
                kept_room: 1,
                load: 1,
                fill: hands.clone(),
                empty: hands.clone(),
                wash: hands,
                round: 0,
                keep: 0,
            }],
            demands: vec![Demand {
                kind: 0,
                count: 2,
                day: 2,
                earliest: 0,
                by,
                leave: by,
                pack_from: by,
                pack: 0,
            }],
            ..Problem::default()
        }
    }

    /// When two pieces, filled at once, are turned out that were to be turned out at a tick.
    fn out(problem: &Problem, at: Tick, perhaps: bool) -> Tick {
        let turn = |start: Tick, empty: u32, fill: u32| {
            let (stretch, kind, pack, wash) = (0, 0, None, 0);
            let [out, end] = [start + 2 * Tick::from(empty > 0), start + 2];
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        };
        let plan = Plan { acts: vec![turn(0, 0, 2), turn(at, 2, 0)], price: 0 };
        let late = plan.turned_out_late(problem, |_| perhaps);
        let turns: Vec<&Turn> = late.turns().collect();
        assert_eq!((turns[0].start, turns[1].end), (0, turns[1].start + 2));
        turns[1].start
    }

    #[test]
    fn what_is_perhaps_not_ripe_is_turned_out_as_late_as_costs_the_same() {
        let problem = evening(200);
        assert_eq!(out(&problem, 30, true), 88, "before the dear hours");
        assert_eq!(out(&problem, 30, false), 30, "what is surely ripe stays");
        assert_eq!(out(&problem, 3, true), 3, "to wait for it costs more");
        assert_eq!(out(&evening(60), 30, true), 58, "before it leaves");
    }
}

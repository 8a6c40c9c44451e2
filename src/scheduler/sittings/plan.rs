//! A plan, and what it costs by term.

use std::ops::{Range, RangeInclusive};

use super::super::problem::Tick;
use super::label::{Lot, Pieces, inside, put_in, stairs};
use super::problem::{Cost, Problem, Ripening, Stretch, as_first};

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
    /// When is packed what leaves, first of all or before the filling; none where nothing is.
    pub pack: Option<Range<Tick>>,
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

/// Pieces that are filled together and turned out together.
#[derive(Clone, Debug)]
pub struct Filling<'a> {
    /// The turn that fills them.
    pub fill: &'a Turn,
    /// Which of all that it fills they are.
    pub part: Range<u32>,
    /// The turn that turns them out.
    pub empty: &'a Turn,
    /// How many others that turn turns out before them.
    pub first: u32,
    /// The load that ripens together with them, themselves included.
    pub load: u32,
    /// How sure all of their filling must be ripe, as [`Ripening`] takes it.
    pub sureness: usize,
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

impl Turn {
    /// When the first piece is turned out.
    pub fn empties_from(&self) -> Tick {
        let first = self.pack.as_ref().filter(|pack| pack.start == self.start);
        first.map_or(self.start, |pack| pack.end)
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
            Self::Turn(turn) => turn.pack.as_ref().map_or(0, |pack| pack.end - pack.start),
            Self::Step(_) => 0,
        }
    }
}

impl Plan {
    /// What each turn fills, in parts where several turns turn it out, with the load that it
    /// ripens beside in the end, itself included. None where something is never ripe.
    pub fn lots(&self, problem: &Problem, ripening: &dyn Ripening) -> Option<Vec<Filling<'_>>> {
        let lots = self.ripening(problem, ripening)?;
        let begun = problem.begun.iter().filter(|begun| !begun.out).count();
        let mut inside = vec![0; problem.kinds.len()];
        for lot in &lots[..begun] {
            inside[lot.kind] += lot.count;
        }
        let fills = self.turns().filter(|turn| turn.fill > 0).zip(&lots[begun..]);
        let mut found = Vec::new();
        for (fill, lot) in fills {
            let mut part = 0..0;
            while part.end < fill.fill {
                let (empty, first) = self.out(fill.kind, inside[fill.kind])?;
                let some = (empty.empty - first).min(fill.fill - part.end);
                part = part.end..part.end + some;
                inside[fill.kind] += some;
                let Lot { load, sureness, .. } = *lot;
                found.push(Filling { fill, part: part.clone(), empty, first, load, sureness });
            }
        }
        Some(found)
    }

    /// What ripens: what was begun, then every filling. None where something is never ripe.
    fn ripening(&self, problem: &Problem, ripening: &dyn Ripening) -> Option<Vec<Lot>> {
        let ripens = |lot: &Lot, load| ripening.ticks(lot.kind, load, lot.sureness);
        let mut lots = inside(problem, ripens)?;
        let mut before = stairs(problem);
        for Turn { kind, fill: count, end, .. } in self.turns().filter(|turn| turn.fill > 0) {
            let (kind, count, first) = (*kind, *count, before[*kind].filled);
            before[kind].filled += count;
            let sureness = as_first(&problem.sureness(kind), first);
            let pieces = Pieces { kind, count, sureness };
            put_in(&mut lots, &problem.kinds, pieces, *end, ripens)?;
        }
        Some(lots)
    }

    /// Whether all is ripe as it is turned out.
    fn is_ripe(&self, problem: &Problem, ripening: &dyn Ripening) -> bool {
        let mut inside = vec![0; problem.kinds.len()];
        self.ripening(problem, ripening).is_some_and(|lots| {
            lots.iter().all(|lot| {
                let out = self.out(lot.kind, inside[lot.kind]);
                inside[lot.kind] += lot.count;
                out.is_none_or(|(turn, _)| lot.ripe <= turn.empties_from())
            })
        })
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

    /// The same plan where a turn goes right before the next work that waits for it in vain,
    /// where that costs less. A plan that is followed stays as it is.
    #[must_use]
    pub fn closed_up(mut self, problem: &Problem, ripening: &dyn Ripening) -> Self {
        let costs = |plan: &Self| plan.terms(problem).sum() + plan.shunned(&problem.stretches);
        for n in 0..self.acts.len() {
            let idle = self.idle_after(n..=n, problem).filter(|idle| *idle > 0);
            let Some(idle) = idle.filter(|_| problem.kept.is_none()) else { continue };
            let later = self.delayed(n..=n, idle);
            if costs(&later) < costs(&self) && later.is_ripe(problem, ripening) {
                self = Self { price: later.terms(problem).sum(), ..later };
            }
        }
        self
    }

    /// The same plan where what is not as sure as can be is turned out as late before the next
    /// work as costs the same, with the turns right after it: it is more likely ripe later.
    #[must_use]
    pub fn turned_out_late(mut self, problem: &Problem, ripening: &dyn Ripening) -> Self {
        let costs = |plan: &Self| (plan.terms(problem).sum(), plan.shunned(&problem.stretches));
        // Where a plan is followed, no filling moves but for a reason.
        let fresh = problem.kept.is_none();
        for n in 0..self.acts.len() {
            let Act::Turn(turn) = &self.acts[n] else { continue };
            if !self.is_unsure(n, problem) || turn.fill > 0 && !fresh {
                continue;
            }
            let own = costs(&self);
            for last in n..if fresh { self.acts.len() } else { n + 1 } {
                let Some(idle) = self.idle_after(n..=last, problem) else { break };
                let mut later = (1..=idle).rev().map(|by| self.delayed(n..=last, by));
                let latest =
                    later.find(|plan| costs(plan) == own && plan.is_ripe(problem, ripening));
                self = latest.unwrap_or(self);
            }
        }
        self
    }

    /// Whether one of its turns turns out what is not as sure as can be.
    fn is_unsure(&self, turn: usize, problem: &Problem) -> bool {
        let Act::Turn(own) = &self.acts[turn] else { return false };
        let earlier = self.acts[..turn].iter().filter_map(|act| match act {
            Act::Turn(turn) if turn.kind == own.kind => Some(turn.empty),
            _ => None,
        });
        let out = stairs(problem)[own.kind].out + earlier.sum::<u32>();
        let sureness = problem.sureness(own.kind);
        let pieces = sureness.iter().skip(out as usize).take(own.empty as usize);
        pieces.copied().any(|sureness| sureness > 0)
    }

    /// The same plan with some turns so much later.
    fn delayed(&self, turns: RangeInclusive<usize>, by: Tick) -> Self {
        let mut plan = self.clone();
        for act in &mut plan.acts[turns] {
            if let Act::Turn(Turn { start, out, end, .. }) = act {
                for at in [start, out, end] {
                    *at += by;
                }
            }
        }
        plan
    }

    /// How long nothing is done after some turns until their stretch ends or their pieces leave;
    /// none where they are not all turns of one stretch from which nothing leaves at once.
    fn idle_after(&self, turns: RangeInclusive<usize>, problem: &Problem) -> Option<Tick> {
        let next = self.acts.get(turns.end() + 1).map(|next| next.span().1);
        let acts = self.acts[turns].iter();
        let turns: Vec<&Turn> = acts
            .map(|act| match act {
                Act::Turn(turn) if turn.pack.is_none() => Some(turn),
                _ => None,
            })
            .collect::<Option<_>>()?;
        let (first, last) = (turns.first()?, turns.last()?);
        if first.stretch != last.stretch {
            return None;
        }
        let idle = turns.iter().filter(|turn| turn.empty > 0).filter_map(|turn| {
            let leaves = problem.demands.iter().filter(|demand| demand.kind == turn.kind);
            leaves
                .map(|demand| demand.by)
                .filter(|by| *by >= turn.out)
                .min()
                .map(|by| by - turn.out)
        });
        let stretch = problem.stretches[first.stretch].span.end;
        Some(idle.fold(next.map_or(stretch, |next| next.min(stretch)) - last.end, Tick::min))
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
                (Cost::from((start - since).max(0)) * place.tick, stretch.dear(since, start))
            });
            match waited {
                Some((hands, dear)) if hands + dear < place.begin => {
                    terms.hands += hands;
                    terms.dear += dear;
                }
                _ => terms.sittings += place.begin,
            }
            let until =
                sat.filter(|(other, _)| *other == number).map_or(end, |(_, until)| until.max(end));
            sat = Some((number, until));
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
    use super::super::problem::Kept;
    use super::super::search::{Effort, search};
    use super::*;

    /// One evening of 100 ticks, the last ten of them dear, and two pieces that leave after it.
    fn evening(by: Tick) -> Problem {
        let dear = std::iter::once(90..100).collect();
        let evening = Stretch { dear, dear_tick: 100, ..Stretch::at_home(0..100, 1) };
        Problem::of_two_pieces(vec![evening], by)
    }

    /// Ripe after so many ticks, whatever is beside it.
    struct After(Tick);

    impl Ripening for After {
        fn ticks(&self, _: usize, _: u32, _: usize) -> Option<Tick> {
            Some(self.0)
        }
    }

    /// When turns begin that were to begin at a tick, empty so many and fill so many.
    fn late(problem: &Problem, turns: &[(Tick, u32, u32)], perhaps: bool) -> Vec<Tick> {
        let turns = turns.iter().map(|&(start, empty, fill)| {
            let (stretch, kind, pack, wash) = (0, 0, None, 0);
            let out = start + 2 * Tick::from(empty > 0);
            let end = out + 2 * Tick::from(fill > 0);
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        });
        let plan = Plan { acts: turns.collect(), price: 0 };
        let mut problem = problem.clone();
        let all = &mut problem.demands[0];
        (all.count, all.sureness) = (plan.turns().map(|turn| turn.fill).sum(), perhaps.into());
        let late = plan.turned_out_late(&problem, &After(20));
        late.turns().map(|turn| turn.start).collect()
    }

    #[test]
    fn what_is_perhaps_not_ripe_is_turned_out_as_late_as_costs_the_same() {
        let out = |problem: &Problem, at: Tick, perhaps: bool| {
            late(problem, &[(0, 0, 2), (at, 2, 0)], perhaps)[1]
        };
        let problem = evening(200);
        assert_eq!(out(&problem, 30, true), 88, "before the dear hours");
        assert_eq!(out(&problem, 30, false), 30, "what is surely ripe stays");
        assert_eq!(out(&problem, 3, true), 3, "to wait for it costs more");
        assert_eq!(out(&evening(60), 30, true), 58, "before it leaves");
    }

    /// What is filled right after it waits with it, as long as it is ripe in its own time.
    #[test]
    fn a_mould_is_filled_again_as_late_as_that_will_be_ripe() {
        let again = [(0, 0, 2), (30, 2, 2), (80, 2, 0)];
        assert_eq!(late(&evening(200), &again, true), [0, 64, 88]);
        let apart = [(0, 0, 2), (30, 2, 0), (32, 0, 2), (80, 2, 0)];
        assert_eq!(late(&evening(200), &apart, true), [0, 64, 66, 88]);
        let followed = Problem { kept: Some(Kept::default()), ..evening(200) };
        assert_eq!(late(&followed, &apart, true), [0, 30, 32, 88], "no filling moves");
    }

    /// It begins fifteen ticks later, and there is nothing to wait for.
    #[test]
    fn a_turn_goes_right_before_the_work_that_waits_for_it() {
        let problem = evening(200);
        let turn = |start: Tick, empty: u32, fill: u32| {
            let (out, end) = (start + 2 * Tick::from(empty > 0), start + 2);
            let (stretch, kind, pack, wash) = (0, 0, None, 0);
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        };
        let acts = |first: Tick| vec![turn(first, 0, 2), turn(17, 2, 0)];
        let plan = |first: Tick| Plan { acts: acts(first), price: 0 };
        assert_eq!(plan(0).closed_up(&problem, &After(0)).acts, acts(15));
        assert_eq!(plan(0).closed_up(&problem, &After(10)).acts, acts(0), "not ripe by then");
        let followed = Problem { kept: Some(Kept::default()), ..problem };
        assert_eq!(plan(0).closed_up(&followed, &After(0)).acts, acts(0), "no filling moves");
    }

    /// An evening, and two mornings of two ticks, in which there is time to turn out one piece
    /// of the two that one filling makes: none where both are turned out together.
    #[test]
    fn a_short_morning_turns_out_a_part_of_a_filling() {
        let spans = [0..40, 100..102, 200..202];
        let days = spans.into_iter().zip(1..);
        let days = days.map(|(span, day)| Stretch::at_home(span, day)).collect();
        let mut problem = Problem::of_two_pieces(days, 300);
        problem.kinds[0].empty = vec![0, 2, 3];
        let plan = search(&problem, &After(50), Effort::USUAL).plan.unwrap();
        let turns: Vec<_> = plan.turns().map(|turn| (turn.start, turn.empty, turn.fill)).collect();
        assert_eq!(turns, [(0, 0, 2), (100, 1, 0), (200, 1, 0)]);
        let lots = plan.lots(&problem, &After(50)).unwrap();
        let lots: Vec<_> = lots.into_iter().map(|lot| (lot.part, lot.empty.start)).collect();
        assert_eq!(lots, [(0..1, 100), (1..2, 200)]);
        problem.kinds[0].empty = vec![0, 2, 2];
        let plan = search(&problem, &After(50), Effort::USUAL).plan.unwrap();
        let turns: Vec<_> = plan.turns().map(|turn| (turn.start, turn.empty, turn.fill)).collect();
        assert_eq!(turns, [(0, 0, 2), (100, 2, 0)], "both, where there is time");
    }
}

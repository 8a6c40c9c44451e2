//! A plan, and what it costs by term.

use std::ops::Range;

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
    pub load: u64,
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

    /// From when on its hour has a price, in a stretch whose sitting went on until a moment: what
    /// is packed before any work is done anyway.
    pub(super) fn priced_from(&self, sat: Tick, stretch: Tick) -> Tick {
        if sat < stretch { self.empties_from() } else { self.start }
    }
}

impl Act {
    pub(super) fn span(&self) -> (usize, Tick, Tick) {
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
        let kinds = 0..problem.kinds.len();
        let sureness: Vec<_> = kinds.map(|kind| problem.sureness(kind)).collect();
        let mut before = stairs(problem);
        for Turn { kind, fill: count, end, .. } in self.turns().filter(|turn| turn.fill > 0) {
            let (kind, count, first) = (*kind, *count, before[*kind].filled);
            before[kind].filled += count;
            let sureness = as_first(&sureness[kind], first);
            let pieces = Pieces { kind, count, sureness };
            put_in(&mut lots, &problem.kinds, pieces, *end, ripens)?;
        }
        Some(lots)
    }

    /// Whether all is ripe as it is turned out.
    pub(super) fn is_ripe(&self, problem: &Problem, ripening: &dyn Ripening) -> bool {
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
            let since =
                sat.filter(|(other, _)| *other == number).map_or(Tick::MIN, |(_, since)| since);
            let priced = match act {
                Act::Turn(turn) => turn.priced_from(since, stretch.span.start),
                Act::Step(_) => start,
            };
            terms.dear += stretch.dear(priced, end);
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
    use super::super::effort::Effort;
    use super::super::problem::After;
    use super::super::search::search;
    use super::*;

    /// What leaves is packed anyway, so that before any work it costs no odd hour; between work
    /// it takes part of it.
    #[test]
    fn packing_before_any_work_has_no_price() {
        let dear = std::iter::once(0..100).collect();
        let morning = Stretch { dear, dear_tick: 100, ..Stretch::at_home(0..100, 1) };
        let problem = Problem::of_two_pieces(vec![morning], 200);
        let turn = |start: Tick, pack: Option<Range<Tick>>| {
            let (out, end) =
                (start, start + 4 + pack.as_ref().map_or(0, |pack| pack.end - pack.start));
            let (stretch, kind, empty, wash, fill) = (0, 0, 0, 2, 2);
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        };
        let dear = |acts: Vec<Act>| Plan { acts, price: 0 }.terms(&problem).dear;
        assert_eq!(dear(vec![turn(10, None)]), 400);
        assert_eq!(dear(vec![turn(10, Some(10..13))]), 400, "before any work");
        assert_eq!(dear(vec![turn(0, None), turn(4, Some(4..7))]), 400 + 700, "between work");
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

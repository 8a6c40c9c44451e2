//! The problem with what the search asks of it again and again looked up once.

use std::{cell::RefCell, collections::BTreeMap};

use super::super::problem::Tick;
use super::problem::{Cost, Demand, Problem, Ripening, Stretch, Way, as_first};

/// Pieces of one kind so far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Stairs {
    pub(super) filled: u32,
    pub(super) out: u32,
}

/// What leaves of one kind, in the order of leaving.
struct Leaving {
    demands: Vec<Demand>,
    /// Their places in the problem's list.
    numbers: Vec<usize>,
    /// Pieces of the first 0, 1, 2 … demands.
    sums: Vec<u32>,
    /// The date of each piece.
    days: Vec<i32>,
    /// How sure each piece must be ripe.
    sureness: Vec<usize>,
    /// How sure all of them must be at the least.
    loosest: usize,
    /// The least price of the hands that fill 0, 1, 2 … more pieces.
    fill: Vec<Cost>,
    /// The least price of the hands that turn out 0, 1, 2 … more pieces.
    empty: Vec<Cost>,
}

/// What leaves of all that one store holds, in the order of leaving.
struct Emptying {
    demands: Vec<Demand>,
    /// The longest time for which something may stand packed.
    longest: Tick,
}

/// A problem, ready to be searched.
pub(super) struct Index<'a> {
    pub(super) problem: &'a Problem,
    /// Any number may be turned out and filled at any of the starts, and no
    /// price counts: if even this has no plan, none exists.
    pub(super) lenient: bool,
    /// Work is also tried as late as an evening allows.
    pub(super) late: bool,
    /// Some of what is ripe may be left in its vessels.
    pub(super) parts: bool,
    ripening: &'a dyn Ripening,
    known: RefCell<BTreeMap<(usize, u64, usize), Option<Tick>>>,
    leaving: Vec<Leaving>,
    /// By store.
    emptying: Vec<Emptying>,
    /// By chain, way and step: the latest end.
    latest: Vec<Vec<Vec<Tick>>>,
    /// By place: its stretches, one after the other.
    stretches: Vec<Vec<usize>>,
}

impl<'a> Index<'a> {
    pub(super) fn new(problem: &'a Problem, ripening: &'a dyn Ripening, lenient: bool) -> Self {
        let leaving = (0..problem.kinds.len()).map(|kind| Leaving::new(problem, kind)).collect();
        let emptying =
            (0..problem.stores.len()).map(|store| Emptying::new(problem, store)).collect();
        let latest = problem
            .chains
            .iter()
            .map(|chain| chain.ways.iter().map(|way| latest_ends(problem, way)).collect())
            .collect();
        let mut stretches = vec![Vec::new(); problem.places.len()];
        for (number, stretch) in problem.stretches.iter().enumerate() {
            stretches[stretch.place].push(number);
        }
        Self {
            problem,
            lenient,
            late: false,
            parts: false,
            ripening,
            known: RefCell::default(),
            leaving,
            emptying,
            latest,
            stretches,
        }
    }

    /// The first stretch of a place, from one on, in which something of so many ticks can be
    /// done, not before `earliest`, and when.
    pub(super) fn first(
        &self,
        place: usize,
        ticks: Tick,
        earliest: Tick,
        from: usize,
    ) -> Option<(usize, Tick)> {
        let span = |number: usize| &self.problem.stretches[number].span;
        // A place without any hours has none.
        let own = self.stretches.get(place)?;
        let over = |number: usize| number < from || span(number).end < earliest + ticks;
        own[own.partition_point(|number| over(*number))..].iter().find_map(|number| {
            let start = span(*number).start.max(earliest);
            (start + ticks <= span(*number).end).then_some((*number, start))
        })
    }

    /// Pieces of a kind that are needed in all.
    pub(super) fn wanted(&self, kind: usize) -> u32 {
        self.leaving[kind].days.len() as u32
    }

    /// Pieces that may have been filled by a filling at `at`.
    pub(super) fn allowed(&self, kind: usize, at: Tick) -> u32 {
        self.leaving[kind].count(|demand| demand.earliest <= at)
    }

    /// Pieces that must be out before a turning out that ends at `end`.
    pub(super) fn needed(&self, kind: usize, end: Tick) -> u32 {
        self.leaving[kind].count(|demand| demand.by < end)
    }

    /// Pieces that take no room any more at `at`.
    pub(super) fn left(&self, kind: usize, at: Tick) -> u32 {
        self.leaving[kind].count(|demand| demand.leave <= at)
    }

    /// Pieces that are packed, or left before, where all is packed that may be at `at`.
    pub(super) fn packed(&self, kind: usize, at: Tick) -> u32 {
        self.leaving[kind].count(|demand| demand.pack_from <= at)
    }

    /// How long it takes to pack all that a store holds and that may be packed at
    /// `at`; none where nothing may.
    pub(super) fn packing(&self, store: usize, at: Tick) -> Option<Tick> {
        let own = self.emptying[store].within(at, at + 1);
        own.filter(|demand| (demand.pack_from..demand.leave).contains(&at))
            .map(|demand| demand.pack)
            .reduce(|all, pack| all + pack)
    }

    /// From when something may be packed within a stretch, and how long that takes.
    pub(super) fn packings(&self, store: usize, stretch: &Stretch) -> Vec<(Tick, Tick)> {
        let (start, end) = (stretch.span.start, stretch.span.end);
        let own = self.emptying[store].within(start, end);
        let own =
            own.filter(|demand| demand.pack_from < demand.leave.min(end) && demand.leave > start);
        let from = |demand: &Demand| demand.pack_from.max(start);
        own.filter_map(|demand| Some((from(demand), self.packing(store, from(demand))?))).collect()
    }

    /// How much longer hands are free in a stretch where what a store holds is packed at `at`:
    /// what is packed after the stretch else.
    pub(super) fn freed(&self, store: usize, at: Tick, stretch: &Stretch) -> Tick {
        let mut then =
            self.problem.demands.iter().filter(|demand| demand.by == stretch.span.end).peekable();
        let packed = |demand: &Demand| {
            self.problem.kinds[demand.kind].store == store && demand.pack_from <= at
        };
        if then.peek().is_some() && then.all(packed) { stretch.packs } else { 0 }
    }

    /// Moments within a stretch at which room becomes free.
    pub(super) fn leaving_within(&self, kind: usize, stretch: &Stretch) -> Vec<Tick> {
        let store = self.problem.kinds[kind].store;
        let leaving = self.emptying[store].within(stretch.span.start - 1, stretch.span.end);
        leaving.map(|demand| demand.leave).filter(|leave| stretch.span.contains(leave)).collect()
    }

    /// The first of the demands for a kind that so many pieces do not serve.
    pub(super) fn unserved(&self, kind: usize, out: u32) -> Option<usize> {
        let leaving = &self.leaving[kind];
        let served = leaving.sums.partition_point(|sum| *sum <= out) - 1;
        leaving.numbers.get(served).copied()
    }

    /// The places of the demands for a kind in the problem's list, in the order of leaving.
    pub(super) fn numbers(&self, kind: usize) -> &[usize] {
        &self.leaving[kind].numbers
    }

    /// The problem with the first so many demands for a kind alone.
    pub(super) fn only(&self, kind: usize, served: usize) -> Problem {
        let kept = &self.numbers(kind)[..served];
        let mut some = self.problem.clone();
        for (number, demand) in some.demands.iter_mut().enumerate() {
            if !kept.contains(&number) {
                demand.count = 0;
            }
        }
        some
    }

    /// Another problem, looked up as this one is.
    pub(super) fn like<'b>(&self, problem: &'b Problem) -> Index<'b>
    where
        'a: 'b,
    {
        Index::new(problem, self.ripening, self.lenient)
    }

    /// The price of keeping pieces `from` to `until`, filled on a date.
    pub(super) fn keeping(&self, kind: usize, from: u32, until: u32, day: i32) -> Cost {
        let days = &self.leaving[kind].days[from as usize..until as usize];
        let kept: i32 = days.iter().map(|need| (need - day - 1).max(0)).sum();
        Cost::from(kept) * self.problem.kinds[kind].keep
    }

    /// How long this kind ripens beside this much load, itself included.
    pub(super) fn ripens(&self, kind: usize, load: u64, sureness: usize) -> Option<Tick> {
        let mut known = self.known.borrow_mut();
        let own = known.entry((kind, load, sureness));
        *own.or_insert_with(|| self.ripening.ticks(kind, load, sureness))
    }

    /// The same for the pieces of the kind that ripen soonest.
    pub(super) fn ripens_at_least(&self, kind: usize, load: u64) -> Option<Tick> {
        self.ripens(kind, load, self.leaving[kind].loosest)
    }

    /// How sure pieces of a kind must be ripe that are filled together, from one on.
    pub(super) fn sureness(&self, kind: usize, piece: u32) -> usize {
        as_first(&self.leaving[kind].sureness, piece)
    }

    /// When a step of a chain ends at the latest.
    pub(super) fn latest_end(&self, chain: usize, way: usize, step: usize) -> Tick {
        self.latest[chain][way][step]
    }

    /// The least price of filling and turning out what is left of a kind, sittings aside.
    pub(super) fn hands_left(&self, kind: usize, filled: u32, out: u32) -> Cost {
        let leaving = &self.leaving[kind];
        let wanted = leaving.days.len();
        let left = |some: u32| wanted.saturating_sub(some as usize);
        leaving.fill[left(filled)] + leaving.empty[left(out)]
    }
}

impl Leaving {
    fn new(problem: &Problem, kind: usize) -> Self {
        let own = |number: &usize| problem.demands[*number].kind == kind;
        let mut numbers: Vec<usize> = (0..problem.demands.len()).filter(own).collect();
        numbers.sort_by_key(|n| (problem.demands[*n].leave, problem.demands[*n].by));
        let demands: Vec<Demand> = numbers.iter().map(|n| problem.demands[*n].clone()).collect();
        let mut sums = vec![0];
        let mut days = Vec::new();
        for demand in &demands {
            days.extend(std::iter::repeat_n(demand.day, demand.count as usize));
            sums.push(days.len() as u32);
        }
        let own = &problem.kinds[kind];
        let tick = problem.places[own.place].tick;
        let fill =
            cheapest(days.len(), own.own, |n| Cost::from(own.fill[n as usize]) * tick + own.round);
        let empty = cheapest(days.len(), own.own, |n| Cost::from(own.empty[n as usize]) * tick);
        let sureness = problem.sureness(kind);
        let loosest = sureness.iter().copied().max().unwrap_or(0);
        Self { demands, numbers, sums, days, sureness, loosest, fill, empty }
    }

    fn count(&self, so_far: impl Fn(&Demand) -> bool) -> u32 {
        self.sums[self.demands.partition_point(so_far)]
    }
}

impl Emptying {
    fn new(problem: &Problem, store: usize) -> Self {
        let own = |demand: &&Demand| problem.kinds[demand.kind].store == store;
        let mut demands: Vec<Demand> = problem.demands.iter().filter(own).cloned().collect();
        demands.sort_by_key(|demand| demand.leave);
        let packed = |demand: &Demand| (demand.leave - demand.pack_from).max(0);
        let longest = demands.iter().map(packed).max().unwrap_or(0);
        Self { demands, longest }
    }

    /// What leaves after a moment and may be packed before another.
    fn within(&self, after: Tick, before: Tick) -> impl Iterator<Item = &Demand> {
        let first = self.demands.partition_point(|demand| demand.leave <= after);
        let rest = self.demands[first..].iter();
        rest.take_while(move |demand| demand.leave - self.longest < before)
    }
}

/// The least price of 0, 1, 2 … pieces in parts of at most `most`.
fn cheapest(pieces: usize, most: u32, price: impl Fn(u32) -> Cost) -> Vec<Cost> {
    let mut least = vec![0; pieces + 1];
    for all in 1..=pieces {
        let parts = (1..=most.min(all as u32)).map(|part| price(part) + least[all - part as usize]);
        least[all] = parts.min().unwrap_or(Cost::MAX / 4);
    }
    least
}

/// When each step of a way ends at the latest: it lies in the hours of its
/// place, and what waits for it must still find its own.
fn latest_ends(problem: &Problem, way: &Way) -> Vec<Tick> {
    let mut latest: Vec<Tick> = way.steps.iter().map(|step| step.end_by).collect();
    for (number, step) in way.steps.iter().enumerate().rev() {
        let own = problem.stretches.iter().filter(|stretch| stretch.place == step.place);
        let ends = own
            .filter(|stretch| {
                stretch.span.start + step.ticks <= latest[number].min(stretch.span.end)
            })
            .map(|stretch| stretch.span.end.min(latest[number]));
        latest[number] = ends.max().unwrap_or(Tick::MIN / 2);
        for wait in &step.waits {
            let before = latest[number] - step.ticks - wait.min;
            latest[wait.of] = latest[wait.of].min(before);
        }
    }
    latest
}

//! How far a plan is at some moment.

use std::rc::Rc;

use super::super::problem::Tick;
use super::index::{Index, Stairs};
use super::problem::{Cost, Kind, MOST_STEPS, Problem, Same, Step, Stop, as_first};

/// No sitting was begun, or hands are free since ever.
pub(super) const NEVER: Tick = Tick::MIN / 2;

/// What a plan is judged by, in this order; smaller is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worth {
    /// The price, with what shunned hours weigh.
    pub(super) price: Cost,
    /// Fillings of one or two.
    pub(super) odd: u32,
    /// Ticks that work is later in an evening, or earlier in a morning, than it could be.
    pub(super) shift: i64,
    /// The sum of the starts.
    pub(super) when: i64,
}

/// Pieces that were filled together and are not out yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lot {
    pub(super) kind: usize,
    pub(super) count: u32,
    pub(super) filled: Tick,
    /// What ripens together with it, itself included.
    pub(super) load: u64,
    /// How sure it must be ripe.
    pub(super) sureness: usize,
    pub(super) ripe: Tick,
    /// Whether it is turned out as one: it was filled before the search or in a single tick, or
    /// some of it is out already.
    pub(super) whole: bool,
}

impl Lot {
    /// Takes it for ripe since ever: what comes beside it makes no difference.
    fn take_as_ripe(&mut self) {
        (self.filled, self.load, self.ripe, self.sureness) = (NEVER, 0, NEVER, 0);
    }
}

/// How far a chain is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Progress {
    /// The way taken, once a step is done.
    pub(super) way: Option<usize>,
    /// The steps done, a bit each.
    pub(super) done: u32,
    pub(super) ends: [Tick; MOST_STEPS],
    /// The stretch of each step done.
    pub(super) stretches: [usize; MOST_STEPS],
}

impl Progress {
    pub(super) const NONE: Self =
        Self { way: None, done: 0, ends: [NEVER; MOST_STEPS], stretches: [0; MOST_STEPS] };

    pub(super) fn is_done(&self, step: usize) -> bool {
        self.done & (1 << step) != 0
    }
}

/// How far a plan is.
#[derive(Clone, Debug)]
pub(super) struct Label {
    pub(super) worth: Worth,
    /// The last thing done, in the list of all things done.
    pub(super) act: usize,
    /// Since when the hands that go about are free.
    pub(super) free: Tick,
    /// When the sitting of this stretch ended so far.
    pub(super) sat: Tick,
    /// The kinds that were turned in this stretch, a bit each.
    pub(super) turned: u64,
    pub(super) stairs: Vec<Stairs>,
    /// In the order of filling.
    pub(super) lots: Vec<Lot>,
    /// Shared by all labels that turn vessels since a step was done.
    pub(super) chains: Rc<[Progress]>,
}

impl Label {
    /// Whether a sitting goes on in this stretch.
    pub(super) fn is_sitting(&self) -> bool {
        self.sat > NEVER
    }

    pub(super) fn first(index: &Index) -> Self {
        Self {
            worth: Worth::default(),
            act: usize::MAX,
            free: NEVER,
            sat: NEVER,
            turned: 0,
            stairs: stairs(index.problem),
            // What never gets ripe is no lot, and what needs it is not served.
            lots: inside(index.problem, |lot, load| index.ripens(lot.kind, load, lot.sureness))
                .unwrap_or_default(),
            chains: vec![Progress::NONE; index.problem.chains.len()].into(),
        }
    }

    /// Whether everything is done.
    pub(super) fn complete(&self, index: &Index) -> bool {
        let mut kinds = self.stairs.iter().enumerate();
        kinds.all(|(kind, stairs)| stairs.out >= index.wanted(kind))
            && (0..self.chains.len()).all(|chain| self.finished(index, chain))
    }

    fn finished(&self, index: &Index, chain: usize) -> bool {
        let ways = &index.problem.chains[chain].ways;
        let progress = &self.chains[chain];
        let whole = |way: usize| progress.done.count_ones() as usize == ways[way].steps.len();
        progress.way.map_or(ways.is_empty(), whole)
    }

    /// The same at the start of a later stretch.
    ///
    /// # Errors
    /// What had to be done by then and was not.
    pub(super) fn advance(
        mut self,
        index: &Index,
        from: Option<usize>,
        to: usize,
    ) -> Result<Self, Stop> {
        let stretch = &index.problem.stretches[to];
        let now = stretch.span.start;
        let late = |(kind, stairs): (usize, &Stairs)| {
            let late = stairs.out < index.needed(kind, now + 1);
            index.unserved(kind, stairs.out).filter(|_| late)
        };
        if let Some(demand) = self.stairs.iter().enumerate().find_map(late) {
            return Err(Stop::Demand(demand));
        }
        let day = from.map_or(stretch.day, |from| index.problem.stretches[from].day);
        for chain in 0..self.chains.len() {
            if self.finished(index, chain) {
                continue;
            }
            if !self.in_time(index, chain, to) {
                return Err(Stop::Chain(chain));
            }
            if self.chains[chain].done != 0 {
                self.worth.price += Cost::from(stretch.day - day) * index.problem.chains[chain].day;
            }
        }
        self.sat = NEVER;
        self.turned = 0;
        if self.free <= now {
            self.free = NEVER;
        }
        for lot in self.lots.iter_mut().filter(|lot| lot.ripe <= now) {
            lot.take_as_ripe();
        }
        Ok(self)
    }

    /// Whether each step left of a chain can still be in time from a stretch on.
    fn in_time(&self, index: &Index, chain: usize, to: usize) -> bool {
        let stretch = &index.problem.stretches[to];
        let now = stretch.span.start;
        let progress = &self.chains[chain];
        let ways = &index.problem.chains[chain].ways;
        let fits = |way: usize| {
            let mut steps = ways[way].steps.iter().enumerate();
            steps.all(|(number, step)| {
                progress.is_done(number)
                    || (now + step.ticks <= index.latest_end(chain, way, number)
                        && self.still_same(index, progress, step, to)
                        && now <= until(progress, step))
            })
        };
        match progress.way {
            Some(way) => fits(way),
            None => (0..ways.len()).any(fits),
        }
    }

    fn still_same(&self, index: &Index, progress: &Progress, step: &Step, to: usize) -> bool {
        let stretches = &index.problem.stretches;
        match step.same {
            Some(Same::Stretch(of)) => !progress.is_done(of) || progress.stretches[of] == to,
            Some(Same::Day(of)) => {
                !progress.is_done(of) || stretches[progress.stretches[of]].day == stretches[to].day
            }
            None => true,
        }
    }

    /// The first thing that is not done: by the moment it is due, demands first.
    pub(super) fn open(&self, index: &Index) -> Option<Stop> {
        let demands = &index.problem.demands;
        let kinds = self.stairs.iter().enumerate();
        let unserved = kinds.filter_map(|(kind, stairs)| index.unserved(kind, stairs.out));
        let first = unserved.min_by_key(|number| demands[*number].by);
        let chain = (0..self.chains.len()).find(|chain| !self.finished(index, *chain));
        first.map(Stop::Demand).or(chain.map(Stop::Chain))
    }

    /// What labels are compared within: how many are filled and out, what is done.
    pub(super) fn far(&self) -> (&[Stairs], impl Iterator<Item = (Option<usize>, u32)>) {
        (&self.stairs, self.chains.iter().map(|chain| (chain.way, chain.done)))
    }

    /// Whether this label, as far as `other` and not dearer, is in nothing worse.
    pub(super) fn dominates(&self, index: &Index, other: &Self, begin: Cost) -> bool {
        let cheaper = self.worth.price + begin <= other.worth.price;
        let sitting = index.lenient || self.sat >= other.sat || cheaper;
        sitting
            && self.free <= other.free
            && ripe_before(&self.lots, &other.lots)
            && (Rc::ptr_eq(&self.chains, &other.chains)
                || (0..self.chains.len()).all(|chain| self.chain_ahead(index, other, chain)))
    }

    /// Whether what waits for the steps done of a chain may begin no later and end no sooner.
    fn chain_ahead(&self, index: &Index, other: &Self, chain: usize) -> bool {
        let (ours, theirs) = (&self.chains[chain], &other.chains[chain]);
        if ours == theirs {
            return true;
        }
        let Some(way) = ours.way else { return true };
        let way = &index.problem.chains[chain].ways[way];
        let open = way.steps.iter().enumerate().filter(|(number, _)| !ours.is_done(*number));
        let mut open = open.map(|(_, step)| step);
        let together = |step: usize| {
            let left = way.together.iter().any(|other| !ours.is_done(*other));
            left && way.together.contains(&step) && ours.stretches[step] != theirs.stretches[step]
        };
        if (0..way.steps.len()).any(|step| ours.is_done(step) && together(step)) {
            return false;
        }
        open.all(|step| {
            let same = match step.same {
                Some(Same::Day(of) | Same::Stretch(of)) => {
                    ours.stretches[of] == theirs.stretches[of]
                }
                None => true,
            };
            same && since(ours, step) <= since(theirs, step)
                && until(ours, step) >= until(theirs, step)
        })
    }
}

/// How many pieces of each kind were filled before, and are out.
pub(super) fn stairs(problem: &Problem) -> Vec<Stairs> {
    let mut stairs = vec![Stairs::default(); problem.kinds.len()];
    for begun in &problem.begun {
        stairs[begun.kind].filled += begun.count;
        stairs[begun.kind].out += if begun.out { begun.count } else { 0 };
    }
    stairs
}

/// What was filled before and is not out yet; none where some of it never gets ripe.
pub(super) fn inside(
    problem: &Problem,
    ripens: impl Fn(&Lot, u64) -> Option<Tick>,
) -> Option<Vec<Lot>> {
    let mut lots = Vec::new();
    let sureness: Vec<_> = (0..problem.kinds.len()).map(|kind| problem.sureness(kind)).collect();
    let mut before = stairs(problem);
    for begun in problem.begun.iter().filter(|begun| !begun.out) {
        let first = before[begun.kind].out;
        before[begun.kind].out += begun.count;
        let sureness = as_first(&sureness[begun.kind], first);
        let pieces = Pieces { kind: begun.kind, count: begun.count, sureness };
        put_in(&mut lots, &problem.kinds, pieces, begun.filled, &ripens)?;
        lots.iter_mut().for_each(|lot| lot.whole = true);
        match (lots.last_mut(), begun.ripe_at) {
            (Some(lot), Some(known)) if known <= 0 => {
                lot.take_as_ripe();
            }
            // As if filled so much later: what comes beside it still makes it wait.
            (Some(lot), Some(known)) => {
                (lot.filled, lot.ripe) = (lot.filled + known - lot.ripe, known);
            }
            _ => {}
        }
    }
    Some(lots)
}

/// Pieces that are filled together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pieces {
    pub(super) kind: usize,
    pub(super) count: u32,
    /// How sure they must be ripe.
    pub(super) sureness: usize,
}

/// Puts a filling beside what ripens in the same store: that takes longer for
/// it, and it for that. None where something never gets ripe then.
pub(super) fn put_in(
    lots: &mut Vec<Lot>,
    kinds: &[Kind],
    Pieces { kind, count, sureness }: Pieces,
    filled: Tick,
    ripens: impl Fn(&Lot, u64) -> Option<Tick>,
) -> Option<()> {
    let own = kinds[kind].load_of(count);
    let mut load = own;
    for lot in lots.iter_mut() {
        if kinds[lot.kind].store == kinds[kind].store && lot.ripe > filled {
            load += kinds[lot.kind].load_of(lot.count);
            lot.load += own;
            lot.ripe = lot.filled + ripens(lot, lot.load)?;
        }
    }
    let whole = kinds[kind].fill[count as usize] < 2;
    let mut lot = Lot { kind, count, filled, load, sureness, ripe: NEVER, whole };
    lot.ripe = filled + ripens(&lot, load)?;
    lots.push(lot);
    Some(())
}

/// When a step may begin, for the steps that are done.
pub(super) fn since(progress: &Progress, step: &Step) -> Tick {
    let done = step.waits.iter().filter(|wait| progress.is_done(wait.of));
    done.map(|wait| progress.ends[wait.of] + wait.min).fold(step.from, Tick::max)
}

/// When a step must begin, for the steps that are done.
pub(super) fn until(progress: &Progress, step: &Step) -> Tick {
    let done = step.waits.iter().filter(|wait| progress.is_done(wait.of));
    done.filter_map(|wait| Some(progress.ends[wait.of] + wait.max?)).min().unwrap_or(Tick::MAX)
}

/// Whether, piece by piece of each kind, nothing was filled later or beside
/// more than in the other.
fn ripe_before(ours: &[Lot], theirs: &[Lot]) -> bool {
    let better = |a: &Lot, b: &Lot| {
        // What is no more sure ripens no later, whatever comes beside it.
        a.filled <= b.filled && a.load <= b.load && a.ripe <= b.ripe && a.sureness >= b.sureness
    };
    if ours.len() == theirs.len()
        && ours.iter().zip(theirs).all(|(a, b)| a.kind == b.kind && a.count == b.count)
    {
        return ours.iter().zip(theirs).all(|(a, b)| better(a, b));
    }
    let most = ours.iter().map(|lot| lot.kind).max().unwrap_or(0);
    (0..=most).all(|kind| pieces(ours, kind).zip(pieces(theirs, kind)).all(|(a, b)| better(a, b)))
}

/// The lot of each piece of a kind, in the order of filling.
fn pieces(lots: &[Lot], kind: usize) -> impl Iterator<Item = &Lot> {
    let own = lots.iter().filter(move |lot| lot.kind == kind);
    own.flat_map(|lot| std::iter::repeat_n(lot, lot.count as usize))
}

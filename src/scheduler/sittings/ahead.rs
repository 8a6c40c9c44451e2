//! What is still to come of a label: a lower bound of its price, and a guess.
//!
//! The guess also counts a sitting for each step of a chain that is not done
//! right after the one before. Sittings that a chain finds begun by other work
//! make it too high, so it only orders labels and rules none out.

use super::super::problem::Tick;
use super::index::Index;
use super::label::{Label, Progress, since};
use super::problem::{Cost, MOST_STEPS, Problem, Way};

/// The price of what is left.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ahead {
    /// It costs at least so much.
    pub(super) bound: Cost,
    /// It costs about so much.
    pub(super) guess: Cost,
}

impl Ahead {
    const NEVER: Self = Self { bound: Cost::MAX / 8, guess: Cost::MAX / 8 };

    fn least(self, other: Self) -> Self {
        Self { bound: self.bound.min(other.bound), guess: self.guess.min(other.guess) }
    }
}

/// What is left of the chains that have not begun, by stretch.
pub(super) struct Unbegun(Vec<Vec<Ahead>>);

impl Unbegun {
    /// Looks every start of every way through.
    pub(super) fn new(problem: &Problem) -> Self {
        let number = problem.stretches.len();
        let chains = (0..problem.chains.len()).map(|chain| {
            if problem.chains[chain].ways.is_empty() {
                return vec![Ahead::default(); number + 1];
            }
            let mut ahead = vec![Ahead::NEVER; number + 1];
            for stretch in (0..number).rev() {
                let ways = 0..problem.chains[chain].ways.len();
                let here = ways.map(|way| rest(problem, chain, way, &Progress::NONE, stretch));
                ahead[stretch] = here.fold(ahead[stretch + 1], Ahead::least);
            }
            ahead
        });
        Self(chains.collect())
    }
}

impl Unbegun {
    /// Whether a chain cannot end in time, whenever it begins.
    pub(super) fn never(&self, chain: usize) -> bool {
        self.0[chain].first().is_none_or(|ahead| ahead.bound >= Ahead::NEVER.bound)
    }
}

/// The price of what is left of a label at the start of a stretch.
pub(super) fn ahead(index: &Index, unbegun: &Unbegun, label: &Label, stretch: usize) -> Ahead {
    let problem = index.problem;
    let mut sittings = vec![0; problem.places.len()];
    let mut price = 0;
    for (kind, stairs) in label.stairs.iter().enumerate() {
        price += index.hands_left(kind, stairs.filled, stairs.out);
        let own = &problem.kinds[kind];
        let times = index.wanted(kind).saturating_sub(stairs.out).div_ceil(own.own);
        sittings[own.place] = times.max(sittings[own.place]);
    }
    for (place, times) in problem.places.iter().zip(sittings) {
        price += Cost::from(times) * place.begin;
    }
    let mut all = Ahead { bound: price, guess: price };
    for (chain, progress) in label.chains.iter().enumerate() {
        let own = match progress.way {
            Some(way) => rest(problem, chain, way, progress, stretch),
            None => unbegun.0[chain][stretch],
        };
        all.bound += own.bound;
        all.guess += own.guess;
    }
    all
}

/// What is left of a way if each step is done as early as its waits and the
/// hours of its place allow, whatever it has in common with others.
fn rest(problem: &Problem, chain: usize, way: usize, so_far: &Progress, from: usize) -> Ahead {
    let own = &problem.chains[chain];
    let Way { steps, .. } = &own.ways[way];
    let day = problem.stretches[from].day;
    let mut ends = [Tick::MIN / 2; MOST_STEPS];
    let (mut price, mut sittings, mut last) = (0, 0, day);
    for (number, step) in steps.iter().enumerate() {
        if so_far.is_done(number) {
            ends[number] = so_far.ends[number];
            continue;
        }
        let waits = step.waits.iter().map(|wait| ends[wait.of] + wait.min).max();
        let earliest = waits.unwrap_or(Tick::MIN / 2).max(since(so_far, step));
        let Some((seat, start)) = first(problem, step.place, step.ticks, earliest, from) else {
            return Ahead::NEVER;
        };
        if start + step.ticks > step.end_by {
            return Ahead::NEVER;
        }
        ends[number] = start + step.ticks;
        let place = &problem.places[step.place];
        price += step.price + Cost::from(step.ticks) * place.tick;
        price += step.late.iter().filter(|late| ends[number] > late.0).map(|l| l.1).sum::<Cost>();
        let follows = step.waits.iter().any(|wait| ends[wait.of] == start);
        if !step.quiet && !follows {
            sittings += place.begin;
        }
        last = last.max(problem.stretches[seat].day);
    }
    price += Cost::from(last - day) * own.day;
    Ahead { bound: price, guess: price + sittings }
}

/// The first stretch of a place, from one on, in which something can be done, and when.
fn first(
    problem: &Problem,
    place: usize,
    ticks: Tick,
    earliest: Tick,
    from: usize,
) -> Option<(usize, Tick)> {
    let stretches = problem.stretches.iter().enumerate().skip(from);
    let mut own = stretches.filter(|(_, stretch)| stretch.place == place);
    own.find_map(|(number, stretch)| {
        let start = stretch.span.start.max(earliest);
        (start + ticks <= stretch.span.end).then_some((number, start))
    })
}

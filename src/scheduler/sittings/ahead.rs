//! What is still to come of a label: a lower bound of its price, and a guess.
//!
//! The guess also counts a sitting for each step of a chain that is not done
//! right after the one before. Sittings that a chain finds begun by other work
//! make it too high, so it only orders labels and rules none out.

use super::super::problem::Tick;
use super::index::Index;
use super::label::{Label, Progress, since};
use super::left::{Left, NEVER};
use super::problem::{Cost, MOST_STEPS, Way};

/// The price of what is left.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ahead {
    /// It costs at least so much.
    pub(super) bound: Cost,
    /// It costs about so much.
    pub(super) guess: Cost,
}

impl Ahead {
    const NEVER: Self = Self { bound: NEVER, guess: NEVER };

    fn least(self, other: Self) -> Self {
        Self { bound: self.bound.min(other.bound), guess: self.guess.min(other.guess) }
    }
}

/// What is left, looked through once from the end.
pub(super) struct Outlook {
    /// Of the chains that have not begun, by stretch.
    unbegun: Vec<Vec<Ahead>>,
    /// Of each kind alone; none where that was too long.
    kinds: Vec<Option<Left>>,
}

impl Outlook {
    /// Looks every start of every way of every chain through, and every kind.
    pub(super) fn new(index: &Index) -> Self {
        let problem = index.problem;
        let unbegun = (0..problem.chains.len()).map(|chain| unbegun(index, chain)).collect();
        let rounds = |kind: usize| i64::from(index.wanted(kind).div_ceil(problem.kinds[kind].own));
        let kinds = (0..problem.kinds.len()).map(|kind| {
            let place = problem.kinds[kind].place;
            // One sitting serves many kinds: most of its price is that of the kind with most rounds.
            let same =
                (0..problem.kinds.len()).filter(|other| problem.kinds[*other].place == place);
            let all: i64 = same.map(|other| rounds(other).pow(2)).sum();
            let begin = problem.places[place].begin * rounds(kind).pow(2) / all.max(1);
            Left::of(index, kind, begin)
        });
        Self { unbegun, kinds: kinds.collect() }
    }

    /// Whether a chain cannot end in time, whenever it begins.
    pub(super) fn never(&self, chain: usize) -> bool {
        self.unbegun[chain].first().is_none_or(|ahead| ahead.bound >= NEVER)
    }

    /// The kind that cannot be done any more after a label.
    pub(super) fn hopeless(&self, label: &Label, stretch: usize) -> Option<usize> {
        let within = label.is_sitting();
        let price = |left: &Left, kind: usize| left.price(label.stairs[kind], stretch, within);
        let mut kinds = self.kinds.iter().enumerate();
        let found = kinds
            .find(|(kind, left)| left.as_ref().is_some_and(|left| price(left, *kind) >= NEVER));
        found.map(|(kind, _)| kind)
    }

    /// The price of what is left of a label, from a stretch on or within it.
    pub(super) fn ahead(&self, index: &Index, label: &Label, stretch: usize) -> Ahead {
        let within = label.is_sitting();
        let kinds = self.kinds.iter().enumerate().map(|(kind, left)| {
            let stairs = label.stairs[kind];
            match left {
                Some(left) => left.price(stairs, stretch, within),
                None => index.hands_left(kind, stairs.filled, stairs.out),
            }
        });
        let price = kinds.fold(0, |sum: Cost, price| (sum + price).min(NEVER));
        let mut all = Ahead { bound: price, guess: price };
        for (chain, progress) in label.chains.iter().enumerate() {
            let own = match progress.way {
                Some(way) => rest(index, chain, way, progress, stretch),
                None => self.unbegun[chain][stretch],
            };
            all.bound += own.bound;
            all.guess += own.guess;
        }
        all
    }
}

/// What is left of a chain that has not begun, by stretch.
fn unbegun(index: &Index, chain: usize) -> Vec<Ahead> {
    let problem = index.problem;
    let number = problem.stretches.len();
    if problem.chains[chain].ways.is_empty() {
        return vec![Ahead::default(); number + 1];
    }
    let mut ahead = vec![Ahead::NEVER; number + 1];
    for stretch in (0..number).rev() {
        let ways = 0..problem.chains[chain].ways.len();
        let here = ways.map(|way| rest(index, chain, way, &Progress::NONE, stretch));
        ahead[stretch] = here.fold(ahead[stretch + 1], Ahead::least);
    }
    ahead
}

/// What is left of a way if each step is done as early as its waits and the
/// hours of its place allow, whatever it has in common with others.
fn rest(index: &Index, chain: usize, way: usize, so_far: &Progress, from: usize) -> Ahead {
    let problem = index.problem;
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
        let Some((seat, start)) = index.first(step.place, step.ticks, earliest, from) else {
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

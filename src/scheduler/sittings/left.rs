//! What is left of one kind if it were the only one: a lower bound of its price, and
//! whether it can be done at all.
//!
//! Backwards from stretch to stretch, for every number of pieces filled and out. What is
//! filled in a stretch counts as ripe in the next, unless so many never are: then some of
//! it must have been filled before. What is out takes room beside what is filled. All else is as in the search or easier, so no plan is
//! cheaper, and where nothing is left to choose there is none.

use super::super::problem::Tick;
use super::index::{Index, Stairs};
use super::problem::{Cost, Stretch};

/// What cannot be done costs so much.
pub(super) const NEVER: Cost = Cost::MAX / 8;

/// Steps of the calculation of one kind, at most; beyond that only hands and sittings are counted.
const MOST_WORK: usize = 60_000_000;

/// Turns of one kind in one stretch that are looked at.
const MOST_TURNS: usize = 3;

/// Stretches back in which what is turned out is looked for.
const BACK: usize = 4;

/// What is left of one kind at the start of each stretch, and within it.
pub(super) struct Left {
    /// By stretch: the first of its own place from there on, as a place in `seats`.
    next: Vec<usize>,
    /// One for each stretch of its place, and the end.
    seats: Vec<Seat>,
    inside: u32,
    wanted: u32,
}

/// Prices by pieces out and pieces inside.
struct Seat {
    low: u32,
    high: u32,
    /// Before anything is done in the stretch.
    before: Vec<Cost>,
    /// While a sitting goes on in it.
    within: Vec<Cost>,
}

impl Seat {
    fn at(&self, prices: &[Cost], inside: u32, stairs: Stairs) -> Cost {
        if stairs.out < self.low {
            return NEVER;
        }
        let held = stairs.filled - stairs.out;
        // More than what was foreseen was begun before: nothing is known of it.
        if stairs.out > self.high || held > inside {
            return 0;
        }
        prices[((stairs.out - self.low) * (inside + 1) + held) as usize]
    }
}

impl Left {
    /// Works it out for a kind of which each sitting costs `begin`; none where that would
    /// take too long.
    pub(super) fn of(index: &Index, kind: usize, begin: Cost) -> Option<Self> {
        let stretches = &index.problem.stretches;
        let own = &index.problem.kinds[kind];
        let mine: Vec<&Stretch> = stretches.iter().filter(|s| s.place == own.place).collect();
        let next = (0..=stretches.len()).map(|number| {
            stretches[..number].iter().filter(|stretch| stretch.place == own.place).count()
        });
        let next = next.collect();
        let way = Backwards { index, kind, begin, mine };
        if way.work() > MOST_WORK {
            return None;
        }
        let least = way.least();
        Some(Self {
            next,
            seats: way.seats(&least),
            inside: way.most(),
            wanted: index.wanted(kind),
        })
    }

    /// The least price of what is left from a stretch on, or within it.
    pub(super) fn price(&self, stairs: Stairs, stretch: usize, within: bool) -> Cost {
        // The oldest pieces are for the first demands; what is made beyond them is left aside.
        let most = |pieces: u32| pieces.min(self.wanted);
        let stairs = Stairs { filled: most(stairs.filled), out: most(stairs.out) };
        let number = self.next[stretch];
        let seat = &self.seats[number];
        match within && self.next[stretch + 1] > number {
            true => seat.at(&seat.within, self.inside, stairs),
            false => seat.at(&seat.before, self.inside, stairs),
        }
    }
}

/// One kind, from the end to the beginning.
struct Backwards<'a> {
    index: &'a Index<'a>,
    kind: usize,
    begin: Cost,
    mine: Vec<&'a Stretch>,
}

impl Backwards<'_> {
    fn most(&self) -> u32 {
        self.index.problem.kinds[self.kind].own.min(self.index.wanted(self.kind))
    }

    fn begun(&self) -> u32 {
        let begun = self.index.problem.begun.iter().filter(|begun| begun.kind == self.kind);
        begun.map(|begun| begun.count).sum::<u32>().min(self.index.wanted(self.kind))
    }

    /// Pieces out at the least before a seat.
    fn low(&self, seat: usize) -> u32 {
        let wanted = self.index.wanted(self.kind);
        self.mine.get(seat).map_or(wanted, |stretch| {
            self.index.needed(self.kind, stretch.span.start + 1).min(wanted)
        })
    }

    /// Pieces filled at the most before a seat.
    fn high(&self, seat: usize) -> u32 {
        let before = seat.checked_sub(1).and_then(|before| self.mine.get(before));
        let allowed =
            before.map_or(0, |stretch| self.index.allowed(self.kind, stretch.span.end - 1));
        allowed.max(self.begun())
    }

    /// Turns that may follow each other within a stretch.
    fn turns(&self, stretch: &Stretch) -> usize {
        let own = &self.index.problem.kinds[self.kind];
        let shortest = self.index.ripens_at_least(self.kind, own.load).unwrap_or(Tick::MAX);
        let long = (stretch.span.end - stretch.span.start) / shortest.max(1);
        (1 + long as usize).min(MOST_TURNS)
    }

    fn work(&self) -> usize {
        let most = self.most() as usize;
        let seats = self.mine.iter().enumerate().map(|(seat, stretch)| {
            let range = self.high(seat + 1).saturating_sub(self.low(seat)) as usize + 1;
            range * (most + 1) * (most + 1) * self.turns(stretch)
        });
        seats.sum()
    }

    /// The least that must be filled and out before each seat.
    fn least(&self) -> Vec<Stairs> {
        let most = self.most();
        let mut least: Vec<Stairs> = (0..=self.mine.len())
            .map(|seat| Stairs { filled: self.low(seat), out: self.low(seat) })
            .collect();
        for seat in (0..self.mine.len()).rev() {
            let turns = self.turns(self.mine[seat]) as u32;
            let Stairs { filled, out } = least[seat + 1];
            let filled = filled.max(out);
            least[seat + 1].filled = filled;
            let out = out.max(filled.saturating_sub(most));
            least[seat + 1].out = out;
            least[seat].out = least[seat].out.max(out.saturating_sub(most * turns));
            least[seat].filled = least[seat].filled.max(filled.saturating_sub(most * turns));
            if turns > 1 {
                continue;
            }
            let mut late = 0;
            for before in (0..=seat).rev().take(BACK) {
                least[before].filled = least[before].filled.max(out.saturating_sub(late));
                let Some(earlier) = before.checked_sub(1) else { break };
                late += self.in_time(earlier, seat);
            }
        }
        least
    }

    /// How many that are filled in one stretch may be ripe in a later one.
    fn in_time(&self, from: usize, to: usize) -> u32 {
        let own = &self.index.problem.kinds[self.kind];
        if self.turns(self.mine[from]) > 1 {
            return u32::MAX / 16;
        }
        let gap = self.mine[to].span.end + self.mine[to].packs
            - own.empty.get(1).copied().unwrap_or(0)
            - self.mine[from].span.start;
        let fits = |count: &u32| {
            let ripe = self.index.ripens_at_least(self.kind, own.load_of(*count));
            ripe.is_some_and(|ripe| own.fill[*count as usize] + ripe <= gap)
        };
        (1..=self.most()).take_while(fits).last().unwrap_or(0)
    }

    /// How many may be in their vessels as some are filled in a stretch, beside so many that are
    /// out: those that leave or may be packed until its end take no room.
    fn room(&self, stretch: &Stretch, out: u32) -> u32 {
        let own = &self.index.problem.kinds[self.kind];
        let capacity = self.index.problem.stores[own.store].capacity;
        let kept = out.saturating_sub(self.index.packed(self.kind, stretch.span.end));
        let left = capacity.saturating_sub(own.room_kept(kept));
        let fits = |inside: &u32| own.room_filled(*inside) <= left;
        (1..=self.most()).take_while(fits).last().unwrap_or(0)
    }

    fn seats(&self, least: &[Stairs]) -> Vec<Seat> {
        let wanted = self.index.wanted(self.kind);
        let inside = self.most();
        let mut end = vec![NEVER; inside as usize + 1];
        end[0] = 0;
        let mut seats = vec![Seat { low: wanted, high: wanted, before: end.clone(), within: end }];
        for number in (0..self.mine.len()).rev() {
            let later = seats.last().map(|later| self.seat(number, later, least[number]));
            seats.extend(later);
        }
        seats.reverse();
        seats
    }

    /// The prices before a stretch from those after it.
    fn seat(&self, number: usize, later: &Seat, least: Stairs) -> Seat {
        let stretch = self.mine[number];
        let inside = self.most();
        let (low, cap) = (self.low(number), self.high(number + 1));
        let states = || {
            (low..=cap).flat_map(move |out| {
                (0..=inside).map(move |held| Stairs { filled: out + held, out })
            })
        };
        let after: Vec<Cost> =
            states().map(|stairs| later.at(&later.before, inside, stairs)).collect();
        let turn = OneTurn::new(self, stretch, (low, cap));
        let mut within = after.clone();
        for _ in 0..self.turns(stretch) {
            within = turn.before(&within, &after);
        }
        let ruled_out = |stairs: Stairs| stairs.filled < least.filled || stairs.out < least.out;
        let before = states().zip(after.iter().zip(&within)).map(|(stairs, (after, within))| {
            let price = (*after).min(within + self.begin);
            if ruled_out(stairs) { NEVER } else { price.min(NEVER) }
        });
        Seat { low, high: cap, before: before.collect(), within }
    }
}

/// Prices of turning out and filling in one stretch.
struct OneTurn {
    inside: u32,
    low: u32,
    cap: u32,
    fill: Vec<Cost>,
    wash: Vec<Cost>,
    empty: Vec<Cost>,
    /// The price of keeping the pieces from `low` on, up to each number.
    kept: Vec<Cost>,
    /// By pieces out, from `low` on: how many may be filled beside them.
    room: Vec<u32>,
}

impl OneTurn {
    fn new(way: &Backwards<'_>, stretch: &Stretch, (low, cap): (u32, u32)) -> Self {
        let own = &way.index.problem.kinds[way.kind];
        let until = stretch.span.end + stretch.packs;
        let length = until - stretch.span.start;
        let dear = stretch.dear(stretch.span.start, until);
        let always =
            if dear == Cost::from(length) * stretch.dear_tick { stretch.dear_tick } else { 0 };
        let tick = way.index.problem.places[own.place].tick + always;
        let priced = |ticks: &[Tick]| -> Vec<Cost> {
            ticks.iter().map(|t| if *t > length { NEVER } else { Cost::from(*t) * tick }).collect()
        };
        let mut kept = vec![0];
        for piece in low..cap {
            let one = way.index.keeping(way.kind, piece, piece + 1, stretch.day);
            kept.push(kept[kept.len() - 1] + one);
        }
        let mut fill = priced(&own.fill);
        fill[1..].iter_mut().for_each(|price| *price += own.round);
        let (wash, empty) = (priced(&own.wash), priced(&own.empty));
        let room = (low..=cap).map(|out| way.room(stretch, out)).collect();
        Self { inside: way.most(), low, cap, fill, wash, empty, kept, room }
    }

    fn place(&self, out: u32, filled: u32) -> usize {
        ((out - self.low) * (self.inside + 1) + filled - out) as usize
    }

    /// The prices before a turn, or none, from those after it.
    fn before(&self, turned: &[Cost], after: &[Cost]) -> Vec<Cost> {
        let (mut refilled, mut best) = (turned.to_vec(), after.to_vec());
        for out in self.low..=self.cap {
            for filled in out..=(out + self.inside).min(self.cap) {
                let place = self.place(out, filled);
                let most = (out + self.room[(out - self.low) as usize]).min(self.cap);
                for more in 1..=most.saturating_sub(filled) {
                    let kept = self.kept[(filled + more - self.low) as usize]
                        - self.kept[(filled - self.low) as usize];
                    let price = turned[place + more as usize] + self.fill[more as usize] + kept;
                    refilled[place] = refilled[place].min(price);
                    best[place] = best[place].min(price + self.wash[more as usize]);
                }
            }
        }
        for out in self.low..=self.cap {
            for filled in out + 1..=(out + self.inside).min(self.cap) {
                let place = self.place(out, filled);
                for some in 1..=filled - out {
                    let price =
                        refilled[self.place(out + some, filled)] + self.empty[some as usize];
                    best[place] = best[place].min(price);
                }
            }
        }
        best
    }
}

/// The first demand for a kind that can be served no more by what is filled and out at a stretch,
/// or within it, even if there were only this kind.
pub(super) fn beyond(
    index: &Index<'_>,
    kind: usize,
    stairs: Stairs,
    (stretch, within): (usize, bool),
) -> Option<usize> {
    let numbers = index.numbers(kind);
    let never = |served: usize| {
        let some = index.only(kind, served);
        let left = Left::of(&index.like(&some), kind, 0);
        left.is_some_and(|left| left.price(stairs, stretch, within) >= NEVER)
    };
    let served: Vec<usize> = (1..=numbers.len()).collect();
    let first = served.partition_point(|served| !never(*served));
    numbers.get(first).copied()
}

#[cfg(test)]
mod tests {
    use super::super::problem::{After, Problem};
    use super::*;

    const BEGIN: Cost = 1_500;
    const TICK: Cost = 500;
    const ROUND: Cost = 300;
    /// Two ticks each of filling, turning out and washing, however many there are.
    const HANDS: Cost = 2 * TICK;

    /// Stretches of 40 ticks, one every hundred, and two pieces that leave after the last.
    fn problem(stretches: usize, own: u32) -> Problem {
        let stretch = |number: usize| {
            let start = 100 * number as Tick;
            Stretch::at_home(start..start + 40, number as i32)
        };
        let stretches: Vec<Stretch> = (0..stretches).map(stretch).collect();
        let by = 100 * stretches.len() as Tick;
        let mut problem = Problem::of_two_pieces(stretches, by);
        (problem.kinds[0].own, problem.kinds[0].round) = (own, ROUND);
        problem
    }

    /// Ripe from one stretch to the next.
    const OVERNIGHT: After = After(50);

    /// What is left at a stretch with so many filled and out.
    fn left(problem: &Problem, [filled, out]: [u32; 2], stretch: usize, within: bool) -> Cost {
        let index = Index::new(problem, &OVERNIGHT, false);
        Left::of(&index, 0, BEGIN).unwrap().price(Stairs { filled, out }, stretch, within)
    }

    #[test]
    fn an_evening_and_a_morning_cost_what_is_done_in_them() {
        let problem = problem(2, 2);
        let (evening, morning) = (HANDS + HANDS + ROUND, BEGIN + HANDS);
        assert_eq!(left(&problem, [0, 0], 0, false), BEGIN + evening + morning);
        assert_eq!(left(&problem, [0, 0], 0, true), evening + morning, "she is at it");
        assert_eq!(left(&problem, [2, 0], 1, false), morning);
        assert_eq!(left(&problem, [2, 2], 1, false), 0);
    }

    #[test]
    fn what_is_not_filled_the_evening_before_is_never_done() {
        for filled in [0, 1] {
            assert_eq!(left(&problem(2, 2), [filled, 0], 1, false), NEVER, "{filled}");
        }
    }

    /// One mould for two pieces needs a third stretch: what comes out is filled again unwashed.
    #[test]
    fn one_mould_is_filled_twice_where_there_is_time() {
        assert_eq!(left(&problem(2, 1), [0, 0], 0, false), NEVER);
        let [first, second, third] = [2 * HANDS + ROUND, 2 * HANDS + ROUND, HANDS];
        assert_eq!(left(&problem(3, 1), [0, 0], 0, false), 3 * BEGIN + first + second + third);
    }

    /// A mould takes the room of three pieces that are out: the second piece is not filled where
    /// there is no room for that beside the first.
    #[test]
    fn what_is_out_takes_the_room_of_what_is_to_be_filled() {
        let with_room = |stretches: usize, capacity: u32| {
            let mut problem = problem(stretches, 1);
            problem.stores[0].capacity = capacity;
            left(&problem, [0, 0], 0, false)
        };
        assert_eq!(with_room(3, 3), NEVER);
        assert_eq!(with_room(3, 4), left(&problem(3, 1), [0, 0], 0, false));
    }
}

//! What the search by sittings is told.

use std::ops::Range;

use super::super::problem::Tick;

/// A price, in hundredths of a minute.
pub type Cost = i64;

/// The price of a minute.
pub const MINUTE: Cost = 100;

/// What a tick of work in shunned hours weighs: ten minutes a minute, so that a quarter of an
/// hour weighs more than a whole evening of work saves. A choice of ours, no price of anybody's.
const SHUNNED_TICK: Cost = 50 * MINUTE;

/// The most steps that a way of a chain may have.
pub const MOST_STEPS: usize = 24;

/// Where hands work.
#[derive(Clone, Debug)]
pub struct Place {
    /// The price of a sitting begun here.
    pub begin: Cost,
    /// The price of a tick of hands, or of waiting inside a sitting.
    pub tick: Cost,
    /// Whether the one pair of hands that goes from place to place works here.
    pub shared_hands: bool,
}

/// A time during which hands are free in a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Index into [`Problem::places`].
    pub place: usize,
    /// From when to when.
    pub span: Range<Tick>,
    /// For how long after its end what leaves then is packed: hands are free if that was done
    /// before.
    pub packs: Tick,
    /// When she leaves home for it; its start where she does not.
    pub leave: Tick,
    /// The number of its date.
    pub day: i32,
    /// Where a tick costs [`Self::dear_tick`] more; sorted, disjoint.
    pub dear: Vec<Range<Tick>>,
    /// What a tick of a sitting costs more in those ranges.
    pub dear_tick: Cost,
    /// Where hands work only if nothing else does: sorted, disjoint.
    pub shunned: Vec<Range<Tick>>,
    /// Whether, at equal price, later is better: a morning.
    pub late: bool,
}

/// Where vessels stand and what came out of them is kept.
#[derive(Clone, Debug)]
pub struct Store {
    /// How much room there is.
    pub capacity: u32,
}

/// Vessels of one kind, all alike.
#[derive(Clone, Debug)]
pub struct Kind {
    /// Index into [`Problem::stores`].
    pub store: usize,
    /// Index into [`Problem::places`]: where hands fill and empty it.
    pub place: usize,
    /// How many pieces all its vessels make at once.
    pub own: u32,
    /// Kinds of one number share their vessels.
    pub pool: usize,
    /// Pieces whose vessels take the room of one.
    pub per_vessel: u32,
    /// Pieces made in one vessel: all that it holds is filled and turned out together.
    pub cups: u32,
    /// Room that a vessel takes while something is in it.
    pub room: u32,
    /// Room that as many pieces take once they are out.
    pub kept_room: u32,
    /// What one piece adds to the load of the store while it ripens.
    pub load: u64,
    /// Ticks of hands for filling 0, 1, 2 … pieces.
    pub fill: Vec<Tick>,
    /// Ticks of hands for turning out 0, 1, 2 … pieces.
    pub empty: Vec<Tick>,
    /// Ticks of hands for washing vessels for 0, 1, 2 … pieces, due where some
    /// are filled and none was turned out in the same sitting.
    pub wash: Vec<Tick>,
    /// The price of a filling.
    pub round: Cost,
    /// The price of each day that a piece is kept beyond the first night.
    pub keep: Cost,
}

/// Pieces that were filled before the search begins, oldest first.
#[derive(Clone, Debug)]
pub struct Begun {
    /// Index into [`Problem::kinds`].
    pub kind: usize,
    /// How many.
    pub count: u32,
    /// When they were filled.
    pub filled: Tick,
    /// When they are ripe, where that is known better than by their load.
    pub ripe_at: Option<Tick>,
    /// Whether they are out already.
    pub out: bool,
}

/// A plan that is kept: what moves against it has a price.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// When pieces of a kind are turned out.
    pub outs: Vec<(usize, Tick)>,
    /// When pieces of a kind are filled.
    pub fills: Vec<(usize, Tick)>,
    /// What a move costs.
    pub moved: Cost,
    /// What it costs where it is longer than so many ticks.
    pub far: Cost,
    /// That many ticks.
    pub near: Tick,
}

impl Kept {
    /// What it costs to do something at a moment that was to be done at one of others.
    pub(super) fn price(&self, kept: impl Iterator<Item = Tick>, start: Tick) -> Cost {
        match kept.map(|kept| (kept - start).abs()).min() {
            Some(0) => 0,
            Some(by) if by <= self.near => self.moved,
            _ => self.far,
        }
    }

    /// The moments of one kind.
    pub(super) fn of(all: &[(usize, Tick)], kind: usize) -> impl Iterator<Item = Tick> {
        all.iter().filter(move |(own, _)| *own == kind).map(|(_, at)| *at)
    }
}

/// Pieces that leave together.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Index into [`Problem::kinds`].
    pub kind: usize,
    /// How many.
    pub count: u32,
    /// How sure they must be ripe, as [`Ripening`] takes it: 0 is surest.
    pub sureness: usize,
    /// The number of the date they are needed.
    pub day: i32,
    /// They may not be filled before.
    pub earliest: Tick,
    /// They are out by then: packing begins at the latest.
    pub by: Tick,
    /// They take room until then.
    pub leave: Tick,
    /// They may be packed from then on, before a refill, and take no room any more.
    pub pack_from: Tick,
    /// How long packing them takes. It has no price: they are packed anyway.
    pub pack: Tick,
}

/// A wait from the end of an earlier step to the start of a later one.
#[derive(Clone, Debug)]
pub struct Wait {
    /// The earlier step.
    pub of: usize,
    /// The shortest wait.
    pub min: Tick,
    /// The longest wait, if there is one.
    pub max: Option<Tick>,
}

/// What a step has in common with an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Same {
    /// It is done on the date of that step.
    Day(usize),
    /// It is done in the stretch of that step.
    Stretch(usize),
}

/// A step of a chain.
#[derive(Clone, Debug)]
pub struct Step {
    /// Index into [`Problem::places`].
    pub place: usize,
    /// How long it takes hands, at least one tick.
    pub ticks: Tick,
    /// The steps that come before it, each an earlier one of the list.
    pub waits: Vec<Wait>,
    /// Whether what it is done to comes along: what it waits for is over when she leaves.
    pub carried: bool,
    /// What it shares with an earlier step.
    pub same: Option<Same>,
    /// It begins no sooner.
    pub from: Tick,
    /// Whether it begins no sitting: she is there anyway.
    pub quiet: bool,
    /// A price of its own.
    pub price: Cost,
    /// A price for each of these moments that it ends after.
    pub late: Vec<(Tick, Cost)>,
    /// The moment by which it ends.
    pub end_by: Tick,
    /// When it begins in the plan that is kept.
    pub kept: Option<Tick>,
    /// A thing of which there is one, and for how many ticks after its end it has it.
    pub keeps: Option<(usize, Tick)>,
}

/// One way to go through a chain.
#[derive(Clone, Debug, Default)]
pub struct Way {
    /// Its steps; each waits for earlier ones of the list alone.
    pub steps: Vec<Step>,
    /// Steps that are better done within one counted day of each other.
    pub together: Vec<usize>,
}

/// Steps with waits between them, in one of several ways.
#[derive(Clone, Debug, Default)]
pub struct Chain {
    /// The ways to choose from.
    pub ways: Vec<Way>,
    /// The price of each day between its first step and its last.
    pub day: Cost,
    /// The price of two steps of [`Way::together`] that are more than one
    /// counted day apart.
    pub apart: Cost,
    /// The counted days, sorted.
    pub days: Vec<i32>,
}

/// How long something ripens.
pub trait Ripening {
    /// Ticks until pieces of this kind are ripe as surely as they must be where this much load
    /// ripens in the store together; none where they never are. It must not fall as the load
    /// grows, nor grow with the number that says how sure.
    fn ticks(&self, kind: usize, load: u64, sureness: usize) -> Option<Tick>;
}

/// Everything the search by sittings is told.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// Where hands work.
    pub places: Vec<Place>,
    /// When they are free, sorted by their start; those of a place are disjoint.
    pub stretches: Vec<Stretch>,
    /// Where vessels stand.
    pub stores: Vec<Store>,
    /// The vessels.
    pub kinds: Vec<Kind>,
    /// What was filled before.
    pub begun: Vec<Begun>,
    /// What must be out by when.
    pub demands: Vec<Demand>,
    /// What else is to be done.
    pub chains: Vec<Chain>,
    /// The plan that is kept, where one is.
    pub kept: Option<Kept>,
}

/// What is in the way of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// A place in [`Problem::demands`].
    Demand(usize),
    /// A place in [`Problem::chains`].
    Chain(usize),
}

impl Problem {
    /// By piece of a kind, in the order of leaving: how sure it must be ripe.
    pub(super) fn sureness(&self, kind: usize) -> Vec<usize> {
        let own = self.demands.iter().filter(|demand| demand.kind == kind);
        let mut own: Vec<&Demand> = own.collect();
        own.sort_by_key(|demand| (demand.leave, demand.by));
        let pieces = |demand: &Demand| (demand.sureness, demand.count as usize);
        own.into_iter().map(pieces).flat_map(|(sure, n)| std::iter::repeat_n(sure, n)).collect()
    }
}

/// How sure pieces must be ripe that are filled together, from one on: as the first of them, for
/// which they are turned out. What is made beyond all needs not be surer than the last.
pub(super) fn as_first(sureness: &[usize], piece: u32) -> usize {
    sureness.get(piece as usize).or(sureness.last()).copied().unwrap_or(0)
}

impl Kind {
    /// What so many pieces add to the load of the store.
    pub(super) fn load_of(&self, pieces: u32) -> u64 {
        self.load * u64::from(pieces)
    }

    /// Room of this many pieces in their vessels.
    pub(super) fn room_filled(&self, pieces: u32) -> u32 {
        self.room * pieces.div_ceil(self.per_vessel)
    }

    /// Room of this many pieces that are out of them.
    pub(super) fn room_kept(&self, pieces: u32) -> u32 {
        (self.kept_room * pieces).div_ceil(self.per_vessel)
    }
}

/// Ticks of a span that lie within ranges.
fn within(ranges: &[Range<Tick>], from: Tick, until: Tick) -> Tick {
    ranges.iter().map(|range| (range.end.min(until) - range.start.max(from)).max(0)).sum()
}

impl Stretch {
    /// What these ticks cost more.
    pub(super) fn dear(&self, from: Tick, until: Tick) -> Cost {
        Cost::from(within(&self.dear, from, until)) * self.dear_tick
    }

    /// What it weighs in the search that hands work when they should not. It is no price.
    pub(super) fn shunned(&self, from: Tick, until: Tick) -> Cost {
        Cost::from(within(&self.shunned, from, until)) * SHUNNED_TICK
    }

    /// The first ticks from `from` on that are not shunned, and that cost nothing more.
    pub(super) fn mild(&self, from: Tick) -> [Tick; 2] {
        let after = |ranges: &[Range<Tick>], from: Tick| {
            ranges.iter().fold(from, |at, range| if range.contains(&at) { range.end } else { at })
        };
        let liked = after(&self.shunned, from);
        [liked, after(&self.dear, liked)]
    }

    /// When the last hours that are not shunned end.
    pub(super) fn liked_end(&self) -> Tick {
        let until =
            |end: Tick, range: &Range<Tick>| if range.end >= end { range.start } else { end };
        self.shunned.iter().rev().fold(self.span.end, until).max(self.span.start)
    }
}

#[cfg(test)]
impl Stretch {
    /// A time at the first place, in which no hour is dear or shunned.
    pub(super) fn at_home(span: Range<Tick>, day: i32) -> Self {
        let (leave, dear, shunned) = (span.start, Vec::new(), Vec::new());
        Self { place: 0, span, packs: 0, leave, day, dear, dear_tick: 0, shunned, late: false }
    }
}

/// Ripe after so many ticks, whatever is beside it.
#[cfg(test)]
pub(super) struct After(pub Tick);

#[cfg(test)]
impl Ripening for After {
    fn ticks(&self, _: usize, _: u64, _: usize) -> Option<Tick> {
        Some(self.0)
    }
}

#[cfg(test)]
impl Problem {
    /// Two moulds of one kind, of which both pieces leave together. Filling, turning out and
    /// washing take two ticks each, however many there are.
    pub(super) fn of_two_pieces(stretches: Vec<Stretch>, by: Tick) -> Self {
        let hands = vec![0, 2, 2];
        let kind = Kind {
            store: 0,
            place: 0,
            own: 2,
            pool: 0,
            per_vessel: 1,
            cups: 1,
            room: 3,
            kept_room: 1,
            load: 1,
            fill: hands.clone(),
            empty: hands.clone(),
            wash: hands,
            round: 0,
            keep: 0,
        };
        let (leave, pack_from) = (by, by);
        let both = Demand {
            kind: 0,
            count: 2,
            sureness: 0,
            day: 2,
            earliest: 0,
            by,
            leave,
            pack_from,
            pack: 0,
        };
        Self {
            places: vec![Place { begin: 1_500, tick: 500, shared_hands: true }],
            stretches,
            stores: vec![Store { capacity: 10 }],
            kinds: vec![kind],
            demands: vec![both],
            ..Self::default()
        }
    }
}

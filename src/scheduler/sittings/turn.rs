//! Turning out what is ripe, washing and filling.

use std::ops::Range;

use super::super::problem::Tick;
use super::index::Index;
use super::label::{Label, Lot, Pieces, put_in};
use super::plan::{Act, Turn};
use super::problem::{Cost, Kept, Kind, Stretch};

/// With more vessels than this not every number of them is tried.
const EACH: u32 = 24;

/// The turns that continue a label within a stretch, each with the label after it.
pub(super) fn turns(index: &Index, label: &Label, stretch: usize, into: &mut Vec<(Act, Label)>) {
    let place = index.problem.stretches[stretch].place;
    for (kind, own) in index.problem.kinds.iter().enumerate() {
        if own.place == place && label.stairs[kind].out < index.wanted(kind) {
            Turning { index, label, stretch, kind, own }.all(into);
        }
    }
}

/// One kind in one stretch.
struct Turning<'a> {
    index: &'a Index<'a>,
    label: &'a Label,
    stretch: usize,
    kind: usize,
    own: &'a Kind,
}

impl Turning<'_> {
    fn span(&self) -> &Stretch {
        &self.index.problem.stretches[self.stretch]
    }

    fn all(&self, into: &mut Vec<(Act, Label)>) {
        let first = self.span().span.start.max(self.label.free);
        let mut starts = self.starts(first);
        let fixed = starts.len();
        let mut at = 0;
        while let Some(&start) = starts.get(at) {
            for empty in self.emptyings(start) {
                for fill in self.fillings(start, empty) {
                    if at < fixed {
                        self.exact(empty, fill, first, &mut starts);
                    }
                    self.take((start, empty, fill), into);
                }
            }
            self.packed_first(start, into);
            at += 1;
        }
    }

    /// Turns that begin with packing what leaves: what is for later has that long to ripen.
    fn packed_first(&self, start: Tick, into: &mut Vec<(Act, Label)>) {
        let pack = self.index.packing(self.own.store, start).filter(|ticks| *ticks > 0);
        let Some(from) = pack.map(|ticks| start + ticks) else { return };
        for empty in self.emptyings(from).into_iter().filter(|empty| *empty > 0) {
            for fill in self.fillings(from, empty).into_iter().filter(|fill| *fill > 0) {
                let pack = Some(start..from);
                self.push(Turn { start, pack, ..self.turn(from, empty, fill) }, into);
            }
        }
    }

    /// How many are turned out at a moment: all that are ripe, or some of them. Where none is,
    /// filling a second time in the stretch would be one filling.
    fn emptyings(&self, at: Tick) -> Vec<u32> {
        let ripe = self.ripe(at);
        match self.index.lenient {
            true => (0..=ripe).collect(),
            false if ripe == 0 && self.label.turned & self.bit() != 0 => Vec::new(),
            false if self.index.parts => self.parts(at).chain([ripe]).collect(),
            false => vec![ripe],
        }
    }

    /// Fewer than are ripe at a moment: all of some fillings, or as many of the last of them as
    /// its hands are there for.
    fn parts(&self, at: Tick) -> impl Iterator<Item = u32> {
        let ripe = self.label.lots.iter().filter(|lot| lot.kind == self.kind);
        let mut before = 0;
        let cuts: Vec<u32> = ripe
            .take_while(|lot| lot.ripe <= at)
            .flat_map(|lot| {
                let from = before;
                before += lot.count;
                let within = (from + 1..before).filter(move |_| !lot.whole);
                within.filter(|n| self.fills_its_tick(*n)).chain([from + lot.count])
            })
            .collect();
        cuts.into_iter().filter(move |n| *n < before)
    }

    /// Whether one more would take longer to turn out.
    fn fills_its_tick(&self, pieces: u32) -> bool {
        let empty = &self.own.empty;
        empty.get(pieces as usize + 1).is_none_or(|more| *more > empty[pieces as usize])
    }

    fn bit(&self) -> u64 {
        1 << (self.kind % 64)
    }

    /// Adds the plan that turns out and fills so many.
    fn take(&self, (start, empty, fill): (Tick, u32, u32), into: &mut Vec<(Act, Label)>) {
        if empty + fill == 0 {
            return;
        }
        let turn = self.turn(start, empty, fill);
        let pack = self.index.packing(self.own.store, turn.out);
        if let Some(ticks) = pack.filter(|_| fill > 0) {
            let pack = Some(turn.out..turn.out + ticks);
            self.push(Turn { pack, end: turn.end + ticks, ..turn.clone() }, into);
        }
        self.push(turn, into);
    }

    fn push(&self, turn: Turn, into: &mut Vec<(Act, Label)>) {
        if let Some(label) = self.after(&turn) {
            into.push((Act::Turn(turn), label));
        }
    }

    fn turn(&self, start: Tick, empty: u32, fill: u32) -> Turn {
        let wash = if empty == 0 { fill } else { 0 };
        let out = start + self.own.empty[empty as usize];
        let end = out + self.own.wash[wash as usize] + self.own.fill[fill as usize];
        let (stretch, kind, pack) = (self.stretch, self.kind, None);
        Turn { stretch, kind, start, out, pack, end, empty, wash, fill }
    }

    /// Pieces that are ripe at a moment, as far as they are the oldest.
    fn ripe(&self, at: Tick) -> u32 {
        let lots = self.label.lots.iter().filter(|lot| lot.kind == self.kind);
        lots.take_while(|lot| lot.ripe <= at).map(|lot| lot.count).sum()
    }

    /// How many may be filled.
    fn fillings(&self, at: Tick, empty: u32) -> Vec<u32> {
        let filled = self.label.stairs[self.kind].filled;
        let allowed = self.index.allowed(self.kind, at).saturating_sub(filled);
        let most = self.own.own.saturating_sub(self.taken(empty)).min(allowed);
        if most <= EACH || self.index.lenient {
            return (0..=most).collect();
        }
        let step = most.div_ceil(EACH) as usize;
        let mut numbers: Vec<u32> = (0..=most).rev().step_by(step).collect();
        numbers.extend([0, self.own.own / 2, self.own.per_vessel].map(|some| some.min(most)));
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    }

    /// Pieces for which vessels are taken after so many are turned out, by what every filling has
    /// left in its own.
    fn taken(&self, empty: u32) -> u32 {
        let kinds = &self.index.problem.kinds;
        let mut out = empty;
        let lots = self.label.lots.iter().filter(|lot| kinds[lot.kind].pool == self.own.pool);
        lots.map(|lot| {
            let some = if lot.kind == self.kind { out.min(lot.count) } else { 0 };
            out -= some;
            (lot.count - some).next_multiple_of(self.own.cups)
        })
        .sum()
    }

    /// The earliest start, the first that costs nothing more, when something
    /// is ripe and when room becomes free.
    fn starts(&self, first: Tick) -> Vec<Tick> {
        let stretch = self.span();
        let end = stretch.span.end;
        let mut starts = vec![first];
        starts.extend(stretch.mild(first));
        if self.label.sat > first {
            starts.push(self.label.sat);
        }
        let packings = self.index.packings(self.own.store, stretch);
        let lots = self.label.lots.iter().filter(|lot| lot.kind == self.kind);
        for lot in lots {
            starts.push(lot.ripe);
            starts.extend(packings.iter().map(|(_, pack)| lot.ripe - pack));
        }
        let inside = self.label.stairs[self.kind].filled - self.label.stairs[self.kind].out;
        for leave in self.index.leaving_within(self.kind, stretch) {
            let before = |empty: u32| leave - self.own.empty[empty as usize];
            starts.extend((0..=inside.min(self.own.own)).map(before));
        }
        if let Some(kept) = &self.index.problem.kept {
            starts.extend(Kept::of(&kept.outs, self.kind));
            let washed = |fill: Tick| self.own.wash.iter().map(move |wash| fill - wash);
            starts.extend(Kept::of(&kept.fills, self.kind).flat_map(washed));
        }
        starts.retain(|start| (first..end).contains(start));
        starts.sort_unstable();
        starts.dedup();
        starts
    }

    /// The last start of a morning, and those from which what is filled is just
    /// ripe for the work of a later stretch.
    fn exact(&self, empty: u32, fill: u32, first: Tick, starts: &mut Vec<Tick>) {
        let stretch = self.span();
        let turn = self.turn(0, empty, fill);
        let last = stretch.span.end - turn.end;
        let mut add = |start: Tick| {
            if (first..=last).contains(&start) && !starts.contains(&start) {
                starts.push(start);
            }
        };
        if stretch.late || self.index.late {
            add(last);
        }
        if self.index.late {
            add(stretch.liked_end() - turn.end);
        }
        let packings = self.index.packings(self.own.store, stretch);
        // Another kind may be filled once what this one had is packed.
        packings.iter().for_each(|(from, _)| add(from - turn.out));
        if fill == 0 {
            return;
        }
        for (from, pack) in packings {
            add(from);
            add(last - pack + self.index.freed(self.own.store, from, stretch));
        }
        for lot in self.label.lots.iter().filter(|lot| self.beside(lot)) {
            add(lot.ripe - turn.end);
        }
        let ripening = self.label.lots.iter().filter(|lot| lot.ripe > first);
        let beside: u64 = ripening.map(|lot| self.load(lot)).sum();
        let own = self.own.load_of(fill);
        for load in [own, own + beside] {
            let ripens = self.index.ripens(self.kind, load, self.sureness());
            let Some(wait) = ripens else { continue };
            self.ends(turn.end + wait, fill, &mut |moment| add(moment - wait - turn.end));
        }
    }

    /// Moments of later stretches at which something had better be ripe.
    fn ends(&self, reach: Tick, fill: u32, add: &mut dyn FnMut(Tick)) {
        let stretch = self.span();
        let range = stretch.span.start + reach..stretch.span.end + reach;
        let later = self.index.problem.stretches.iter().skip(self.stretch + 1);
        let later = later.take_while(|later| later.span.start <= range.end);
        for later in later.filter(|later| later.place == self.own.place) {
            let end = later.span.end - self.own.empty[fill as usize];
            let full = self.own.own.min(EACH) as usize;
            add(later.span.start);
            later.mild(later.span.start).into_iter().for_each(&mut *add);
            add(end);
            add(end - self.own.fill[full]);
        }
    }

    /// Whether a lot stands in the same store.
    fn beside(&self, lot: &Lot) -> bool {
        self.index.problem.kinds[lot.kind].store == self.own.store
    }

    fn load(&self, lot: &Lot) -> u64 {
        self.index.problem.kinds[lot.kind].load_of(lot.count)
    }

    /// The label after a turn; none where a rule is broken.
    fn after(&self, turn: &Turn) -> Option<Label> {
        let stairs = self.label.stairs[self.kind];
        let wanted = self.index.wanted(self.kind);
        let packed = turn.pack.as_ref();
        let freed = |pack: &Range<Tick>| self.index.freed(self.own.store, pack.start, self.span());
        if turn.end > self.span().span.end + packed.map_or(0, freed)
            || turn.start < self.label.free
            || stairs.out < self.index.needed(self.kind, turn.out).min(wanted)
        {
            return None;
        }
        let mut label = self.label.clone();
        label.stairs[self.kind].filled += turn.fill;
        label.stairs[self.kind].out += turn.empty;
        take_out(&mut label.lots, self.kind, turn.empty);
        if turn.fill > 0 {
            self.put_in(&mut label, turn)?;
        }
        self.price(&mut label, turn);
        label.free = turn.end;
        label.sat = label.sat.max(turn.end);
        label.turned |= self.bit();
        Some(label)
    }

    /// How sure what is filled next must be ripe.
    fn sureness(&self) -> usize {
        self.index.sureness(self.kind, self.label.stairs[self.kind].filled)
    }

    /// A filling, if what ripens gets ripe and there is room.
    fn put_in(&self, label: &mut Label, turn: &Turn) -> Option<()> {
        let kinds = &self.index.problem.kinds;
        let sureness = self.sureness();
        let filling = Pieces { kind: self.kind, count: turn.fill, sureness };
        let ripens = |lot: &Lot, load| self.index.ripens(lot.kind, load, lot.sureness);
        put_in(&mut label.lots, kinds, filling, turn.end, ripens)?;
        let left = |kind: usize| match &turn.pack {
            None => self.index.left(kind, turn.out),
            Some(pack) => self.index.packed(kind, pack.start),
        };
        let out = |kind: usize| {
            let first = kind == self.kind && turn.empties_from() > turn.start;
            label.stairs[kind].out - if first { turn.empty } else { 0 }
        };
        let room = |kind: usize| {
            let stairs = label.stairs[kind];
            let kept = stairs.out.saturating_sub(left(kind));
            kinds[kind].room_filled(stairs.filled - stairs.out) + kinds[kind].room_kept(kept)
        };
        let same = (0..kinds.len()).filter(|kind| kinds[*kind].store == self.own.store);
        if turn.pack.is_some() && same.clone().any(|kind| out(kind) < left(kind)) {
            return None;
        }
        let taken: u32 = same.map(room).sum();
        (taken <= self.index.problem.stores[self.own.store].capacity).then_some(())
    }

    fn price(&self, label: &mut Label, turn: &Turn) {
        let stretch = self.span();
        let place = &self.index.problem.places[stretch.place];
        let packed = turn.pack.as_ref().map_or(0, |pack| pack.end - pack.start);
        let hands = Cost::from(turn.end - turn.start - packed) * place.tick;
        let worth = &mut label.worth;
        worth.price += hands + sitting(stretch, place.begin, place.tick, label.sat, turn.start);
        worth.price += stretch.dear(turn.priced_from(label.sat, stretch.span.start), turn.end);
        worth.price += stretch.shunned(turn.start, turn.end);
        if turn.fill > 0 {
            let filled = self.label.stairs[self.kind].filled;
            let until = filled + turn.fill;
            worth.price += self.own.round;
            worth.price += self.index.keeping(self.kind, filled, until, stretch.day);
            worth.odd += u32::from(turn.fill <= 2);
        }
        worth.price += self.moved(turn);
        worth.shift += i64::from(shift(stretch, turn.start, turn.end));
        worth.when += i64::from(turn.start);
    }

    /// What it costs that a plan is kept in which this is done at another time.
    fn moved(&self, turn: &Turn) -> Cost {
        let Some(kept) = &self.index.problem.kept else { return 0 };
        let mut price = 0;
        if turn.empty > 0 {
            price += kept.price(Kept::of(&kept.outs, self.kind), turn.empties_from());
        }
        if turn.fill > 0 {
            let begins = turn.end - self.own.fill[turn.fill as usize];
            price += kept.price(Kept::of(&kept.fills, self.kind), begins);
        }
        price
    }
}

/// What work at `start` costs for getting to it: it begins a sitting, or waits
/// in the one that ended at `sat`, whichever is cheaper.
pub(super) fn sitting(stretch: &Stretch, begin: Cost, tick: Cost, sat: Tick, start: Tick) -> Cost {
    if sat < stretch.span.start {
        return begin;
    }
    // Where there are several pairs of hands, one may still be at it.
    let wait = Cost::from((start - sat).max(0)) * tick + stretch.dear(sat, start);
    wait.min(begin)
}

/// How far work is from where it is liked best: early in an evening, late in a morning.
pub(super) fn shift(stretch: &Stretch, start: Tick, end: Tick) -> Tick {
    if stretch.late { stretch.span.end - end } else { start - stretch.span.start }
}

/// Takes the oldest pieces of a kind.
fn take_out(lots: &mut Vec<Lot>, kind: usize, mut pieces: u32) {
    lots.retain_mut(|lot| {
        if lot.kind != kind || pieces == 0 {
            return true;
        }
        let some = lot.count.min(pieces);
        pieces -= some;
        lot.count -= some;
        lot.whole = true;
        lot.count > 0
    });
}

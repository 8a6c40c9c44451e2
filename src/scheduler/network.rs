//! The rules between the activities of one part, and the earliest and latest
//! starts that follow from them.

use std::{borrow::Cow, collections::BTreeMap, ops::Range};

use super::filed::Filed;
use super::pieces::Piece;
use super::problem::Tick;
use super::trail::{NoStart, Trail};

/// A resource with those of its holds that are in this part.
#[derive(Clone, Debug)]
pub(super) struct Shared {
    pub(super) capacity: u32,
    /// Amount, from, to (positions in this part).
    pub(super) holds: Vec<(u32, usize, usize)>,
}

impl Shared {
    /// Whether the holds that end with one activity are more than there is, in
    /// whatever order they begin: none has ended when another begins, so each
    /// finds those before it there, and brings with it whatever else begins with
    /// its activity. The highest of these sums is the least where those that
    /// bring the most come first.
    fn too_small(&self) -> bool {
        let mut begins: BTreeMap<usize, u64> = BTreeMap::new();
        let mut ends: BTreeMap<usize, BTreeMap<usize, u64>> = BTreeMap::new();
        for &(amount, from, to) in &self.holds {
            *begins.entry(from).or_default() += u64::from(amount);
            *ends.entry(to).or_default().entry(from).or_default() += u64::from(amount);
        }
        ends.values().any(|those| {
            let mut brought: Vec<_> =
                those.iter().map(|(from, own)| (begins[from] - own, own)).collect();
            brought.sort_by_key(|(besides, _)| std::cmp::Reverse(*besides));
            let mut there = 0;
            brought.iter().any(|(besides, own)| {
                there += *own;
                there + besides > u64::from(self.capacity)
            })
        })
    }
}

/// One part of a problem at given levels, in its own numbering.
pub(super) struct Network<'a> {
    /// The activity's index in the problem.
    pub(super) activities: Vec<usize>,
    pub(super) durations: Vec<Tick>,
    pieces: Vec<Cow<'a, [Piece]>>,
    /// The sitting of the problem that is number 0 here.
    first_sitting: usize,
    /// `lower[v]` holds `(u, c)` for each rule `start(u) <= start(v) + c`.
    lower: Vec<Vec<(usize, Tick)>>,
    /// The same rules filed by `u`: `start(v) >= start(u) - c`.
    raise: Vec<Vec<(usize, Tick)>>,
    pub(super) shared: Vec<Shared>,
    /// Sittings in which nothing may start.
    pub(super) forbidden: Vec<bool>,
    pub(super) longest_sitting: Tick,
}

/// The earliest and latest start of each activity of a part.
#[derive(Clone, Debug)]
pub(super) struct Bounds {
    pub(super) first: Vec<Tick>,
    pub(super) last: Vec<Tick>,
}

impl Bounds {
    /// The bounds of the activities at these positions.
    pub(super) fn of(&self, part: &[usize]) -> Self {
        let take = |bounds: &[Tick]| part.iter().map(|&i| bounds[i]).collect();
        Self { first: take(&self.first), last: take(&self.last) }
    }
}

impl<'a> Network<'a> {
    /// The rules among `activities` (ascending) at each goal's level.
    pub(super) fn new(problem: &'a Filed, activities: &[usize], levels: &[Option<usize>]) -> Self {
        Self::build(problem, activities, levels, Tick::MIN, &|_| false)
    }

    /// The same without the windows that end before `since`.
    pub(super) fn since(
        since: Tick,
        problem: &'a Filed,
        activities: &[usize],
        levels: &[Option<usize>],
    ) -> Self {
        Self::build(problem, activities, levels, since, &|_| false)
    }

    /// The same without the rules of facts that `dropped` marks.
    pub(super) fn without(
        dropped: &dyn Fn(usize) -> bool,
        problem: &'a Filed,
        activities: &[usize],
        levels: &[Option<usize>],
    ) -> Self {
        Self::build(problem, activities, levels, Tick::MIN, dropped)
    }

    fn build(
        problem: &'a Filed,
        activities: &[usize],
        levels: &[Option<usize>],
        since: Tick,
        dropped: &dyn Fn(usize) -> bool,
    ) -> Self {
        let place = |id: usize| activities.binary_search(&id).ok();
        let pieces: Vec<_> =
            activities.iter().map(|&i| problem.pieces_since(since, i, dropped)).collect();
        let sittings = sittings(&pieces);
        let mut network = Self {
            activities: activities.to_vec(),
            durations: activities.iter().map(|&i| problem.activities[i].duration).collect(),
            pieces,
            first_sitting: sittings.start,
            lower: vec![Vec::new(); activities.len()],
            raise: vec![Vec::new(); activities.len()],
            shared: Vec::new(),
            forbidden: vec![false; sittings.len()],
            longest_sitting: problem.longest_sitting,
        };
        for link in problem.links_to(activities).filter(|link| !dropped(link.fact.0)) {
            let (Some(before), Some(after)) = (place(link.before.0), place(link.after.0)) else {
                continue;
            };
            let level = levels[problem.activities[link.after.0].goal.0].unwrap_or(0);
            let min = link.min[level.min(link.min.len() - 1)];
            network.add_rule(before, after, (-network.durations[before]).saturating_sub(min));
            if let Some(max) = link.max {
                network.add_rule(after, before, network.durations[before].saturating_add(max));
            }
        }
        let mut holds = vec![Vec::new(); problem.resources.len()];
        for hold in problem.holds_of(activities) {
            if let (Some(from), Some(to)) = (place(hold.from.0), place(hold.to.0)) {
                if from != to {
                    network.add_order(from, to);
                }
                holds[hold.resource.0].push((hold.amount, from, to));
            }
        }
        for (resource, holds) in problem.resources.iter().zip(holds) {
            let all: u64 = holds.iter().map(|hold| u64::from(hold.0)).sum();
            if all > resource.capacity.into() && !dropped(resource.fact.0) {
                network.shared.push(Shared { capacity: resource.capacity, holds });
            }
        }
        network
    }

    fn add_rule(&mut self, u: usize, v: usize, c: Tick) {
        self.lower[v].push((u, c));
        self.raise[u].push((v, c));
    }

    /// Adds the rule that `before` ends before `after` starts.
    pub(super) fn add_order(&mut self, before: usize, after: usize) {
        self.add_rule(before, after, -self.durations[before]);
    }

    /// Takes back the [`Self::add_order`] that was added last.
    pub(super) fn drop_order(&mut self, before: usize, after: usize) {
        self.drop_rule(before, after);
    }

    /// Adds the rule that `after` starts before `before` has ended, the
    /// contrary of [`Self::add_order`].
    pub(super) fn add_overlap(&mut self, before: usize, after: usize) {
        self.add_rule(after, before, self.durations[before] - 1);
    }

    /// Takes back the [`Self::add_overlap`] that was added last.
    pub(super) fn drop_overlap(&mut self, before: usize, after: usize) {
        self.drop_rule(after, before);
    }

    fn drop_rule(&mut self, u: usize, v: usize) {
        self.lower[v].pop();
        self.raise[u].pop();
    }

    /// The latest start of each activity by its own windows alone.
    pub(super) fn own_latest(&self) -> Option<Vec<Tick>> {
        self.pieces.iter().map(|pieces| pieces.last().map(|piece| piece.last)).collect()
    }

    /// Bounds from each activity's own windows, then all rules.
    pub(super) fn bounds(&self) -> Result<Bounds, NoStart> {
        if self.shared.iter().any(Shared::too_small) {
            return Err(NoStart);
        }
        let first = self.pieces.iter().map(|p| p.first().map(|p| p.first)).collect::<Option<_>>();
        let mut bounds =
            Bounds { first: first.ok_or(NoStart)?, last: self.own_latest().ok_or(NoStart)? };
        self.tighten(&mut bounds, &(0..self.activities.len()).collect::<Vec<_>>())?;
        Ok(bounds)
    }

    /// Applies all rules that may have changed because those of `touched` did.
    pub(super) fn tighten(&self, bounds: &mut Bounds, touched: &[usize]) -> Result<(), NoStart> {
        let mut waiting = touched.to_vec();
        let (mut later, mut earlier) = (Trail::default(), Trail::default());
        let count = self.activities.len();
        for &i in touched {
            self.settle(bounds, i)?;
        }
        while let Some(v) = waiting.pop() {
            for &(u, c) in &self.lower[v] {
                let latest = bounds.last[v].saturating_add(c);
                if bounds.last[u] > latest {
                    bounds.last[u] = latest;
                    later.note(count, u, (v, c))?;
                    self.settle(bounds, u)?;
                    waiting.push(u);
                }
            }
            for &(w, c) in &self.raise[v] {
                let earliest = bounds.first[v].saturating_sub(c);
                if bounds.first[w] < earliest {
                    bounds.first[w] = earliest;
                    earlier.note(count, w, (v, c))?;
                    self.settle(bounds, w)?;
                    waiting.push(w);
                }
            }
        }
        Ok(())
    }

    /// Moves the bounds of one activity to starts that its pieces allow.
    fn settle(&self, bounds: &mut Bounds, i: usize) -> Result<(), NoStart> {
        let open = |piece: &&Piece| self.number(piece).is_none_or(|e| !self.forbidden[e]);
        let pieces = &self.pieces[i];
        let upto = pieces.partition_point(|piece| piece.first <= bounds.last[i]);
        let piece = pieces[..upto].iter().rev().find(open).ok_or(NoStart)?;
        bounds.last[i] = bounds.last[i].min(piece.last);
        let since = pieces.partition_point(|piece| piece.last < bounds.first[i]);
        let piece = pieces[since..].iter().find(open).ok_or(NoStart)?;
        bounds.first[i] = bounds.first[i].max(piece.first);
        if bounds.first[i] > bounds.last[i] { Err(NoStart) } else { Ok(()) }
    }

    /// Whether activity `i` has a start that counts as sitting work.
    pub(super) fn may_be_in_sitting(&self, i: usize) -> bool {
        self.pieces[i].iter().any(|piece| piece.sitting.is_some())
    }

    /// The sitting that a start of activity `i` falls in.
    pub(super) fn sitting(&self, i: usize, start: Tick) -> Option<usize> {
        let pieces = &self.pieces[i];
        let at = pieces.partition_point(|piece| piece.last < start);
        pieces.get(at).and_then(|piece| self.number(piece))
    }

    /// The sittings that activity `i` can still be in.
    pub(super) fn sittings_met(
        &self,
        bounds: &Bounds,
        i: usize,
    ) -> impl Iterator<Item = usize> + use<'_> {
        self.within(bounds, i)
            .filter_map(|piece| self.number(piece))
            .filter(|&e| !self.forbidden[e])
    }

    /// The first and last sitting that activity `i` can still be in, unless it
    /// can avoid them all. The bounds must be settled.
    pub(super) fn sitting_span(&self, bounds: &Bounds, i: usize) -> Option<(usize, usize)> {
        let pieces = &self.pieces[i];
        let piece = |start| &pieces[pieces.partition_point(|piece| piece.last < start)];
        let (first, last) = (piece(bounds.first[i]), piece(bounds.last[i]));
        if first.free_before < last.free_before || last.sitting.is_none() {
            return None;
        }
        self.number(first).zip(self.number(last))
    }

    /// The number that the sitting of a piece has here.
    fn number(&self, piece: &Piece) -> Option<usize> {
        piece.sitting.map(|sitting| sitting - self.first_sitting)
    }

    fn within(&self, bounds: &Bounds, i: usize) -> impl Iterator<Item = &Piece> + use<'_> {
        let (pieces, last) = (&self.pieces[i], bounds.last[i]);
        let since = pieces.partition_point(|piece| piece.last < bounds.first[i]);
        pieces[since..].iter().take_while(move |piece| piece.first <= last)
    }

    /// All `(u, c)` with the rule `start(u) <= start(v) + c`.
    pub(super) fn rules_below(&self, v: usize) -> impl Iterator<Item = (usize, Tick)> {
        self.lower[v].iter().copied()
    }

    /// The pairs of activities that a rule connects.
    pub(super) fn rules(&self) -> impl Iterator<Item = (usize, usize)> {
        self.lower.iter().enumerate().flat_map(|(v, rules)| rules.iter().map(move |&(u, _)| (u, v)))
    }
}

/// From the first sitting that any of these pieces is in to after the last.
fn sittings(pieces: &[Cow<[Piece]>]) -> Range<usize> {
    let numbers =
        || pieces.iter().flat_map(|pieces| pieces.iter()).filter_map(|piece| piece.sitting);
    numbers().min().unwrap_or(0)..numbers().max().map_or(0, |last| last + 1)
}

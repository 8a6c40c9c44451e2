//! Where a shared resource is overloaded.

use std::ops::Range;

use super::network::{Bounds, Network, Shared};
use super::problem::Tick;

impl Network<'_> {
    /// At the given starts, the latest moment at which a resource is overloaded:
    /// holds (from, to) of which one must give way, as few as make an overload.
    pub(super) fn overload(&self, starts: &[Tick]) -> Option<Vec<(usize, usize)>> {
        let mut latest: Option<(Tick, &Shared)> = None;
        for shared in &self.shared {
            let moment = self.overloaded_at(shared, starts);
            if moment > latest.map(|(moment, _)| moment) {
                latest = moment.map(|moment| (moment, shared));
            }
        }
        let (moment, shared) = latest?;
        let there = |&&(_, from, to): &&(u32, usize, usize)| {
            starts[from] <= moment && moment < starts[to] + self.durations[to]
        };
        let mut holds: Vec<_> = shared.holds.iter().filter(there).collect();
        holds.sort_by_key(|hold| std::cmp::Reverse(hold.0));
        let mut sum = 0_u64;
        let enough = holds.iter().position(|hold| {
            sum += u64::from(hold.0);
            sum > shared.capacity.into()
        });
        holds.truncate(enough.map_or(0, |at| at + 1));
        Some(holds.iter().map(|hold| (hold.1, hold.2)).collect())
    }

    /// Whether more of a resource is taken than there is wherever the activities
    /// start within their bounds: each hold covers at least the time from its
    /// latest start to its earliest end.
    pub(super) fn overfull(&self, bounds: &Bounds) -> bool {
        self.shared.iter().any(|shared| {
            let certain = |&(amount, from, to): &(u32, usize, usize)| {
                let span = bounds.last[from]..bounds.first[to] + self.durations[to];
                (!span.is_empty()).then_some((amount, span))
            };
            overloaded_at(shared.capacity, shared.holds.iter().filter_map(certain)).is_some()
        })
    }

    /// The latest start of a hold by which a resource is overloaded.
    fn overloaded_at(&self, shared: &Shared, starts: &[Tick]) -> Option<Tick> {
        let span = |&(amount, from, to): &(u32, usize, usize)| {
            (amount, starts[from]..starts[to] + self.durations[to])
        };
        overloaded_at(shared.capacity, shared.holds.iter().map(span))
    }
}

/// The latest start of a span by which more is taken than `capacity`.
fn overloaded_at(capacity: u32, spans: impl Iterator<Item = (u32, Range<Tick>)>) -> Option<Tick> {
    let mut changes: Vec<(Tick, i64)> = Vec::with_capacity(2 * spans.size_hint().1.unwrap_or(0));
    for (amount, span) in spans {
        changes.push((span.start, i64::from(amount)));
        changes.push((span.end, -i64::from(amount)));
    }
    changes.sort_unstable();
    let (mut taken, mut latest) = (0, None);
    for (moment, change) in changes {
        taken += change;
        if change > 0 && taken > i64::from(capacity) {
            latest = Some(moment);
        }
    }
    latest
}

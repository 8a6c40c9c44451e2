//! A lower bound on the sittings that a plan needs.
//!
//! Each bound is a demand "at least so many of the sittings in this interval".
//! The fewest sittings that meet a set of such demands are found exactly by
//! going through the intervals by their ends and adding the latest sitting
//! that is still unused (an interval matrix is totally unimodular).

use super::network::{Bounds, Network};
use super::problem::Tick;

/// Activities of which only so much fits into one sitting.
struct Crowd {
    capacity: u32,
    /// Amount, position among the hands-on activities.
    members: Vec<(u32, usize)>,
}

/// What is known about the sittings of a network before any search.
pub(super) struct Sittings {
    /// The hands-on activities that may be in a sitting.
    pub(super) hands: Vec<usize>,
    crowds: Vec<Crowd>,
}

impl Sittings {
    pub(super) fn new(network: &Network) -> Self {
        let all = 0..network.activities.len();
        let hands: Vec<usize> = all.filter(|&i| network.may_be_in_sitting(i)).collect();
        Self { crowds: crowds(network, &hands), hands }
    }

    /// The fewest sittings below these bounds, counting the `required` ones;
    /// `None` when there are too few left.
    pub(super) fn fewest(
        &self,
        network: &Network,
        bounds: &Bounds,
        required: &[bool],
    ) -> Option<u32> {
        let met: Vec<Option<(usize, usize)>> =
            self.hands.iter().map(|&i| network.sitting_span(bounds, i)).collect();
        let mut alone = spans(&met, (0..met.len()).map(|at| (1, at)));
        alone.sort_unstable_by_key(|span| (span.last, std::cmp::Reverse(span.first)));
        alone.dedup_by_key(|span| span.last);
        let crowds: Vec<(u32, Vec<Span>)> = self
            .crowds
            .iter()
            .map(|crowd| {
                let mut spans = spans(&met, crowd.members.iter().copied());
                spans.sort_unstable_by_key(|span| std::cmp::Reverse(span.first));
                (crowd.capacity, spans)
            })
            .collect();
        let mut chosen = required.to_vec();
        for span in alone {
            meet(1, &[span], span.last, &network.forbidden, &mut chosen)?;
            for (capacity, spans) in &crowds {
                meet(*capacity, spans, span.last, &network.forbidden, &mut chosen)?;
            }
        }
        Some(chosen.iter().map(|&used| u32::from(used)).sum())
    }
}

/// The first and last sitting an activity can be in.
#[derive(Clone, Copy)]
struct Span {
    first: usize,
    last: usize,
    amount: u32,
}

/// The spans of those (amount, position in `met`) that must be in a sitting.
fn spans(met: &[Option<(usize, usize)>], members: impl Iterator<Item = (u32, usize)>) -> Vec<Span> {
    let span =
        |(amount, at): (u32, usize)| met[at].map(|(first, last)| Span { first, last, amount });
    members.filter_map(span).collect()
}

/// Chooses sittings until every interval that ends at `end` has enough.
fn meet(
    capacity: u32,
    spans: &[Span],
    end: usize,
    forbidden: &[bool],
    chosen: &mut [bool],
) -> Option<()> {
    let (mut amount, mut have, mut counted) = (0, 0, end + 1);
    let mut free = end + 1;
    for span in spans.iter().filter(|span| span.last <= end) {
        amount += u64::from(span.amount);
        while counted > span.first {
            counted -= 1;
            have += u64::from(chosen[counted]);
        }
        while have < amount.div_ceil(capacity.into()) {
            free = (span.first..free).rev().find(|&e| !chosen[e] && !forbidden[e])?;
            chosen[free] = true;
            have += 1;
        }
    }
    Some(())
}

/// Holds of one resource that last longer than any sitting and start (or end)
/// in the same one are all there at once, so they must fit together.
fn crowds(network: &Network, hands: &[usize]) -> Vec<Crowd> {
    let mut crowds = Vec::new();
    for shared in &network.shared {
        for end in [false, true] {
            let long = shared.holds.iter().filter(|&&(_, from, to)| {
                network.least_hold(from, to) >= network.longest_sitting + network.durations[to]
            });
            let acting = long.map(|&(amount, from, to)| (amount, if end { to } else { from }));
            let members: Vec<(u32, usize)> = acting
                .filter_map(|(amount, i)| Some((amount, hands.binary_search(&i).ok()?)))
                .collect();
            if members.len() > 1 && shared.capacity > 0 {
                crowds.push(Crowd { capacity: shared.capacity, members });
            }
        }
    }
    crowds
}

impl Network<'_> {
    /// The least time from the start of `from` to the end of `to`.
    fn least_hold(&self, from: usize, to: usize) -> Tick {
        let waits = self.rules_below(to).filter(|&(u, _)| u == from).map(|(_, c)| -c);
        if from == to { self.durations[to] } else { waits.max().unwrap_or(0) + self.durations[to] }
    }
}

//! Which activities depend on each other, so that the rest can be planned apart.

use super::network::{Bounds, Network};

/// Groups of activities (positions in the network, ascending) that no rule, no
/// resource that could run short and, if asked, no sitting connects.
pub(super) fn parts(network: &Network, bounds: &Bounds, by_sitting: bool) -> Vec<Vec<usize>> {
    let mut groups = Groups::new(network.activities.len());
    for (u, v) in network.rules() {
        groups.join(u, v);
    }
    for shared in &network.shared {
        join_contenders(network, bounds, shared, &mut groups);
    }
    if by_sitting {
        let mut someone = vec![None; network.forbidden.len()];
        for i in 0..network.activities.len() {
            for e in network.sittings_met(bounds, i) {
                groups.join(i, *someone[e].get_or_insert(i));
            }
        }
    }
    groups.into_lists()
}

/// Joins the holds that could together overload their resource. An activity
/// that has no possible start takes nothing.
fn join_contenders(
    network: &Network,
    bounds: &Bounds,
    shared: &super::network::Shared,
    groups: &mut Groups,
) {
    let mut changes: Vec<(i32, i64, usize)> = Vec::new();
    for (h, &(amount, from, to)) in shared.holds.iter().enumerate() {
        if bounds.first[from] > bounds.last[from] {
            continue;
        }
        changes.push((bounds.first[from], i64::from(amount), h));
        changes.push((bounds.last[to] + network.durations[to], -i64::from(amount), h));
    }
    changes.sort_unstable();
    let (mut taken, mut there) = (0, Vec::new());
    for (_, change, h) in changes {
        taken += change;
        if change < 0 {
            there.retain(|&other| other != h);
            continue;
        }
        there.push(h);
        if taken > i64::from(shared.capacity) {
            for pair in there.windows(2) {
                groups.join(shared.holds[pair[0]].1, shared.holds[pair[1]].1);
            }
        }
    }
}

/// Disjoint sets with path halving.
pub(super) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    pub(super) fn new(size: usize) -> Self {
        Self { parent: (0..size).collect() }
    }

    fn root(&mut self, mut i: usize) -> usize {
        while self.parent[i] != i {
            self.parent[i] = self.parent[self.parent[i]];
            i = self.parent[i];
        }
        i
    }

    pub(super) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }

    /// The sets, ascending by their least member.
    pub(super) fn into_lists(mut self) -> Vec<Vec<usize>> {
        let mut lists: Vec<Vec<usize>> = vec![Vec::new(); self.parent.len()];
        for i in 0..self.parent.len() {
            let root = self.root(i);
            lists[root].push(i);
        }
        lists.retain(|list| !list.is_empty());
        lists
    }
}

//! Where a shared resource is overloaded.

use super::network::{Network, Shared};
use super::problem::Tick;

impl Network {
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

    /// The latest start of a hold by which a resource is overloaded.
    fn overloaded_at(&self, shared: &Shared, starts: &[Tick]) -> Option<Tick> {
        let mut changes: Vec<(Tick, i64)> = Vec::with_capacity(2 * shared.holds.len());
        for &(amount, from, to) in &shared.holds {
            changes.push((starts[from], i64::from(amount)));
            changes.push((starts[to] + self.durations[to], -i64::from(amount)));
        }
        changes.sort_unstable();
        let (mut taken, mut latest) = (0, None);
        for (moment, change) in changes {
            taken += change;
            if change > 0 && taken > i64::from(shared.capacity) {
                latest = Some(moment);
            }
        }
        latest
    }
}

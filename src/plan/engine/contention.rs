//! What a shared resource implies for the holds that want part of it.

use super::network::{Bounds, Network, NoStart, Shared};
use super::problem::Tick;

impl Network {
    /// Tightens the bounds by what the shared resources imply, as often as that
    /// changes anything.
    pub(super) fn contend(&self, bounds: &mut Bounds) -> Result<(), NoStart> {
        loop {
            let mut touched = Vec::new();
            for shared in &self.shared {
                self.settle_pairs(shared, bounds, &mut touched)?;
                self.keep_clear(shared, bounds, &mut touched)?;
            }
            if touched.is_empty() {
                return Ok(());
            }
            self.tighten(bounds, &touched)?;
        }
    }

    /// Two holds that are too much together: where one cannot be first, the
    /// other is.
    fn settle_pairs(
        &self,
        shared: &Shared,
        bounds: &mut Bounds,
        touched: &mut Vec<usize>,
    ) -> Result<(), NoStart> {
        for &(first, second) in &shared.exclusive {
            let (one, other) = (shared.holds[first], shared.holds[second]);
            let one_first = self.can_precede(bounds, one.2, other.1);
            match (one_first, self.can_precede(bounds, other.2, one.1)) {
                (false, false) => return Err(NoStart),
                (true, false) => self.precede(bounds, one.2, other.1, touched),
                (false, true) => self.precede(bounds, other.2, one.1, touched),
                (true, true) => {}
            }
        }
        Ok(())
    }

    fn can_precede(&self, bounds: &Bounds, before: usize, after: usize) -> bool {
        bounds.first[before] + self.durations[before] <= bounds.last[after]
    }

    /// `before` ends before `after` starts.
    fn precede(&self, bounds: &mut Bounds, before: usize, after: usize, touched: &mut Vec<usize>) {
        let duration = self.durations[before];
        let (latest, earliest) = (bounds.last[after] - duration, bounds.first[before] + duration);
        lower(&mut bounds.last[before], latest, before, touched);
        raise(&mut bounds.first[after], earliest, after, touched);
    }

    /// Each hold certainly lasts from its latest start to its earliest end. No
    /// other hold may be there where these already leave too little.
    fn keep_clear(
        &self,
        shared: &Shared,
        bounds: &mut Bounds,
        touched: &mut Vec<usize>,
    ) -> Result<(), NoStart> {
        let mut changes = Vec::new();
        for &(amount, from, to) in &shared.holds {
            let (start, end) = self.core(bounds, from, to);
            if start < end {
                changes.extend([(start, i64::from(amount)), (end, -i64::from(amount))]);
            }
        }
        changes.sort_unstable();
        let mut taken = 0;
        for at in 0..changes.len() {
            taken += changes[at].1;
            let Some(&(end, _)) = changes.get(at + 1) else { break };
            let (start, free) = (changes[at].0, i64::from(shared.capacity) - taken);
            if free < 0 && start < end {
                return Err(NoStart);
            }
            if free >= shared.largest || start == end {
                continue;
            }
            for &(amount, from, to) in &shared.holds {
                let own = self.core(bounds, from, to);
                let there = own.0 <= start && end <= own.1;
                if there || i64::from(amount) <= free {
                    continue;
                }
                if bounds.first[to] + self.durations[to] > start {
                    raise(&mut bounds.first[from], end, from, touched);
                }
                if bounds.last[from] < end {
                    lower(&mut bounds.last[to], start - self.durations[to], to, touched);
                }
            }
        }
        Ok(())
    }

    fn core(&self, bounds: &Bounds, from: usize, to: usize) -> (Tick, Tick) {
        (bounds.last[from], bounds.first[to] + self.durations[to])
    }

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
        let mut sum = 0;
        let enough = holds.iter().position(|hold| {
            sum += hold.0;
            sum > shared.capacity
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

fn lower(bound: &mut Tick, to: Tick, i: usize, touched: &mut Vec<usize>) {
    if *bound > to {
        *bound = to;
        touched.push(i);
    }
}

fn raise(bound: &mut Tick, to: Tick, i: usize, touched: &mut Vec<usize>) {
    if *bound < to {
        *bound = to;
        touched.push(i);
    }
}

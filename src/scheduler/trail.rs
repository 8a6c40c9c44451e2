//! Which rule moved each bound last, to see early that rules chase each other.
//!
//! Rules that go round in a circle and together ask a start to be before itself
//! have no solution. Without this, bounds creep along the windows of a whole year
//! before one runs out of starts, and that at each node of a search.

use super::problem::Tick;

/// Moves for each activity before the trail is kept: most tightenings need fewer.
const PATIENCE: usize = 4;

/// Some activity has no possible start left.
#[derive(Debug)]
pub(super) struct NoStart;

/// For one kind of bound, the rule `(v, c)` that moved each activity's last.
#[derive(Default)]
pub(super) struct Trail {
    moves: usize,
    by: Vec<Option<(usize, Tick)>>,
}

impl Trail {
    /// Notes that the bound of `moved`, one of `count` activities, follows from
    /// that of `from` by a rule of the constant `c`.
    ///
    /// # Errors
    /// [`NoStart`] when the rules behind it form a circle with a sum below zero.
    pub(super) fn note(
        &mut self,
        count: usize,
        moved: usize,
        (from, c): (usize, Tick),
    ) -> Result<(), NoStart> {
        self.moves += 1;
        if self.moves <= PATIENCE * count {
            return Ok(());
        }
        self.by.resize(count, None);
        self.by[moved] = Some((from, c));
        // A walk is as long as there are activities: one for as many moves.
        if self.moves.is_multiple_of(count) { self.walk(moved) } else { Ok(()) }
    }

    fn walk(&self, from: usize) -> Result<(), NoStart> {
        let mut at = from;
        for _ in 0..self.by.len() {
            let Some((before, _)) = self.by[at] else { return Ok(()) };
            at = before;
        }
        // More steps than activities: `at` is on a circle.
        let (mut here, mut sum) = (at, 0);
        while let Some((before, c)) = self.by[here] {
            (here, sum) = (before, sum + i64::from(c));
            if here == at {
                break;
            }
        }
        if sum < 0 { Err(NoStart) } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Moves round a circle of rules until it is seen, at most a thousand.
    fn moves(circle: &[(usize, usize, Tick)], count: usize) -> Option<usize> {
        let mut trail = Trail::default();
        (0..1000).find(|n| {
            let (moved, from, c) = circle[n % circle.len()];
            trail.note(count, moved, (from, c)).is_err()
        })
    }

    #[test]
    fn a_circle_below_zero_is_seen_after_a_few_rounds() {
        let circle = [(1, 0, -5), (2, 1, 3), (0, 2, 1)];
        assert!(moves(&circle, 3).is_some_and(|n| n < 20));
        assert!(moves(&circle, 9).is_some_and(|n| n < 60));
        // Together they leave room: only windows can be in the way.
        assert_eq!(moves(&[(1, 0, -5), (2, 1, 3), (0, 2, 2)], 3), None);
        // No circle.
        assert_eq!(moves(&[(1, 0, -5), (2, 1, -3)], 3), None);
    }
}

//! The possible starts of an activity by its own windows, cut at the evenings.

use std::ops::Range;

use super::problem::{Activity, Problem, Tick};

/// A run of possible starts (both ends included), all in one evening or in none.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) first: Tick,
    pub(super) last: Tick,
    pub(super) evening: Option<usize>,
    /// How many earlier runs are in no evening.
    pub(super) free_before: usize,
}

/// The possible starts of `activity` in these windows.
pub(super) fn pieces(
    problem: &Problem,
    activity: &Activity,
    windows: &[Range<Tick>],
) -> Vec<Piece> {
    let (mut pieces, mut free_before) = (Vec::new(), 0);
    let mut add = |first, last, evening: Option<usize>| {
        pieces.push(Piece { first, last, evening, free_before });
        free_before += usize::from(evening.is_none());
    };
    for window in windows {
        let (mut first, last) = (window.start, window.end - activity.duration);
        let met = problem.evenings.partition_point(|evening| evening.end <= first);
        for (e, evening) in problem.evenings.iter().enumerate().skip(met) {
            if !activity.hands || evening.start > last || first > last {
                break;
            }
            if first < evening.start {
                add(first, evening.start - 1, None);
            }
            let end = last.min(evening.end - 1);
            add(first.max(evening.start), end, Some(e));
            first = end + 1;
        }
        if first <= last {
            add(first, last, None);
        }
    }
    pieces
}

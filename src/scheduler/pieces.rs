//! The possible starts of an activity by its own windows, cut at the sittings.

use std::ops::Range;

use super::problem::{Activity, Problem, Tick};

/// A run of possible starts (both ends included), all in one sitting or in none.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) first: Tick,
    pub(super) last: Tick,
    pub(super) sitting: Option<usize>,
    /// How many earlier runs are in no sitting.
    pub(super) free_before: usize,
}

/// The possible starts of `activity` in these windows.
pub(super) fn pieces(
    problem: &Problem,
    activity: &Activity,
    windows: &[Range<Tick>],
) -> Vec<Piece> {
    let (mut pieces, mut free_before) = (Vec::new(), 0);
    let mut add = |first, last, sitting: Option<usize>| {
        pieces.push(Piece { first, last, sitting, free_before });
        free_before += usize::from(sitting.is_none());
    };
    for window in windows {
        let (mut first, last) = (window.start, window.end - activity.duration);
        let met = problem.sittings.partition_point(|sitting| sitting.end <= first);
        for (e, sitting) in problem.sittings.iter().enumerate().skip(met) {
            if !activity.hands || sitting.start > last || first > last {
                break;
            }
            if first < sitting.start {
                add(first, sitting.start - 1, None);
            }
            let end = last.min(sitting.end - 1);
            add(first.max(sitting.start), end, Some(e));
            first = end + 1;
        }
        if first <= last {
            add(first, last, None);
        }
    }
    pieces
}

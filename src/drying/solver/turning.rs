//! The moment half-way, which is known only once the whole time is.

use super::state::Run;
use crate::drying::solver::stepper::LONGEST;

/// The turning time t for which the drying, turned at t, lasts 2 t: a few fixed-point
/// rounds with secants, within 0.2 %.
pub(super) fn half_way(solve: impl Fn(Option<f64>, bool) -> Run) -> f64 {
    let whole = |at: f64| {
        let run = solve(Some(at), false);
        run.dry.or(run.firm).unwrap_or(LONGEST)
    };
    let mut at = 0.25 * whole(f64::INFINITY);
    let mut excess = 0.5 * whole(at) - at;
    let mut slope = -1.0;
    for _ in 0..8 {
        if excess.abs() < 0.002 * at {
            break;
        }
        let next = (at - excess / slope).max(0.1 * at);
        let next_excess = 0.5 * whole(next) - next;
        if next != at {
            let secant: f64 = (next_excess - excess) / (next - at);
            slope = secant.clamp(-3.0, -0.3);
        }
        (at, excess) = (next, next_excess);
    }
    at
}

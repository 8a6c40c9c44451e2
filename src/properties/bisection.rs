//! Finds where something monotone passes a value.

/// Between `low`, where `is_before` holds, and `high`, where it does not: the place where it
/// turns, the span halved so many times.
#[inline]
pub(crate) fn turn(
    mut low: f64,
    mut high: f64,
    halvings: usize,
    is_before: impl Fn(f64) -> bool,
) -> f64 {
    for _ in 0..halvings {
        let middle = 0.5 * (low + high);
        if is_before(middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

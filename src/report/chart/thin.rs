//! Leaves out the points of a line that nobody would miss.

/// A line without the points that lie within half a unit of the straight line
/// between those kept (Douglas and Peucker 1973).
pub fn thinned(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    const OFF: f64 = 0.5;
    let [Some(first), Some(last)] = [points.first(), points.last()] else { return Vec::new() };
    let [dx, dy] = [last[0] - first[0], last[1] - first[1]];
    let length = dx.hypot(dy).max(1e-9);
    let off = |p: &[f64; 2]| (dx * (p[1] - first[1]) - dy * (p[0] - first[0])).abs() / length;
    let inner = points.iter().enumerate().skip(1).take(points.len().saturating_sub(2));
    match inner.map(|(n, p)| (n, off(p))).max_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((n, far)) if far > OFF => {
            let mut kept = thinned(&points[..=n]);
            kept.pop();
            kept.extend(thinned(&points[n..]));
            kept
        }
        _ => vec![*first, *last],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_needs_two_points_and_a_corner_three() {
        let straight: Vec<[f64; 2]> = (0..50).map(|n| [f64::from(n), 2.0 * f64::from(n)]).collect();
        assert_eq!(thinned(&straight).len(), 2);
        let corner: Vec<[f64; 2]> =
            (0..50).map(|n| [f64::from(n), f64::from((n - 20).max(0))]).collect();
        assert_eq!(thinned(&corner), [[0.0, 0.0], [20.0, 0.0], [49.0, 29.0]]);
        assert_eq!(thinned(&[]), Vec::<[f64; 2]>::new());
    }
}

//! A closed polygon: area, perimeter, mirror symmetry, and how it cuts a grid.

use thiserror::Error;

/// More corners than this are refused: a hand-traced outline has tens.
const MOST_POINTS: usize = 2000;

/// Why points are not an outline.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OutlineError {
    /// Fewer than 3 or more than 2000 points.
    #[error("an outline takes 3 to 2000 points, not {0}")]
    Count(usize),
    /// A coordinate is not a finite number.
    #[error("point {0} of the outline is not a number")]
    NotFinite(usize),
    /// The points enclose no area.
    #[error("the points of the outline enclose no area")]
    Flat,
    /// Two sides cross or touch.
    #[error("the outline crosses itself: side {0} meets side {1}")]
    Crossing(usize, usize),
    /// Too thin for a mould.
    #[error("the outline is too thin: it covers less than 1 % of the square on its longest side")]
    Thin,
}

/// The least share of the square on its longest side that an outline drawn by a
/// user covers: a finger's width in a pan of half a metre is 3 %, and a sliver would
/// need a grid too fine to compute.
const LEAST_COVER: f64 = 0.01;

/// A drawn outline of any unit, counter-clockwise, moved and scaled so that the
/// box around it begins at 0 and its longest side is 1.
///
/// # Errors
/// [`OutlineError`]; sides are numbered from 1 after points repeated in a row
/// are dropped.
pub fn unit_outline(points: &[[f64; 2]]) -> Result<Vec<[f64; 2]>, OutlineError> {
    if let Some(bad) = points.iter().position(|p| !p.iter().all(|x| x.is_finite())) {
        return Err(OutlineError::NotFinite(bad + 1));
    }
    let [width, height] = extent(points);
    let longest = width.max(height);
    if !longest.is_normal() {
        return Err(OutlineError::Flat);
    }
    let [low, _] = bounds(points);
    let moved = |p: &[f64; 2]| [(p[0] - low[0]) / longest, (p[1] - low[1]) / longest];
    let outline = Outline::new(&points.iter().map(moved).collect::<Vec<_>>())?;
    if outline.area() < LEAST_COVER { Err(OutlineError::Thin) } else { Ok(outline.points) }
}

/// A simple polygon, counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outline {
    points: Vec<[f64; 2]>,
}

/// A piece of the outline inside one grid cell: middle, length, unit normal outwards.
pub(crate) struct Piece {
    pub(crate) middle: [f64; 2],
    pub(crate) length: f64,
    pub(crate) normal: [f64; 2],
}

impl Outline {
    /// Takes the points in either sense; a repeated last point is dropped.
    ///
    /// # Errors
    /// [`OutlineError`].
    pub(crate) fn new(points: &[[f64; 2]]) -> Result<Self, OutlineError> {
        let mut points = points.to_vec();
        points.dedup();
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        if points.len() < 3 || points.len() > MOST_POINTS {
            return Err(OutlineError::Count(points.len()));
        }
        if let Some(bad) = points.iter().position(|p| !(p[0].is_finite() && p[1].is_finite())) {
            return Err(OutlineError::NotFinite(bad + 1));
        }
        let size = extent(&points);
        if size[0].max(size[1]) > 1e9 || in_one_line(&points) {
            return Err(OutlineError::Flat);
        }
        if let Some((a, b)) = crossing(&points) {
            return Err(OutlineError::Crossing(a + 1, b + 1));
        }
        if signed_area(&points).abs() < 1e-6 * size[0] * size[1] {
            return Err(OutlineError::Flat);
        }
        if signed_area(&points) < 0.0 {
            points.reverse();
        }
        Ok(Self { points })
    }

    /// The outline of points that are known to be one, counter-clockwise.
    pub(crate) fn known(points: Vec<[f64; 2]>) -> Self {
        Self { points }
    }

    pub(crate) fn scaled_to(&self, longest: f64) -> Self {
        let size = extent(&self.points);
        self.scaled_by(longest / size[0].max(size[1]))
    }

    pub(crate) fn scaled_by(&self, factor: f64) -> Self {
        Self { points: self.points.iter().map(|p| p.map(|x| x * factor)).collect() }
    }

    /// Its corners in order.
    pub(crate) fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    pub(crate) fn area(&self) -> f64 {
        signed_area(&self.points)
    }

    pub(crate) fn perimeter(&self) -> f64 {
        self.sides().map(|(a, b)| (b[0] - a[0]).hypot(b[1] - a[1])).sum()
    }

    /// Lower and upper corner of the box around it.
    pub(crate) fn bounds(&self) -> [[f64; 2]; 2] {
        bounds(&self.points)
    }

    /// Whether the mirror image across the middle of the box, along an axis, is
    /// the same outline (to a thousandth of its size).
    pub(crate) fn is_mirrored(&self, axis: usize) -> bool {
        let [low, high] = self.bounds();
        let near = 1e-3 * (high[0] - low[0]).max(high[1] - low[1]);
        self.points.iter().all(|p| {
            let mut image = *p;
            image[axis] = low[axis] + high[axis] - p[axis];
            self.points.iter().any(|q| (q[0] - image[0]).hypot(q[1] - image[1]) < near)
        })
    }

    /// The part at or above a coordinate; sides along the cut may appear in it.
    pub(crate) fn above(&self, axis: usize, cut: f64) -> Self {
        let mut points = Vec::with_capacity(self.points.len() + 4);
        for (a, b) in self.sides() {
            let (ha, hb) = (a[axis] - cut, b[axis] - cut);
            if ha >= 0.0 {
                points.push(a);
            }
            if (ha < 0.0) != (hb < 0.0) && ha != 0.0 && hb != 0.0 {
                let at = ha / (ha - hb);
                let mut crossing = [a[0] + at * (b[0] - a[0]), a[1] + at * (b[1] - a[1])];
                crossing[axis] = cut;
                points.push(crossing);
            }
        }
        points.dedup();
        Self { points }
    }

    /// The part inside a rectangle.
    pub(crate) fn within(&self, low: [f64; 2], high: [f64; 2]) -> Self {
        let part = self.above(0, low[0]).above(1, low[1]).flipped();
        let part = part.above(0, -high[0]).above(1, -high[1]);
        part.flipped()
    }

    fn flipped(&self) -> Self {
        Self { points: self.points.iter().map(|p| [-p[0], -p[1]]).collect() }
    }

    /// Centroid; None without area.
    pub(crate) fn centroid(&self) -> Option<[f64; 2]> {
        let area = self.area();
        let size = extent(&self.points);
        if area <= 1e-12 * (size[0] * size[1]) || area <= 0.0 {
            return None;
        }
        let origin = self.points[0];
        let mut sum = [0.0; 2];
        for (a, b) in self.sides() {
            let (a, b) =
                ([a[0] - origin[0], a[1] - origin[1]], [b[0] - origin[0], b[1] - origin[1]]);
            let cross = a[0] * b[1] - b[0] * a[1];
            sum[0] += (a[0] + b[0]) * cross;
            sum[1] += (a[1] + b[1]) * cross;
        }
        Some([origin[0] + sum[0] / (6.0 * area), origin[1] + sum[1] / (6.0 * area)])
    }

    /// Length inside the outline on the line `axis = at`, from `low` to `high`.
    pub(crate) fn open_length(&self, axis: usize, at: f64, low: f64, high: f64) -> f64 {
        let along = 1 - axis;
        let mut crossings: Vec<f64> = self
            .sides()
            .filter(|(a, b)| (a[axis] < at) != (b[axis] < at))
            .map(|(a, b)| a[along] + (at - a[axis]) / (b[axis] - a[axis]) * (b[along] - a[along]))
            .collect();
        crossings.sort_by(f64::total_cmp);
        let inside = crossings.chunks_exact(2);
        inside.map(|pair| (pair[1].min(high) - pair[0].max(low)).max(0.0)).sum()
    }

    /// The sides cut at the lines of a grid, those on a mirror plane left out.
    pub(crate) fn pieces(&self, grid: [&[f64]; 2], mirrors: [Option<f64>; 2]) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for (a, b) in self.sides() {
            let on_mirror =
                (0..2).any(|axis| mirrors[axis].is_some_and(|m| a[axis] == m && b[axis] == m));
            if on_mirror {
                continue;
            }
            let step = [b[0] - a[0], b[1] - a[1]];
            let length = step[0].hypot(step[1]);
            let mut cuts = vec![0.0, 1.0];
            for axis in 0..2 {
                let at = grid[axis].iter().map(|line| (line - a[axis]) / step[axis]);
                cuts.extend(at.filter(|t| *t > 0.0 && *t < 1.0));
            }
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2).filter(|pair| pair[1] > pair[0]) {
                let t = 0.5 * (pair[0] + pair[1]);
                pieces.push(Piece {
                    middle: [a[0] + t * step[0], a[1] + t * step[1]],
                    length: (pair[1] - pair[0]) * length,
                    normal: [step[1] / length, -step[0] / length],
                });
            }
        }
        pieces
    }

    fn sides(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(a, b)| (*a, *b))
    }
}

fn bounds(points: &[[f64; 2]]) -> [[f64; 2]; 2] {
    let start = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    points.iter().fold(start, |[low, high], p| {
        [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
    })
}

fn extent(points: &[[f64; 2]]) -> [f64; 2] {
    if points.is_empty() {
        return [0.0; 2];
    }
    let [low, high] = bounds(points);
    [high[0] - low[0], high[1] - low[1]]
}

fn signed_area(points: &[[f64; 2]]) -> f64 {
    let Some(origin) = points.first() else { return 0.0 };
    let cross = |a: &[f64; 2], b: &[f64; 2]| {
        (a[0] - origin[0]) * (b[1] - origin[1]) - (b[0] - origin[0]) * (a[1] - origin[1])
    };
    0.5 * points.windows(2).map(|pair| cross(&pair[0], &pair[1])).sum::<f64>()
}

/// Twice the area of a triangle, positive when it runs counter-clockwise.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn in_one_line(points: &[[f64; 2]]) -> bool {
    let [width, height] = extent(points);
    let least = 1e-9 * width.max(height).powi(2);
    points.windows(2).all(|pair| turn(points[0], pair[0], pair[1]).abs() <= least)
}

/// The first two sides that cross, touch or lie on one another, if any; sides
/// that follow one another share their corner and nothing else.
fn crossing(points: &[[f64; 2]]) -> Option<(usize, usize)> {
    let n = points.len();
    let side = |i: usize| [points[i], points[(i + 1) % n]];
    // Most sides lie apart, which their boxes show.
    let boxes: Vec<_> = (0..n).map(|i| bounds(&side(i))).collect();
    let apart = |i: usize, j: usize| {
        let ([low, high], [other_low, other_high]) = (boxes[i], boxes[j]);
        (0..2).any(|axis| high[axis] < other_low[axis] || other_high[axis] < low[axis])
    };
    for i in 0..n {
        if turns_back(side(i), side((i + 1) % n)) {
            return Some((i, (i + 1) % n));
        }
        // The last side follows upon the first too.
        let last = if i == 0 { n - 1 } else { n };
        if let Some(j) = (i + 2..last).find(|j| !apart(i, *j) && meet(side(i), side(*j))) {
            return Some((i, j));
        }
    }
    None
}

/// Whether a side runs back over the one before it.
fn turns_back([a, b]: [[f64; 2]; 2], [_, c]: [[f64; 2]; 2]) -> bool {
    let ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
    turn(a, b, c) == 0.0 && ahead < 0.0
}

fn meet([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    let (from_ab, from_cd) = ([turn(a, b, c), turn(a, b, d)], [turn(c, d, a), turn(c, d, b)]);
    let within = |a: [f64; 2], b: [f64; 2], p: [f64; 2]| {
        (0..2).all(|axis| p[axis] >= a[axis].min(b[axis]) && p[axis] <= a[axis].max(b[axis]))
    };
    (from_ab[0] * from_ab[1] < 0.0 && from_cd[0] * from_cd[1] < 0.0)
        || (from_ab[0] == 0.0 && within(a, b, c))
        || (from_ab[1] == 0.0 && within(a, b, d))
        || (from_cd[0] == 0.0 && within(c, d, a))
        || (from_cd[1] == 0.0 && within(c, d, b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const ARROW: [[f64; 2]; 7] =
        [[0.0, 1.0], [3.0, 1.0], [3.0, 0.0], [5.0, 1.5], [3.0, 3.0], [3.0, 2.0], [0.0, 2.0]];

    #[test]
    fn area_perimeter_and_centroid() {
        let arrow = Outline::new(&ARROW).unwrap();
        assert_relative_eq!(arrow.area(), 3.0 + 3.0, max_relative = 1e-12);
        let slant = 2.0_f64.hypot(1.5);
        assert_relative_eq!(
            arrow.perimeter(),
            3.0 + 3.0 + 1.0 + 2.0 + 2.0 * slant,
            max_relative = 1e-12
        );
        // (3 x 1.5 + 3 x (3 + 2/3)) / 6 along, the axis across.
        let centre = arrow.centroid().unwrap();
        assert_relative_eq!(centre[0], (4.5 + 11.0) / 6.0, max_relative = 1e-12);
        assert_relative_eq!(centre[1], 1.5, max_relative = 1e-12);
    }

    #[test]
    fn cells_and_pieces_add_up() {
        let arrow = Outline::new(&ARROW).unwrap();
        let lines: Vec<f64> = (0..=10).map(|i| f64::from(i) * 0.53).collect();
        let cell = |i: usize, j: usize| {
            arrow.within([lines[i], lines[j]], [lines[i + 1], lines[j + 1]]).area()
        };
        let total: f64 = (0..10).flat_map(|i| (0..10).map(move |j| cell(i, j))).sum();
        assert_relative_eq!(total, arrow.area(), max_relative = 1e-9);
        let around: f64 =
            arrow.pieces([&lines, &lines], [None, None]).iter().map(|p| p.length).sum();
        assert_relative_eq!(around, arrow.perimeter(), max_relative = 1e-12);
        assert_relative_eq!(arrow.open_length(0, 3.5, 0.0, 9.0), 2.25, max_relative = 1e-12);
    }

    #[test]
    fn a_line_through_corners_is_open_once() {
        // The diagonals of a square on its corner, and the line along the shaft of the arrow.
        let diamond = Outline::new(&[[1.0, 0.0], [2.0, 1.0], [1.0, 2.0], [0.0, 1.0]]).unwrap();
        for axis in 0..2 {
            assert_relative_eq!(diamond.open_length(axis, 1.0, 0.0, 9.0), 2.0);
            assert_relative_eq!(diamond.open_length(axis, 1.0, 0.5, 1.25), 0.75);
            assert_eq!(diamond.open_length(axis, 1.0, 2.5, 9.0), 0.0);
        }
        let arrow = Outline::new(&ARROW).unwrap();
        assert_relative_eq!(arrow.open_length(0, 2.0, 0.0, 9.0), 1.0);
    }

    #[test]
    fn mirror_images() {
        let arrow = Outline::new(&ARROW).unwrap();
        assert!(arrow.is_mirrored(1));
        assert!(!arrow.is_mirrored(0));
        assert_relative_eq!(arrow.above(1, 1.5).area(), 3.0, max_relative = 1e-12);
        // Twenty times as far off as is let pass, and far from the origin.
        let askew = [[100.0, 100.0], [101.0, 100.0], [100.98, 101.0], [100.0, 101.0]];
        let askew = Outline::new(&askew).unwrap();
        assert!(!askew.is_mirrored(0) && !askew.is_mirrored(1));
    }

    #[test]
    fn nonsense_is_refused() {
        let bow_tie = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.2]];
        assert!(matches!(Outline::new(&bow_tie), Err(OutlineError::Crossing(..))));
        assert_eq!(Outline::new(&[[0.0, 0.0], [1.0, 1.0]]), Err(OutlineError::Count(2)));
        let line = [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]];
        assert_eq!(Outline::new(&line), Err(OutlineError::Flat));
        let nan = [[0.0, 0.0], [f64::NAN, 1.0], [2.0, 2.0]];
        assert_eq!(Outline::new(&nan), Err(OutlineError::NotFinite(2)));
        assert_eq!(unit_outline(&nan), Err(OutlineError::NotFinite(2)));
    }

    #[test]
    fn a_bay_beside_a_long_side_is_no_crossing() {
        // (2, 5) is in the box around the first side, and not on it.
        let bay = [[0.0, 0.0], [6.0, 6.0], [6.0, 8.0], [2.0, 5.0], [-1.0, 5.0]];
        assert!(unit_outline(&bay).is_ok());
    }

    #[test]
    fn touching_itself_is_refused_too() {
        let spike = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [6.0, 3.0], [4.0, 3.0], [0.0, 3.0]];
        let pinched = [[0.0, 0.0], [2.0, 2.0], [4.0, 0.0], [4.0, 4.0], [2.0, 2.0], [0.0, 4.0]];
        let tied = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
        for points in [&spike[..], &pinched, &tied] {
            let found = unit_outline(points);
            assert!(matches!(found, Err(OutlineError::Crossing(..))), "{points:?}: {found:?}");
        }
    }

    #[test]
    fn a_unit_outline_has_lost_its_unit_its_place_and_its_sense() {
        let unit = unit_outline(&[[30.0, -10.0], [30.0, -5.0], [40.0, -5.0], [40.0, -10.0]]);
        assert_eq!(unit.unwrap(), [[1.0, 0.0], [1.0, 0.5], [0.0, 0.5], [0.0, 0.0]]);
        let thin = [[0.0, 0.0], [1.0, 0.0], [1.0, 0.005], [0.0, 0.005]];
        assert_eq!(unit_outline(&thin), Err(OutlineError::Thin));
        for scale in [0.0, 1e-320, 1e300] {
            let found = unit_outline(&ARROW.map(|p| p.map(|x| x * scale)));
            assert_eq!(found.is_ok(), scale == 1e300, "{scale}: {found:?}");
        }
    }
}

//! Finds a free place for each label: beside its own line, away from all others.

/// A rectangle in the view box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Place {
    fn meets(&self, other: &Self) -> bool {
        self.x < other.x + other.width
            && other.x < self.x + self.width
            && self.y < other.y + other.height
            && other.y < self.y + self.height
    }

    /// Whether an upright line there meets it.
    pub(super) fn spans(&self, x: f64) -> bool {
        self.x <= x && x <= self.x + self.width
    }

    fn inside(&self, frame: &Self) -> bool {
        self.x >= frame.x
            && self.y >= frame.y
            && self.x + self.width <= frame.x + frame.width
            && self.y + self.height <= frame.y + frame.height
    }

    fn centre(&self) -> [f64; 2] {
        [self.x + 0.5 * self.width, self.y + 0.5 * self.height]
    }

    /// How far a point is outside, 0 inside.
    fn distance(&self, [x, y]: [f64; 2]) -> f64 {
        let away = |at: f64, from: f64, to: f64| (from - at).max(at - to).max(0.0);
        let across = away(x, self.x, self.x + self.width);
        across.hypot(away(y, self.y, self.y + self.height))
    }
}

/// Nearer than this to another line and a reader may mistake whose label it is.
const CLEAR: f64 = 14.0;

/// From a line to its label: as near as that, and farther where another line is in the way.
const NEAREST: f64 = 5.0;
const GAPS: [f64; 4] = [NEAREST, 10.0, 16.0, 24.0];

/// Points along a line, at most `apart` from one another.
fn along(line: &[[f64; 2]], apart: f64) -> Vec<[f64; 2]> {
    let mut points = Vec::new();
    for pair in line.windows(2) {
        let [[ax, ay], [bx, by]] = [pair[0], pair[1]];
        let count = ((bx - ax).hypot(by - ay) / apart).ceil().max(1.0);
        for n in 0..count as usize {
            let share = n as f64 / count;
            points.push([ax + share * (bx - ax), ay + share * (by - ay)]);
        }
    }
    points.extend(line.last());
    points
}

/// What a label should not lie on, and how bad it is where it does: across another line is 3.
pub type Taken = (Place, f64);

/// The best place for a label of a size beside line `own` of `lines`; the
/// middle of the frame where the line has no point.
pub fn beside(
    own: usize,
    lines: &[Vec<[f64; 2]>],
    [width, height]: [f64; 2],
    taken: &[Taken],
    frame: &Place,
) -> Place {
    let dense: Vec<_> = lines.iter().map(|line| along(line, 4.0)).collect();
    let around = |[x, y]: [f64; 2], gap: f64| {
        let sides = [[-0.5, -1.0], [-0.5, 1.0], [0.0, -1.0], [0.0, 1.0], [-1.0, -1.0], [-1.0, 1.0]];
        sides.map(|[left, side]: [f64; 2]| {
            let y = if side < 0.0 { y - gap - height } else { y + gap };
            (gap, Place { x: x + left * width, y, width, height })
        })
    };
    let points = dense.get(own).into_iter().flatten();
    let places = points.flat_map(|point| GAPS.map(|gap| around(*point, gap)).concat());
    let cost = |gap: f64, place: &Place| -> f64 {
        let near = |line: &Vec<[f64; 2]>| {
            line.iter().map(|point| place.distance(*point)).fold(f64::INFINITY, f64::min)
        };
        let lines: f64 = dense
            .iter()
            .enumerate()
            .map(|(n, line)| {
                let clear = if n == own { 0.6 * NEAREST } else { CLEAR };
                let near = near(line);
                let short = (clear - near).max(0.0) / clear;
                let across = if near == 0.0 { 3.0 } else { 0.0 };
                across + short
            })
            .sum();
        let met = taken.iter().filter(|(other, _)| place.meets(other));
        let taken: f64 = met.map(|(_, bad)| bad).sum();
        // Of places as good, the one nearest to the middle of the picture.
        let [x, _] = place.centre();
        let aside = (x - frame.centre()[0]).abs() / frame.width;
        lines + taken + 0.3 * aside + 0.02 * (gap - NEAREST)
    };
    places
        .filter(|(_, place)| place.inside(frame))
        .map(|(gap, place)| (cost(gap, &place), place))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or(Place { x: frame.x, y: frame.y, width, height }, |(_, place)| place)
}

/// Rows for labels above a picture: for each its left edge and its row, 0 the
/// lowest. None meets another, and each stands as near to its place as fits.
pub fn in_rows(wanted: &[(f64, f64)], [left, right]: [f64; 2], gap: f64) -> Vec<(f64, usize)> {
    let mut rows: Vec<Vec<(f64, f64)>> = Vec::new();
    wanted
        .iter()
        .map(|(at, width)| {
            let x = (at - 0.5 * width).min(right - width).max(left);
            let free = |row: &Vec<(f64, f64)>| {
                row.iter().all(|(from, to)| x > to + gap || x + width < from - gap)
            };
            let row = rows.iter().position(free).unwrap_or_else(|| {
                rows.push(Vec::new());
                rows.len() - 1
            });
            if let Some(row) = rows.get_mut(row) {
                row.push((x, x + width));
            }
            (x, row)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_in_rows_never_meet() {
        let placed = in_rows(&[(10.0, 80.0), (50.0, 80.0), (300.0, 90.0)], [0.0, 320.0], 6.0);
        assert_eq!(placed, [(0.0, 0), (10.0, 1), (230.0, 0)]);
    }

    #[test]
    fn a_label_keeps_off_the_other_line() {
        let frame = Place { x: 0.0, y: 0.0, width: 200.0, height: 100.0 };
        let lines = [vec![[0.0, 50.0], [200.0, 50.0]], vec![[0.0, 30.0], [200.0, 30.0]]];
        let place = beside(0, &lines, [60.0, 14.0], &[], &frame);
        assert!(place.y >= 55.0, "below its line, as the other is above: {place:?}");
    }
}

//! Cuts an upright body with an outline: a Cartesian plane of cut columns, in layers.

use super::mesh::{Face, FaceKind, Mesh, Resolution};
use super::outline::Outline;
use super::patchwork::{Border, Opening, Patch, Patchwork};

/// Fewest layers and columns across: the middle must be told from the faces.
const FEWEST: f64 = 3.0;

pub(crate) fn mesh(outline: &Outline, depth: f64, resolution: Resolution) -> Mesh {
    let (part, mirrors) = smallest_part(outline);
    let copies = mirrors.iter().flatten().fold(1.0, |copies, _| 2.0 * copies);
    let cells = resolution.cells(3);
    let area = part.area();
    let layers = (depth / (area * depth / cells).cbrt()).round().clamp(FEWEST, cells / 8.0);
    let side = (area * layers / cells).sqrt();
    let plane = cut(&part, side, mirrors).joined();

    let columns = plane.sizes.len();
    let (layers, height) = (layers as usize, depth / layers);
    let mut volume = Vec::with_capacity(columns * layers);
    let mut links = Vec::new();
    let mut faces = Vec::new();
    for layer in 0..layers {
        let first = layer * columns;
        volume.extend(plane.sizes.iter().map(|area| area * height));
        links.extend(plane.links.iter().map(|&(i, j, g)| (first + i, first + j, g * height)));
        faces.extend(plane.borders.iter().map(|&(i, kind, length, distance)| Face {
            cell: first + i,
            kind,
            area: length * height,
            distance,
        }));
        if layer > 0 {
            let up = plane.sizes.iter().enumerate();
            links.extend(up.map(|(i, area)| (first + i - columns, first + i, area / height)));
        }
    }
    for (kind, first) in [(FaceKind::Top, columns * (layers - 1)), (FaceKind::Base, 0)] {
        faces.extend(plane.sizes.iter().enumerate().map(|(i, &area)| Face {
            cell: first + i,
            kind,
            area,
            distance: 0.5 * height,
        }));
    }
    Mesh::new(volume, links, faces, copies)
}

/// The half or quarter that mirror symmetry leaves to compute, and its mirror planes.
fn smallest_part(outline: &Outline) -> (Outline, [Option<f64>; 2]) {
    let [low, high] = outline.bounds();
    let mut part = outline.clone();
    let mut mirrors = [None; 2];
    for axis in 0..2 {
        if outline.is_mirrored(axis) {
            let middle = 0.5 * (low[axis] + high[axis]);
            part = part.above(axis, middle);
            mirrors[axis] = Some(middle);
        }
    }
    (part, mirrors)
}

fn cut(part: &Outline, side: f64, mirrors: [Option<f64>; 2]) -> Patchwork {
    let [low, high] = part.bounds();
    let lines: [Vec<f64>; 2] = [0, 1].map(|axis| {
        let least = if mirrors[axis].is_some() { 2.0 } else { FEWEST };
        let count = ((high[axis] - low[axis]) / side).round().max(least) as usize;
        let step = (high[axis] - low[axis]) / count as f64;
        (0..=count).map(|i| low[axis] + i as f64 * step).collect()
    });
    let [xs, ys] = &lines;
    let across = xs.len() - 1;
    let mut plane = Patchwork { nearest: 0.15 * side, ..Patchwork::default() };
    for y in ys.windows(2) {
        for x in xs.windows(2) {
            let piece = part.within([x[0], y[0]], [x[1], y[1]]);
            let centre = piece.centroid();
            plane.patches.push(Patch {
                size: centre.map_or(0.0, |_| piece.area()),
                full: (x[1] - x[0]) * (y[1] - y[0]),
                centre: centre.unwrap_or([0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])]),
            });
        }
    }
    for (j, y) in ys.windows(2).enumerate() {
        for (i, x) in xs.windows(2).enumerate() {
            let here = j * across + i;
            if i + 1 < across {
                let open = part.open_length(0, x[1], y[0], y[1]);
                plane.open([here, here + 1], open, 0, x[1] - x[0]);
            }
            if j + 2 < ys.len() {
                let open = part.open_length(1, y[1], x[0], x[1]);
                plane.open([here, here + across], open, 1, y[1] - y[0]);
            }
        }
    }
    let nudge = 1e-7 * side;
    for piece in part.pieces([xs, ys], mirrors) {
        let inside = [0, 1].map(|axis| {
            let at = piece.middle[axis] - nudge * piece.normal[axis];
            lines[axis].partition_point(|line| *line <= at).clamp(1, lines[axis].len() - 1) - 1
        });
        plane.borders.push(Border {
            cell: inside[1] * across + inside[0],
            kind: FaceKind::Side,
            size: piece.length,
            middle: piece.middle,
            normal: piece.normal,
        });
    }
    plane
}

impl Patchwork {
    /// Opens two neighbours to each other, as far apart along the axis as their
    /// centres, but no nearer than half a whole cell.
    fn open(&mut self, cells: [usize; 2], aperture: f64, axis: usize, step: f64) {
        let [a, b] = cells.map(|cell| self.patches[cell].centre[axis]);
        let distance = (b - a).max(0.5 * step);
        self.openings.push(Opening { cells, aperture, distance });
    }
}

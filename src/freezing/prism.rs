//! Cuts a body with the same outline all along: a Cartesian plane of cut columns, in layers.

use super::mesh::{Face, FaceKind, Mesh, Resolution};
use super::patchwork::{Border, Joined, Opening, Patch, Patchwork};
use crate::shape::{Outline, Piece};
use std::f64::consts::PI;

/// Fewest layers and columns across: the middle must be told from the faces.
const FEWEST: f64 = 3.0;

/// An outline wrinkled beyond this (perimeter over that of a circle of its area)
/// takes more columns in fewer layers, so that its arms are not lost; at most so many
/// times more. Both are chosen on the built-in moulds: the snowflake's working grid is then 0.8 %
/// from the converged one (`benches/ice_answer.rs`).
const WRINKLED: f64 = 1.7;
const MOST_MORE: f64 = 1.8;

/// How an outline is cut into columns, for any size of it and any depth.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plane {
    columns: Joined,
    copies: f64,
    layers: usize,
    /// Area of the whole outline that was cut, m².
    area: f64,
}

impl Plane {
    /// `side` is what a piece of the outline looks to.
    pub(crate) fn of(
        outline: &Outline,
        depth: f64,
        resolution: Resolution,
        side: fn(&Piece) -> FaceKind,
    ) -> Self {
        let (part, mirrors) = smallest_part(outline);
        let copies = mirrors.iter().flatten().fold(1.0, |copies, _| 2.0 * copies);
        let wrinkles = outline.perimeter() / (4.0 * PI * outline.area()).sqrt() / WRINKLED;
        let cells = resolution.cells(3);
        let area = part.area();
        let more = (wrinkles * wrinkles).clamp(1.0, MOST_MORE);
        let even = (depth / (area * depth / cells).cbrt()).round().clamp(FEWEST, cells / 8.0);
        let layers = (even / more.sqrt()).round().max(FEWEST);
        let width = (area * even / (cells * more)).sqrt();
        let columns = cut(&part, width, mirrors, side).joined();
        Self { columns, copies, layers: layers as usize, area: outline.area() }
    }

    /// The mesh of the outline scaled to another area, at a depth; `ends` are what the first
    /// and the last layer look to, none where the body goes on as its mirror image.
    pub(crate) fn mesh(&self, area: f64, depth: f64, ends: [Option<FaceKind>; 2]) -> Mesh {
        let (wide, square) = ((area / self.area).sqrt(), area / self.area);
        let height = depth / self.layers as f64;
        let columns = self.columns.sizes.len();
        let mut volume = Vec::with_capacity(columns * self.layers);
        let mut links = Vec::new();
        let mut faces = Vec::new();
        for layer in 0..self.layers {
            let first = layer * columns;
            let sizes = self.columns.sizes.iter();
            volume.extend(sizes.clone().map(|size| size * square * height));
            let sideways = self.columns.links.iter();
            links.extend(sideways.map(|&(i, j, g)| (first + i, first + j, g * height)));
            faces.extend(self.columns.borders.iter().map(|&(i, kind, length, distance)| Face {
                cell: first + i,
                kind,
                area: length * wide * height,
                distance: distance * wide,
            }));
            if layer > 0 {
                let up = |(i, size)| (first + i - columns, first + i, size * square / height);
                links.extend(sizes.enumerate().map(up));
            }
        }
        let mirrored = ends.iter().filter(|end| end.is_none()).count() as i32;
        for (end, first) in ends.into_iter().zip([0, columns * (self.layers - 1)]) {
            let Some(kind) = end else { continue };
            faces.extend(self.columns.sizes.iter().enumerate().map(|(i, &size)| Face {
                cell: first + i,
                kind,
                area: size * square,
                distance: 0.5 * height,
            }));
        }
        Mesh::new(volume, links, faces, self.copies * 2.0_f64.powi(mirrored))
    }
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

fn cut(
    part: &Outline,
    width: f64,
    mirrors: [Option<f64>; 2],
    side: fn(&Piece) -> FaceKind,
) -> Patchwork {
    let [low, high] = part.bounds();
    let lines: [Vec<f64>; 2] = [0, 1].map(|axis| {
        let least = if mirrors[axis].is_some() { 2.0 } else { FEWEST };
        let count = ((high[axis] - low[axis]) / width).round().max(least) as usize;
        let step = (high[axis] - low[axis]) / count as f64;
        (0..=count).map(|i| low[axis] + i as f64 * step).collect()
    });
    let [xs, ys] = &lines;
    let across = xs.len() - 1;
    let mut plane = Patchwork { nearest: 0.15 * width, ..Patchwork::default() };
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
    let nudge = 1e-7 * width;
    for piece in part.pieces([xs, ys], mirrors) {
        let inside = [0, 1].map(|axis| {
            let at = piece.middle[axis] - nudge * piece.normal[axis];
            lines[axis].partition_point(|line| *line <= at).clamp(1, lines[axis].len() - 1) - 1
        });
        plane.borders.push(Border {
            cell: inside[1] * across + inside[0],
            kind: side(&piece),
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

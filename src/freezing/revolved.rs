//! Cuts a body of revolution into rings and layers with exact cut volumes and areas.

use std::f64::consts::PI;

use super::mesh::FaceKind::{Base, Side, Top};
use super::mesh::{Face, Mesh, Resolution};
use super::patchwork::{Border, Opening, Patch, Patchwork};
use crate::shape::Profile;

/// Fewest rings and layers.
const FEWEST: f64 = 4.0;
/// Thin slices of a layer over which the profile is integrated.
const SLICES: usize = 16;

/// The grid: rings of equal width from the hole outwards, layers of equal height.
struct Grid {
    hole: f64,
    width: f64,
    rings: usize,
    height: f64,
    layers: usize,
}

impl Grid {
    fn ring(&self, i: usize) -> [f64; 2] {
        [self.hole + i as f64 * self.width, self.hole + (i + 1) as f64 * self.width]
    }

    fn ring_at(&self, radius: f64) -> usize {
        (((radius - self.hole) / self.width) as usize).min(self.rings - 1)
    }
}

pub(crate) fn mesh(profile: &Profile, fill: f64, stretch: f64, resolution: Resolution) -> Mesh {
    let radius = |z: f64| profile.radius((z / stretch).min(fill));
    let depth = fill * stretch;
    let hole = profile.hole();
    let heights = (0..=64).map(|i| f64::from(i) / 64.0 * depth);
    let widest = heights.map(radius).fold(0.0, f64::max);
    let mean =
        (0..64).map(|i| radius((f64::from(i) + 0.5) / 64.0 * depth) - hole).sum::<f64>() / 64.0;
    let step = (mean * depth / resolution.cells(2)).sqrt();
    let rings = ((widest - hole) / step).round().max(FEWEST);
    let layers = (depth / step).round().max(FEWEST);
    let grid = Grid {
        hole,
        width: (widest - hole) / rings,
        rings: rings as usize,
        height: depth / layers,
        layers: layers as usize,
    };
    let plane = cut(&grid, radius).joined();
    let faces = plane
        .borders
        .into_iter()
        .map(|(cell, kind, area, distance)| Face { cell, kind, area, distance })
        .collect();
    Mesh::new(plane.sizes, plane.links, faces, 1.0)
}

fn cut(grid: &Grid, radius: impl Fn(f64) -> f64) -> Patchwork {
    let nearest = 0.15 * grid.width.min(grid.height);
    let mut plane = Patchwork { nearest, ..Patchwork::default() };
    for layer in 0..grid.layers {
        cut_layer(grid, layer, &radius, &mut plane);
    }
    for layer in 0..=grid.layers {
        let z = layer as f64 * grid.height;
        let edge = radius(z);
        for i in 0..grid.rings {
            let disc = annulus(grid.ring(i), edge);
            let above = layer * grid.rings + i;
            if disc <= 0.0 {
                continue;
            }
            let middle = [0.5 * (grid.ring(i)[0] + grid.ring(i)[1].min(edge)), z];
            let border =
                |cell, kind, up| Border { cell, kind, size: disc, middle, normal: [0.0, up] };
            if layer == 0 {
                plane.borders.push(border(above, Base, -1.0));
            } else if layer == grid.layers {
                plane.borders.push(border(above - grid.rings, Top, 1.0));
            } else {
                let cells = [above - grid.rings, above];
                let [a, b] = cells.map(|cell| plane.patches[cell].centre[1]);
                let distance = (b - a).max(0.5 * grid.height);
                plane.openings.push(Opening { cells, aperture: disc, distance });
            }
        }
    }
    plane
}

/// Volumes, openings between rings and wall areas of one layer.
fn cut_layer(grid: &Grid, layer: usize, radius: &impl Fn(f64) -> f64, plane: &mut Patchwork) {
    let first = plane.patches.len();
    let slice = grid.height / SLICES as f64;
    let bottom = layer as f64 * grid.height;
    let edges: Vec<f64> = (0..=SLICES).map(|s| radius(bottom + s as f64 * slice)).collect();
    for i in 0..grid.rings {
        let ring = grid.ring(i);
        let (mut size, mut moment) = (0.0, [0.0; 2]);
        for s in 0..SLICES {
            let z = bottom + (s as f64 + 0.5) * slice;
            let edge = radius(z);
            // Simpson's rule over the slice: exact for cups, close for bowls.
            let area =
                annulus(ring, edges[s]) + 4.0 * annulus(ring, edge) + annulus(ring, edges[s + 1]);
            let volume = area / 6.0 * slice;
            size += volume;
            moment[0] += volume * 0.5 * (ring[0] + ring[1].min(edge));
            moment[1] += volume * z;
        }
        let full = PI * (ring[1] * ring[1] - ring[0] * ring[0]) * grid.height;
        let whole = [0.5 * (ring[0] + ring[1]), bottom + 0.5 * grid.height];
        let centre = if size > 0.0 { moment.map(|m| m / size) } else { whole };
        plane.patches.push(Patch { size, full, centre });
        if i > 0 {
            let cells = [first + i - 1, first + i];
            let [a, b] = cells.map(|cell| plane.patches[cell].centre[0]);
            let inner = edges.windows(2).filter(|e| 0.5 * (e[0] + e[1]) > ring[0]).count();
            let aperture = 2.0 * PI * ring[0] * slice * inner as f64;
            let distance = (b - a).max(0.5 * grid.width);
            plane.openings.push(Opening { cells, aperture, distance });
        }
    }
    walls(grid, first, bottom, &edges, plane);
}

/// The outer wall as thin frusta, each in the ring it passes through, and the wall of the hole.
fn walls(grid: &Grid, first: usize, bottom: f64, edges: &[f64], plane: &mut Patchwork) {
    let slice = grid.height / SLICES as f64;
    for (s, pair) in edges.windows(2).enumerate() {
        let out = pair[1] - pair[0];
        let slant = out.hypot(slice);
        let z = bottom + (s as f64 + 0.5) * slice;
        // A flat frustum (the foot of a bowl) passes under several rings.
        let parts = 1 + (out.abs() / grid.width * 2.0) as usize;
        for part in 0..parts {
            let at = |k: usize| pair[0] + out * k as f64 / parts as f64;
            let here = 0.5 * (at(part) + at(part + 1));
            plane.borders.push(Border {
                cell: first + grid.ring_at(here),
                kind: Side,
                size: 2.0 * PI * here * slant / parts as f64,
                middle: [here, z],
                normal: [slice / slant, -out / slant],
            });
        }
        if grid.hole > 0.0 {
            plane.borders.push(Border {
                cell: first,
                kind: Side,
                size: 2.0 * PI * grid.hole * slice,
                middle: [grid.hole, z],
                normal: [-1.0, 0.0],
            });
        }
    }
}

/// Area of a ring inside a radius, m².
fn annulus(ring: [f64; 2], edge: f64) -> f64 {
    let outer = ring[1].min(edge);
    if outer > ring[0] { PI * (outer * outer - ring[0] * ring[0]) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Straight walls are half a cell from the middles of the cells along them, at the hole
    /// as at the rim, and so are top and base.
    #[test]
    fn walls_of_a_ring_are_half_a_cell_away() {
        let (hole, rim, depth) = (0.03, 0.08, 0.04);
        let mesh =
            mesh(&Profile::Cup { base: rim, rim, depth, hole }, depth, 1.0, Resolution::Working);
        let cells = mesh.cells();
        let levels = |kind| mesh.faces.iter().filter(move |face| face.kind == kind);
        let rings = levels(Top).count();
        let layers = cells / rings;
        let (width, height) = ((rim - hole) / rings as f64, depth / layers as f64);
        assert!(levels(Top).chain(levels(Base)).all(|f| (f.distance - 0.5 * height).abs() < 1e-9));
        assert_eq!(levels(Side).count(), 2 * layers);
        for face in levels(Side) {
            assert!((face.distance - 0.5 * width).abs() < 1e-9, "{face:?}, width {width}");
        }
        // Area over distance between rings i and i + 1: 2π r h/Δr at the wall between them.
        let sums = mesh.link_sums();
        let between = |i: usize| 2.0 * PI * (hole + i as f64 * width) * height / width;
        let up = |i: usize| annulus([hole + i as f64 * width, hole + (i + 1) as f64 * width], 1.0);
        let corner = between(1) + up(0) / height;
        assert!((sums[0] / corner - 1.0).abs() < 1e-9, "{} and {corner}", sums[0]);
    }

    /// No point of a cell is farther from its wall than across the cell and a joined sliver.
    #[test]
    fn slanting_walls_are_near_their_cells() {
        let depth = 0.06;
        for profile in [
            Profile::Cup { base: 0.02, rim: 0.06, depth, hole: 0.0 },
            Profile::Cup { base: 0.06, rim: 0.02, depth, hole: 0.0 },
            Profile::Bowl { radius: 0.06 },
        ] {
            let mesh = mesh(&profile, depth, 1.0, Resolution::Working);
            // About a hundred cells over the half section, and up to two of them across.
            let across = (2.0_f64 * 0.04 * depth / 100.0).sqrt() * 2.0;
            let walls = mesh.faces.iter().filter(|face| face.kind == Side);
            for face in walls {
                assert!(face.distance > 0.0 && face.distance < across, "{profile:?}: {face:?}");
            }
        }
    }

    #[test]
    fn area_of_a_ring_inside_a_radius() {
        for (edge, wanted) in
            [(0.5, 0.0), (1.0, 0.0), (1.5, 1.25 * PI), (2.0, 3.0 * PI), (9.0, 3.0 * PI)]
        {
            assert!((annulus([1.0, 2.0], edge) - wanted).abs() < 1e-12, "inside {edge}");
        }
    }
}

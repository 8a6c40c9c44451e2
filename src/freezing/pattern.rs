//! How a body of water is cut into a mesh, whatever its section.

use std::f64::consts::PI;

use super::mesh::{Face, FaceKind, Mesh, Resolution};
use super::prism::Plane;
use super::revolved;
use crate::shape::{Body, Outline, Piece, Section, segment};
use crate::units::in_metres;

impl Mesh {
    /// Cuts a body; its depth is stretched by `stretch` (the rise of the water as it
    /// freezes), 1 for none.
    pub fn of(body: &Body, resolution: Resolution, stretch: f64) -> Self {
        Pattern::of(body, resolution).mesh(body, stretch)
    }
}

/// A way of cutting shapes that serves for a family of them.
///
/// An outline is cut once and its columns serve for every size and depth of
/// it, so that two such blocks differ by their size and not by their grids.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    resolution: Resolution,
    plane: Option<Plane>,
}

impl Pattern {
    /// The pattern of a filled shape and of those with the same outline.
    pub fn of(body: &Body, resolution: Resolution) -> Self {
        let plane = match &body.section {
            Section::Prism(outline) => Some(upright(outline, in_metres(body.fill()), resolution)),
            _ => None,
        };
        Self { resolution, plane }
    }

    /// How finely it cuts.
    pub(crate) fn resolution(&self) -> Resolution {
        self.resolution
    }

    /// Cuts a body, its depth stretched by `stretch`.
    pub fn mesh(&self, body: &Body, stretch: f64) -> Mesh {
        let fill = in_metres(body.fill());
        let resolution = self.resolution;
        match (&body.section, &self.plane) {
            (Section::Slab { area }, _) => slab(fill * stretch, *area, resolution),
            (Section::Prism(outline), plane) => {
                let ends = [Some(FaceKind::Base), Some(FaceKind::Top)];
                let mesh = |plane: &Plane| plane.mesh(outline.area(), fill * stretch, ends);
                match plane {
                    Some(plane) => mesh(plane),
                    None => mesh(&upright(outline, fill, resolution)),
                }
            }
            (Section::Revolved(profile), _) => revolved::mesh(profile, fill, stretch, resolution),
            (Section::Ball { radius }, _) => {
                let area = |r: f64| 4.0 * PI * r * r;
                shells(*radius, area, |r| 4.0 / 3.0 * PI * r.powi(3), resolution)
            }
            (Section::Log { radius, length }, _) => {
                let outline = segment(*radius, fill, stretch);
                // The flat top is the one side that looks straight up; one half is computed.
                let side = |piece: &Piece| {
                    if piece.normal[1] > 0.999 { FaceKind::Top } else { FaceKind::Side }
                };
                let half = 0.5 * length;
                let plane = Plane::of(&outline, half, resolution, side);
                plane.mesh(outline.area(), half, [None, Some(FaceKind::Side)])
            }
            (Section::LongCylinder { radius, length }, _) => {
                let area = |r: f64| 2.0 * PI * r * length;
                shells(*radius, area, |r| PI * r * r * length, resolution)
            }
        }
    }
}

fn upright(outline: &Outline, depth: f64, resolution: Resolution) -> Plane {
    Plane::of(outline, depth, resolution, |_| FaceKind::Side)
}

fn slab(depth: f64, area: f64, resolution: Resolution) -> Mesh {
    let n = resolution.cells(1) as usize;
    let step = depth / n as f64;
    let links = (1..n).map(|i| (i - 1, i, area / step)).collect();
    let distance = 0.5 * step;
    let faces = vec![
        Face { cell: n - 1, kind: FaceKind::Top, area, distance },
        Face { cell: 0, kind: FaceKind::Base, area, distance },
    ];
    Mesh::new(vec![area * step; n], links, faces, 1.0)
}

/// Nested shells of a ball or a long cylinder.
fn shells(
    radius: f64,
    area: impl Fn(f64) -> f64,
    volume_to: impl Fn(f64) -> f64,
    resolution: Resolution,
) -> Mesh {
    let n = resolution.cells(1) as usize;
    let step = radius / n as f64;
    let at = |i: usize| i as f64 * step;
    let volume = (0..n).map(|i| volume_to(at(i + 1)) - volume_to(at(i))).collect();
    let links = (1..n).map(|i| (i - 1, i, area(at(i)) / step)).collect();
    let face = Face { cell: n - 1, kind: FaceKind::Side, area: area(radius), distance: 0.5 * step };
    Mesh::new(volume, links, vec![face], 1.0)
}

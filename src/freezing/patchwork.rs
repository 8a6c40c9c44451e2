//! A plane of cut cells before it becomes a mesh: slivers are joined to a neighbour.
//!
//! A sliver would force tiny time steps; joined to the neighbour it is most
//! open to, its volume, its border and its other openings are kept.

use super::mesh::FaceKind;

/// A cell of the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Patch {
    /// Area (prism) or volume (body of revolution).
    pub(crate) size: f64,
    /// Size of a cell that is not cut.
    pub(crate) full: f64,
    /// Centre of mass.
    pub(crate) centre: [f64; 2],
}

/// An opening between two cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Opening {
    pub(crate) cells: [usize; 2],
    pub(crate) aperture: f64,
    pub(crate) distance: f64,
}

/// A piece of border: its cell, size, middle and unit normal outwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Border {
    pub(crate) cell: usize,
    pub(crate) kind: FaceKind,
    pub(crate) size: f64,
    pub(crate) middle: [f64; 2],
    pub(crate) normal: [f64; 2],
}

/// Cut cells, openings and borders; cells of no size are void.
#[derive(Debug, Default)]
pub(crate) struct Patchwork {
    pub(crate) patches: Vec<Patch>,
    pub(crate) openings: Vec<Opening>,
    pub(crate) borders: Vec<Border>,
    /// Least distance of a border from the centre of its cell, m.
    pub(crate) nearest: f64,
}

/// A cell smaller than this share of a whole one is a sliver.
const SLIVER: f64 = 0.5;

/// The plane after joining: sizes; links with area over distance; borders with
/// cell, kind, size and distance from the centre.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Joined {
    pub(crate) sizes: Vec<f64>,
    pub(crate) links: Vec<(usize, usize, f64)>,
    pub(crate) borders: Vec<(usize, FaceKind, f64, f64)>,
}

impl Patchwork {
    /// Joins slivers, drops voids and numbers what is left in the old order.
    pub(crate) fn joined(self) -> Joined {
        let owner = self.owners();
        let mut number = vec![usize::MAX; self.patches.len()];
        let mut sizes = Vec::new();
        for (i, patch) in self.patches.iter().enumerate() {
            if owner[i] == i && patch.size > 0.0 {
                number[i] = sizes.len();
                sizes.push(0.0);
            }
        }
        let mut centres = vec![[0.0; 2]; sizes.len()];
        for (i, patch) in self.patches.iter().enumerate().filter(|(_, p)| p.size > 0.0) {
            let n = number[owner[i]];
            sizes[n] += patch.size;
            (0..2).for_each(|axis| centres[n][axis] += patch.size * patch.centre[axis]);
        }
        for (centre, size) in centres.iter_mut().zip(&sizes) {
            *centre = centre.map(|moment| moment / size);
        }
        let links = self.links(|i| number[owner[i]]);
        let borders = self.sided(|i| number[owner[i]], &centres);
        Joined { sizes, links, borders }
    }

    /// The cell each cell belongs to: itself, or the one it is joined to.
    fn owners(&self) -> Vec<usize> {
        let mut owner: Vec<usize> = (0..self.patches.len()).collect();
        let mut size: Vec<f64> = self.patches.iter().map(|p| p.size).collect();
        let mut slivers: Vec<usize> = (0..self.patches.len())
            .filter(|&i| size[i] > 0.0 && size[i] < SLIVER * self.patches[i].full)
            .collect();
        slivers.sort_by(|&a, &b| size[a].total_cmp(&size[b]));
        for sliver in slivers {
            if owner[sliver] != sliver || size[sliver] >= SLIVER * self.patches[sliver].full {
                continue;
            }
            let mut widest = (0.0, sliver);
            for opening in &self.openings {
                let [a, b] = opening.cells.map(|i| owner[i]);
                let other = if a == sliver { b } else { a };
                // A corner cut to nothing may still seem open: there is no cell to join.
                let open = (a == sliver || b == sliver) && other != sliver && size[other] > 0.0;
                if open && opening.aperture > widest.0 {
                    widest = (opening.aperture, other);
                }
            }
            let into = widest.1;
            if into != sliver {
                size[into] += size[sliver];
                owner.iter_mut().filter(|o| **o == sliver).for_each(|o| *o = into);
            }
        }
        owner
    }

    fn links(&self, number: impl Fn(usize) -> usize) -> Vec<(usize, usize, f64)> {
        let mut links: Vec<(usize, usize, f64)> = Vec::new();
        for opening in self.openings.iter().filter(|o| o.aperture > 0.0) {
            let [a, b] = opening.cells.map(&number);
            if a != b && a != usize::MAX && b != usize::MAX {
                links.push((a.min(b), a.max(b), opening.aperture / opening.distance));
            }
        }
        links.sort_by_key(|&(a, b, _)| (a, b));
        links.dedup_by(|next, kept| {
            let same = (next.0, next.1) == (kept.0, kept.1);
            if same {
                kept.2 += next.2;
            }
            same
        });
        links
    }

    /// One border a cell and kind: sizes added, conductances in parallel.
    fn sided(
        &self,
        number: impl Fn(usize) -> usize,
        centres: &[[f64; 2]],
    ) -> Vec<(usize, FaceKind, f64, f64)> {
        let mut borders: Vec<(usize, FaceKind, f64, f64)> = Vec::new();
        for border in &self.borders {
            let cell = number(border.cell);
            if cell == usize::MAX {
                continue;
            }
            let reach: f64 = (0..2)
                .map(|axis| (border.middle[axis] - centres[cell][axis]) * border.normal[axis])
                .sum();
            // A border seen edge-on from the centre still has some ice before it.
            borders.push((cell, border.kind, border.size, reach.max(self.nearest)));
        }
        borders.sort_by_key(|b| (b.1, b.0));
        let mut merged: Vec<(usize, FaceKind, f64, f64)> = Vec::new();
        for (cell, kind, size, distance) in borders {
            match merged.last_mut() {
                Some(last) if last.0 == cell && last.1 == kind => {
                    let conductance = last.2 / last.3 + size / distance;
                    last.2 += size;
                    last.3 = last.2 / conductance;
                }
                _ => merged.push((cell, kind, size, distance)),
            }
        }
        merged
    }
}

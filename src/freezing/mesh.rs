//! Finite volumes of a filled shape: cells, links between them, faces to the outside.
//!
//! One form serves all shapes; how they are cut is in [`super::pattern`]. Areas and volumes
//! are those of the true shape, not of a staircase: at the small Biot numbers
//! of a kitchen the area sets the time.

/// How finely a shape is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Resolution {
    /// A few dozen cells: for many runs at once, corrected by a working one.
    Coarse,
    /// A few hundred cells: within 1 % of the converged answer.
    Working,
    /// Thousands of cells: for checking.
    Converged,
}

impl Resolution {
    /// Cells wanted in a computed part of this many dimensions.
    pub(crate) fn cells(self, dimensions: usize) -> f64 {
        let counts = match self {
            Self::Coarse => [6.0, 20.0, 28.0],
            Self::Working => [16.0, 100.0, 450.0],
            Self::Converged => [60.0, 1500.0, 6000.0],
        };
        counts[dimensions - 1]
    }
}

/// Which way a face of a block looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceKind {
    /// The open top.
    Top = 0,
    /// Against the wall of the mould.
    Side = 1,
    /// What the mould stands on.
    Base = 2,
}

/// A patch of the surface of one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Face {
    pub(crate) cell: usize,
    pub(crate) kind: FaceKind,
    /// m².
    pub(crate) area: f64,
    /// From the middle of the cell, m.
    pub(crate) distance: f64,
}

/// The finite volumes of the computed part of a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    /// m³.
    pub(crate) volume: Vec<f64>,
    /// Links: from, to, area over distance, m.
    links: Vec<(u32, u32, f64)>,
    pub(crate) faces: Vec<Face>,
    /// How many equal parts the whole block has.
    copies: f64,
}

/// One link: two cells and its area over distance, m.
pub(crate) type Link = (usize, usize, f64);

impl Mesh {
    pub(crate) fn new(
        volume: Vec<f64>,
        mut links: Vec<Link>,
        mut faces: Vec<Face>,
        copies: f64,
    ) -> Self {
        links.sort_by_key(|&(i, j, _)| (i, j));
        faces.sort_by_key(|face| (face.kind, face.cell));
        let links = links.into_iter().map(|(i, j, g)| (i as u32, j as u32, g)).collect();
        Self { volume, links, faces, copies }
    }

    /// Number of cells computed.
    pub fn cells(&self) -> usize {
        self.volume.len()
    }

    /// How many equal parts the whole block has: mirror images are not computed twice.
    pub fn copies(&self) -> f64 {
        self.copies
    }

    /// Volume of the whole block, m³.
    pub fn total_volume(&self) -> f64 {
        self.copies * self.volume.iter().sum::<f64>()
    }

    /// Area of the whole block that looks each way, m²: top, side, base.
    pub fn areas(&self) -> [f64; 3] {
        let mut areas = [0.0; 3];
        for face in &self.faces {
            areas[face.kind as usize] += self.copies * face.area;
        }
        areas
    }

    /// Whether the cells of another mesh are linked and look outwards as these are, whatever
    /// their sizes.
    pub(crate) fn is_linked_as(&self, other: &Self) -> bool {
        let link = |&(from, to, _): &(u32, u32, f64)| (from, to);
        let face = |face: &Face| (face.cell, face.kind);
        self.cells() == other.cells()
            && self.links.iter().map(link).eq(other.links.iter().map(link))
            && self.faces.iter().map(face).eq(other.faces.iter().map(face))
    }

    /// The neighbours of one cell after the other, each with its area over distance, and
    /// where those of each cell end.
    pub(crate) fn neighbours(&self) -> (Vec<(u32, f64)>, Vec<u32>) {
        let mut ends = vec![0; self.cells()];
        for &(from, to, _) in &self.links {
            ends[from as usize] += 1;
            ends[to as usize] += 1;
        }
        let mut end = 0;
        for count in &mut ends {
            end += *count;
            *count = end;
        }
        // Each list is filled from its end, so that the links come in their order.
        let mut next = ends.clone();
        let mut neighbours = vec![(0, 0.0); end as usize];
        for &(from, to, g) in self.links.iter().rev() {
            for (cell, other) in [(from, to), (to, from)] {
                let place = &mut next[cell as usize];
                *place -= 1;
                neighbours[*place as usize] = (other, g);
            }
        }
        (neighbours, ends)
    }

    /// Sum of the link conductances of each cell, m.
    pub(crate) fn link_sums(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.volume.len()];
        for &(from, to, g) in &self.links {
            sums[from as usize] += g;
            sums[to as usize] += g;
        }
        sums
    }
}

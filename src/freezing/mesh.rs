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

/// A run of links between cells `from + k` and `to + k`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bundle {
    pub(crate) from: usize,
    pub(crate) to: usize,
    /// Area over distance, m.
    pub(crate) conductance: Vec<f64>,
}

/// A run shorter than this is not worth a loop of its own.
const SHORTEST: usize = 8;

impl Bundle {
    fn links(&self) -> impl Iterator<Item = (u32, u32, f64)> + '_ {
        let run = self.conductance.iter().zip(0..);
        run.map(|(g, k)| (self.from as u32 + k, self.to as u32 + k, *g))
    }
}

/// The finite volumes of the computed part of a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    /// m³.
    pub(crate) volume: Vec<f64>,
    pub(crate) bundles: Vec<Bundle>,
    /// Links in no long run: from, to, area over distance.
    pub(crate) singles: Vec<(u32, u32, f64)>,
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
        links.sort_by_key(|&(i, j, _)| (j.wrapping_sub(i), i));
        faces.sort_by_key(|face| (face.kind, face.cell));
        let mut bundles: Vec<Bundle> = Vec::new();
        for (from, to, g) in links {
            match bundles.last_mut() {
                Some(last)
                    if from == last.from + last.conductance.len()
                        && to == last.to + last.conductance.len() =>
                {
                    last.conductance.push(g);
                }
                _ => bundles.push(Bundle { from, to, conductance: vec![g] }),
            }
        }
        let (bundles, short): (Vec<Bundle>, Vec<Bundle>) =
            bundles.into_iter().partition(|bundle| bundle.conductance.len() >= SHORTEST);
        let singles = short.iter().flat_map(Bundle::links).collect();
        Self { volume, bundles, singles, faces, copies }
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

    /// Sum of the link conductances of each cell, m.
    pub(crate) fn link_sums(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.volume.len()];
        let runs = self.bundles.iter().flat_map(Bundle::links);
        for (from, to, g) in runs.chain(self.singles.iter().copied()) {
            sums[from as usize] += g;
            sums[to as usize] += g;
        }
        sums
    }
}

//! The piece: its dough, thickness, open faces, edge and hole.

use crate::dough::recipe::Recipe;
use crate::units::{Length, in_metres};

/// Which faces lose water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Lies on a tray: the upper face only.
    One,
    /// On a rack or hung: both.
    Two,
    /// One at a time, turned over half-way.
    Turn,
}

/// A piece to dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its dough.
    pub recipe: Recipe,
    /// Rolled thickness.
    pub thickness: Length,
    /// Open faces.
    pub faces: Faces,
    /// What the edge adds.
    pub edge: Edge,
}

/// What edges and a hole add to the faces of a flat piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// Broad enough for its edge not to matter.
    Broad,
    /// A round piece of a radius.
    Round(Length),
    /// A round piece with a hole: outer and inner radius.
    Ring(Length, Length),
}

impl Piece {
    /// (length of the equal slab from its sealed side to its face, m; exposed area over
    /// that of the face).
    ///
    /// Exact in both limits: where diffusion sets the time the slowest modes of slab and
    /// disc add (1/L² = 1/L₀² + (2 μ/π)², μ the disc's first root over its radius), where
    /// the air sets it the exposed area a volume counts (1/L₀ + perimeter over area).
    pub(crate) fn diffusion_length(&self) -> (f64, f64) {
        let thickness = in_metres(self.thickness);
        let flat = if self.faces == Faces::Two { 0.5 * thickness } else { thickness };
        let (mode, edge_area) = match self.edge {
            Edge::Broad => (0.0, 0.0),
            Edge::Round(radius) => {
                /// First zero of the Bessel function J₀. Source: Abramowitz & Stegun table 9.5.
                const FIRST_ZERO: f64 = 2.404_825_557_7;
                let radius = in_metres(radius);
                (FIRST_ZERO / radius, 2.0 / radius)
            }
            Edge::Ring(outer, inner) => {
                let wall = in_metres(outer) - in_metres(inner);
                (std::f64::consts::PI / wall, 2.0 / wall)
            }
        };
        let sideways = 2.0 * mode / std::f64::consts::PI;
        let length = 1.0 / (flat.powi(-2) + sideways * sideways).sqrt();
        (length, length * (1.0 / flat + edge_area))
    }
}

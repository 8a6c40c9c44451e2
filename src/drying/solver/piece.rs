//! The piece: its dough, thickness, open faces, edge and hole.

use crate::drying::recipe::Recipe;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kilograms, millimetres as mm};

    fn close(piece: &Piece, wanted: (f64, f64)) {
        let found = piece.diffusion_length();
        let off = (found.0 / wanted.0 - 1.0).abs().max((found.1 / wanted.1 - 1.0).abs());
        assert!(off < 1e-4, "{piece:?}: {found:?}, not {wanted:?}");
    }

    #[test]
    fn length_and_exposure_in_their_limits() {
        // Which dough does not matter here.
        let recipe = Recipe::by_mass(kilograms(0.25), kilograms(0.29), kilograms(0.24)).unwrap();
        let of = |thickness, faces, edge| Piece { recipe, thickness: mm(thickness), faces, edge };
        // A broad piece is a slab from its middle, or from its sealed side, to its face.
        close(&of(6.0, Faces::Two, Edge::Broad), (0.003, 1.0));
        close(&of(6.0, Faces::One, Edge::Broad), (0.006, 1.0));
        // A ring far taller than its wall is a slab on edge, half the wall thick.
        close(&of(5e6, Faces::Two, Edge::Ring(mm(40.0), mm(30.0))), (0.005, 1.0));
        // A disc far taller than wide is a long cylinder: its slowest mode is J₀'s first zero
        // over R, so L = π R/(2 · 2.4048), and 2/R of area a volume.
        let length = std::f64::consts::PI * 0.010 / (2.0 * 2.404_826);
        close(&of(5e6, Faces::Two, Edge::Round(mm(10.0))), (length, 2.0 * length / 0.010));
        // One as wide as thick: both modes, 1/L² = 1/5² + 1/L∞², and both areas.
        let both = 1.0 / (1.0 / 0.005_f64.powi(2) + 1.0 / (length * length)).sqrt();
        let piece = of(10.0, Faces::Two, Edge::Round(mm(10.0)));
        close(&piece, (both, both * (1.0 / 0.005 + 2.0 / 0.010)));
    }
}

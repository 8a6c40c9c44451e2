//! Mould shapes by name: their form, usual size and volume.

use std::f64::consts::PI;

use serde::{Deserialize, Deserializer};
use thiserror::Error;

use super::load::row;
use crate::units::{self, Length, Volume, cubic_metres, in_metres, millimetres};

/// The inside of one cavity, in the simplest terms that describe it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Form {
    /// Straight sides over a drawn outline.
    Outline {
        /// A closed simple polygon, counter-clockwise, the longest side of its box 1.
        points: Vec<[f64; 2]>,
        /// What the longest side of the outline's box measures.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
        /// Straight-sided depth.
        #[serde(rename = "depth_mm", deserialize_with = "length_mm")]
        depth: Length,
    },
    /// A brick.
    Box {
        /// Long side.
        #[serde(rename = "length_mm", deserialize_with = "length_mm")]
        length: Length,
        /// Short side.
        #[serde(rename = "width_mm", deserialize_with = "length_mm")]
        width: Length,
        /// Depth.
        #[serde(rename = "depth_mm", deserialize_with = "length_mm")]
        depth: Length,
    },
    /// An upright cylinder.
    Round {
        /// Diameter.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
        /// Depth.
        #[serde(rename = "depth_mm", deserialize_with = "length_mm")]
        depth: Length,
    },
    /// A cone cut short, the narrow end down.
    Cup {
        /// Diameter at the top.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
        /// Diameter at the base.
        #[serde(rename = "base_mm", deserialize_with = "length_mm")]
        base: Length,
        /// Depth.
        #[serde(rename = "depth_mm", deserialize_with = "length_mm")]
        depth: Length,
    },
    /// A ball.
    Ball {
        /// Diameter.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
    },
    /// Half a ball, the flat side up.
    HalfBall {
        /// Diameter.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
    },
    /// An upright cylinder with a round hole.
    Ring {
        /// Outer diameter.
        #[serde(rename = "across_mm", deserialize_with = "length_mm")]
        across: Length,
        /// Diameter of the hole.
        #[serde(rename = "inner_mm", deserialize_with = "length_mm")]
        inner: Length,
        /// Depth.
        #[serde(rename = "depth_mm", deserialize_with = "length_mm")]
        depth: Length,
    },
}

fn length_mm<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Length, D::Error> {
    f64::deserialize(deserializer).map(millimetres)
}

/// A size that a mould cannot have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum SizeError {
    /// Zero, negative, or not a number.
    #[error("a mould's size and depth must be more than nothing")]
    NotPositive,
    /// A ball is as deep as its diameter says.
    #[error("a ball has no depth of its own: give its size instead")]
    NoDepth,
}

impl Form {
    /// Size across at the top: the longest side from above, or the diameter.
    pub fn across(&self) -> Length {
        match *self {
            Self::Outline { across, .. }
            | Self::Round { across, .. }
            | Self::Cup { across, .. }
            | Self::Ball { across }
            | Self::HalfBall { across }
            | Self::Ring { across, .. } => across,
            Self::Box { length, width, .. } => length.max(width),
        }
    }

    /// Depth, brim to base.
    pub fn depth(&self) -> Length {
        match *self {
            Self::Outline { depth, .. }
            | Self::Box { depth, .. }
            | Self::Round { depth, .. }
            | Self::Cup { depth, .. }
            | Self::Ring { depth, .. } => depth,
            Self::Ball { across } => across,
            Self::HalfBall { across } => across / 2.0,
        }
    }

    /// Volume filled to the brim.
    pub fn volume(&self) -> Volume {
        let m = in_metres;
        cubic_metres(match *self {
            Self::Outline { ref points, across, depth } => {
                polygon_area(points) * m(across).powi(2) * m(depth)
            }
            Self::Box { length, width, depth } => m(length) * m(width) * m(depth),
            Self::Round { across, depth } => PI / 4.0 * m(across).powi(2) * m(depth),
            Self::Cup { across, base, depth } => {
                let (top, base) = (m(across), m(base));
                PI / 12.0 * (top * top + top * base + base * base) * m(depth)
            }
            Self::Ball { across } => PI / 6.0 * m(across).powi(3),
            Self::HalfBall { across } => PI / 12.0 * m(across).powi(3),
            Self::Ring { across, inner, depth } => {
                PI / 4.0 * (m(across).powi(2) - m(inner).powi(2)) * m(depth)
            }
        })
    }

    /// The same form at another size across (everything from above in
    /// proportion) and another depth; a ball keeps its proportions.
    ///
    /// # Errors
    /// [`SizeError`] for a size that is not positive, or the depth of a ball.
    pub fn resized(
        &self,
        size: Option<Length>,
        new_depth: Option<Length>,
    ) -> Result<Self, SizeError> {
        let positive = |length: &Length| in_metres(*length) > 0.0 && in_metres(*length).is_finite();
        if !size.iter().chain(&new_depth).all(positive) {
            return Err(SizeError::NotPositive);
        }
        let by = size.map_or(1.0, |size| in_metres(size) / in_metres(self.across()));
        let mut form = self.clone();
        match &mut form {
            Self::Outline { across, depth, .. } | Self::Round { across, depth } => {
                *across *= by;
                *depth = new_depth.unwrap_or(*depth);
            }
            Self::Box { length: long, width: other, depth }
            | Self::Cup { across: long, base: other, depth }
            | Self::Ring { across: long, inner: other, depth } => {
                *long *= by;
                *other *= by;
                *depth = new_depth.unwrap_or(*depth);
            }
            Self::Ball { .. } | Self::HalfBall { .. } if new_depth.is_some() => {
                return Err(SizeError::NoDepth);
            }
            Self::Ball { across } | Self::HalfBall { across } => *across *= by,
        }
        Ok(form)
    }
}

/// Area within a closed polygon, positive when it runs counter-clockwise (shoelace).
fn polygon_area(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

row! {
    /// A mould by its general name.
    Mould {
        form: Form,
        volume_ml: f64,
        cavities: u32,
        wall: String,
    }
}

impl Mould {
    /// The form of one cavity at its usual size.
    pub fn form(&self) -> &Form {
        &self.form
    }

    /// Stated volume of one cavity, filled to the brim.
    pub fn volume(&self) -> Volume {
        units::millilitres(self.volume_ml)
    }

    /// How many cavities one mould or tray has.
    pub fn cavities(&self) -> u32 {
        self.cavities
    }

    /// Name of its usual wall.
    pub fn wall(&self) -> &str {
        &self.wall
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{tables, units::in_millilitres};

    fn outlines() -> impl Iterator<Item = (&'static str, &'static [[f64; 2]])> {
        tables::moulds().iter().filter_map(|mould| match mould.form() {
            Form::Outline { points, .. } => Some((mould.name(), points.as_slice())),
            _ => None,
        })
    }

    #[test]
    fn stated_volumes_are_those_of_the_geometry() {
        assert!(tables::moulds().len() >= 24);
        for mould in tables::moulds() {
            let geometry = in_millilitres(mould.form().volume());
            let off = in_millilitres(mould.volume()) / geometry - 1.0;
            // 2 %: what a measuring cup can show.
            assert!(off.abs() < 0.02, "{}: {geometry} mL", mould.name());
            assert!(tables::wall(mould.wall()).is_ok(), "{}", mould.name());
            assert!(mould.cavities() > 0, "{}", mould.name());
        }
    }

    #[test]
    fn outlines_fill_their_unit_box_counter_clockwise() {
        for (name, points) in outlines() {
            assert!((12..=60).contains(&points.len()), "{name}: {} points", points.len());
            let span = |axis: usize| {
                let of = points.iter().map(|point| point[axis]);
                (of.clone().fold(f64::INFINITY, f64::min), of.fold(f64::NEG_INFINITY, f64::max))
            };
            let ((left, right), (low, high)) = (span(0), span(1));
            assert_eq!((left, low, right.max(high)), (0.0, 0.0, 1.0), "{name}");
            assert!(polygon_area(points) > 0.3, "{name} runs clockwise or is a sliver");
        }
    }

    #[test]
    fn outlines_do_not_cross_themselves() {
        let side = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        };
        for (name, points) in outlines() {
            let edges: Vec<_> =
                points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect();
            for (i, &(a, b)) in edges.iter().enumerate() {
                assert_ne!(a, b, "{name}: a point twice");
                for &(c, d) in &edges[i + 1..] {
                    let crossing =
                        side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
                    assert!(!crossing, "{name}: {a:?}-{b:?} crosses {c:?}-{d:?}");
                }
            }
        }
    }

    #[test]
    fn area_of_a_square() {
        assert_eq!(polygon_area(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]), 1.0);
        assert_eq!(polygon_area(&[]), 0.0);
    }

    #[test]
    fn a_size_scales_from_above_and_a_depth_downwards() {
        for mould in tables::moulds() {
            let form = mould.form();
            let doubled = form.resized(Some(form.across() * 2.0), None).expect("a size");
            let ratio = in_millilitres(doubled.volume()) / in_millilitres(form.volume());
            let expected = match form {
                Form::Ball { .. } | Form::HalfBall { .. } => 8.0,
                _ => 4.0,
            };
            assert!((ratio - expected).abs() < 1e-9, "{}: {ratio}", mould.name());
            match form.resized(None, Some(form.depth() * 2.0)) {
                Ok(deeper) => {
                    let ratio = in_millilitres(deeper.volume()) / in_millilitres(form.volume());
                    assert!((ratio - 2.0).abs() < 1e-9, "{}: {ratio}", mould.name());
                }
                Err(error) => assert_eq!((error, expected), (SizeError::NoDepth, 8.0)),
            }
        }
    }

    #[test]
    fn refuses_sizes_that_are_none() {
        let star = tables::mould("star").expect("in the table").form();
        for bad in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert_eq!(star.resized(Some(millimetres(bad)), None), Err(SizeError::NotPositive));
            assert_eq!(star.resized(None, Some(millimetres(bad))), Err(SizeError::NotPositive));
        }
    }
}

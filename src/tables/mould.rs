//! Mould shapes by name: their shape, usual size and volume.

use serde::{Deserialize, Deserializer, de::Error};

use super::{load::row, surroundings::Wall};
use crate::shape::Shape;

/// By its name in the file.
impl<'d> Deserialize<'d> for &'static Wall {
    fn deserialize<D: Deserializer<'d>>(deserializer: D) -> Result<Self, D::Error> {
        super::wall(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

row! {
    /// A mould by its general name.
    Mould {
        form: Shape,
        volume_ml: f64,
    }
    read {
        /// How many cavities one mould or tray has.
        cavities: u32;
        /// Its usual wall.
        wall: &'static Wall;
    }
}

impl Mould {
    /// The shape of one cavity at its usual size.
    pub fn shape(&self) -> &Shape {
        &self.form
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        shape::{Body, ShapeError},
        tables,
        units::{in_millilitres, millimetres},
    };

    fn outlines() -> impl Iterator<Item = (&'static str, &'static [[f64; 2]])> {
        tables::moulds().iter().filter_map(|mould| match mould.shape() {
            Shape::Outline { points, .. } => Some((mould.name(), points.as_slice())),
            _ => None,
        })
    }

    fn holds(shape: &Shape) -> f64 {
        in_millilitres(Body::of(shape).expect("a mould").capacity())
    }

    #[test]
    fn stated_volumes_are_those_of_the_geometry() {
        assert!(tables::moulds().len() >= 24);
        for mould in tables::moulds() {
            let geometry = holds(mould.shape());
            let off = mould.volume_ml / geometry - 1.0;
            // 2 %: what a measuring cup can show.
            assert!(off.abs() < 0.02, "{}: {geometry} mL", mould.name());
            assert_eq!(tables::wall(mould.wall().name()), Ok(mould.wall()), "{}", mould.name());
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
            let next = points.iter().cycle().skip(1);
            let twice: f64 = points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
            assert!(twice > 0.6, "{name} runs clockwise or is a sliver");
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
    fn a_size_scales_from_above_and_a_depth_downwards() {
        for mould in tables::moulds() {
            let form = mould.shape();
            let doubled = form.resized(Some(form.across() * 2.0), None).expect("a size");
            let ratio = holds(&doubled) / holds(form);
            let expected = match form {
                Shape::Ball { .. } | Shape::HalfBall { .. } => 8.0,
                _ => 4.0,
            };
            assert!((ratio - expected).abs() < 1e-9, "{}: {ratio}", mould.name());
            match form.resized(None, Some(form.depth() * 2.0)) {
                Ok(deeper) => {
                    let ratio = holds(&deeper) / holds(form);
                    assert!((ratio - 2.0).abs() < 1e-9, "{}: {ratio}", mould.name());
                }
                Err(error) => {
                    assert_eq!((error, expected), (ShapeError::NoDepth(form.words()), 8.0))
                }
            }
        }
    }

    #[test]
    fn refuses_sizes_that_are_none() {
        let star = tables::mould("star").expect("in the table").shape();
        for bad in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert_eq!(star.resized(Some(millimetres(bad)), None), Err(ShapeError::NotPositive));
            assert_eq!(star.resized(None, Some(millimetres(bad))), Err(ShapeError::NotPositive));
        }
    }
}

//! Water in a mould: its section, volume and depth.

use std::f64::consts::PI;

use uom::si::area::square_meter;

use super::{Outline, Shape, ShapeError};
use crate::units::{Area, Length, Volume, cubic_metres, in_metres, in_millimetres, metres};

/// The smallest and largest length a mould can have, m.
const LENGTHS: [f64; 2] = [1e-3, 3.0];

/// What a mould is filled to where nobody says, as a share of its depth: ice takes a
/// tenth more room than water.
pub const USUAL_FILL: f64 = 0.9;

/// How a body is cut into cells, sizes in metres.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Section {
    /// A layer of great extent: only top and base; the area scales the mass.
    Slab { area: f64 },
    /// An upright body with this outline at every depth.
    Prism(Outline),
    /// A body of revolution open at the top.
    Revolved(Profile),
    /// A closed ball.
    Ball { radius: f64 },
    /// Half a cylinder on its round side.
    Log { radius: f64, length: f64 },
    /// A cylinder of great length; the length scales the mass.
    LongCylinder { radius: f64, length: f64 },
}

/// The radius of a body of revolution against the height above its base, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Profile {
    /// A cup: straight or tapering, with a hole through it (0 for none).
    Cup { base: f64, rim: f64, depth: f64, hole: f64 },
    /// The lower part of a ball of this radius.
    Bowl { radius: f64 },
}

impl Profile {
    /// Outer radius at a height, m.
    pub(crate) fn radius(&self, z: f64) -> f64 {
        match *self {
            Self::Cup { base, rim, depth, .. } => base + (rim - base) * z / depth,
            Self::Bowl { radius } => (z * (2.0 * radius - z)).max(0.0).sqrt(),
        }
    }

    /// Radius of the hole, m.
    pub(crate) fn hole(&self) -> f64 {
        match *self {
            Self::Cup { hole, .. } => hole,
            Self::Bowl { .. } => 0.0,
        }
    }

    /// Volume below a height, m³.
    fn volume_to(&self, z: f64) -> f64 {
        match *self {
            Self::Cup { base, hole, .. } => {
                let top = self.radius(z);
                PI * z * ((base * base + base * top + top * top) / 3.0 - hole * hole)
            }
            Self::Bowl { radius } => PI * z * z * (radius - z / 3.0),
        }
    }
}

/// A mould and the depth of water in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    pub(crate) section: Section,
    /// Depth of the mould, m.
    depth: f64,
    /// Depth of the water, m.
    fill: f64,
}

fn checked(what: &'static str, length: Length) -> Result<f64, ShapeError> {
    let metres = in_metres(length);
    if (LENGTHS[0]..=LENGTHS[1]).contains(&metres) {
        Ok(metres)
    } else {
        Err(ShapeError::Length { what, millimetres: in_millimetres(length) })
    }
}

impl Body {
    fn full(section: Section, depth: f64) -> Self {
        Self { section, depth, fill: depth }
    }

    /// A shape full to the rim.
    ///
    /// # Errors
    /// [`ShapeError::Length`] for a size out of range, [`ShapeError::Hole`] for a ring
    /// whose hole is not narrower, [`ShapeError::Outline`] when the points enclose
    /// nothing or the line crosses itself.
    pub fn of(shape: &Shape) -> Result<Self, ShapeError> {
        for (field, length) in shape.sizes() {
            checked(field.words, length)?;
        }
        let half = |across| 0.5 * in_metres(across);
        let cup =
            |base, rim, depth, hole| Profile::Cup { base, rim, depth: in_metres(depth), hole };
        let section = match *shape {
            Shape::Outline { ref points, across, .. } => {
                Section::Prism(Outline::new(points)?.scaled_to(in_metres(across)))
            }
            Shape::Box { length, width, .. } => {
                let (length, width) = (in_metres(length), in_metres(width));
                let corners = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
                Section::Prism(Outline::known(corners.to_vec()))
            }
            Shape::Round { across, depth } => {
                Section::Revolved(cup(half(across), half(across), depth, 0.0))
            }
            Shape::Cup { across, base, depth } => {
                Section::Revolved(cup(half(base), half(across), depth, 0.0))
            }
            Shape::Ball { across } => Section::Ball { radius: half(across) },
            Shape::HalfBall { across } => Section::Revolved(Profile::Bowl { radius: half(across) }),
            Shape::Log { across, length } => {
                Section::Log { radius: half(across), length: in_metres(length) }
            }
            Shape::Ring { across, inner, depth } => {
                if half(across) - half(inner) < 0.5 * LENGTHS[0] {
                    let (inner, outer) = (in_millimetres(inner), in_millimetres(across));
                    return Err(ShapeError::Hole { inner, outer });
                }
                Section::Revolved(cup(half(across), half(across), depth, half(inner)))
            }
        };
        Ok(Self::full(section, in_metres(shape.depth())))
    }

    /// A layer cooled on its two faces only; the area sets its mass.
    ///
    /// # Errors
    /// [`ShapeError::Length`] for a thickness or a side of the area out of range.
    pub fn slab(thickness: Length, area: Area) -> Result<Self, ShapeError> {
        let thickness = checked("thickness", thickness)?;
        let side = checked("side of the layer", metres(area.get::<square_meter>().sqrt()))?;
        Ok(Self::full(Section::Slab { area: side * side }, thickness))
    }

    /// A long cylinder cooled on its side only; the length sets its mass.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn long_cylinder(diameter: Length, length: Length) -> Result<Self, ShapeError> {
        let diameter = checked("diameter", diameter)?;
        let length = checked("length", length)?;
        Ok(Self::full(Section::LongCylinder { radius: 0.5 * diameter, length }, diameter))
    }

    /// Filled with water to a depth.
    ///
    /// # Errors
    /// [`ShapeError::TooDeep`] above the rim, [`ShapeError::Length`] below 1 mm.
    pub fn filled_to(&self, fill: Length) -> Result<Self, ShapeError> {
        let fill = checked("fill", fill)?;
        if fill > self.depth * (1.0 + 1e-9) {
            let depth = 1e3 * self.depth;
            return Err(ShapeError::TooDeep { fill: 1e3 * fill, depth });
        }
        let section = match self.section {
            // A ball that is not full is a deep bowl: its water has a flat top.
            Section::Ball { radius } if fill < self.depth * (1.0 - 1e-9) => {
                Section::Revolved(Profile::Bowl { radius })
            }
            ref same => same.clone(),
        };
        Ok(Self { section, fill: fill.min(self.depth), ..*self })
    }

    /// Volume of the water.
    pub fn volume(&self) -> Volume {
        cubic_metres(self.volume_to(self.fill))
    }

    /// Volume of the mould, full to the rim.
    pub fn capacity(&self) -> Volume {
        cubic_metres(self.volume_to(self.depth))
    }

    /// Depth of the water.
    pub fn fill(&self) -> Length {
        metres(self.fill)
    }

    /// Depth of the mould.
    pub fn depth(&self) -> Length {
        metres(self.depth)
    }

    /// Whether the mould encloses the water on every side, so that the ice can
    /// only fill it and not rise.
    pub fn is_closed(&self) -> bool {
        matches!(self.section, Section::Ball { .. })
    }

    /// Area of the open top over its perimeter, m: the length of its film
    /// coefficient. None where there is no top.
    pub(crate) fn top_length(&self) -> Option<f64> {
        match &self.section {
            Section::Slab { area } => Some(0.25 * area.sqrt()),
            Section::Prism(outline) => Some(outline.area() / outline.perimeter()),
            Section::Revolved(profile) => {
                let (outer, hole) = (profile.radius(self.fill), profile.hole());
                Some(0.5 * (outer - hole))
            }
            Section::Log { length, .. } => {
                let width = self.width_at(self.fill);
                Some(0.5 * width * length / (width + length))
            }
            Section::Ball { .. } | Section::LongCylinder { .. } => None,
        }
    }

    /// Longest extent seen from above, m.
    pub(crate) fn across(&self) -> f64 {
        let [width, length] = self.extent();
        width.max(length)
    }

    /// Width and length seen from above, m.
    pub(crate) fn extent(&self) -> [f64; 2] {
        match &self.section {
            Section::Slab { area } => [area.sqrt(); 2],
            Section::Prism(outline) => {
                let [low, high] = outline.bounds();
                [high[0] - low[0], high[1] - low[1]]
            }
            Section::Revolved(profile) => {
                [2.0 * profile.radius(self.depth).max(profile.radius(0.0)); 2]
            }
            Section::Ball { radius } => [2.0 * radius; 2],
            Section::Log { radius, length } | Section::LongCylinder { radius, length } => {
                [2.0 * radius, *length]
            }
        }
    }

    /// Width at a height above the base seen from the side, m.
    pub(crate) fn width_at(&self, z: f64) -> f64 {
        match &self.section {
            Section::Revolved(profile) => 2.0 * profile.radius(z),
            Section::Ball { radius }
            | Section::Log { radius, .. }
            | Section::LongCylinder { radius, .. } => {
                2.0 * Profile::Bowl { radius: *radius }.radius(z)
            }
            Section::Slab { .. } | Section::Prism(_) => self.extent()[0],
        }
    }

    fn volume_to(&self, depth: f64) -> f64 {
        match &self.section {
            Section::Slab { area } => area * depth,
            Section::Prism(outline) => outline.area() * depth,
            Section::Revolved(profile) => profile.volume_to(depth),
            Section::Ball { radius } => Profile::Bowl { radius: *radius }.volume_to(depth),
            Section::Log { radius, length } => segment_area(*radius, depth) * length,
            Section::LongCylinder { radius, length } => PI * radius * radius * length,
        }
    }
}

/// Angle from the foot of a circle to its edge at a height.
fn edge_angle(radius: f64, height: f64) -> f64 {
    ((radius - height) / radius).clamp(-1.0, 1.0).acos()
}

/// Area of a circle below a height: r² (φ − sin φ cos φ).
fn segment_area(radius: f64, height: f64) -> f64 {
    let angle = edge_angle(radius, height);
    radius * radius * (angle - angle.sin() * angle.cos())
}

/// Sides by which the arc of a segment is told.
const ARC_SIDES: usize = 120;

/// The part of a circle below a height, its foot at 0, as a polygon of the same area; the
/// last side is the flat top.
pub(crate) fn segment(radius: f64, height: f64, stretch: f64) -> Outline {
    let angle = edge_angle(radius, height);
    let step = 2.0 * angle / ARC_SIDES as f64;
    let told = 0.5 * (ARC_SIDES as f64 * step.sin() - (2.0 * angle).sin());
    let r = (segment_area(radius, height) / told).sqrt();
    let at = |n: usize| {
        let angle = n as f64 * step - angle;
        [r * angle.sin(), stretch * (radius - r * angle.cos())]
    };
    Outline::known((0..=ARC_SIDES).map(at).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{in_millilitres, millimetres as mm};
    use uom::si::area::square_centimeter;

    /// Area over perimeter of the open top: a quarter of a square's side, of a disc's
    /// diameter; half the width of a ring; a b/2(a + b) of a rectangle.
    #[test]
    fn length_of_the_open_top() {
        let area = Area::new::<square_centimeter>(400.0);
        for (name, shape, millimetres) in [
            ("slab", Body::slab(mm(10.0), area), Some(50.0)),
            (
                "box",
                Body::of(&Shape::Box { length: mm(120.0), width: mm(60.0), depth: mm(40.0) }),
                Some(20.0),
            ),
            ("round", Body::of(&Shape::Round { across: mm(80.0), depth: mm(50.0) }), Some(20.0)),
            (
                "cup",
                Body::of(&Shape::Cup { across: mm(80.0), base: mm(60.0), depth: mm(40.0) }),
                Some(20.0),
            ),
            (
                "ring",
                Body::of(&Shape::Ring { across: mm(150.0), inner: mm(50.0), depth: mm(50.0) }),
                Some(25.0),
            ),
            ("half ball", Body::of(&Shape::HalfBall { across: mm(80.0) }), Some(20.0)),
            ("ball", Body::of(&Shape::Ball { across: mm(60.0) }), None),
            ("long cylinder", Body::long_cylinder(mm(30.0), mm(200.0)), None),
        ] {
            let found = shape.unwrap().top_length().map(|length| 1e3 * length);
            assert_eq!(found.is_some(), millimetres.is_some(), "{name}");
            for (found, wanted) in found.into_iter().zip(millimetres) {
                assert!((found - wanted).abs() < 1e-9, "{name}: {found} mm, not {wanted} mm");
            }
        }
    }

    /// Drawn away from the origin, twice as long as wide.
    const DRAWN: [[f64; 2]; 4] = [[5.0, 5.0], [11.0, 5.0], [11.0, 8.0], [5.0, 8.0]];

    #[test]
    fn extent_seen_from_above() {
        let area = Area::new::<square_centimeter>(400.0);
        for (name, shape, millimetres) in [
            ("slab", Body::slab(mm(10.0), area), 200.0),
            (
                "box",
                Body::of(&Shape::Box { length: mm(120.0), width: mm(60.0), depth: mm(40.0) }),
                120.0,
            ),
            (
                "long box",
                Body::of(&Shape::Box { length: mm(60.0), width: mm(130.0), depth: mm(40.0) }),
                130.0,
            ),
            (
                "outline",
                Body::of(&Shape::Outline {
                    points: DRAWN.to_vec(),
                    across: mm(90.0),
                    depth: mm(30.0),
                }),
                90.0,
            ),
            (
                "cup",
                Body::of(&Shape::Cup { across: mm(80.0), base: mm(60.0), depth: mm(40.0) }),
                80.0,
            ),
            (
                "upside-down cup",
                Body::of(&Shape::Cup { across: mm(60.0), base: mm(90.0), depth: mm(40.0) }),
                90.0,
            ),
            ("half ball", Body::of(&Shape::HalfBall { across: mm(70.0) }), 70.0),
            ("ball", Body::of(&Shape::Ball { across: mm(60.0) }), 60.0),
            ("long cylinder", Body::long_cylinder(mm(30.0), mm(200.0)), 200.0),
        ] {
            let found = 1e3 * shape.unwrap().across();
            assert!((found - millimetres).abs() < 1e-9, "{name}: {found} mm");
        }
    }

    #[test]
    fn volumes_of_the_shapes_without_a_mould() {
        let area = Area::new::<square_centimeter>(400.0);
        let slab = Body::slab(mm(10.0), area).unwrap();
        let long = Body::long_cylinder(mm(30.0), mm(200.0)).unwrap();
        // Area times thickness; π r² l.
        for (body, millilitres) in [(slab, 400.0), (long, PI * 1.5 * 1.5 * 20.0)] {
            let found = in_millilitres(body.capacity());
            assert!((found / millilitres - 1.0).abs() < 1e-12, "{found} mL");
            assert_eq!(body.volume(), body.capacity());
        }
    }

    #[test]
    fn a_mould_holds_its_capacity() {
        for shape in [
            Shape::Round { across: mm(80.0), depth: mm(50.0) },
            Shape::HalfBall { across: mm(80.0) },
            Shape::Outline { points: DRAWN.to_vec(), across: mm(90.0), depth: mm(30.0) },
        ] {
            let body = Body::of(&shape).unwrap();
            let same = shape.holding(Some(body.capacity())).unwrap();
            assert!((in_metres(same.across()) / in_metres(shape.across()) - 1.0).abs() < 1e-9);
            assert_eq!(body.filled_to(shape.depth()).unwrap(), body);
        }
    }
}

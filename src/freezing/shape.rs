//! The shapes a block of ice can have, their sizes checked, filled to a depth.

use thiserror::Error;

use super::outline::{Outline, OutlineError};
use crate::units::{
    Area, Length, Volume, cubic_metres, in_cubic_metres, in_metres, in_millimetres, metres,
};
use std::f64::consts::PI;
use uom::si::area::square_meter;

/// The smallest and largest length a mould can have, m.
const LENGTHS: [f64; 2] = [1e-3, 3.0];

/// Why a shape cannot be.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ShapeError {
    /// A length outside 1 mm to 3 m, or not a number.
    #[error("the {what} must be between 1 mm and 3 m, not {millimetres:.1} mm")]
    Length {
        /// Which one.
        what: &'static str,
        /// As given.
        millimetres: f64,
    },
    /// A ring with a hole as wide as itself.
    #[error("the hole of a ring must be narrower than the ring: {inner:.1} mm in {outer:.1} mm")]
    Hole {
        /// Diameter of the hole, mm.
        inner: f64,
        /// Outer diameter, mm.
        outer: f64,
    },
    /// Filled above the rim.
    #[error("a fill of {fill:.1} mm is deeper than the mould, {depth:.1} mm")]
    TooDeep {
        /// Wanted depth of water, mm.
        fill: f64,
        /// Depth of the mould, mm.
        depth: f64,
    },
    /// A volume that is not positive, or more than the mould holds.
    #[error("{wanted:.0} mL does not fit a mould that holds {holds:.0} mL")]
    Volume {
        /// Wanted, mL.
        wanted: f64,
        /// Full to the rim, mL.
        holds: f64,
    },
    /// An outline that encloses no area.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// The kinds of shape, sizes in metres.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Form {
    /// A layer of great extent: only top and base; the area scales the mass.
    Slab { area: f64 },
    /// An upright body with this outline at every depth.
    Prism(Outline),
    /// A body of revolution open at the top.
    Revolved(Profile),
    /// A closed ball.
    Ball { radius: f64 },
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
pub struct Shape {
    pub(crate) form: Form,
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

impl Shape {
    fn full(form: Form, depth: f64) -> Self {
        Self { form, depth, fill: depth }
    }

    /// A layer cooled on its two faces only; the area sets its mass.
    ///
    /// # Errors
    /// [`ShapeError::Length`] for a thickness or a side of the area out of range.
    pub fn slab(thickness: Length, area: Area) -> Result<Self, ShapeError> {
        let thickness = checked("thickness", thickness)?;
        let side = checked("side of the layer", metres(area.get::<square_meter>().sqrt()))?;
        Ok(Self::full(Form::Slab { area: side * side }, thickness))
    }

    /// A box: length, width, depth.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn cuboid(length: Length, width: Length, depth: Length) -> Result<Self, ShapeError> {
        let (length, width) = (checked("length", length)?, checked("width", width)?);
        let corners = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
        let outline = Outline::new(&corners)?;
        Ok(Self::full(Form::Prism(outline), checked("depth", depth)?))
    }

    /// A round pan.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn round(diameter: Length, depth: Length) -> Result<Self, ShapeError> {
        Self::cup(diameter, diameter, depth)
    }

    /// A tapered cup: diameters at the rim and at the base.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn cup(rim: Length, base: Length, depth: Length) -> Result<Self, ShapeError> {
        let rim = 0.5 * checked("diameter at the rim", rim)?;
        let base = 0.5 * checked("diameter at the base", base)?;
        let depth = checked("depth", depth)?;
        Ok(Self::full(Form::Revolved(Profile::Cup { base, rim, depth, hole: 0.0 }), depth))
    }

    /// A ring: outer diameter, diameter of the hole, depth.
    ///
    /// # Errors
    /// [`ShapeError::Length`], or [`ShapeError::Hole`] when the hole is not narrower.
    pub fn ring(outer: Length, inner: Length, depth: Length) -> Result<Self, ShapeError> {
        let rim = 0.5 * checked("outer diameter", outer)?;
        let hole = 0.5 * checked("diameter of the hole", inner)?;
        let depth = checked("depth", depth)?;
        if rim - hole < 0.5 * LENGTHS[0] {
            let (inner, outer) = (in_millimetres(inner), in_millimetres(outer));
            return Err(ShapeError::Hole { inner, outer });
        }
        Ok(Self::full(Form::Revolved(Profile::Cup { base: rim, rim, depth, hole }), depth))
    }

    /// A ball in a closed mould.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn ball(diameter: Length) -> Result<Self, ShapeError> {
        let diameter = checked("diameter", diameter)?;
        Ok(Self::full(Form::Ball { radius: 0.5 * diameter }, diameter))
    }

    /// A half ball, flat side up and open.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn half_ball(diameter: Length) -> Result<Self, ShapeError> {
        let radius = 0.5 * checked("diameter", diameter)?;
        Ok(Self::full(Form::Revolved(Profile::Bowl { radius }), radius))
    }

    /// A long cylinder cooled on its side only; the length sets its mass.
    ///
    /// # Errors
    /// [`ShapeError::Length`].
    pub fn long_cylinder(diameter: Length, length: Length) -> Result<Self, ShapeError> {
        let diameter = checked("diameter", diameter)?;
        let length = checked("length", length)?;
        let form = Form::LongCylinder { radius: 0.5 * diameter, length };
        Ok(Self::full(form, diameter))
    }

    /// A pan with an outline: the points in any unit, scaled so that the longer
    /// side of the box around them is `size`.
    ///
    /// # Errors
    /// [`ShapeError::Length`], or [`ShapeError::Outline`] when the points
    /// enclose nothing or the line crosses itself.
    pub fn outlined(points: &[[f64; 2]], size: Length, depth: Length) -> Result<Self, ShapeError> {
        let outline = Outline::new(points)?.scaled_to(checked("size", size)?);
        Ok(Self::full(Form::Prism(outline), checked("depth", depth)?))
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
        let form = match self.form {
            // A ball that is not full is a deep bowl: its water has a flat top.
            Form::Ball { radius } if fill < self.depth * (1.0 - 1e-9) => {
                Form::Revolved(Profile::Bowl { radius })
            }
            ref same => same.clone(),
        };
        Ok(Self { form, fill: fill.min(self.depth), ..*self })
    }

    /// Filled with a volume of water, to whatever depth that takes.
    ///
    /// # Errors
    /// [`ShapeError::Volume`] when it does not fit, [`ShapeError::Length`] when
    /// it would stand less than 1 mm deep.
    pub fn holding(&self, volume: Volume) -> Result<Self, ShapeError> {
        let wanted = in_cubic_metres(volume);
        let holds = self.volume_to(self.depth);
        if !(wanted > 0.0 && wanted <= holds * (1.0 + 1e-9)) {
            return Err(ShapeError::Volume { wanted: 1e6 * wanted, holds: 1e6 * holds });
        }
        let (mut low, mut high) = (0.0, self.depth);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.volume_to(middle) < wanted { low = middle } else { high = middle }
        }
        self.filled_to(metres(high))
    }

    /// Scales the plan of the mould so that it holds a measured volume when full.
    ///
    /// # Errors
    /// [`ShapeError::Volume`] for a volume that is not positive.
    pub fn scaled_to_hold(&self, volume: Volume) -> Result<Self, ShapeError> {
        let wanted = in_cubic_metres(volume);
        let holds = self.volume_to(self.depth);
        let lengthwise = (wanted / holds).sqrt();
        if !(lengthwise.is_finite() && lengthwise > 0.01 && lengthwise < 100.0) {
            return Err(ShapeError::Volume { wanted: 1e6 * wanted, holds: 1e6 * holds });
        }
        let ball = wanted / holds;
        let (form, by) = match &self.form {
            Form::Slab { area } => (Form::Slab { area: area * ball }, 1.0),
            Form::Prism(outline) => (Form::Prism(outline.scaled_by(lengthwise)), 1.0),
            Form::LongCylinder { radius, length } => {
                (Form::LongCylinder { radius: *radius, length: length * ball }, 1.0)
            }
            Form::Revolved(Profile::Cup { base, rim, depth, hole }) => {
                let [base, rim, hole] = [base, rim, hole].map(|r| r * lengthwise);
                (Form::Revolved(Profile::Cup { base, rim, depth: *depth, hole }), 1.0)
            }
            Form::Revolved(Profile::Bowl { radius }) => {
                let by = ball.cbrt();
                (Form::Revolved(Profile::Bowl { radius: radius * by }), by)
            }
            Form::Ball { radius } => (Form::Ball { radius: radius * ball.cbrt() }, ball.cbrt()),
        };
        Ok(Self { form, depth: self.depth * by, fill: self.fill * by })
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
        matches!(self.form, Form::Ball { .. })
    }

    /// Area of the open top over its perimeter, m: the length of its film
    /// coefficient. None where there is no top.
    pub(crate) fn top_length(&self) -> Option<f64> {
        match &self.form {
            Form::Slab { area } => Some(0.25 * area.sqrt()),
            Form::Prism(outline) => Some(outline.area() / outline.perimeter()),
            Form::Revolved(profile) => {
                let (outer, hole) = (profile.radius(self.fill), profile.hole());
                Some(0.5 * (outer - hole))
            }
            Form::Ball { .. } | Form::LongCylinder { .. } => None,
        }
    }

    /// Longest extent seen from above, m.
    pub(crate) fn across(&self) -> f64 {
        match &self.form {
            Form::Slab { area } => area.sqrt(),
            Form::Prism(outline) => {
                let [low, high] = outline.bounds();
                (high[0] - low[0]).max(high[1] - low[1])
            }
            Form::Revolved(profile) => 2.0 * profile.radius(self.depth).max(profile.radius(0.0)),
            Form::Ball { radius } => 2.0 * radius,
            Form::LongCylinder { radius, length } => length.max(2.0 * radius),
        }
    }

    fn volume_to(&self, depth: f64) -> f64 {
        match &self.form {
            Form::Slab { area } => area * depth,
            Form::Prism(outline) => outline.area() * depth,
            Form::Revolved(profile) => profile.volume_to(depth),
            Form::Ball { radius } => Profile::Bowl { radius: *radius }.volume_to(depth),
            Form::LongCylinder { radius, length } => PI * radius * radius * length,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::millimetres as mm;
    use uom::si::area::square_centimeter;

    /// Area over perimeter of the open top: a quarter of a square's side, of a disc's
    /// diameter; half the width of a ring; a b/2(a + b) of a rectangle.
    #[test]
    fn length_of_the_open_top() {
        let area = Area::new::<square_centimeter>(400.0);
        for (name, shape, millimetres) in [
            ("slab", Shape::slab(mm(10.0), area), Some(50.0)),
            ("box", Shape::cuboid(mm(120.0), mm(60.0), mm(40.0)), Some(20.0)),
            ("round", Shape::round(mm(80.0), mm(50.0)), Some(20.0)),
            ("cup", Shape::cup(mm(80.0), mm(60.0), mm(40.0)), Some(20.0)),
            ("ring", Shape::ring(mm(150.0), mm(50.0), mm(50.0)), Some(25.0)),
            ("half ball", Shape::half_ball(mm(80.0)), Some(20.0)),
            ("ball", Shape::ball(mm(60.0)), None),
            ("long cylinder", Shape::long_cylinder(mm(30.0), mm(200.0)), None),
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
            ("slab", Shape::slab(mm(10.0), area), 200.0),
            ("box", Shape::cuboid(mm(120.0), mm(60.0), mm(40.0)), 120.0),
            ("long box", Shape::cuboid(mm(60.0), mm(130.0), mm(40.0)), 130.0),
            ("outline", Shape::outlined(&DRAWN, mm(90.0), mm(30.0)), 90.0),
            ("cup", Shape::cup(mm(80.0), mm(60.0), mm(40.0)), 80.0),
            ("upside-down cup", Shape::cup(mm(60.0), mm(90.0), mm(40.0)), 90.0),
            ("half ball", Shape::half_ball(mm(70.0)), 70.0),
            ("ball", Shape::ball(mm(60.0)), 60.0),
            ("long cylinder", Shape::long_cylinder(mm(30.0), mm(200.0)), 200.0),
        ] {
            let found = 1e3 * shape.unwrap().across();
            assert!((found - millimetres).abs() < 1e-9, "{name}: {found} mm");
        }
    }

    #[test]
    fn volumes_of_the_shapes_without_a_mould() {
        let area = Area::new::<square_centimeter>(400.0);
        let slab = Shape::slab(mm(10.0), area).unwrap();
        let long = Shape::long_cylinder(mm(30.0), mm(200.0)).unwrap();
        // Area times thickness; π r² l.
        for (shape, millilitres) in [(slab, 400.0), (long, PI * 1.5 * 1.5 * 20.0)] {
            let found = 1e6 * in_cubic_metres(shape.capacity());
            assert!((found / millilitres - 1.0).abs() < 1e-12, "{found} mL");
            assert_eq!(shape.volume(), shape.capacity());
            let grown = shape.scaled_to_hold(shape.capacity() * 3.0).unwrap();
            let thrice = 1e6 * in_cubic_metres(grown.capacity());
            assert!((thrice / millilitres - 3.0).abs() < 1e-12, "{thrice} mL");
        }
    }

    #[test]
    fn a_mould_holds_its_capacity() {
        for shape in [
            Shape::round(mm(80.0), mm(50.0)).unwrap(),
            Shape::half_ball(mm(80.0)).unwrap(),
            Shape::outlined(&DRAWN, mm(90.0), mm(30.0)).unwrap(),
        ] {
            let full = shape.holding(shape.capacity()).unwrap();
            assert!((in_metres(full.fill()) / in_metres(shape.depth()) - 1.0).abs() < 1e-9);
        }
    }
}

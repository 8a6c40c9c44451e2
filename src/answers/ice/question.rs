//! What is asked: the block, the mould, the freezer, and what the user knows of them.

use crate::answers::{AskError, Field, OutOfRange};
use crate::shape::{Body, Shape, ShapeError};
use crate::tables::{self, Question, Stand, Wall};
use crate::uncertainty::Posterior;
use crate::units::{
    Length, Locale, MassRate, Ratio, ThermodynamicTemperature, Time, Volume, in_celsius,
    in_cubic_metres, in_hours, in_kilograms_per_day, in_metres, in_millimetres, metres,
};

/// Water from here on is hot: it scalds, and it does not belong into a fridge or a freezer,
/// °C. Common practice, no source: a bath is at most at 40 °C, water that scalds within minutes
/// at 49 °C (from memory).
pub(super) const HOT_C: f64 = 45.0;

/// What is known of the block's shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Only how much water: the shape is an unknown.
    Volume(Volume),
    /// How much water and how deep it stands: its outline is an unknown.
    Upright(Volume, Length),
    /// What its mould looks like inside.
    Shape(Shape),
}

/// One question about freezing. `None` is "the user did not say": it widens the band.
#[derive(Debug, Clone, PartialEq)]
pub struct IceQuestion {
    /// The block.
    pub block: Block,
    /// Volume of the mould as measured, full to the rim: scales its plan.
    pub measured: Option<Volume>,
    /// Depth of the water.
    pub fill: Option<Length>,
    /// Blocks frozen at once.
    pub count: u32,
    /// Cells of one tray, 1 for a mould by itself.
    pub cells: u32,
    /// What the mould is made of.
    pub wall: &'static Wall,
    /// Thickness of its wall.
    pub thickness: Option<Length>,
    /// Whether a lid lies on it.
    pub covered: bool,
    /// Water as it is poured.
    pub start: Option<ThermodynamicTemperature>,
    /// Kind of freezer.
    pub freezer: &'static tables::Freezer,
    /// Mean air in it, as set or measured.
    pub air: Option<ThermodynamicTemperature>,
    /// Rated freezing capacity.
    pub rated: Option<MassRate>,
    /// What the mould stands on.
    pub stand: Option<&'static Stand>,
    /// Common salt in the water, as a share of the solution.
    pub salt: Ratio,
    /// Time from filling to when it must be solid.
    pub by: Option<Time>,
    /// Time from filling to when it was seen to be still wet.
    pub wet_for: Option<Time>,
    /// How the answer says degrees.
    pub locale: Locale,
    /// What a diary has learnt of this freezer.
    pub posterior: Posterior,
}

impl IceQuestion {
    /// A question of which only the block is known: one, alone, uncovered, in a
    /// plastic mould in a fridge's freezer.
    ///
    /// # Errors
    /// [`AskError::Name`] when the embedded tables lack these.
    pub fn of(block: Block) -> Result<Self, AskError> {
        Ok(Self {
            block,
            measured: None,
            fill: None,
            count: 1,
            cells: 1,
            wall: Wall::plastic(),
            thickness: None,
            covered: false,
            start: None,
            freezer: tables::Freezer::fridge_freezer(),
            air: None,
            rated: None,
            stand: None,
            salt: Ratio::default(),
            by: None,
            wet_for: None,
            locale: Locale::default(),
            posterior: Posterior::default(),
        })
    }

    /// Checks what the shape alone does not.
    pub(super) fn check(&self) -> Result<(), OutOfRange> {
        let within = OutOfRange::check(Question::Ice);
        within(Field::Air, self.air.map(in_celsius), [-45.0, -1.0], "°C")?;
        within(Field::Start, self.start.map(in_celsius), [0.0, 95.0], "°C")?;
        within(Field::Count, Some(f64::from(self.count)), [1.0, 1000.0], "")?;
        within(Field::Cells, Some(f64::from(self.cells)), [1.0, 1000.0], "")?;
        within(Field::Rated, self.rated.map(in_kilograms_per_day), [0.1, 500.0], "kg/day")?;
        within(Field::Wall, self.thickness.map(in_millimetres), [0.01, 50.0], "mm")?;
        within(Field::WetAt, self.wet_for.map(in_hours), [0.0, 240.0], "h")?;
        within(Field::By, self.by.map(in_hours), [0.0, 8760.0], "h")
    }
}

/// A box of this length over its width that holds a volume at a depth.
pub(in crate::answers) fn box_of(
    volume: Volume,
    depth: Length,
    length: f64,
) -> Result<Body, ShapeError> {
    let cube = in_cubic_metres(volume).max(0.0).cbrt().powi(3);
    let width = (cube / in_metres(depth) / length).sqrt();
    Body::of(&Shape::Box { length: metres(length * width), width: metres(width), depth })
}

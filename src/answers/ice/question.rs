//! What is asked: the block, the mould, the freezer, and what the user knows of them.

use thiserror::Error;

use crate::freezing::shape::{Shape, ShapeError};
use crate::properties::medium::MediumError;
use crate::tables::{self, Form, SizeError, Stand, TableError, Wall};
use crate::uncertainty::Learned;
use crate::units::{
    Length, MassRate, Ratio, ThermodynamicTemperature, Time, Volume, cubic_metres, in_cubic_metres,
    metres,
};

/// What is known of the block's shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Only how much water: the shape is an unknown.
    Volume(Volume),
    /// A mould's form.
    Form(Form),
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
    /// What a diary has learnt of this freezer.
    pub learned: Learned,
}

/// Why a question cannot be answered.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum IceError {
    /// The shape cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The size cannot be.
    #[error(transparent)]
    Size(#[from] SizeError),
    /// The liquid cannot be frozen.
    #[error(transparent)]
    Medium(#[from] MediumError),
    /// A number out of the range in which the model holds.
    #[error("{what} must be between {low} and {high}, not {found:.1} {unit}")]
    OutOfRange {
        /// Which input.
        what: &'static str,
        /// Least accepted.
        low: f64,
        /// Largest accepted.
        high: f64,
        /// As given.
        found: f64,
        /// Unit of all three.
        unit: &'static str,
    },
    /// So thin for its width, or so much for its freezer, that its time would take too long to compute.
    #[error("this takes too long to compute: one run of {cells} cells needs more than {} thousand steps, the most that are made; ask for fewer blocks, or for one less thin for its width", (most / (1e3 * *cells as f64)).floor())]
    TooMuchWork {
        /// Cells it is cut into.
        cells: usize,
        /// The limit, in cells times steps.
        most: f64,
    },
    /// An embedded table does not load.
    #[error(transparent)]
    Priors(#[from] TableError),
    /// The embedded tables lack a row that the answer needs.
    #[error("the built-in table has no row “{0}”")]
    Table(&'static str),
}

impl IceQuestion {
    /// A question of which only the block is known: one, alone, uncovered, in a
    /// plastic mould in a fridge's freezer.
    ///
    /// # Errors
    /// [`IceError::Table`] when the embedded tables lack these.
    pub fn of(block: Block) -> Result<Self, IceError> {
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
            learned: Learned::default(),
        })
    }

    /// Checks what the shape alone does not.
    pub(super) fn check(&self) -> Result<(), IceError> {
        let c =
            |t: Option<ThermodynamicTemperature>, or: f64| t.map_or(or, crate::units::in_celsius);
        let rated = self.rated.map_or(1.0, crate::units::in_kilograms_per_day);
        let thickness = self.thickness.map_or(1.0, crate::units::in_millimetres);
        for (what, found, low, high, unit) in [
            ("the freezer's air", c(self.air, -18.0), -45.0, -1.0, "°C"),
            ("the water's temperature", c(self.start, 15.0), 0.0, 95.0, "°C"),
            ("the number of blocks", f64::from(self.count), 1.0, 1000.0, ""),
            ("the number of cells in a tray", f64::from(self.cells), 1.0, 1000.0, ""),
            ("the rated freezing capacity", rated, 0.1, 500.0, "kg/day"),
            ("the wall's thickness", thickness, 0.01, 50.0, "mm"),
            (
                "the time until it must be solid",
                self.by.map_or(1.0, crate::units::in_hours),
                0.0,
                8760.0,
                "h",
            ),
        ] {
            if !(found >= low && found <= high) {
                return Err(IceError::OutOfRange { what, low, high, found, unit });
            }
        }
        Ok(())
    }
}

/// A mould's form as a shape, full to the rim.
pub(in crate::answers) fn shape_of(form: &Form) -> Result<Shape, ShapeError> {
    match *form {
        Form::Outline { ref points, across, depth } => Shape::outlined(points, across, depth),
        Form::Box { length, width, depth } => Shape::cuboid(length, width, depth),
        Form::Round { across, depth } => Shape::round(across, depth),
        Form::Cup { across, base, depth } => Shape::cup(across, base, depth),
        Form::Ball { across } => Shape::ball(across),
        Form::HalfBall { across } => Shape::half_ball(across),
        Form::Ring { across, inner, depth } => Shape::ring(across, inner, depth),
    }
}

/// A box that holds a volume, from its depth over the cube root of the volume
/// and its length over its width.
pub(in crate::answers) fn box_of(
    volume: Volume,
    depth: f64,
    length: f64,
) -> Result<Shape, ShapeError> {
    let side = in_cubic_metres(cubic_metres(in_cubic_metres(volume).max(0.0))).cbrt();
    let depth = depth * side;
    let width = (side.powi(3) / depth / length).sqrt();
    Shape::cuboid(metres(length * width), metres(width), metres(depth))
}

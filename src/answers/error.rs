//! Why a question cannot be answered: which field, and what of it.

use std::fmt;

use thiserror::Error;

use crate::drying::recipe::RecipeError;
use crate::properties::medium::MediumError;
use crate::shape::ShapeError;
use crate::tables::{Question, TableError, UnknownName};
use crate::units::{celsius, in_fahrenheit};

/// A question that cannot be answered.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AskError {
    /// A name that no table knows.
    #[error(transparent)]
    Name(#[from] UnknownName),
    /// An embedded table does not load.
    #[error(transparent)]
    Table(#[from] TableError),
    /// The shape cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The liquid cannot be frozen.
    #[error(transparent)]
    Medium(#[from] MediumError),
    /// Amounts that make no dough.
    #[error(transparent)]
    Recipe(#[from] RecipeError),
    /// A value outside the range in which the model holds.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// So thin for its width, or so much for its freezer, that its time would take too long to compute.
    #[error("this takes too long to compute: one run of {cells} cells needs more than {} thousand steps, the most that are made; ask for fewer blocks, or for one less thin for its width", (most / (1e3 * *cells as f64)).floor())]
    TooMuchWork {
        /// Cells it is cut into.
        cells: usize,
        /// The limit, in cells times steps.
        most: f64,
    },
}

macro_rules! fields {
    ($($(#[$doc:meta])* $field:ident = $option:literal,)*) => {
        /// A number that a question asks for.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Field {
            $($(#[$doc])* $field,)*
        }

        impl Field {
            /// The option of the command line that says it, without hyphens.
            pub fn option(self) -> &'static str {
                match self {
                    $(Self::$field => $option,)*
                }
            }
        }
    };
}

fields! {
    /// The freezer's mean air.
    Air = "air",
    /// Height above the sea.
    Altitude = "altitude",
    /// Time in the oven.
    BakeFor = "bake-for",
    /// Conductivity of a cool box.
    BoxConductivity = "in",
    /// Thickness of a cool box.
    BoxWall = "in",
    /// By when it must be done.
    By = "by",
    /// Cells of a tray.
    Cells = "mould",
    /// When a coat goes on.
    Coat = "paint-after",
    /// How many.
    Count = "count",
    /// Width of an opening.
    Opening = "opening",
    /// The room's humidity.
    Humidity = "humidity",
    /// The oven's dial.
    Oven = "oven",
    /// How long an oven setting lasts.
    OvenStep = "oven",
    /// Time in air before the oven.
    PreDry = "pre-dry",
    /// The freezer's rated capacity.
    Rated = "rated",
    /// The room's temperature.
    Room = "room",
    /// Size across.
    Size = "size",
    /// The temperature it starts from.
    Start = "start",
    /// Thickness of the piece.
    Thickness = "thickness",
    /// Thickness of the mould's wall.
    Wall = "wall",
    /// When it was seen to be still wet.
    WetAt = "wet-at",
}

/// A value outside the range in which a question's model holds.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub struct OutOfRange {
    /// Of which question.
    pub question: Question,
    /// Which input.
    pub field: Field,
    /// Least accepted.
    pub low: f64,
    /// Largest accepted.
    pub high: f64,
    /// As given.
    pub found: f64,
    /// Unit of all three: `°C`, `mm`, `h` …, empty for a number.
    pub unit: &'static str,
}

impl OutOfRange {
    /// Whether a value of a question is within a range, where there is a value.
    pub(super) fn check(
        question: Question,
    ) -> impl Fn(Field, Option<f64>, [f64; 2], &'static str) -> Result<(), Self> {
        move |field, found, [low, high], unit| match found {
            Some(found) if !(low..=high).contains(&found) => {
                Err(Self { question, field, low, high, found, unit })
            }
            _ => Ok(()),
        }
    }

    /// What it is called in its question, and, where one is shown, a value that is right.
    fn words(&self) -> (&'static str, Option<&'static str>) {
        use Question::{Cool, Dough, Ice, Thaw};
        match (self.field, self.question) {
            (Field::Air, _) => ("the freezer's air", None),
            (Field::Altitude, _) => ("the altitude", Some("1600 m")),
            (Field::BoxConductivity, _) => ("the cool box's conductivity", None),
            (Field::BoxWall, _) => ("the cool box's wall", None),
            (Field::By, _) => ("the time until it must be solid", None),
            (Field::Cells, _) => ("the number of cells in a tray", None),
            (Field::Count, Ice | Thaw) => ("the number of blocks", None),
            (Field::Count, Dough | Cool) => ("the count", Some("11")),
            (Field::BakeFor, _) => ("the time in the oven", Some("3 h")),
            (Field::Coat, _) => ("the time of a coat", Some("24 h")),
            (Field::Opening, _) => ("the opening", Some("38 mm")),
            (Field::Humidity, Ice | Thaw) => ("the room's humidity", None),
            (Field::Humidity, Dough | Cool) => ("the humidity", Some("45 %")),
            (Field::Oven, _) => ("the oven", Some("93 C")),
            (Field::OvenStep, _) => ("an oven step", Some("1 h")),
            (Field::PreDry, _) => ("the time in air before the oven", Some("24 h")),
            (Field::Rated, _) => ("the rated freezing capacity", None),
            (Field::Room, Ice | Thaw) => ("the room's temperature", None),
            (Field::Room, Dough | Cool) => ("the room", Some("20 C")),
            (Field::Size, _) => ("the size", Some("75 mm")),
            (Field::Start, Ice) => ("the water's temperature", None),
            (Field::Start, Thaw) => ("the ice's temperature", None),
            (Field::Start, Dough | Cool) => ("the temperature it starts from", Some("93 C")),
            (Field::Thickness, _) => ("the thickness", Some("6 mm")),
            (Field::Wall, _) => ("the wall's thickness", None),
            (Field::WetAt, _) => ("the time for which it was wet", None),
        }
    }

    /// An end of the range as people write it.
    fn end(&self, value: f64) -> String {
        match (self.field, self.unit) {
            (Field::PreDry | Field::Coat, _) if value > 24.0 => format!("{} days", value / 24.0),
            (Field::Size, _) if value > 100.0 => format!("{} cm", value / 10.0),
            (Field::Opening, _) if value == self.high => "nine tenths of the size".to_owned(),
            (_, "") => value.to_string(),
            (_, unit) => format!("{value} {}", unit.trim_start_matches('°')),
        }
    }
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { low, high, found, unit, .. } = *self;
        match self.words() {
            (what, None) => {
                write!(f, "{what} must be between {low} and {high}, not {found:.1} {unit}")?;
            }
            (what, Some(example)) => {
                let (low, high) = (self.end(low), self.end(high));
                write!(f, "{what} must lie between {low} and {high}, for example {example}")?;
            }
        }
        if unit != "°C" {
            return Ok(());
        }
        // Who typed °F reads °F.
        let [low, high, found] = [low, high, found].map(|at| in_fahrenheit(celsius(at)).round());
        write!(f, " (in °F between {low} and {high}, not {found})")
    }
}

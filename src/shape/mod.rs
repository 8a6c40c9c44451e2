//! The inside of a mould: what kinds there are, their sizes and their words.
//!
//! The list in [`KINDS`] is all that the options of the command line, the key `shape`
//! of a plan file, the rows of `tables/moulds.toml` and the fields of the page know of
//! shapes. A [`Body`] is the water in one: its volume and its section.

mod body;
mod outline;

use std::collections::BTreeMap;

use serde::Deserialize;
use thiserror::Error;

pub use body::{Body, USUAL_FILL};
pub(crate) use body::{Profile, Section, segment};
pub(crate) use outline::{Outline, Piece};
pub use outline::{OutlineError, unit_outline};

use crate::units::{
    self, Length, NoQuantity, QuantityError, Volume, in_cubic_metres, in_metres, in_millimetres,
    millimetres,
};

/// A kind of shape that a few sizes describe.
#[derive(Debug)]
pub struct Kind {
    /// As an option, in `tables/moulds.toml` and on the page: `half-ball`.
    pub name: &'static str,
    /// In a sentence: `a half ball`.
    pub words: &'static str,
    /// What the option takes: `DIAMETERxDEPTH`.
    pub takes: &'static str,
    /// Its sizes in words.
    pub about: &'static str,
    /// Sizes as people type them.
    pub example: &'static str,
    /// What people call it as well.
    pub also: &'static [&'static str],
    /// Its sizes, in the order in which they are typed.
    pub fields: &'static [Field],
    make: fn(&[Length]) -> Option<Shape>,
}

/// One size of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field {
    /// In `tables/moulds.toml` (with `_mm`) and on the page: `across`.
    pub name: &'static str,
    /// In words: `diameter at the base`.
    pub words: &'static str,
}

/// The field that resizing from above leaves as it is.
const DEPTH: &str = "depth";

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident($name:literal, $words:literal, $takes:literal, $about:literal,
        $example:literal, [$($also:literal),*]) { $($field:ident: $called:literal),* })*) => {
        /// The inside of one cavity, in the simplest terms that describe it.
        #[derive(Debug, Clone, PartialEq, Deserialize)]
        #[serde(try_from = "BTreeMap<String, Row>")]
        pub enum Shape {
            $($(#[$doc])* $kind { $(#[doc = $called] $field: Length),* },)*
            /// Straight sides over a drawn outline.
            Outline {
                /// A closed simple polygon, counter-clockwise, the longest side of its box 1.
                points: Vec<[f64; 2]>,
                /// What the longest side of the outline's box measures.
                across: Length,
                /// Straight-sided depth.
                depth: Length,
            },
        }

        /// All kinds.
        pub const KINDS: &[Kind] = &[$(Kind {
            name: $name,
            words: $words,
            takes: $takes,
            about: $about,
            example: $example,
            also: &[$($also),*],
            fields: &[$(Field { name: stringify!($field), words: $called }),*],
            make: |sizes| {
                let [$($field),*] = *sizes else { return None };
                Some(Shape::$kind { $($field),* })
            },
        }),*];

        impl Shape {
            /// Its sizes.
            pub fn sizes(&self) -> Vec<(Field, Length)> {
                let field = |name, words| Field { name, words };
                match self {
                    $(Self::$kind { $($field),* } => {
                        vec![$((field(stringify!($field), $called), *$field)),*]
                    })*
                    Self::Outline { across, depth, .. } => {
                        vec![(field("across", "size"), *across), (field(DEPTH, DEPTH), *depth)]
                    }
                }
            }

            /// In a sentence.
            pub fn words(&self) -> &'static str {
                match self {
                    $(Self::$kind { .. } => $words,)*
                    Self::Outline { .. } => "a drawn pan",
                }
            }

            /// The same kind with each size as `change` makes it.
            fn with_sizes(&self, change: impl Fn(&str, Length) -> Length) -> Self {
                match self {
                    $(Self::$kind { $($field),* } => {
                        Self::$kind { $($field: change(stringify!($field), *$field)),* }
                    })*
                    Self::Outline { points, across, depth } => Self::Outline {
                        points: points.clone(),
                        across: change("across", *across),
                        depth: change(DEPTH, *depth),
                    },
                }
            }
        }
    };
}

kinds! {
    /// A brick.
    Box("box", "a box", "LxWxD", "A box: length x width x depth", "10x8x4 cm",
        ["brick", "block", "cuboid", "rectangle"]) {
        length: "length", width: "width", depth: "depth"
    }
    /// An upright cylinder.
    Round("round", "a round pan", "DIAMETERxDEPTH", "A round pan: diameter x depth", "80x50 mm",
        ["cylinder", "circle", "disc", "disk"]) {
        across: "diameter", depth: "depth"
    }
    /// A cone cut short, the narrow end down.
    Cup("cup", "a tapered cup", "TOPxBASExDEPTH", "A tapered cup: top x base x depth", "70x50x40 mm",
        ["cone", "tapered cup"]) {
        across: "diameter of the top", base: "diameter of the base", depth: "depth"
    }
    /// A ball in a closed mould.
    Ball("ball", "a ball", "DIAMETER", "A ball: diameter", "60 mm",
        ["sphere", "globe"]) {
        across: "diameter"
    }
    /// Half a ball, the flat side up and open.
    HalfBall("half-ball", "a half ball", "DIAMETER", "A half ball, flat side up: diameter", "80 mm",
        ["hemisphere", "dome"]) {
        across: "diameter"
    }
    /// Half a cylinder on its round side, the flat side up and open.
    Log("log", "a log", "DIAMETERxLENGTH", "A log, half a cylinder with its flat side up: diameter x length", "8x20 cm",
        ["half cylinder"]) {
        across: "diameter", length: "length"
    }
    /// An upright cylinder with a round hole.
    Ring("ring", "a ring", "OUTERxINNERxDEPTH", "A ring: outer x inner diameter x depth", "20x8x5 cm",
        ["doughnut", "donut", "wreath"]) {
        across: "outer diameter", inner: "diameter of the hole", depth: "depth"
    }
}

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
    /// A volume that is not positive, or that no mould of its kind holds.
    #[error("{wanted:.0} mL does not fit a mould that holds {holds:.0} mL")]
    Volume {
        /// Wanted, mL.
        wanted: f64,
        /// Full to the rim, mL.
        holds: f64,
    },
    /// A size that is zero, negative, or not a number.
    #[error("a mould's size and depth must be more than nothing")]
    NotPositive,
    /// A shape that is as deep as its other sizes say.
    #[error("{0} has no depth of its own: give its size instead")]
    NoDepth(&'static str),
    /// An outline that encloses no area.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Why a text is not the sizes of a kind.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SizesError {
    /// Not lengths joined by `x`.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// Numbers without a unit.
    #[error("“{typed}” has no unit; {wanted} and a unit are needed, as in “{example}”")]
    NoUnit {
        /// As typed.
        typed: String,
        /// How many numbers the kind needs, in words.
        wanted: &'static str,
        /// A valid text.
        example: &'static str,
    },
    /// Too many or too few.
    #[error("{found} sizes where {wanted} are needed; for example “{example}”")]
    Count {
        /// As typed.
        found: usize,
        /// What the kind needs.
        wanted: usize,
        /// A valid text.
        example: &'static str,
    },
    /// One that no mould has.
    #[error("a size is between 0.1 mm and 5 m; for example “{example}”")]
    Range {
        /// A valid text.
        example: &'static str,
    },
}

impl Kind {
    /// The kind of this name, also with spaces for its hyphens, or as others call it.
    pub fn named(name: &str) -> Option<&'static Self> {
        let called =
            |kind: &&Self| kind.name == name || kind.spoken() == name || kind.also.contains(&name);
        KINDS.iter().find(called)
    }

    /// Its name as it is spoken: `half ball`.
    pub fn spoken(&self) -> String {
        self.name.replace('-', " ")
    }

    /// The shape of these sizes, in the order of the fields; none where their number is wrong.
    pub fn of(&self, sizes: &[Length]) -> Option<Shape> {
        (self.make)(sizes)
    }

    /// The shape of typed sizes: `10x8x4 cm`.
    ///
    /// # Errors
    /// [`SizesError`].
    pub fn read(&self, text: &str) -> Result<Shape, SizesError> {
        let (example, wanted) = (self.example, self.fields.len());
        let sizes = units::lengths(text).map_err(|error| match error {
            QuantityError { wrong: NoQuantity::NoUnit, typed, .. } => {
                let wanted = match wanted {
                    1 => "a number",
                    2 => "two numbers",
                    _ => "three numbers",
                };
                SizesError::NoUnit { typed, wanted, example }
            }
            error => error.into(),
        })?;
        let found = sizes.len();
        let shape = self.of(&sizes).ok_or(SizesError::Count { found, wanted, example })?;
        let fits = |size: &Length| (0.1..=5000.0).contains(&in_millimetres(*size));
        if sizes.iter().all(fits) { Ok(shape) } else { Err(SizesError::Range { example }) }
    }
}

/// A row's shape as `tables/moulds.toml` has it.
#[derive(Deserialize)]
struct Row {
    #[serde(default)]
    points: Vec<[f64; 2]>,
    #[serde(flatten)]
    sizes: BTreeMap<String, f64>,
}

impl TryFrom<BTreeMap<String, Row>> for Shape {
    type Error = String;

    fn try_from(rows: BTreeMap<String, Row>) -> Result<Self, String> {
        let mut rows = rows.into_iter();
        let (Some((name, mut row)), None) = (rows.next(), rows.next()) else {
            return Err("a mould has one form".to_owned());
        };
        let mut size = |field: &str| {
            let key = format!("{field}_mm");
            row.sizes.remove(&key).map(millimetres).ok_or(format!("{name} has no {key}"))
        };
        let shape = if name == "outline" {
            Self::Outline { points: row.points, across: size("across")?, depth: size(DEPTH)? }
        } else {
            let kind = KINDS.iter().find(|kind| kind.name == name);
            let kind = kind.ok_or(format!("there is no form “{name}”"))?;
            let sizes: Vec<Length> =
                kind.fields.iter().map(|field| size(field.name)).collect::<Result<_, _>>()?;
            kind.of(&sizes).ok_or(format!("{name} has other sizes"))?
        };
        match row.sizes.keys().next() {
            None => Ok(shape),
            Some(stray) => Err(format!("{name} has no size {stray}")),
        }
    }
}

impl Shape {
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
            Self::Log { across, length } => length.max(across),
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
            Self::HalfBall { across } | Self::Log { across, .. } => across / 2.0,
        }
    }

    /// Whether its depth may be chosen apart from its other sizes.
    pub fn has_depth(&self) -> bool {
        self.sizes().iter().any(|(field, _)| field.name == DEPTH)
    }

    /// Whether the mould encloses the water on every side.
    pub fn is_closed(&self) -> bool {
        matches!(self, Self::Ball { .. })
    }

    /// The same shape at another size across (everything from above in proportion)
    /// and another depth; what has no depth of its own keeps its proportions.
    ///
    /// # Errors
    /// [`ShapeError::NotPositive`], or [`ShapeError::NoDepth`] for the depth of a
    /// shape that has none of its own.
    pub fn resized(&self, size: Option<Length>, depth: Option<Length>) -> Result<Self, ShapeError> {
        let positive = |length: &Length| in_metres(*length) > 0.0 && in_metres(*length).is_finite();
        if !size.iter().chain(&depth).all(positive) {
            return Err(ShapeError::NotPositive);
        }
        if depth.is_some() && !self.has_depth() {
            return Err(ShapeError::NoDepth(self.words()));
        }
        let by = size.map_or(1.0, |size| in_metres(size) / in_metres(self.across()));
        Ok(self.with_sizes(|field, length| match depth {
            Some(depth) if field == DEPTH => depth,
            _ if field == DEPTH => length,
            _ => length * by,
        }))
    }

    /// The same shape, resized from above so that it holds a volume when full, where one
    /// was measured.
    ///
    /// # Errors
    /// [`ShapeError::Volume`] for a volume that is not positive or far from its own.
    pub fn holding(&self, measured: Option<Volume>) -> Result<Self, ShapeError> {
        let Some(volume) = measured else { return Ok(self.clone()) };
        let wanted = in_cubic_metres(volume);
        let holds = in_cubic_metres(Body::of(self)?.capacity());
        let larger = wanted / holds;
        let by = if self.has_depth() { larger.sqrt() } else { larger.cbrt() };
        if !(larger > 1e-4 && larger < 1e4) {
            return Err(ShapeError::Volume { wanted: 1e6 * wanted, holds: 1e6 * holds });
        }
        self.resized(Some(self.across() * by), None)
    }
}

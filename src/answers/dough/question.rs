//! The question about salt dough, and its check against tables and ranges.

use crate::answers::shared::AskError;
use crate::drying::recipe::Recipe;
use crate::drying::solver::Faces;
use crate::tables::{self, TableError};
use crate::transfer::psychrometrics::standard_pressure;
use crate::uncertainty::{Learned, Unknowns};
use crate::units::{
    DiffusionCoefficient, HeatTransfer, Length, Pressure, Ratio, System, ThermodynamicTemperature,
    Time, Volume, cubic_metres, in_celsius, in_fraction, in_hours, in_metres, in_millimetres,
    millimetres,
};

/// Across, where the user did not say: an ordinary round ornament.
pub(super) const USUAL_SIZE_MM: f64 = 75.0;

/// What the dough is.
#[derive(Debug, Clone, PartialEq)]
pub enum Dough {
    /// A recipe of the tables, measured in cups.
    Named(&'static tables::Recipe),
    /// Amounts measured by volume.
    ByCups(Recipe),
    /// Amounts weighed.
    Weighed(Recipe),
}

/// How it is dried.
#[derive(Debug, Clone, PartialEq)]
pub enum Method {
    /// In an oven of a kind, set to a temperature.
    Oven(ThermodynamicTemperature, &'static tables::Oven),
    /// In the room.
    Air,
}

/// Conditions prescribed for checking: no scatter, no warm-up, no load on the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exact {
    /// Convective film; radiation of a grey face stays.
    pub film: Option<HeatTransfer>,
    /// Constant diffusivity.
    pub diffusivity: Option<DiffusionCoefficient>,
}

/// An oven that is on only for a while each day, the pieces in the room between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretches {
    /// Time in the oven at a stretch.
    pub lasts: Time,
    /// Time in the room until it goes on.
    pub rest: Time,
    /// How often; after the last one the pieces stay in the room.
    pub number: u32,
}

/// A question about salt dough. What is `None` is unknown and widens the band.
#[derive(Debug, Clone, PartialEq)]
pub struct DoughQuestion {
    /// Thickness rolled.
    pub thickness: Length,
    /// Size across.
    pub size: Option<Length>,
    /// Width of a hole.
    pub hole: Option<Length>,
    /// Pieces dried at once.
    pub count: u32,
    /// The dough.
    pub dough: Dough,
    /// Oven or air.
    pub method: Method,
    /// Temperature of the room.
    pub room: Option<ThermodynamicTemperature>,
    /// Relative humidity of the room.
    pub humidity: Option<Ratio>,
    /// Height above sea level.
    pub altitude: Length,
    /// Open faces; turned in the oven and both in air where not said.
    pub faces: Option<Faces>,
    /// Time in air before the oven.
    pub pre_dry: Option<Time>,
    /// Oven settings before the last one, each with its time.
    pub oven_steps: Vec<(ThermodynamicTemperature, Time)>,
    /// The last setting in several stretches instead of one.
    pub stretches: Option<Stretches>,
    /// Prescribed conditions.
    pub exact: Option<Exact>,
    /// Units of the words.
    pub units: System,
    /// What a diary has learnt of this oven and this dough.
    pub learned: Learned,
}

/// A question checked: tables looked up, ranges held.
#[derive(Debug, Clone)]
pub(super) struct Checked<'a> {
    pub(super) asked: &'a DoughQuestion,
    pub(super) recipe: Recipe,
    pub(super) oven: Option<(ThermodynamicTemperature, &'static tables::Oven)>,
    pub(super) faces: Faces,
    pub(super) size: Length,
    pub(super) pressure: Pressure,
}

impl DoughQuestion {
    /// What it leaves open, by what a diary has learnt where it has.
    ///
    /// # Errors
    /// [`TableError`] when the embedded priors do not load.
    pub fn unknowns(&self) -> Result<Unknowns, TableError> {
        Unknowns::new(&self.open(), &self.learned)
    }

    pub(super) fn checked(&self) -> Result<Checked<'_>, AskError> {
        self.check_ranges()?;
        let recipe = match &self.dough {
            Dough::Named(row) => Recipe::from(*row),
            Dough::ByCups(recipe) | Dough::Weighed(recipe) => *recipe,
        };
        let oven = match &self.method {
            Method::Oven(at, kind) => Some((*at, *kind)),
            Method::Air => None,
        };
        let usual = if oven.is_some() { Faces::Turn } else { Faces::Two };
        Ok(Checked {
            asked: self,
            recipe,
            oven,
            faces: self.faces.unwrap_or(usual),
            size: self.size.unwrap_or_else(|| millimetres(USUAL_SIZE_MM)),
            pressure: standard_pressure(self.altitude),
        })
    }

    fn check_ranges(&self) -> Result<(), AskError> {
        let inside = |value: f64, (low, high): (f64, f64), error: [&'static str; 4]| {
            let [field, least, largest, example] = error;
            if (low..=high).contains(&value) {
                return Ok(());
            }
            Err(AskError::OutOfRange { field, low: least, high: largest, example })
        };
        let mm = in_millimetres(self.thickness);
        inside(mm, (1.0, 50.0), ["the thickness", "1 mm", "50 mm", "6 mm"])?;
        if let Some(size) = self.size {
            inside(in_millimetres(size), (10.0, 500.0), ["the size", "10 mm", "50 cm", "75 mm"])?;
        }
        if let Some(hole) = self.hole {
            let largest = 0.9 * in_millimetres(self.size.unwrap_or(millimetres(USUAL_SIZE_MM)));
            let words = ["the hole", "1 mm", "nine tenths of the size", "5 mm"];
            inside(in_millimetres(hole), (1.0, largest), words)?;
        }
        let last = match self.method {
            Method::Oven(at, _) => Some(at),
            Method::Air => None,
        };
        for at in self.oven_steps.iter().map(|(at, _)| *at).chain(last) {
            inside(in_celsius(at), (40.0, 200.0), ["the oven", "40 C", "200 C", "93 C"])?;
        }
        for (_, lasts) in &self.oven_steps {
            inside(in_hours(*lasts), (0.0, 48.0), ["an oven step", "0 h", "48 h", "1 h"])?;
        }
        if let Some(room) = self.room {
            inside(in_celsius(room), (5.0, 40.0), ["the room", "5 C", "40 C", "20 C"])?;
        }
        if let Some(humidity) = self.humidity {
            let words = ["the humidity", "5 %", "100 %", "45 %"];
            inside(in_fraction(humidity), (0.05, 1.0), words)?;
        }
        let altitude = in_metres(self.altitude);
        inside(altitude, (-430.0, 5000.0), ["the altitude", "-430 m", "5000 m", "1600 m"])?;
        if let Some(pre_dry) = self.pre_dry {
            let words = ["the time in air before the oven", "0 h", "30 days", "24 h"];
            inside(in_hours(pre_dry), (0.0, 720.0), words)?;
        }
        let count = f64::from(self.count);
        inside(count, (1.0, 1000.0), ["the count", "1", "1000", "11"])
    }
}

impl Checked<'_> {
    /// Area of one piece from above, less its hole.
    pub(super) fn area(&self) -> f64 {
        let disc = |across: Length| std::f64::consts::PI / 4.0 * in_metres(across).powi(2);
        disc(self.size) - self.asked.hole.map_or(0.0, disc)
    }

    pub(super) fn volume(&self) -> Volume {
        cubic_metres(self.area() * in_metres(self.asked.thickness))
    }
}

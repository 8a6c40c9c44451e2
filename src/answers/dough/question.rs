//! The question about salt dough, and its check against tables and ranges.

use crate::answers::{AskError, Field, OutOfRange, USUAL_SIZE_MM};
use crate::drying::recipe::Recipe;
use crate::drying::solver::Faces;
use crate::tables::{self, Question};
use crate::transfer::psychrometrics::standard_pressure;
use crate::uncertainty::Posterior;
use crate::units::{
    ArealMassDensity, DiffusionCoefficient, HeatTransfer, Length, Pressure, Ratio, System,
    ThermodynamicTemperature, Time, Volume, cubic_metres, in_celsius, in_hours, in_metres,
    in_millimetres, in_percents, millimetres,
};

/// What the dough is.
#[derive(Debug, Clone, PartialEq)]
pub enum Dough {
    /// A recipe of the tables, measured in cups.
    Named(&'static tables::Recipe),
    /// Amounts of flour, salt and water; whether each was weighed or measured in cups.
    Measured(Recipe, [bool; 3]),
}

/// How it is dried.
#[derive(Debug, Clone, PartialEq)]
pub enum Method {
    /// In an oven of a kind, set to a temperature.
    Oven(ThermodynamicTemperature, &'static tables::Oven),
    /// In the room.
    Air,
}

/// The door of an oven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Door {
    /// Shut: the pieces dry into their own vapour.
    #[default]
    Shut,
    /// Ajar: its air is the room's air, warmed.
    Ajar,
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
    /// Width of an opening, as the window for a photo.
    pub opening: Option<Length>,
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
    /// Time in the oven at its last setting, the rest in the room on a rack; as long as it
    /// takes where not said.
    pub bake_for: Option<Time>,
    /// The oven's door, shut or a finger's width open.
    pub door: Door,
    /// When coats of paint go on, since the start.
    pub coats: Vec<Time>,
    /// The last setting in several stretches instead of one.
    pub stretches: Option<Stretches>,
    /// Prescribed conditions.
    pub exact: Option<Exact>,
    /// Units of the words.
    pub units: System,
    /// What a diary has learnt of this oven and this dough.
    pub posterior: Posterior,
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
    /// Water in a coat of paint.
    pub(super) paint: ArealMassDensity,
}

impl DoughQuestion {
    /// The question on one piece at sea level, all unknown that is not given.
    pub fn of(thickness: Length, dough: Dough, method: Method) -> Self {
        Self {
            thickness,
            size: None,
            opening: None,
            count: 1,
            dough,
            method,
            room: None,
            humidity: None,
            altitude: Length::default(),
            faces: None,
            pre_dry: None,
            oven_steps: Vec::new(),
            bake_for: None,
            door: Door::default(),
            coats: Vec::new(),
            stretches: None,
            exact: None,
            units: System::default(),
            posterior: Posterior::default(),
        }
    }

    pub(super) fn checked(&self) -> Result<Checked<'_>, AskError> {
        self.check_ranges()?;
        let recipe = match &self.dough {
            Dough::Named(row) => Recipe::from(*row),
            Dough::Measured(recipe, _) => *recipe,
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
            paint: tables::finish("paint")?.wet_coat().typical,
        })
    }

    fn check_ranges(&self) -> Result<(), OutOfRange> {
        let within = OutOfRange::check(Question::Dough);
        within(Field::Thickness, Some(in_millimetres(self.thickness)), [1.0, 50.0], "mm")?;
        let size = self.size.map(in_millimetres);
        within(Field::Size, size, [10.0, 500.0], "mm")?;
        let widest = 0.9 * size.unwrap_or(USUAL_SIZE_MM);
        within(Field::Opening, self.opening.map(in_millimetres), [1.0, widest], "mm")?;
        let last = match self.method {
            Method::Oven(at, _) => Some(at),
            Method::Air => None,
        };
        for at in self.oven_steps.iter().map(|(at, _)| *at).chain(last) {
            within(Field::Oven, Some(in_celsius(at)), [40.0, 200.0], "°C")?;
        }
        for (_, lasts) in &self.oven_steps {
            within(Field::OvenStep, Some(in_hours(*lasts)), [0.0, 48.0], "h")?;
        }
        within(Field::Room, self.room.map(in_celsius), [5.0, 40.0], "°C")?;
        within(Field::Humidity, self.humidity.map(in_percents), [5.0, 100.0], "%")?;
        within(Field::Altitude, Some(in_metres(self.altitude)), [-430.0, 5000.0], "m")?;
        within(Field::PreDry, self.pre_dry.map(in_hours), [0.0, 720.0], "h")?;
        within(Field::BakeFor, self.bake_for.map(in_hours), [0.02, 72.0], "h")?;
        for coat in &self.coats {
            within(Field::Coat, Some(in_hours(*coat)), [0.0, 2160.0], "h")?;
        }
        within(Field::Count, Some(f64::from(self.count)), [1.0, 5000.0], "")
    }
}

impl Checked<'_> {
    /// Area of one piece from above, less its opening.
    pub(super) fn area(&self) -> f64 {
        let disc = |across: Length| std::f64::consts::PI / 4.0 * in_metres(across).powi(2);
        disc(self.size) - self.asked.opening.map_or(0.0, disc)
    }

    pub(super) fn volume(&self) -> Volume {
        cubic_metres(self.area() * in_metres(self.asked.thickness))
    }
}

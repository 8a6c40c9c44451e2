//! Quantities as people type and read them; uom inside.
//!
//! The physics takes and returns the uom types re-exported here. Inside a
//! numerical kernel plain `f64` in SI units is used; the crossing is one
//! visible line at the top of the public function.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod constructors;
mod locale;
mod measured;
mod parse;
mod show;
mod spelling;
mod times;
pub mod zone;

pub use constructors::*;
pub use locale::*;
pub use measured::show_each_and_all;
pub use parse::*;
pub use show::*;
pub use spelling::*;
pub use times::*;
pub use uom::si::f64::{
    Area, ArealMassDensity, AvailableEnergy, DiffusionCoefficient, Energy, HeatTransfer, Length,
    Mass, MassDensity, MassRate, Power, Pressure, Ratio, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume,
};

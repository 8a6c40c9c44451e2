//! When a hot piece, or its tray, is cool enough to touch.

use crate::properties::air::DryAir;
use crate::transfer::convection::{Facing, natural_si};
use crate::transfer::radiation::radiative_si;
use crate::units::{
    HeatTransfer, Length, MassDensity, Pressure, Ratio, SpecificHeatCapacity,
    ThermodynamicTemperature, Time, in_film, in_fraction, in_kelvins, in_metres, in_pascals,
    seconds,
};

/// What carries heat off a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cooled {
    /// A constant total film.
    Film(HeatTransfer),
    /// Natural convection over a plate of this size, as the temperature falls, times a
    /// factor, and radiation to walls at the temperature of the room.
    InRoom {
        /// Area over perimeter, the length of the plate correlations.
        size: Length,
        /// Emissivity of the face.
        emissivity: Ratio,
        /// Multiplies the natural film.
        factor: f64,
        /// Pressure of the air.
        pressure: Pressure,
    },
}

/// A flat body of one temperature: heat capacity and its open faces.
///
/// Lumped: right within 5 % while h L/k < 0.2 (6 mm of dry dough: 0.14, computed here).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Heat capacity for a unit of area, J/m²K.
    pub heat: f64,
    /// The upper face, if air reaches it.
    pub upper: Option<Cooled>,
    /// The lower face, if air reaches it.
    pub lower: Option<Cooled>,
}

/// Heat capacity for a unit of area of a layer, J/m²K.
pub fn layer(density: MassDensity, heat: SpecificHeatCapacity, thickness: Length) -> f64 {
    density.value * heat.value * in_metres(thickness)
}

impl Plate {
    /// Time to cool from one temperature to another in a room; zero when already there,
    /// infinite when the room is as warm.
    ///
    /// t = ∫ C dT / q(T), by Simpson's rule in ln(T - T_room), which is exact for a
    /// constant film.
    pub fn time_to(
        &self,
        from: ThermodynamicTemperature,
        to: ThermodynamicTemperature,
        room: ThermodynamicTemperature,
    ) -> Time {
        const INTERVALS: usize = 16;
        let (from, to, room) = (in_kelvins(from), in_kelvins(to), in_kelvins(room));
        if from <= to {
            return seconds(0.0);
        }
        if to <= room {
            return seconds(f64::INFINITY);
        }
        let span = ((from - room) / (to - room)).ln();
        let step = span / INTERVALS as f64;
        let inverse_film = |n: usize| {
            let excess = (to - room) * (step * n as f64).exp();
            1.0 / self.film_at(room + excess, room)
        };
        let sum: f64 = (0..=INTERVALS)
            .map(|n| {
                let weight = match n {
                    0 | INTERVALS => 1.0,
                    n if n % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                weight * inverse_film(n)
            })
            .sum();
        seconds(self.heat * sum * step / 3.0)
    }

    fn film_at(&self, kelvin: f64, room: f64) -> f64 {
        let faces = [(self.upper, Facing::Unstable), (self.lower, Facing::Stable)];
        faces
            .into_iter()
            .filter_map(|(cooled, facing)| cooled.map(|cooled| cooled.film(facing, kelvin, room)))
            .sum()
    }
}

impl Cooled {
    fn film(self, facing: Facing, kelvin: f64, room: f64) -> f64 {
        match self {
            Self::Film(h) => in_film(h),
            Self::InRoom { size, emissivity, factor, pressure } => {
                let air = DryAir::at_si(0.5 * (kelvin + room), in_pascals(pressure));
                factor * natural_si(facing, in_metres(size), kelvin - room, &air)
                    + radiative_si(in_fraction(emissivity), kelvin, room)
            }
        }
    }
}

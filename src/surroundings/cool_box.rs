//! A cool box: the heat that leaks through its wall.

use crate::units::{Area, Length, Power, TemperatureInterval, ThermalConductivity, watts};
use crate::units::{in_conductivity, in_kelvins_apart, in_metres};
use uom::si::area::square_meter;

/// Heat conducted through a wall between surfaces at two temperatures: k A ΔT/t.
pub fn wall_heat(
    conductivity: ThermalConductivity,
    thickness: Length,
    area: Area,
    difference: TemperatureInterval,
) -> Power {
    let conductance = in_conductivity(conductivity) * area.get::<square_meter>();
    watts(conductance / in_metres(thickness) * in_kelvins_apart(difference))
}

/// Room of a usual cool box, L. Common practice, no source.
pub(crate) const USUAL_LITRES: f64 = 25.0;

/// A box that its ice fills has so many times its room. Common practice, no source.
pub(crate) const FILLED: f64 = 3.0;

/// Conductance of a box with so much room, W/K: a cube, wall and the film outside in
/// series, a fifth more for opening it twice an hour. Common practice, no source; the film is what natural convection (Churchill &
/// Chu 1975) and radiation come to on a wall in a room.
pub(crate) fn box_conductance(room_m3: f64, wall_k: f64, thickness: f64) -> f64 {
    const OUTER_FILM: f64 = 8.0;
    const OPENING: f64 = 1.2;
    let area = 6.0 * room_m3.powf(2.0 / 3.0);
    OPENING * area / (thickness / wall_k + 1.0 / OUTER_FILM)
}

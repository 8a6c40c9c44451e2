//! A cool box: the heat that leaks through its wall.

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

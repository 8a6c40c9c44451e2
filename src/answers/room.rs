//! What a draw makes of the room that a question tells of.

use crate::tables::Unknown;
use crate::uncertainty::Draw;
use crate::units::{Ratio, ThermodynamicTemperature, in_celsius, in_fraction};

/// Which unknowns a question about the room leaves open: its air and its humidity.
pub(super) fn open(air: Option<ThermodynamicTemperature>, humidity: Option<Ratio>) -> [Unknown; 2] {
    [
        air.map_or(Unknown::RoomTemperatureUnknown, |_| Unknown::RoomTemperatureError),
        humidity.map_or(Unknown::RoomHumidityUnknown, |_| Unknown::RoomHumidityError),
    ]
}

/// The room's air, °C.
pub(super) fn air(draw: &Draw, told: Option<ThermodynamicTemperature>) -> f64 {
    let told = told.map(in_celsius);
    draw.told_or(told, Unknown::RoomTemperatureError, Unknown::RoomTemperatureUnknown)
}

/// The room's humidity, 1; it may lie outside 0 to 1.
pub(super) fn humidity(draw: &Draw, told: Option<Ratio>) -> f64 {
    let told = told.map(in_fraction);
    draw.told_or(told, Unknown::RoomHumidityError, Unknown::RoomHumidityUnknown)
}

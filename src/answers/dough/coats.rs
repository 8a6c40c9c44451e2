//! How long each coat of a finish dries on salt dough in a room.

use schemars::JsonSchema;
use serde::Serialize;

use super::question::USUAL_SIZE_MM;
use crate::{
    answers::shared::AskError,
    drying::{finish::coat_time, solver::Room},
    surroundings::room::{in_room, room_film},
    tables,
    transfer::psychrometrics::standard_pressure,
    units::{Length, Time, hours, in_hours, millimetres},
};

/// The finishes an ornament gets, as `tables/finishes.toml` names them.
const FINISHES: [&str; 4] = ["paint", "glue", "photo", "seal"];

/// One coat.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Coat {
    /// The finish.
    pub finish: &'static str,
    /// Hours until the next step; `null` in air too moist for it.
    pub next_h: Option<f64>,
}

/// Every finish's coat in a room.
///
/// # Errors
/// [`AskError::Name`] when the embedded tables lack a finish.
pub fn coats(room: &Room, altitude: Length) -> Result<Vec<Coat>, AskError> {
    FINISHES
        .into_iter()
        .map(|finish| {
            let time = in_hours(coat(finish, room, altitude)?);
            Ok(Coat { finish, next_h: Some(time).filter(|time| time.is_finite()) })
        })
        .collect()
}

/// Until the step after a coat: by the rate at which brine dries or by common
/// practice, whichever is longer; infinite in air as moist as brine.
///
/// # Errors
/// [`AskError::Name`] when the embedded tables lack the finish.
pub fn coat(finish: &str, room: &Room, altitude: Length) -> Result<Time, AskError> {
    let pressure = standard_pressure(altitude);
    let film = room_film(room, millimetres(USUAL_SIZE_MM), pressure);
    let around = in_room(room, film, pressure, hours(0.0)).around;
    Ok(coat_time(tables::finish(finish)?, room, &around)?.until_next())
}

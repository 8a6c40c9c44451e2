//! How long each coat of a finish dries on salt dough in a room.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    answers::USUAL_SIZE_MM,
    drying::{
        finish::{CoatTime, coat_time},
        solver::Room,
    },
    surroundings::room::{in_room, room_film},
    tables::Finish,
    transfer::psychrometrics::standard_pressure,
    units::{Length, Time, hours, in_hours, millimetres},
};

/// The coats of one finish.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Coat {
    /// The finish.
    pub finish: &'static str,
    /// Usual number of coats.
    pub coats: u32,
    /// Hours until another coat of the same; `null` in air too moist for it.
    pub again_h: Option<f64>,
    /// Hours until the next step, after the last coat; `null` in air too moist for it.
    pub next_h: Option<f64>,
}

/// The coat of every finish that an ornament gets, in a room.
pub fn coats(room: &Room, altitude: Length) -> Vec<Coat> {
    [Finish::paint(), Finish::glue(), Finish::photo(), Finish::seal()]
        .into_iter()
        .map(|finish| {
            let time = coat(finish, room, altitude);
            let told = |time: Time| Some(in_hours(time)).filter(|hours| hours.is_finite());
            Coat {
                finish: finish.name(),
                coats: finish.usual_coats(),
                again_h: told(time.until_again()),
                next_h: told(time.until_next()),
            }
        })
        .collect()
}

/// Until another coat and until the step after the last: by the rate at which brine dries or by
/// common practice, whichever is longer; infinite in air as moist as brine.
pub fn coat(finish: &Finish, room: &Room, altitude: Length) -> CoatTime {
    let pressure = standard_pressure(altitude);
    let film = room_film(room, millimetres(USUAL_SIZE_MM), pressure);
    let around = in_room(room, film, pressure, hours(0.0)).around;
    coat_time(finish, room, &around)
}

//! What the user could do to have it solid sooner: each remedy is really re-run.

use rayon::prelude::*;

use super::question::{Block, HOT_C, IceQuestion};
use super::scenario::Outcome;
use crate::answers::AskError;
use crate::freezing::mesh::Resolution;
use crate::shape::USUAL_FILL;
use crate::tables::{self, AirMoved, Behind};
use crate::uncertainty::Posterior;
use crate::units::{celsius, fraction, in_celsius, in_fraction};

/// A change that saves less than this is not worth a line, h.
const LEAST_GAIN: f64 = 0.1;

/// Water from the fridge, °C. Common practice.
const FRIDGE_C: f64 = 5.0;

/// Water that has stood in the room, °C. Common practice.
const COUNTER_C: f64 = 20.0;

/// How much colder a freezer can usually be set, K, and the coldest a kitchen one gets, °C. Common practice.
const COLDER: f64 = 4.0;
const COLDEST_C: f64 = -26.0;

/// The remedies that this user can apply, as changed questions.
fn remedies(question: &IceQuestion, start_c: f64, air_c: f64) -> Vec<(String, IceQuestion)> {
    let mut list = Vec::new();
    let mut add = |change: &str, changed: IceQuestion| list.push((change.to_owned(), changed));
    let same = || question.clone();
    if start_c >= HOT_C {
        // Near the food of a fridge it would do what it does in the freezer.
        let start = Some(celsius(COUNTER_C));
        add("let the water cool on the counter first", IceQuestion { start, ..same() });
    } else if start_c > FRIDGE_C + 2.0 {
        let start = Some(celsius(FRIDGE_C));
        add("chill the water in the fridge first", IceQuestion { start, ..same() });
    }
    if let Some(shallower) = shallower(question) {
        add("fill a quarter less deep", shallower);
    }
    if question.count > 1 {
        let count = question.count.div_ceil(2);
        add("freeze half as many at once", IceQuestion { count, ..same() });
    }
    if question.covered {
        add("leave the lid off", IceQuestion { covered: false, ..same() });
    }
    if in_fraction(question.salt) > 0.0 {
        add("leave the salt out", IceQuestion { salt: fraction(0.0), ..same() });
    }
    if question.cells > 1 {
        add("spread them out, with air between", IceQuestion { cells: 1, ..same() });
    }
    let wall = tables::Wall::steel();
    if question.wall.conductivity().typical < wall.conductivity().low {
        let thickness = Some(wall.thickness().typical);
        add("use a metal pan", IceQuestion { wall, thickness, ..same() });
    }
    if question.stand.is_none_or(|stand| stand.behind() == Behind::Shelf) {
        let stand = Some(tables::Stand::wire());
        add("stand them on a wire rack", IceQuestion { stand, ..same() });
    }
    let still = question.freezer.air_moved() == AirMoved::Still;
    if still && question.stand.is_none_or(|stand| stand.behind() != Behind::Plate) {
        let stand = Some(tables::Stand::cold_plate());
        add("stand them on the cooled floor or shelf itself", IceQuestion { stand, ..same() });
    }
    if air_c - COLDER >= COLDEST_C && question.freezer != tables::Freezer::ice_box() {
        // What was learnt of the air holds for the colder setting too.
        let now = question.air.map_or(air_c, in_celsius);
        let air = Some(celsius(now - COLDER));
        let colder = question.locale.degrees_apart(COLDER);
        add(
            &format!("set the freezer {colder} colder, a day ahead"),
            IceQuestion { air, ..same() },
        );
    }
    list
}

/// The same with three quarters of the depth of water.
fn shallower(question: &IceQuestion) -> Option<IceQuestion> {
    let Block::Shape(shape) = &question.block else { return None };
    if shape.is_closed() {
        return None;
    }
    let fill = question.fill.unwrap_or(USUAL_FILL * shape.depth());
    Some(IceQuestion { fill: Some(0.75 * fill), ..question.clone() })
}

/// Each remedy with the hours it saves at the central inputs and the question
/// changed by it, the best first.
pub(super) fn helps(question: &IceQuestion) -> Result<Vec<(String, f64, IceQuestion)>, AskError> {
    let central = |question: &IceQuestion| -> Result<(f64, f64, Outcome), AskError> {
        let scenario = question.scenario(question.unknowns()?.centre())?;
        let (start, air) = (in_celsius(scenario.start), in_celsius(scenario.freezer.air));
        Ok((start, air, scenario.run(Resolution::Coarse, false)?))
    };
    let (start_c, air_c, now) = central(question)?;
    let tried: Vec<(String, f64, IceQuestion)> = remedies(question, start_c, air_c)
        .into_par_iter()
        .filter_map(|(change, changed)| {
            let then = central(&changed).ok()?.2;
            let posterior = Posterior::default();
            Some((change, saved(now.solid_h, then.solid_h), IceQuestion { posterior, ..changed }))
        })
        .collect();
    let mut useful: Vec<_> =
        tried.into_iter().filter(|(_, saves, _)| *saves >= LEAST_GAIN).collect();
    useful.sort_by(|a, b| b.1.total_cmp(&a.1));
    Ok(useful)
}

/// Hours saved; what turns never into some time saves without bound.
fn saved(now: f64, then: f64) -> f64 {
    if then.is_finite() { now - then } else { 0.0 }
}

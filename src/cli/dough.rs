//! `solidby dough`: how long to bake or air-dry.

use super::{
    Reply,
    args::{Common, DoughArgs, DoughMade, FacesArg, OvenKindArg},
    diary,
    failure::Failure,
    files,
    moment::{Moment, hours_between},
};
use crate::{
    answers::{
        AskError, Field,
        dough::{Dough, DoughAndWays, DoughQuestion, Exact, Method, answer, course, ways_out},
    },
    drying::{recipe::Recipe, solver::Faces},
    report::{
        chart,
        dough::{Answered, dough},
    },
    tables,
    uncertainty::Posterior,
    units::{Time, hours, metres},
};

/// Answers `solidby dough`.
///
/// # Errors
/// An input failure for names no table knows, times that are none, and values
/// out of range.
pub fn run(args: &DoughArgs, common: &Common) -> Result<Reply, Failure> {
    let answered = answered(args, common)?;
    if let Some(out) = &args.chart {
        let course = course(&answered.question).map_err(|error| wrong(&error))?;
        if course.is_empty() {
            super::remark(&format!("it never dries, so {} was not written\n", out.display()));
        } else {
            files::write_chart(out, &chart::dough(&answered, &course), args.force)?;
        }
    }
    super::reply(&answered.both, common, || dough(&answered, super::width()))
}

/// The question answered, with what the diary knows.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &DoughArgs, common: &Common) -> Result<Answered, Failure> {
    let mut question = question(&args.made, common).map_err(|error| wrong(&error))?;
    let exact = Exact { film: args.film, diffusivity: args.diffusivity };
    question.exact = args.exact.then_some(exact);
    let taught = diary::teach_dough(&args.learning, &args.made, &mut question, common)?;
    let available = available(args, common)?;
    let mut answer = answer(&question).map_err(|error| wrong(&error))?;
    answer.notes.splice(0..0, taught);
    let ways = available.map(|time| ways_out(&question, Some(time))).transpose();
    let both = DoughAndWays { answer, ways: ways.map_err(|error| wrong(&error))? };
    Ok(Answered { both, question, available })
}

/// What was typed wrong, by what the question cannot be answered for.
fn wrong(error: &AskError) -> Failure {
    let option = match error {
        AskError::Name(unknown) => unknown.what,
        AskError::Recipe(_) => "recipe",
        AskError::OutOfRange(out) => match out.field {
            Field::Altitude => "altitude",
            Field::Count => "count",
            Field::Hole => "hole",
            Field::Humidity => "humidity",
            Field::PreDry => "pre-dry",
            Field::Room => "room",
            Field::Size => "size",
            Field::Thickness => "thickness",
            _ => "oven",
        },
        _ => return Failure::other(error.to_string()),
    };
    Failure::of(option, error.to_string())
}

/// From when it goes in to when it must be dry.
fn available(args: &DoughArgs, common: &Common) -> Result<Option<Time>, Failure> {
    let moment = Moment::new(common.now.as_deref())?;
    let Some(by) = &args.by else { return Ok(None) };
    let from = match &args.at {
        Some(text) => moment.read("--at", text, moment.now())?,
        None => moment.now(),
    };
    let by = moment.read("--by", by, from)?;
    if by <= from {
        return Err(Failure::input("--by is not after --at; for example --at 20:00 --by 07:00"));
    }
    Ok(Some(hours(hours_between(from, by))))
}

pub(super) fn question(args: &DoughMade, common: &Common) -> Result<DoughQuestion, AskError> {
    let dough = match (args.flour, args.salt, args.water) {
        (Some(flour), Some(salt), Some(water)) => {
            Dough::Weighed(Recipe::by_mass(flour, salt, water)?)
        }
        _ => Dough::Named(match &args.recipe {
            Some(name) => tables::recipe(name)?,
            None => tables::Recipe::two_one_one(),
        }),
    };
    let method = match args.oven {
        Some(at) => Method::Oven(at, args.oven_kind.unwrap_or(OvenKindArg::Still).row()),
        None => Method::Air,
    };
    Ok(DoughQuestion {
        thickness: args.thickness,
        size: args.size,
        hole: None,
        count: args.count,
        dough,
        method,
        room: args.room,
        humidity: args.humidity,
        altitude: args.altitude.unwrap_or_else(|| metres(0.0)),
        faces: args.faces.map(|faces| match faces {
            FacesArg::One => Faces::One,
            FacesArg::Two => Faces::Two,
            FacesArg::Turn => Faces::Turn,
        }),
        pre_dry: args.pre_dry,
        oven_steps: Vec::new(),
        stretches: None,
        exact: None,
        units: common.units.unwrap_or_default(),
        posterior: Posterior::default(),
    })
}

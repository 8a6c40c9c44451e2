//! `solidby dough`: how long to bake or air-dry.

use super::{
    Reply,
    args::{Common, DoughArgs, FacesArg, OvenKindArg},
    failure::Failure,
    files,
};
use crate::{
    ask::{
        AskError,
        dough::{Dough, DoughQuestion, Exact, Method, answer, course},
    },
    dough::{drying::Faces, recipe::Recipe},
    say::{self, chart},
    units::metres,
};

/// Answers `solidby dough`.
///
/// # Errors
/// An input failure for names no table knows and values out of range.
pub fn run(args: &DoughArgs, common: &Common) -> Result<Reply, Failure> {
    let question = question(args, common).map_err(|error| Failure::input(error.to_string()))?;
    let answer = answer(&question).map_err(|error| Failure::input(error.to_string()))?;
    if let Some(out) = &args.chart {
        let course = course(&question).map_err(|error| Failure::input(error.to_string()))?;
        if course.is_empty() {
            anstream::eprintln!("it never dries, so {} was not written", out.display());
        } else {
            files::write_chart(out, &chart::dough(&answer, &question, &course), args.force)?;
        }
    }
    super::reply(&answer, common, || say::dough::dough(&answer, question.units, super::width()))
}

fn question(args: &DoughArgs, common: &Common) -> Result<DoughQuestion, AskError> {
    let dough = match (args.flour, args.salt, args.water) {
        (Some(flour), Some(salt), Some(water)) => {
            Dough::Weighed(Recipe::by_mass(flour, salt, water)?)
        }
        _ => Dough::Named(args.recipe.clone().unwrap_or_else(|| "two-one-one".to_owned())),
    };
    let method = match args.oven {
        Some(at) => {
            let kind = match args.oven_kind {
                Some(OvenKindArg::Fan) => "fan",
                _ => "still",
            };
            Method::Oven(at, kind.to_owned())
        }
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
        sittings: None,
        exact: args.exact.then_some(Exact { film: args.film, diffusivity: args.diffusivity }),
        units: common.units.unwrap_or_default(),
    })
}

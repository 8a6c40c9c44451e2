//! `solidby thaw`: how long a block lasts out of the freezer.

use super::{
    args::ThawArgs,
    context::Context,
    failure::Failure,
    reply::{Reply, length as how_much, reply, width},
    shape::block,
};
use crate::{
    answers::thaw::{Keeping, ThawAnswer, ThawQuestion, answer},
    report::thaw::thaw,
    units::{celsius, length},
};

/// Answers `solidby thaw`.
///
/// # Errors
/// An input failure for names no table knows and values out of range.
pub fn run(args: &ThawArgs, context: Context) -> Result<Reply, Failure> {
    let answer = answered(args, context)?;
    reply(&answer, context, || thaw(&answer, context.locale(), width(), how_much(args.more)))
}

/// The answer, before it is printed.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &ThawArgs, context: Context) -> Result<ThawAnswer, Failure> {
    let block = block(&args.shape, &args.filled, context.host())?.block;
    let question = ThawQuestion {
        block,
        fill: args.filled.fill,
        count: args.count,
        start: args.start.unwrap_or_else(|| celsius(-18.0)),
        room: args.room,
        humidity: args.humidity,
        keeping: keeping(&args.inside)?,
        locale: context.locale(),
    };
    answer(&question).map_err(|error| Failure::asked(&error, context.locale()))
}

/// `open`, `bag`, `cool-box` or `cool-box:30mm`.
fn keeping(text: &str) -> Result<Keeping, Failure> {
    match text.split_once(':') {
        None if text == "open" => Ok(Keeping::Open),
        None if text == "bag" => Ok(Keeping::Bag),
        None if text == "cool-box" => Ok(Keeping::foam_box()),
        Some(("cool-box", thickness)) => {
            let thickness =
                length(thickness).map_err(|error| Failure::input(format!("--in: {error}")))?;
            Ok(Keeping::foam(thickness))
        }
        _ => Err(Failure::input(format!(
            "--in: “{text}” is not known; use open, bag, cool-box or cool-box:30mm"
        ))),
    }
}

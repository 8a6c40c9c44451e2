//! `solidby cool`: when a baked piece and its tray may be touched.

use super::{
    args::CoolArgs,
    context::Context,
    failure::Failure,
    reply::{Reply, length, reply, width},
};
use crate::{
    answers::cool::{CoolAnswer, CoolQuestion, answer},
    report,
};

/// Answers `solidby cool`.
///
/// # Errors
/// An input failure for values out of range.
pub fn run(args: &CoolArgs, context: Context) -> Result<Reply, Failure> {
    let answer = answered(args, context)?;
    reply(&answer, context, || {
        report::dough::cool(&answer, context.locale(), width(), length(args.more))
    })
}

/// The answer, before it is printed.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &CoolArgs, context: Context) -> Result<CoolAnswer, Failure> {
    let question = CoolQuestion {
        thickness: args.thickness,
        size: None,
        from: args.from,
        room: args.room,
        on: args.on,
        tray: args.tray,
    };
    answer(&question).map_err(|error| Failure::asked(&error, context.locale()))
}

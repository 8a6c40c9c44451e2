//! `solidby cool`: when a baked piece and its tray may be touched.

use super::{
    args::{self, CoolArgs, TrayArg},
    context::Context,
    failure::Failure,
    reply::{Reply, reply, width},
};
use crate::{
    answers::cool::{CoolOn, CoolQuestion, TrayMetal, answer},
    report,
};

/// Answers `solidby cool`.
///
/// # Errors
/// An input failure for values out of range.
pub fn run(args: &CoolArgs, context: Context) -> Result<Reply, Failure> {
    let question = CoolQuestion {
        thickness: args.thickness,
        size: None,
        from: args.from,
        room: args.room,
        on: match args.on {
            args::CoolOn::Rack => CoolOn::Rack,
            args::CoolOn::Tray => CoolOn::Tray,
        },
        tray: match args.tray {
            TrayArg::Aluminium => TrayMetal::Aluminium,
            TrayArg::Steel => TrayMetal::Steel,
        },
    };
    let answer = answer(&question).map_err(|error| Failure::input(error.to_string()))?;
    reply(&answer, context, || report::dough::cool(&answer, width()))
}

//! One file a command: arguments, a question, an answer, print.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod args;
mod check;
mod command;
mod context;
mod cool;
mod diary;
mod did;
mod dough;
mod failure;
mod files;
mod ice;
mod kept;
mod made;
mod manual;
mod pages;
mod plan;
mod refused;
mod reply;
#[cfg(not(target_family = "wasm"))]
mod serve;
mod shape;
mod starter;
mod tables;
mod thaw;
mod today;
mod typed;

use std::{ffi::OsString, process::ExitCode, sync::Arc};

use clap::{ArgMatches, CommandFactory, FromArgMatches};

use crate::{host::Host, report::clean::clean};
use command::{Cli, Command};
use context::Context;
use reply::remark;

pub use diary::check as check_diary;
pub use failure::Failure;
pub use pages::Pages;
pub use reply::{Outcome, Reply};

/// Runs the program on arguments, the first of which is its own name, and prints.
pub fn main(host: &Arc<dyn Host>, arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let reply = run(host, arguments).and_then(|reply| reply.print().map(|()| reply.outcome));
    match reply {
        Ok(Outcome::Answered) => ExitCode::SUCCESS,
        Ok(Outcome::CannotBeDone) => ExitCode::from(3),
        Err(failure) => {
            remark(failure.text());
            ExitCode::from(failure.code())
        }
    }
}

/// What the program answers to arguments, the first of which is its own name.
///
/// # Errors
/// What is wrong with them, or why it cannot be done.
pub fn run(
    host: &Arc<dyn Host>,
    arguments: impl IntoIterator<Item = OsString>,
) -> Result<Reply, Failure> {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let typed = match Cli::command().try_get_matches_from(&arguments) {
        Ok(typed) => typed,
        Err(error) => return usage(&error, &arguments),
    };
    let cli = match Cli::from_arg_matches(&typed) {
        Ok(cli) => cli,
        Err(error) => return usage(&error.format(&mut Cli::command()), &arguments),
    };
    let context = Context { host, common: &cli.common };
    context.now_for(chrono_tz::UTC)?;
    answer(&cli.command, &typed, context)
}

/// Help and version go to stdout and are no failure.
fn usage(error: &clap::Error, typed: &[OsString]) -> Result<Reply, Failure> {
    let text = error.render();
    // It repeats what was typed; where that holds controls, the colours go with them.
    let is_clean = |typed: &OsString| typed.to_str().is_some_and(|typed| clean(typed) == typed);
    let text = match typed.iter().all(is_clean) {
        true => text.ansi().to_string(),
        false => clean(&text.to_string()),
    };
    match error.use_stderr() {
        true => Err(Failure::usage(text)),
        false => Ok(Reply::answered(text)),
    }
}

/// What a command answers; the options of it are also given as they were typed.
fn answer(command: &Command, typed: &ArgMatches, context: Context) -> Result<Reply, Failure> {
    match command {
        Command::Plan(args) => plan::run(args, context),
        Command::Today(args) => today::run(args, context),
        Command::Did(args) => did::run(args, context),
        Command::Check(args) => check::run(args, context),
        Command::Starter(args) => starter::run(args, context),
        Command::Dough(args) => dough::run(args, context),
        Command::Cool(args) => cool::run(args, context),
        Command::Ice(args) => ice::run(args, context),
        Command::Thaw(args) => thaw::run(args, context),
        Command::Tables(args) => tables::run(args, context),
        Command::Completions(args) => manual::completions(args, context),
        Command::Diary(command) => diary::run(command, typed, context),
        #[cfg(not(target_family = "wasm"))]
        Command::Serve(args) => serve::run(args, context),
        Command::Man(args) => manual::man(args, context),
    }
}

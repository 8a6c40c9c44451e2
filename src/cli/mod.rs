//! One file a command: arguments, a question, an answer, print.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod args;
mod check;
mod cool;
mod diary;
mod dough;
mod failure;
mod files;
mod ice;
mod manual;
mod moment;
mod plan;
mod serve;
mod shape;
mod starter;
mod tables;
mod thaw;
mod typed;

use std::{io::Write, process::ExitCode};

use clap::{ArgMatches, CommandFactory, FromArgMatches};
use serde::Serialize;

use crate::answers::Document;

use args::{Cli, Command, Common};

pub use diary::check as check_diary;
pub use failure::Failure;

/// What a command has to say: text for people or JSON, and how it ended.
pub struct Reply {
    /// For stdout.
    pub text: String,
    /// Whether everything asked for can be had.
    pub outcome: Outcome,
}

/// How a command that did not fail ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Answered, also when the answer is no.
    Answered,
    /// The plan cannot be done; the best one was printed.
    CannotBeDone,
}

impl Reply {
    /// An answer for stdout.
    pub fn answered(text: String) -> Self {
        Self { text, outcome: Outcome::Answered }
    }
}

/// An answer as JSON, or in words.
fn reply<A: Serialize>(
    answer: &A,
    common: &Common,
    words: impl FnOnce() -> String,
) -> Result<Reply, Failure> {
    if !common.json {
        return Ok(Reply::answered(words()));
    }
    serde_json::to_string_pretty(&Document::of(answer))
        .map(|json| Reply::answered(json + "\n"))
        .map_err(|error| Failure::other(format!("the answer could not be printed: {error}")))
}

/// Columns of the terminal; 100 where there is none.
fn width() -> usize {
    terminal_size::terminal_size().map_or(100, |(width, _)| usize::from(width.0))
}

/// Runs the program on the process's arguments.
pub fn main() -> ExitCode {
    let typed = match Cli::command().try_get_matches() {
        Ok(typed) => typed,
        Err(error) => return usage(&error),
    };
    let cli = match Cli::from_arg_matches(&typed) {
        Ok(cli) => cli,
        Err(error) => return usage(&error.format(&mut Cli::command())),
    };
    match run(&cli, &typed).and_then(|reply| print(&reply)) {
        Ok(Outcome::Answered) => ExitCode::SUCCESS,
        Ok(Outcome::CannotBeDone) => ExitCode::from(3),
        Err(failure) => {
            remark(failure.text());
            ExitCode::from(failure.code())
        }
    }
}

/// Help and version go to stdout and are no failure.
fn usage(error: &clap::Error) -> ExitCode {
    let printed = error.print();
    match (error.use_stderr(), printed) {
        (true, _) => ExitCode::from(2),
        (false, _) => ExitCode::SUCCESS,
    }
}

fn run(cli: &Cli, typed: &ArgMatches) -> Result<Reply, Failure> {
    match &cli.command {
        Command::Plan(args) => plan::run(args, &cli.common),
        Command::Check(args) => check::run(args, &cli.common),
        Command::Starter(args) => starter::run(args, &cli.common),
        Command::Dough(args) => dough::run(args, &cli.common),
        Command::Cool(args) => cool::run(args, &cli.common),
        Command::Ice(args) => ice::run(args, &cli.common),
        Command::Thaw(args) => thaw::run(args, &cli.common),
        Command::Tables(args) => tables::run(args, &cli.common),
        Command::Completions(args) => manual::completions(args, &cli.common),
        Command::Diary(command) => diary::run(command, typed, &cli.common),
        Command::Serve(args) => serve::run(args, &cli.common),
        Command::Man(args) => manual::man(args, &cli.common),
    }
}

/// Writes to stderr what can be written; nobody is left to be told of a failure.
fn remark(text: &str) {
    let mut err = anstream::stderr().lock();
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.flush());
}

/// A reader that has gone away is no failure.
fn print(reply: &Reply) -> Result<Outcome, Failure> {
    let mut out = anstream::stdout().lock();
    let written = out.write_all(reply.text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::other(format!("the answer could not be printed: {error}")))
        }
        _ => Ok(reply.outcome),
    }
}

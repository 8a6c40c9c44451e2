//! `solidby completions` and `solidby man`: both from the definition of the arguments.

use clap::CommandFactory;
use serde::Serialize;

use super::{
    args::{CompletionsArgs, ManArgs},
    command::Cli,
    context::Context,
    failure::Failure,
    reply::{Reply, reply},
};

/// A text for another program, with what it is.
#[derive(Serialize)]
struct Page {
    name: String,
    text: String,
}

/// Answers `solidby completions`.
///
/// # Errors
/// When the text could not be made.
pub fn completions(args: &CompletionsArgs, context: Context) -> Result<Reply, Failure> {
    let mut text = Vec::new();
    let mut program = Cli::command();
    let name = program.get_name().to_owned();
    clap_complete::generate(args.shell, &mut program, name, &mut text);
    page(args.shell.to_string(), text, context)
}

/// Answers `solidby man`.
///
/// # Errors
/// An input failure for a command that does not exist.
pub fn man(args: &ManArgs, context: Context) -> Result<Reply, Failure> {
    let mut program = Cli::command();
    // Gives each command its full name, `solidby-ice`, and the options of all.
    program.build();
    let chosen = match &args.command {
        None => program,
        Some(name) => program.find_subcommand(name).cloned().ok_or_else(|| {
            let names: Vec<_> = program.get_subcommands().map(clap::Command::get_name).collect();
            Failure::input(format!("no command is called “{name}”; known: {}", names.join(", ")))
        })?,
    };
    let name = chosen.get_display_name().unwrap_or(chosen.get_name()).to_owned();
    let mut text = Vec::new();
    clap_mangen::Man::new(chosen)
        .render(&mut text)
        .map_err(|error| Failure::other(format!("the man page could not be written: {error}")))?;
    page(name, text, context)
}

fn page(name: String, text: Vec<u8>, context: Context) -> Result<Reply, Failure> {
    let text = String::from_utf8(text)
        .map_err(|error| Failure::other(format!("{name} is not UTF-8: {error}")))?;
    let page = Page { name, text };
    reply(&page, context, || page.text.clone())
}

//! What can be typed: the commands.

use clap::{Parser, Subcommand};

use super::{
    args::{
        CheckArgs, CompletionsArgs, CoolArgs, DidArgs, DoughArgs, IceArgs, ManArgs, PlanArgs,
        StarterArgs, TablesArgs, ThawArgs, TodayArgs,
    },
    context::Common,
    diary::args::DiaryCommand,
};

#[cfg(not(target_family = "wasm"))]
use super::args::ServeArgs;

/// By when is it solid? Ice blocks by morning, salt dough dry in time, and the
/// whole prep on the calendar.
#[derive(Debug, Parser)]
#[command(name = "solidby", version, propagate_version = true, arg_required_else_help = true)]
#[command(after_help = "Examples:
  solidby ice --mould fox --count 4 --freezer fridge-freezer --at 20:00 --by 'tomorrow 07:00'
  solidby dough --thickness '1/4 in' --size '3 in' --oven '200 F'
  solidby plan demo/forest-fortnight.toml --ics prep.ics
  solidby starter my-plan.toml")]
pub struct Cli {
    /// Options of every command.
    #[command(flatten)]
    pub common: Common,
    /// The command.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Will these blocks be solid by then; when; what would help
    Ice(Box<IceArgs>),
    /// How long to bake or air-dry; when it is dry through; what can go wrong
    Dough(Box<DoughArgs>),
    /// How long a block lasts on the table, in a bag, in a cool box
    Thaw(Box<ThawArgs>),
    /// When a baked piece and its tray are cool enough to touch
    Cool(CoolArgs),
    /// The whole prep, scheduled backwards from the days it is for
    Plan(PlanArgs),
    /// What to do today and tomorrow morning, what to look at, what was not told yet
    Today(TodayArgs),
    /// What happened: done, wet, soft, weighed, late, skipped; the rest is planned anew
    Did(DidArgs),
    /// Is a plan file sound: every fault at once, each with its line
    Check(CheckArgs),
    /// Write a commented plan file to begin from
    Starter(StarterArgs),
    /// What the built-in tables hold, each value with its source
    Tables(TablesArgs),
    /// Note what really happened; let the answers learn from it
    #[command(subcommand)]
    Diary(DiaryCommand),
    /// The same on a local page, for the browser on this computer only
    #[cfg(not(target_family = "wasm"))]
    Serve(ServeArgs),
    /// Print completions for a shell
    Completions(CompletionsArgs),
    /// Print the man page of the program or of a command
    Man(ManArgs),
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_definition_is_sound() {
        super::Cli::command().debug_assert();
    }
}

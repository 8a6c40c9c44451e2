//! What can be typed after `solidby diary`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use crate::cli::args::{DoughMade, IceMade};

/// `solidby diary`.
#[derive(Debug, Subcommand)]
pub enum DiaryCommand {
    /// Add a note: what was made, when it went in, what was seen
    #[command(subcommand)]
    Add(DiaryAdd),
    /// Add a look to a note that is there
    #[command(after_help = "Example:
  solidby diary look --seen '06:30 wet'")]
    Look(DiaryLook),
    /// Take back a note, or the last look of one
    #[command(after_help = "Example:
  solidby diary back --last-look")]
    Back(DiaryBack),
    /// The notes: what was foretold and what was seen
    Show(DiaryRead),
    /// What the notes teach of each freezer and oven
    Fit(DiaryRead),
}

/// `solidby diary add`.
#[derive(Debug, Subcommand)]
pub enum DiaryAdd {
    /// Blocks of ice
    #[command(after_help = "Example:
  solidby diary add ice --mould fox --count 4 --at 20:00 --seen '06:00 wet' --seen '08:00 solid'")]
    Ice(Box<DiaryAddIce>),
    /// Salt dough
    #[command(after_help = "Example:
  solidby diary add dough --thickness '6 mm' --oven '200 F' --at 13:00 --seen 'after 0 h weight 46 g' --seen 'after 2 h weight 41 g' --seen '17:30 hard'")]
    Dough(Box<DiaryAddDough>),
}

/// `solidby diary add ice`.
#[derive(Debug, Args)]
pub struct DiaryAddIce {
    /// What was made.
    #[command(flatten)]
    pub made: IceMade,
    /// The rest.
    #[command(flatten)]
    pub noted: NotedArgs,
    /// What was seen and when: wet, solid, 'core TEMPERATURE', 'air TEMPERATURE' or 'weight MASS' (one block), as in '06:30 wet' or 'after 9 h solid'
    #[arg(long, value_name = "WHEN WHAT")]
    pub seen: Vec<String>,
}

/// `solidby diary add dough`.
#[derive(Debug, Args)]
pub struct DiaryAddDough {
    /// What was made.
    #[command(flatten)]
    pub made: DoughMade,
    /// The rest.
    #[command(flatten)]
    pub noted: NotedArgs,
    /// What was seen and when: soft, hard or 'weight MASS' (one piece), as in '16:30 hard' or 'after 2 h weight 41 g'
    #[arg(long, value_name = "WHEN WHAT")]
    pub seen: Vec<String>,
}

/// What every note has.
#[derive(Debug, Args)]
pub struct NotedArgs {
    /// When it went in: '20:00' (the last one), 'yesterday 20:00' or a full date and time
    #[arg(long, value_name = "TIME")]
    pub at: String,
    /// The freezer or oven was changed or set anew before this: earlier notes no longer count
    #[arg(long)]
    pub anew: bool,
    /// The diary, where it is not in its usual place
    #[arg(long, value_name = "FILE")]
    pub diary: Option<PathBuf>,
}

/// `solidby diary look`.
#[derive(Debug, Args)]
pub struct DiaryLook {
    /// Which note, counted from the first in the file; the last one when not given
    #[arg(long, value_name = "N")]
    pub note: Option<usize>,
    /// When it went in, as a full date and time: nothing is added to a note of another time
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// What was seen and when, as in '06:30 wet', 'after 9 h solid' or '16:30 hard'
    #[arg(long, value_name = "WHEN WHAT", required = true)]
    pub seen: Vec<String>,
    /// The diary, where it is not in its usual place
    #[arg(long, value_name = "FILE")]
    pub diary: Option<PathBuf>,
}

/// `solidby diary back`.
#[derive(Debug, Args)]
pub struct DiaryBack {
    /// Only its last look goes, not the whole note
    #[arg(long)]
    pub last_look: bool,
    /// Which note, counted from the first in the file; the last one when not given
    #[arg(long, value_name = "N")]
    pub note: Option<usize>,
    /// When it went in, as a full date and time: no note of another time goes
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// How many looks it has: nothing goes of a note that has others by now
    #[arg(long, value_name = "N")]
    pub looks: Option<usize>,
    /// The diary, where it is not in its usual place
    #[arg(long, value_name = "FILE")]
    pub diary: Option<PathBuf>,
}

/// `solidby diary show` and `solidby diary fit`.
#[derive(Debug, Args)]
pub struct DiaryRead {
    /// Only this freezer or oven
    #[arg(long, value_name = "NAME")]
    pub called: Option<String>,
    /// The diary, where it is not in its usual place
    #[arg(long, value_name = "FILE")]
    pub diary: Option<PathBuf>,
}

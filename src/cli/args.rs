//! The options of the commands.

use std::path::PathBuf;

use clap::Args;

use super::shape::{FillArgs, ShapeArgs};
use super::typed::{Films, Words, count, diffusivity_number, film_number, films, word};
use crate::answers::{
    cool::{CoolOn, TrayMetal},
    dough::Door,
};
use crate::drying::solver::Faces;
use crate::tables::Oven;
use crate::units::{
    Amount, DiffusionCoefficient, HeatTransfer, Length, Mass, MassRate, Ratio,
    ThermodynamicTemperature, Time, amount, duration, freezer_temperature, length, mass, mass_rate,
    share, temperature,
};

/// What is made of ice, and where it stands.
#[derive(Debug, Args)]
pub struct IceMade {
    /// The shape.
    #[command(flatten)]
    pub shape: ShapeArgs,
    /// How full.
    #[command(flatten)]
    pub filled: FillArgs,
    /// Blocks freezing at once
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = count::<1, 500>)]
    pub count: u32,
    /// Wall: silicone, plastic, aluminium, steel, glass or paper, and its thickness if known, as in silicone:2mm
    #[arg(long, value_name = "WALL[:THICKNESS]")]
    pub wall: Option<String>,
    /// With a lid
    #[arg(long)]
    pub covered: bool,
    /// Temperature of the water, as in '55 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, allow_hyphen_values = true)]
    pub start: Option<ThermodynamicTemperature>,
    /// Salt in the water as a share of the water's mass, as in '3 %'
    #[arg(long, value_name = "SHARE", value_parser = share, allow_hyphen_values = true)]
    pub salt: Option<Ratio>,
    /// Kind of freezer (see 'solidby tables freezers')
    #[arg(long, value_name = "KIND")]
    pub freezer: Option<String>,
    /// Air temperature in the freezer, as in '0 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = freezer_temperature, allow_hyphen_values = true)]
    pub air: Option<ThermodynamicTemperature>,
    /// Freezing capacity on the freezer's plate, as in '3 kg/day'
    #[arg(long, value_name = "KG/DAY", value_parser = mass_rate)]
    pub rated: Option<MassRate>,
    /// What it stands on: wire, shelf or cold-plate
    #[arg(long, value_name = "STAND")]
    pub stand: Option<String>,
    /// What your freezer is called, in plans and in the diary
    #[arg(long, value_name = "NAME", default_value = "kitchen")]
    pub called: String,
}

/// What past evenings teach.
#[derive(Debug, Clone, Args)]
pub struct Learning {
    /// The diary, where it is not in its usual place
    #[arg(long, value_name = "FILE", conflicts_with = "no_diary")]
    pub diary: Option<PathBuf>,
    /// Answer without the diary
    #[arg(long)]
    pub no_diary: bool,
}

/// `solidby ice`.
#[derive(Debug, Args)]
pub struct IceArgs {
    /// What is made.
    #[command(flatten)]
    pub made: IceMade,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
    /// When it is filled: '20:00', 'today 20:00' or a full date and time
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// When it must be solid
    #[arg(long, value_name = "TIME")]
    pub by: Option<String>,
    /// When you looked and it was still wet: how long the rest takes
    #[arg(long, value_name = "TIME", requires = "at")]
    pub wet_at: Option<String>,
    /// Prescribed film coefficient in W/m²K (or top=H,side=H,base=H), for checking the model
    #[arg(long, value_name = "H", value_parser = films, requires = "air")]
    pub film: Option<Films>,
    /// Say all there is to say
    #[arg(long)]
    pub more: bool,
    /// Write a picture of the night
    #[arg(long, value_name = "OUT.svg")]
    pub chart: Option<PathBuf>,
    /// Overwrite a file that this program did not write
    #[arg(long)]
    pub force: bool,
}

const FACES: Words<Faces> = &[
    ("one", "One face on a tray", Faces::One),
    ("two", "Both faces, on a rack", Faces::Two),
    ("turn", "One face at a time, turned half-way", Faces::Turn),
];
const OVENS: Words<fn() -> &'static Oven> =
    &[("still", "Top and bottom heat", Oven::still), ("fan", "With a fan", Oven::fan)];
const DOORS: Words<Door> =
    &[("shut", "Shut", Door::Shut), ("ajar", "A finger's width open", Door::Ajar)];

/// What is made of dough, and how it dries.
#[derive(Debug, Args)]
pub struct DoughMade {
    /// Thickness as rolled, as in '1/4 in'
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub thickness: Length,
    /// Size across, as in '3 in'
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub size: Option<Length>,
    /// Pieces
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = count::<1, 5000>)]
    pub count: u32,
    /// A recipe of the tables (see 'solidby tables recipes')
    #[arg(long, value_name = "NAME", conflicts_with_all = ["flour", "salt", "water"])]
    pub recipe: Option<String>,
    /// Flour, weighed or measured, as in '250 g' or '2 cups'
    #[arg(long, value_name = "AMOUNT", value_parser = amount, requires_all = ["salt", "water"])]
    pub flour: Option<Amount>,
    /// Salt, weighed or measured
    #[arg(long, value_name = "AMOUNT", value_parser = amount, requires_all = ["flour", "water"])]
    pub salt: Option<Amount>,
    /// Water, weighed or measured
    #[arg(long, value_name = "AMOUNT", value_parser = amount, requires_all = ["flour", "salt"])]
    pub water: Option<Amount>,
    /// Oven setting, as in '200 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature)]
    pub oven: Option<ThermodynamicTemperature>,
    /// Still or fan
    #[arg(long, value_name = "KIND", value_parser = word(OVENS), requires = "oven")]
    pub oven_kind: Option<fn() -> &'static Oven>,
    /// Dry in the room
    #[arg(long, conflicts_with = "oven")]
    pub air_dry: bool,
    /// Room temperature, as in '68 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, allow_hyphen_values = true)]
    pub room: Option<ThermodynamicTemperature>,
    /// Room humidity, as in '45 %'
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub humidity: Option<Ratio>,
    /// Height above the sea, as in '5200 ft'
    #[arg(long, value_name = "LENGTH", value_parser = length, allow_hyphen_values = true)]
    pub altitude: Option<Length>,
    /// Which faces dry
    #[arg(long, value_name = "FACES", value_parser = word(FACES))]
    pub faces: Option<Faces>,
    /// Time in the room before the oven, as in '24 h'
    #[arg(long, value_name = "TIME", value_parser = duration, requires = "oven")]
    pub pre_dry: Option<Time>,
    /// Time in the oven, as in '3 h'; then it goes on drying in the room, on a rack
    #[arg(long, value_name = "TIME", value_parser = duration, requires = "oven")]
    pub bake_for: Option<Time>,
    /// The oven's door: ajar, a finger's width open, lets the vapour out
    #[arg(long, value_name = "DOOR", value_parser = word(DOORS), requires = "oven")]
    pub door: Option<Door>,
    /// Width of an opening in the middle, as the window for a photo: '1 1/2 in'
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub opening: Option<Length>,
    /// A coat of paint goes on so long after the start, as in '24 h'; may be said again
    #[arg(long, value_name = "TIME", value_parser = duration)]
    pub paint_after: Vec<Time>,
    /// What your oven is called, in plans and in the diary
    #[arg(long, value_name = "NAME", default_value = "kitchen")]
    pub called: String,
}

/// `solidby dough`.
#[derive(Debug, Args)]
pub struct DoughArgs {
    /// What is made.
    #[command(flatten)]
    pub made: DoughMade,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
    /// When it goes in: '20:00', 'today 20:00' or a full date and time
    #[arg(long, value_name = "TIME", requires = "by")]
    pub at: Option<String>,
    /// When it must be dry: compares oven settings, air, and air then oven
    #[arg(long, value_name = "TIME")]
    pub by: Option<String>,
    /// Prescribed convective film coefficient in W/m²K, for checking the model
    #[arg(long, value_name = "H", value_parser = film_number, requires = "exact")]
    pub film: Option<HeatTransfer>,
    /// Prescribed constant diffusivity in m²/s, for checking the model
    #[arg(long, value_name = "D", value_parser = diffusivity_number, requires = "exact")]
    pub diffusivity: Option<DiffusionCoefficient>,
    /// Take the prescribed conditions as they are, without a band
    #[arg(long)]
    pub exact: bool,
    /// Say all there is to say
    #[arg(long)]
    pub more: bool,
    /// Write a picture of the drying
    #[arg(long, value_name = "OUT.svg")]
    pub chart: Option<PathBuf>,
    /// Overwrite a file that this program did not write
    #[arg(long)]
    pub force: bool,
}

/// `solidby thaw`.
#[derive(Debug, Args)]
pub struct ThawArgs {
    /// The shape.
    #[command(flatten)]
    pub shape: ShapeArgs,
    /// How full.
    #[command(flatten)]
    pub filled: FillArgs,
    /// Blocks together, which matters in a cool box
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = count::<1, 500>)]
    pub count: u32,
    /// Temperature of the ice, as in '0 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = freezer_temperature, allow_hyphen_values = true)]
    pub start: Option<ThermodynamicTemperature>,
    /// Room temperature, as in '68 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, allow_hyphen_values = true)]
    pub room: Option<ThermodynamicTemperature>,
    /// Room humidity, as in '45 %'
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub humidity: Option<Ratio>,
    /// Where it is: open, bag, or cool-box with its wall thickness if known, as in cool-box:30mm
    #[arg(long = "in", value_name = "PLACE", default_value = "open")]
    pub inside: String,
    /// Say all there is to say
    #[arg(long)]
    pub more: bool,
}

const COOL_ON: Words<CoolOn> =
    &[("rack", "A wire rack", CoolOn::Rack), ("tray", "The tray it was baked on", CoolOn::Tray)];
const METALS: Words<TrayMetal> =
    &[("aluminium", "Aluminium", TrayMetal::Aluminium), ("steel", "Steel", TrayMetal::Steel)];

/// `solidby cool`.
#[derive(Debug, Args)]
pub struct CoolArgs {
    /// Thickness of the piece, as in '1/4 in'
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub thickness: Length,
    /// Temperature it comes out at, as in '200 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature)]
    pub from: ThermodynamicTemperature,
    /// Room temperature, as in '68 F'
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, allow_hyphen_values = true)]
    pub room: Option<ThermodynamicTemperature>,
    /// On a rack or on its tray
    #[arg(long, value_name = "STAND", value_parser = word(COOL_ON), default_value = "rack")]
    pub on: CoolOn,
    /// What the tray is made of
    #[arg(long, value_name = "METAL", value_parser = word(METALS), default_value = "aluminium")]
    pub tray: TrayMetal,
    /// Say all there is to say
    #[arg(long)]
    pub more: bool,
}

/// `solidby plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// The plan file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
    /// Write the reminders as a calendar file
    #[arg(long, value_name = "OUT.ics")]
    pub ics: Option<PathBuf>,
    /// Write what somebody must do as tasks, in a calendar file of their own
    #[arg(long, value_name = "OUT.ics")]
    pub ics_tasks: Option<PathBuf>,
    /// Write a sheet to print for the fridge door
    #[arg(long, value_name = "OUT.html")]
    pub sheet: Option<PathBuf>,
    /// Keep the plan, to be followed with 'today' and 'did'
    #[arg(long)]
    pub keep: bool,
    /// Write the same with everything behind it: reasons, pictures, cautions with their sources
    #[arg(long, value_name = "OUT.html")]
    pub sheet_full: Option<PathBuf>,
    /// Write slips for families and cards for the gifts, eight to a page to cut
    #[arg(long, value_name = "OUT.html")]
    pub notes: Option<PathBuf>,
    /// Minutes of warning before each step with hands
    #[arg(long, value_name = "MINUTES", default_value_t = crate::report::calendar::REMIND, value_parser = count::<0, 1440>)]
    pub remind: u32,
    /// Say why each step is where it is
    #[arg(long)]
    pub reasons: bool,
    /// Say the words of care in full too, with their sources
    #[arg(long)]
    pub more: bool,
    /// Say why one step is where it is, with the whole chain of reasons
    #[arg(long, value_name = "STEP")]
    pub why: Option<String>,
    /// Say what moved since an earlier answer of 'plan --json'
    #[arg(long, value_name = "OLD.json")]
    pub since: Option<PathBuf>,
    /// Take a step as done, just now or at a time: STEP or STEP@2026-12-05T20:00
    #[arg(long, value_name = "STEP", num_args = 1..)]
    pub done: Vec<String>,
    /// Overwrite a file that this program did not write
    #[arg(long)]
    pub force: bool,
}

/// `solidby today`.
#[derive(Debug, Args)]
pub struct TodayArgs {
    /// The plan file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
}

/// `solidby did`.
#[derive(Debug, Args)]
pub struct DidArgs {
    /// The plan file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The step, by the short name that a listing prints, or by words that fit it alone
    #[arg(value_name = "STEP", required_unless_present = "undo", conflicts_with = "undo")]
    pub step: Vec<String>,
    /// When it was done or seen; now when not said
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// So many of its blocks are still wet
    #[arg(long, value_name = "N", value_parser = count::<0, 500>, conflicts_with_all = ["soft", "weight", "until", "skipped"])]
    pub wet: Option<u32>,
    /// Its pieces are still soft
    #[arg(long, conflicts_with_all = ["until", "skipped"])]
    pub soft: bool,
    /// What one piece weighs, as in '33 g'
    #[arg(long, value_name = "MASS", value_parser = mass, conflicts_with_all = ["until", "skipped"])]
    pub weight: Option<Mass>,
    /// It takes until then
    #[arg(long, value_name = "TIME", conflicts_with = "skipped")]
    pub until: Option<String>,
    /// It was not done
    #[arg(long)]
    pub skipped: bool,
    /// Take back what was told last
    #[arg(long)]
    pub undo: bool,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
}

/// `solidby check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The plan file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// `solidby starter`.
#[derive(Debug, Args)]
pub struct StarterArgs {
    /// Where to write it; printed when not given
    #[arg(value_name = "OUT")]
    pub out: Option<PathBuf>,
    /// Overwrite a file that is there
    #[arg(long)]
    pub force: bool,
}

/// `solidby tables`.
#[derive(Debug, Args)]
pub struct TablesArgs {
    /// Which table; all are listed when not given
    #[arg(value_name = "TOPIC")]
    pub topic: Option<String>,
}

/// `solidby serve`.
#[cfg(not(target_family = "wasm"))]
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// The plan file that the plan page opens
    #[arg(value_name = "PLAN.toml")]
    pub plan: Option<PathBuf>,
    /// What is known from before.
    #[command(flatten)]
    pub learning: Learning,
    /// Port on 127.0.0.1; any free one when not given
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub port: u16,
}

/// `solidby completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell that will read them
    #[arg(value_enum, value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// `solidby man`.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// A command; the program itself when not given
    #[arg(value_name = "COMMAND")]
    pub command: Option<String>,
}

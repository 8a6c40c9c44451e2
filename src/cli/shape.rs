//! The block that was typed: a volume, a shape with sizes, a named mould, or the
//! file of the user's own pan.

use std::path::{Path, PathBuf};

use clap::{Arg, ArgGroup, ArgMatches, Args, Command, FromArgMatches, Id, value_parser};

use super::{failure::Failure, files};
use crate::{
    answers::ice::Block,
    host::Host,
    planfile::read_pan,
    report::faults::Wrong,
    shape::{KINDS, Shape, ShapeError},
    tables::{self, Mould},
    units::{Amount, Length, Volume, amount, in_litres, kilograms_per_cubic_metre, length},
};

/// The shape of a block: one option for a volume, for each kind of shape, for a mould of
/// the tables and for a drawn pan.
#[derive(Debug, Clone)]
pub enum ShapeArgs {
    /// Water when the shape is not known.
    Water(Amount),
    /// A shape by its own sizes.
    Sized(Shape),
    /// A mould of the tables.
    Mould(String),
    /// The file of the user's own pan.
    Outline(PathBuf),
}

impl ShapeArgs {
    /// The file that it names.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::Outline(path) => Some(path),
            _ => None,
        }
    }
}

/// Sizes of a named mould or a drawn pan, and how full it is.
#[derive(Debug, Args)]
pub struct FillArgs {
    /// Size across of a named mould or a drawn pan, as in '9 cm'
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "resizable")]
    pub size: Option<Length>,
    /// Depth of a named mould or a drawn pan, or how deep a volume stands, as in '35 mm'
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "deep")]
    pub depth: Option<Length>,
    /// Depth of the water where the mould is not full, as in '25 mm'
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub fill: Option<Length>,
}

/// Options that take a size besides.
const RESIZABLE: &str = "resizable";

/// Options that take a depth besides.
const DEEP: &str = "deep";

impl Args for ShapeArgs {
    fn group_id() -> Option<Id> {
        Some("ShapeArgs".into())
    }

    fn augment_args(command: Command) -> Command {
        let option = |name: &'static str, takes, help: String| {
            Arg::new(name).long(name).value_name(takes).help(help)
        };
        let how_much = "Water when the shape is not known, as in '310 mL', '1 cup' or '1 lb'";
        let named = "A mould of the tables (see 'solidby tables moulds')";
        let drawn = "Your own pan as drawn from above: a TOML file with points, size, depth and maybe volume";
        let mut options =
            vec![option("volume", "VOLUME", how_much.to_owned()).value_parser(amount).group(DEEP)];
        options.extend(KINDS.iter().map(|kind| {
            let help = format!("{}, as in '{}'", kind.about, kind.example);
            option(kind.name, kind.takes, help).value_parser(|text: &str| kind.read(text))
        }));
        let resizable = [RESIZABLE, DEEP];
        options.push(option("mould", "NAME", named.to_owned()).alias("mold").groups(resizable));
        let path = value_parser!(PathBuf);
        let outline = option("outline", "FILE", drawn.to_owned()).groups(resizable);
        options.push(outline.value_parser(path));
        let names: Vec<Id> = options.iter().map(|option| option.get_id().clone()).collect();
        let group = ArgGroup::new("ShapeArgs").args(names).required(true);
        command.group(group).args(options)
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for ShapeArgs {
    fn from_arg_matches(typed: &ArgMatches) -> Result<Self, clap::Error> {
        let sized = || KINDS.iter().find_map(|kind| typed.get_one::<Shape>(kind.name));
        None.or_else(|| typed.get_one("volume").copied().map(Self::Water))
            .or_else(|| sized().cloned().map(Self::Sized))
            .or_else(|| typed.get_one("mould").cloned().map(Self::Mould))
            .or_else(|| typed.get_one("outline").cloned().map(Self::Outline))
            .ok_or_else(|| clap::Error::new(clap::error::ErrorKind::MissingRequiredArgument))
    }

    fn update_from_arg_matches(&mut self, typed: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(typed)?;
        Ok(())
    }
}

/// The block, and what more is known of it.
pub struct Typed {
    /// The block.
    pub block: Block,
    /// The mould it is named after.
    pub mould: Option<&'static Mould>,
    /// Volume of the mould as measured.
    pub measured: Option<Volume>,
}

/// The block as typed.
///
/// # Errors
/// An input failure for a name no table knows, sizes that cannot be, or a wrong file.
pub fn block(shape: &ShapeArgs, filled: &FillArgs, host: &dyn Host) -> Result<Typed, Failure> {
    let (block, mould, measured) = match shape {
        ShapeArgs::Water(amount) => {
            let volume = water(*amount)?;
            // As in a plan file: as in a square box of that depth.
            let block = filled.depth.map_or(Block::Volume(volume), |it| Block::Upright(volume, it));
            (block, None, None)
        }
        ShapeArgs::Sized(shape) => (Block::Shape(shape.clone()), None, None),
        ShapeArgs::Mould(name) => {
            let mould = tables::mould(name)?;
            (Block::Shape(resized(mould.shape(), filled)?), Some(mould), None)
        }
        ShapeArgs::Outline(path) => {
            let pan = files::read_as(host, path, read_pan)?;
            // A measured volume is that of the pan in the file, not of one resized.
            let as_drawn = filled.size.is_none() && filled.depth.is_none();
            (Block::Shape(resized(&pan.shape, filled)?), None, pan.measured.filter(|_| as_drawn))
        }
    };
    Ok(Typed { block, mould, measured })
}

/// Tap water at 15 °C, kg/m³. Source: IAPWS-95.
const WATER_DENSITY: f64 = 999.1;

/// The volume of an amount of water.
fn water(amount: Amount) -> Result<Volume, Failure> {
    let volume = match amount {
        Amount::Volume(volume) => volume,
        Amount::Mass(mass) => mass / kilograms_per_cubic_metre(WATER_DENSITY),
    };
    if (1e-4..=100.0).contains(&in_litres(volume)) {
        return Ok(volume);
    }
    let range = "0.1 mL and 100 L";
    Err(Failure::of("volume", Wrong::Outside { range, example: "310 mL" }))
}

fn resized(shape: &Shape, filled: &FillArgs) -> Result<Shape, Failure> {
    shape.resized(filled.size, filled.depth).map_err(|error| {
        let option = if matches!(error, ShapeError::NoDepth(_)) { "depth" } else { "size" };
        Failure::of(option, Wrong::Said(error.to_string()))
    })
}

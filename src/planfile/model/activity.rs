//! What is made: ice for its sessions, and ornaments.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate};
use chrono_tz::Tz;

use super::Group;
use crate::{
    tables,
    units::{Length, Ratio, System, ThermodynamicTemperature, Time, celsius},
};

/// How many blocks a session needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blocks {
    /// One for each child.
    Each,
    /// A number for the table.
    Number(u32),
}

/// An ice activity with its sessions.
#[derive(Debug, Clone, PartialEq)]
pub struct Ice {
    /// What it is called.
    pub name: String,
    /// The mould.
    pub mould: usize,
    /// The freezer.
    pub freezer: usize,
    /// Blocks a session.
    pub blocks: Blocks,
    /// Blocks more, for an absent child or a broken block.
    pub spare: u32,
    /// From the freezer's place to class.
    pub travel: Time,
    /// Whether the file says that, or it is that of other ice.
    pub travel_told: bool,
    /// How long a child paints at a shared block, where that is said.
    pub turn: Option<Time>,
    /// Children at one block at the same time.
    pub at_once: u32,
    /// The sessions.
    pub sessions: Vec<Session>,
}

impl Ice {
    /// How long a group takes in turns at the blocks; none where each child has its own
    /// or nothing is said of turns.
    pub fn turns_last(&self, group: &Group) -> Option<Time> {
        turns_last((self.blocks, self.at_once), self.turn?, group)
    }
}

/// How long a group takes in turns at blocks, so many children at each; none where each child
/// has its own. Spare blocks replace broken ones and shorten nothing.
pub fn turns_last((blocks, at_once): (Blocks, u32), turn: Time, group: &Group) -> Option<Time> {
    let Blocks::Number(blocks) = blocks else { return None };
    let seats = (blocks * at_once).max(1);
    Some(turn * f64::from(group.children.div_ceil(seats)))
}

/// One session of an ice activity.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// The group.
    pub group: usize,
    /// When it begins.
    pub at: DateTime<Tz>,
    /// Blocks more for this session alone, instead of the activity's.
    pub spare: Option<u32>,
    /// Blocks that it goes without, since they were seen to be wet: none as the file is read.
    pub without: u32,
}

/// An oven of the plan, by its position, and its setting.
pub type OvenAt = (usize, ThermodynamicTemperature);

/// What an oven is set to for dough where nobody says: 200 °F, 95 °C. Common practice, no source.
pub fn usual_setting(units: System) -> ThermodynamicTemperature {
    match units {
        System::Us => celsius((200.0 - 32.0) / 1.8),
        System::Metric => celsius(95.0),
    }
}

/// How dough is dried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// In an oven, on one day or on several; what it lacks then, in the room.
    Oven(OvenAt),
    /// In an oven on one day, the rest in the room.
    OvenThenAir(OvenAt),
    /// In the room.
    Air,
    /// In the room or in the oven, where there is one: the plan chooses.
    Any(Option<OvenAt>),
}

impl Method {
    /// The oven that it may use.
    pub fn oven(self) -> Option<OvenAt> {
        match self {
            Self::Oven(oven) | Self::OvenThenAir(oven) | Self::Any(Some(oven)) => Some(oven),
            Self::Air | Self::Any(None) => None,
        }
    }
}

/// One of the steps that finish an ornament.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finish {
    /// Children paint.
    Paint,
    /// The photo goes in.
    Photo,
    /// A coat of sealer on every face.
    Seal,
    /// Wrapped as a present.
    Wrap,
}

impl Finish {
    /// All of them, in the order in which they go on.
    pub const ALL: [Self; 4] = [Self::Paint, Self::Photo, Self::Seal, Self::Wrap];

    /// As the plan file has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Paint => "paint",
            Self::Photo => "photo",
            Self::Seal => "seal",
            Self::Wrap => "wrap",
        }
    }

    /// Which of them have to be done before it: those of a lower number.
    pub fn stage(self) -> u8 {
        match self {
            Self::Paint | Self::Photo => 0,
            Self::Seal => 1,
            Self::Wrap => 2,
        }
    }
}

/// A batch of ornaments.
#[derive(Debug, Clone, PartialEq)]
pub struct Ornament {
    /// What it is called.
    pub name: String,
    /// Size across.
    pub across: Length,
    /// Window for a photo, across, where it has one.
    pub opening: Option<Length>,
    /// Thickness as rolled.
    pub thickness: Length,
    /// The dough.
    pub recipe: &'static tables::Recipe,
    /// The groups.
    pub groups: Vec<usize>,
    /// Pieces a child.
    pub each: u32,
    /// Pieces more.
    pub spare: Spare,
    /// Oven or air, or what of them the plan may choose.
    pub method: Method,
    /// What is done once it is dry, in order.
    pub finish: Vec<Finish>,
    /// The last day to give it.
    pub give: NaiveDate,
    /// Its pieces, where they are known otherwise: none as the file is read.
    pub pieces: Option<Pieces>,
}

/// How many pieces a batch has whose dough is cut, or that makes what such a one lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pieces {
    /// All of them.
    pub cut: u32,
    /// Those for the children of each of its groups.
    pub given: BTreeMap<usize, u32>,
    /// Those of them that are for children who came after their group had painted.
    pub unpainted: u32,
    /// Those that its groups lack.
    pub lacking: u32,
    /// The batch of the file that lacks them, by its position.
    pub of: Option<usize>,
}

/// Pieces more than are needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spare {
    /// A number.
    Number(u32),
    /// A share of the pieces, rounded up.
    Share(Ratio),
}

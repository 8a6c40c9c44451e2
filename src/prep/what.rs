//! What is done in a step and what it takes, as data; the report puts it into words.

use crate::{
    planfile::{Finish, OvenAt},
    units::Length,
};

/// What is done in a step, or goes on in it by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Moulds are washed.
    Wash(Moulds),
    /// Moulds of a round are filled.
    Fill(Moulds, Numbered),
    /// They freeze in a freezer, by its place in the plan.
    Freeze(Moulds, Numbered, usize),
    /// So many blocks of a round are turned out and bagged.
    TurnOut(u32, Numbered),
    /// So many blocks go into the cool box.
    Pack(u32),
    /// So many blocks go to class.
    Carry(u32),
    /// So many blocks are set out.
    SetOut(u32),
    /// Blocks temper.
    Temper,
    /// The session of an ice activity, by its place in the plan.
    Use(usize),
    /// What has melted is cleared away.
    Drain,
    /// Parents are asked for photos.
    AskForPhotos,
    /// So many photos are gathered.
    GatherPhotos(u32),
    /// The dough is mixed.
    Mix,
    /// Dough is rolled to a thickness and cut into so many pieces, a part of all.
    Roll(Length, u32, Part),
    /// Photos are glued into so many.
    Photo(u32, Part),
    /// The first coat of sealer on so many.
    Seal(u32, Part),
    /// A further one.
    SealAgain(u32, Part),
    /// So many are wrapped.
    Wrap(u32, Part),
    /// Pieces go into the oven.
    PutIn(Load),
    /// They bake.
    Bake(Load, OvenAt),
    /// They come out.
    TakeOut(Load),
    /// Baked pieces cool.
    Cool,
    /// Pieces become firm in the room.
    BecomeFirm,
    /// Pieces dry through in the room.
    DryThrough,
    /// A group, by its place in the plan, paints so many pieces.
    Paint(usize, u32),
    /// A coat dries.
    CoatDries(Coat),
    /// So many pieces are given to the parents.
    Give(u32),
}

/// So many of a mould.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moulds {
    /// Which, by its place in the plan.
    pub mould: usize,
    /// How many.
    pub count: u32,
}

/// Which of its session's rounds one is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Numbered {
    /// Its number.
    pub own: u32,
    /// The last of them.
    pub all: u32,
    /// Whether it is what was still wet of it.
    pub rest: bool,
}

/// One of several parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Which, counted from none.
    pub number: u32,
    /// Of how many.
    pub of: u32,
}

/// Pieces that are in the oven together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Load {
    /// How many.
    pub pieces: u32,
    /// Which load.
    pub load: Part,
    /// Which of its stretches in the oven.
    pub stretch: Part,
}

/// A coat on a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coat {
    /// Of what.
    pub finish: Finish,
    /// Whether it is the last of it.
    pub last: bool,
}

/// What is had at hand in a step, or carried away from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// A cool box with its lid.
    CoolBox,
    /// Towels around the blocks.
    Towels,
    /// So many blocks in the cool box.
    Blocks(u32),
    /// Trays under the blocks.
    Trays,
    /// Towels on the floor.
    FloorTowels,
    /// What ice is painted with, which goes home with the cool box.
    IcePaint,
    /// Cool box, trays and towels, which go back where they came from.
    Emptied,
    /// A note for each family.
    NoteForFamilies,
    /// So many photos.
    Photos(u32),
    /// So many pieces to paint.
    ToPaint(u32),
    /// What they are painted with.
    PaintSet,
    /// So many painted pieces.
    Painted(u32),
    /// So many finished pieces.
    Finished(u32),
    /// The rack that goes into the oven.
    Rack,
    /// A thermometer for the oven.
    OvenThermometer,
    /// Gloves for the oven.
    OvenGloves,
    /// The rack on which pieces cool.
    CoolingRack,
}

impl Thing {
    /// It and another together, where they are of one kind.
    pub fn and(self, other: Self) -> Option<Self> {
        match (self, other) {
            (Self::Blocks(some), Self::Blocks(more)) => Some(Self::Blocks(some + more)),
            (Self::Photos(some), Self::Photos(more)) => Some(Self::Photos(some + more)),
            (Self::ToPaint(some), Self::ToPaint(more)) => Some(Self::ToPaint(some + more)),
            (Self::Painted(some), Self::Painted(more)) => Some(Self::Painted(some + more)),
            (Self::Finished(some), Self::Finished(more)) => Some(Self::Finished(some + more)),
            _ => (self == other).then_some(self),
        }
    }
}

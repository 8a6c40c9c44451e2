//! Facts of a plan that its rules come from, as data; the report puts them into words. Things
//! of the plan are named by their places in its lists.

use chrono::NaiveDate;

use super::{trips::SessionAt, what::Coat};

/// A fact of the plan behind one of its rules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fact {
    /// What holds in every plan.
    Always(Always),
    /// Something takes or keeps so many hours, for sure.
    Wait(Wait, f64),
    /// Pieces are never sure to dry in such air.
    NeverDry,
    /// There are only so many hands in a place.
    Hands(usize),
    /// Hands are free in a place only in its hours.
    Hours(usize),
    /// There are only so many of a mould.
    Moulds(usize),
    /// A freezer has only so much room.
    Room(usize),
    /// An oven takes one load at a time.
    Oven(usize),
    /// An oven in use in a place is watched.
    OvenWatched(usize),
    /// A session begins when it does.
    Begins(SessionAt),
    /// Ice is filled only so many days ahead.
    Ahead,
    /// A group meets only on its days.
    Meets(usize),
    /// A group meets last before the giving on this day.
    MeetsLast(usize, NaiveDate),
}

/// What holds in every plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Always {
    /// Steps follow one another.
    Order,
    /// There is one pair of hands.
    OneHands,
    /// Melt water is wiped up at once.
    Wiped,
    /// Parents are asked for photos a week ahead.
    PhotosAsked,
    /// A photo is sealed soon.
    PhotoSealed,
    /// What is painted is sealed soon.
    PaintSealed,
    /// Mixed dough is rolled soon.
    RolledSoon,
    /// Mixed dough is cut and dries on the same day.
    SameDay,
    /// A half-dried piece goes into the oven again the next day.
    NextDay,
    /// The last load comes from the rack within two days.
    LastLoad,
}

/// What takes or keeps its hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wait {
    /// Blocks freeze.
    Freezing,
    /// A block tempers.
    Tempers,
    /// Blocks keep in the cool box.
    CoolBox,
    /// A baked piece cools.
    Cools,
    /// Pieces become firm on the rack.
    Firm,
    /// Pieces dry through on the rack.
    Dry,
    /// A coat dries.
    Coat(Coat),
}

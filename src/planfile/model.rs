//! What a plan file says, once it is known to be sound. References between
//! things are positions in the plan's own lists.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use chrono::{DateTime, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Weekday};
use chrono_tz::Tz;

use super::hours::{Absence, Days, Opening};
use super::kept::Kept;
use crate::shape::{Body, Shape, USUAL_FILL};
use crate::tables;
use crate::units::{
    Length, Locale, MassRate, Ratio, Spelling, System, ThermodynamicTemperature, Time, Volume,
    celsius, in_millilitres,
};

/// Room of a filled mould beside that of a bagged block: a mould must stand
/// level with air around it, a bag lies anywhere (common practice, no source).
pub const MOULD_ROOM: u32 = 3;

/// A whole plan file.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What the plan is called.
    pub title: String,
    /// The zone all its times are in.
    pub zone: Tz,
    /// The units it is printed in.
    pub units: System,
    /// Where hands work, and when they are free there.
    pub places: Vec<Place>,
    /// Days without class.
    pub closed: Vec<RangeInclusive<NaiveDate>>,
    /// When she is away: no hands anywhere.
    pub away: Vec<Absence>,
    /// What makes a plan a good one for her.
    pub wishes: Wishes,
    /// The air at home, where dough dries.
    pub room: Room,
    /// Groups of children.
    pub groups: Vec<Group>,
    /// Freezers.
    pub freezers: Vec<Freezer>,
    /// Ovens.
    pub ovens: Vec<Oven>,
    /// Moulds.
    pub moulds: Vec<Mould>,
    /// Ice activities.
    pub ice: Vec<Ice>,
    /// Ornament batches.
    pub ornaments: Vec<Ornament>,
    /// Titles over activities.
    pub themes: Vec<Theme>,
    /// Ids of steps already done.
    pub done: Vec<String>,
    /// The plan that is followed, and what has happened since; it is no part of the file.
    pub kept: Option<Kept>,
}

/// Where hands work, and when they are free there.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// `home`, `class`, or the user's own name.
    pub name: String,
    /// When hands are free there.
    pub hours: Vec<Opening>,
    /// Pairs of hands that belong to this place, from `[hands]`; where the file
    /// does not say, one pair goes from place to place.
    pub hands: Option<u32>,
}

/// From home to class, where nothing else is said (common practice, no source).
pub const WAY: TimeDelta = TimeDelta::minutes(30);

/// The name of the place where she works without a class.
pub const HOME: &str = "home";

/// The name of the place where children are, where a group names no other.
pub const CLASS: &str = "class";

/// Most days that ice may be filled ahead (common practice, no source).
pub const MOST_AHEAD: u32 = 7;

/// What makes a plan a good one for her.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wishes {
    /// Whether people read a clock of 12 hours; none where the units say it.
    pub twelve_hours: Option<bool>,
    /// Most days from filling to the session, up to [`MOST_AHEAD`].
    pub ahead: u32,
    /// Class days from a finished gift to the first giving of its batch.
    pub buffer: u32,
    /// No work with hands before, unless nothing else does.
    pub earliest: NaiveTime,
    /// Nor after.
    pub latest: NaiveTime,
    /// The chance that every promise of the plan holds.
    pub sureness: Ratio,
}

/// The air of a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Air temperature.
    pub temperature: ThermodynamicTemperature,
    /// Relative humidity.
    pub humidity: Ratio,
    /// Height above the sea.
    pub altitude: Length,
}

/// A group of children.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: String,
    /// The days of the week it meets.
    pub days: Days,
    /// How many children.
    pub children: u32,
    /// Age of the youngest in whole years, where stated.
    pub youngest: Option<u32>,
    /// The place it meets in.
    pub place: usize,
}

/// A freezer.
#[derive(Debug, Clone, PartialEq)]
pub struct Freezer {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static tables::Freezer,
    /// Air temperature, where known.
    pub air: Option<ThermodynamicTemperature>,
    /// Rated freezing capacity, where known.
    pub rated: Option<MassRate>,
    /// Places for the largest mould that the plan puts into it; a tin takes one.
    pub holds: u32,
    /// Whether the file does not say so, and its kind does.
    pub usual: bool,
    /// Bags of what one place freezes that find room beside those places, fewer than make a place.
    pub bags: u32,
    /// The place it stands in.
    pub place: usize,
}

/// An oven.
#[derive(Debug, Clone, PartialEq)]
pub struct Oven {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static tables::Oven,
    /// Trays it takes at once.
    pub trays: u32,
    /// Width and depth of one tray.
    pub tray: (Length, Length),
    /// The place it stands in.
    pub place: usize,
}

/// Most ovens take two trays or three (common practice, no source).
const MOST_TRAYS: u32 = 3;

impl Oven {
    /// The same with one tray more in it at once; none where it has as many as ovens take.
    pub fn with_a_tray_more(&self) -> Option<Self> {
        let trays = self.trays + 1;
        (trays <= MOST_TRAYS).then(|| Self { trays, ..self.clone() })
    }
}

/// A mould.
#[derive(Debug, Clone, PartialEq)]
pub struct Mould {
    /// Its name.
    pub name: String,
    /// What it looks like inside; none where only its volume is known.
    pub shape: Option<Shape>,
    /// How much one holds, where it was measured: the shape is then resized to it.
    pub measured: Option<Volume>,
    /// How deep the water stands, where that is known.
    pub fill: Option<Length>,
    /// How much water one takes.
    pub volume: Volume,
    /// Its wall.
    pub wall: &'static tables::Wall,
    /// What it stands on, where that is known.
    pub stand: Option<&'static tables::Stand>,
    /// Whether a lid lies on it.
    pub covered: bool,
    /// How many are owned, each cup of a tin for itself.
    pub own: u32,
    /// Moulds in one tin; one where each stands by itself.
    pub cups: u32,
    /// Of these, or of their tins, as many stand on one place of their freezer: more than one
    /// where its places are those of a larger mould, and nobody has counted them.
    pub to_a_place: u32,
}

impl Freezer {
    /// Its room, of which a filled place takes [`MOULD_ROOM`] and a bag of what it froze one.
    pub fn room(&self) -> u32 {
        MOULD_ROOM * self.holds + self.bags
    }
}

impl Mould {
    /// Water in one of them, in milligrams.
    pub fn milligrams(&self) -> u64 {
        (1e3 * in_millilitres(self.volume)).round().max(1.0) as u64
    }

    /// How many of them would hold so many milligrams of water, rounded up: a thousandth of one
    /// more is the rounding of volumes.
    pub fn holding(&self, milligrams: u64) -> u32 {
        let one = self.milligrams();
        let moulds = milligrams.saturating_sub(one / 1_000).div_ceil(one);
        u32::try_from(moulds).unwrap_or(u32::MAX).max(1)
    }

    /// Tins of so many, each mould for itself where it is none.
    pub fn tins(&self, count: u32) -> u32 {
        count.div_ceil(self.cups)
    }

    /// How many stand on one place of a freezer.
    pub fn on_a_place(&self) -> u32 {
        self.cups.saturating_mul(self.to_a_place)
    }

    /// Places in a freezer that so many take: a tin with any of its cups takes as much as full.
    pub fn places(&self, count: u32) -> u32 {
        count.div_ceil(self.on_a_place().max(1))
    }

    /// How many moulds so many are worth to the hands that fill and empty them: a cup of a
    /// tin is half a mould (common practice, no source).
    pub fn worth(&self, count: u32) -> f64 {
        f64::from(count) * if self.cups > 1 { 0.5 } else { 1.0 }
    }

    /// How many find room on so many places.
    pub fn on_places(&self, places: u32) -> u32 {
        self.on_a_place().saturating_mul(places)
    }

    /// The same with a share of its water's depth.
    pub fn lowered(&self, share: f64) -> Self {
        let usual = self.shape.as_ref().map(|shape| USUAL_FILL * shape.depth());
        let fill = self.fill.or(usual).map(|fill| fill * share);
        let body = self.shape.as_ref().zip(fill).and_then(|(shape, fill)| {
            Body::of(&shape.holding(self.measured).ok()?).ok()?.filled_to(fill).ok()
        });
        let volume = body.map_or(self.volume * share, |body| body.volume());
        Self { fill, volume, ..self.clone() }
    }
}

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
pub(super) fn turns_last(
    (blocks, at_once): (Blocks, u32),
    turn: Time,
    group: &Group,
) -> Option<Time> {
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

impl Ornament {
    /// What a batch is called that makes the pieces which this one lacks.
    pub fn name_of_more(&self) -> String {
        format!("More {}", self.name)
    }
}

/// How many pieces a batch has whose dough is cut, or that makes what such a one lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pieces {
    /// All of them.
    pub cut: u32,
    /// Those for the children of each of its groups.
    pub given: BTreeMap<usize, u32>,
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

/// A title over some activities.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Theme {
    /// The title.
    pub name: String,
    /// Names of ice activities and ornaments under it.
    pub activities: Vec<String>,
}

impl Plan {
    /// How its people read units, days and times.
    pub fn locale(&self) -> Locale {
        Locale::of(self.units, self.wishes.twelve_hours)
    }

    /// The batch of the file that a batch is of, by its position: itself, but for one that makes what
    /// another one lacks.
    pub fn in_file(&self, ornament: usize) -> usize {
        let pieces = self.ornaments.get(ornament).and_then(|own| own.pieces.as_ref());
        pieces.and_then(|pieces| pieces.of).unwrap_or(ornament)
    }

    /// How words are spelled for its people: not what they wrote themselves.
    pub fn spelling(&self) -> Spelling {
        let places = self.places.iter().map(|one| &one.name);
        let groups = self.groups.iter().map(|one| &one.name);
        let freezers = self.freezers.iter().map(|one| &one.name);
        let ovens = self.ovens.iter().map(|one| &one.name);
        let moulds = self.moulds.iter().map(|one| &one.name);
        let ice = self.ice.iter().map(|one| &one.name);
        let ornaments = self.ornaments.iter().map(|one| &one.name);
        let things = freezers.chain(ovens).chain(moulds).chain(ice).chain(ornaments);
        let names = [&self.title].into_iter().chain(places).chain(groups).chain(things);
        Spelling::of(self.locale(), names.map(String::as_str))
    }

    /// All sessions, each by its ice and its place among that ice's own, as the file has them.
    pub fn sessions(&self) -> impl Iterator<Item = (usize, usize)> {
        let ice = self.ice.iter().enumerate();
        ice.flat_map(|(ice, own)| (0..own.sessions.len()).map(move |session| (ice, session)))
    }

    /// Whether a place is her home.
    pub fn is_home(&self, place: usize) -> bool {
        self.places.get(place).is_some_and(|place| place.name == HOME)
    }

    /// Whether a place is where children are and she is only for them: not her home.
    pub fn is_room(&self, place: usize) -> bool {
        !self.is_home(place) && self.groups.iter().any(|group| group.place == place)
    }

    /// When children are in a room: its hours; at home those of `class` where the file says them,
    /// since there hands are free in others too.
    pub fn class_hours(&self, room: usize) -> &[Opening] {
        self.class_at(room).map_or(&[], |place| &place.hours)
    }

    /// The place by whose hours children are in a room.
    pub fn class_at(&self, room: usize) -> Option<&Place> {
        let class = self.places.iter().find(|place| place.name == CLASS);
        class.filter(|_| self.is_home(room)).or(self.places.get(room))
    }

    /// Whether no class is held on that day at all.
    pub fn is_closed(&self, day: NaiveDate) -> bool {
        self.closed.iter().any(|range| range.contains(&day))
    }

    /// Whether class is held on that day, of whatever group.
    pub fn is_class_day(&self, day: NaiveDate) -> bool {
        let mut hours = self.groups.iter().flat_map(|group| self.class_hours(group.place));
        !self.is_closed(day) && hours.any(|open| open.on(day))
    }

    /// Whether she is away at that moment.
    pub fn is_away(&self, at: NaiveDateTime) -> bool {
        self.away.iter().any(|absence| absence.covers(at))
    }

    /// Whether she is away for all of that day.
    pub fn is_away_all(&self, day: NaiveDate) -> bool {
        self.away.iter().any(|it| it.part == super::Part::Whole && it.days.contains(&day))
    }

    /// The place in which a batch is made: that of its oven, else home, else the first.
    pub fn made_at(&self, ornament: &Ornament) -> usize {
        let oven = ornament.method.oven().and_then(|(oven, _)| self.ovens.get(oven));
        oven.map_or_else(|| self.home(), |oven| oven.place)
    }

    /// The places in which the groups of an ornament have class, each once.
    pub fn rooms_of(&self, ornament: &Ornament) -> Vec<usize> {
        let groups = ornament.groups.iter().filter_map(|group| self.groups.get(*group));
        let rooms: BTreeSet<usize> = groups.map(|group| group.place).collect();
        rooms.into_iter().collect()
    }

    /// Home, else the first place.
    pub fn home(&self) -> usize {
        self.places.iter().position(|place| place.name == HOME).unwrap_or(0)
    }

    /// Whether a group meets on that day.
    pub fn meets(&self, group: &Group, day: NaiveDate) -> bool {
        group.days.include(chrono::Datelike::weekday(&day)) && !self.is_closed(day)
    }
}

impl Group {
    /// Age of the youngest; two where the file does not say, the strictest case.
    pub fn youngest_years(&self) -> f64 {
        f64::from(self.youngest.unwrap_or(2))
    }

    /// The days of the week it meets, in words.
    pub fn day_words(&self) -> String {
        const WEEK: [Weekday; 7] = [
            Weekday::Mon,
            Weekday::Tue,
            Weekday::Wed,
            Weekday::Thu,
            Weekday::Fri,
            Weekday::Sat,
            Weekday::Sun,
        ];
        let names: Vec<String> =
            WEEK.iter().filter(|day| self.days.include(**day)).map(Weekday::to_string).collect();
        names.join(" ")
    }
}

#[cfg(test)]
mod tests {
    use crate::planfile::read;

    #[test]
    fn a_tin_is_one_place() {
        let plan = read(include_str!("../../tests/data/one-tin.toml")).unwrap();
        let tin = &plan.moulds[0];
        let a_place = tin.on_a_place();
        assert!(a_place > 1);
        for (count, places) in [(1, 1), (a_place, 1), (a_place + 1, 2), (2 * a_place, 2)] {
            assert_eq!(tin.places(count), places, "{count}");
        }
    }

    /// Whole grams would make four of a little more than four.
    #[test]
    fn water_beside_is_counted_in_moulds_that_would_hold_it() {
        let plan = read(include_str!("../../tests/data/one-tin.toml")).unwrap();
        let mould = &plan.moulds[0];
        let one = mould.milligrams();
        for (water, moulds) in [(0, 1), (one, 1), (4 * one, 4), (4 * one + one / 150, 5)] {
            assert_eq!(mould.holding(water), moulds, "{water} of {one} mg");
        }
        assert_eq!(mould.holding(u64::MAX), u32::MAX);
    }
}

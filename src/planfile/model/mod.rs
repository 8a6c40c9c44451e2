//! What a plan file says, once it is known to be sound. References between
//! things are positions in the plan's own lists.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Weekday};
use chrono_tz::Tz;

use super::hours::{Absence, Days, Opening};
use super::kept::Kept;
use crate::units::{Length, Locale, Ratio, Spelling, System, ThermodynamicTemperature};

pub use activity::{
    Blocks, Finish, Ice, Method, Ornament, OvenAt, Pieces, Session, Spare, turns_last,
    usual_setting,
};
pub use kitchen::{Freezer, MOULD_ROOM, Mould, Oven};

mod activity;
mod kitchen;

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
    /// Since when it is there, where not for all of the class hours.
    pub from: Option<NaiveTime>,
    /// Until when.
    pub until: Option<NaiveTime>,
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

    /// What a batch is called that makes the pieces which another one lacks, by its position: `More
    /// Trees`, and `More Trees 2` where those were too few again.
    pub fn name_of_more(&self, ornament: usize) -> String {
        let first = self.in_file(ornament);
        let name = self.ornaments.get(first).map_or("", |own| own.name.as_str());
        let before = (0..=ornament).filter(|one| *one != first && self.in_file(*one) == first);
        match before.count() {
            0 => format!("More {name}"),
            made => format!("More {name} {}", made + 1),
        }
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

    /// When a group is there: the hours of its room, or the part of them that is its own.
    pub fn group_hours(&self, group: &Group) -> Vec<Opening> {
        let part = |open: &Opening| {
            let from = group.from.map_or(open.from, |from| from.max(open.from));
            let until = group.until.map_or(open.until, |until| until.min(open.until));
            (from < until).then(|| Opening { on: open.on.clone(), from, until })
        };
        self.class_hours(group.place).iter().filter_map(part).collect()
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

//! One change to a plan: what is changed, by how much, and how it is made.

use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta};
use chrono_tz::Tz;

use crate::{
    explanation::obstacle::Blame,
    planfile::{Blocks, Finish, Ice, Method, Opening, Oven, Plan, Span, Spare},
    units::{Length, Ratio, ThermodynamicTemperature, Time, hours, millimetres},
};

/// Minutes by which a session is moved: it is told and read in quarters of an hour.
const QUARTER: i64 = 15;

/// A change; what it is made to stands by its position in the plan's lists.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the names of the fields and the line above say it")]
pub enum Change {
    /// Hands are free at more hours.
    Hours { place: usize, more: MoreHours },
    /// Hands are free on one day.
    HoursOn { place: usize, day: NaiveDate, from: NaiveTime, until: NaiveTime },
    /// One pair of hands more.
    Hands { place: usize },
    /// So many moulds, or tins of them, more.
    Moulds { mould: usize, more: u32 },
    /// The moulds are filled less.
    Fill { mould: usize, to: Fill },
    /// So many blocks for all children together.
    Shared { ice: usize, blocks: u32 },
    /// A session at another time.
    SessionAt { ice: usize, session: usize, at: DateTime<Tz> },
    /// Ice is made so many dates ahead at the most.
    Ahead { days: u32 },
    /// Another mould.
    Mould { ice: usize, mould: usize },
    /// Another freezer.
    Freezer { ice: usize, freezer: usize },
    /// A freezer like the present one, but in this place, and with this air where
    /// the present one is too warm.
    FreezerAt { ice: usize, place: usize, air: Option<ThermodynamicTemperature> },
    /// A shorter way to class.
    Travel { ice: usize, lasts: Time },
    /// A colder freezer.
    Air { freezer: usize, air: ThermodynamicTemperature },
    /// Room for so many moulds more.
    Room { freezer: usize, more: u32 },
    /// Thinner pieces.
    Thickness { ornament: usize, thickness: Length },
    /// Dried in another way, or at another setting.
    Method { ornament: usize, method: Method },
    /// Baked in an oven that the plan does not have.
    BorrowedOven { ornament: usize, at: ThermodynamicTemperature },
    /// One tray more in the oven at once.
    Tray { oven: usize },
    /// Drier air in the room.
    Humidity(Ratio),
    /// Given later.
    Give { ornament: usize, day: NaiveDate },
    /// One thing less put on after drying.
    Without { ornament: usize, finish: Finish },
    /// Nothing put on after drying.
    Bare { ornament: usize },
    /// No spare pieces.
    NoSpares { ornament: usize },
    /// No spare blocks.
    NoSpareBlocks { ice: usize },
}

/// Hours that a place may be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoreHours {
    /// The whole weekend.
    Weekend,
    /// Every evening.
    Evenings,
    /// Every morning.
    Mornings,
    /// Every afternoon.
    Afternoons,
    /// The whole of every day.
    AllDay,
}

impl MoreHours {
    /// All of them, in the order in which they are tried.
    pub const ALL: [Self; 5] =
        [Self::Weekend, Self::Evenings, Self::Mornings, Self::Afternoons, Self::AllDay];

    /// As the plan file has them.
    pub fn written(self) -> &'static str {
        match self {
            Self::Weekend => "Sat-Sun 09:00-21:00",
            Self::Evenings => "daily 17:00-22:00",
            Self::Mornings => "daily 05:30-07:30",
            Self::Afternoons => "daily 12:30-18:00",
            Self::AllDay => "daily 07:00-22:00",
        }
    }

    /// The hours themselves.
    pub fn opening(self) -> Option<Opening> {
        self.written().parse().ok()
    }
}

/// How far a mould is filled, as a part of what it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// To two thirds.
    TwoThirds,
    /// To the half.
    Half,
}

impl Fill {
    fn share(self) -> f64 {
        match self {
            Self::TwoThirds => 2.0 / 3.0,
            Self::Half => 0.5,
        }
    }
}

impl Change {
    /// Makes the change.
    pub fn make(&self, plan: &mut Plan) {
        match *self {
            Self::Hours { place, more } => {
                plan.places[place].hours.extend(more.opening());
            }
            Self::HoursOn { place, day, from, until } => {
                let hours = Opening { on: Span::Dates(day..=day), from, until };
                plan.places[place].hours.push(hours);
            }
            Self::Hands { place } => {
                // One pair goes from place to place, so one more makes two.
                let hands = plan.places[place].hands.unwrap_or(0) + 1;
                plan.places[place].hands = Some(hands.max(2));
            }
            Self::Moulds { mould, more } => {
                let mould = &mut plan.moulds[mould];
                mould.own += more * mould.cups;
            }
            Self::Fill { mould, to } => {
                plan.moulds[mould] = plan.moulds[mould].lowered(to.share());
            }
            Self::Shared { ice, blocks } => {
                plan.ice[ice].blocks = Blocks::Number(blocks);
                no_spare_blocks(&mut plan.ice[ice]);
            }
            Self::SessionAt { ice, session, at } => plan.ice[ice].sessions[session].at = at,
            Self::Ahead { days } => plan.wishes.ahead = days,
            Self::Mould { ice, mould } => plan.ice[ice].mould = mould,
            Self::Freezer { ice, freezer } => plan.ice[ice].freezer = freezer,
            Self::FreezerAt { ice, place, air } => freezer_at(plan, ice, place, air),
            Self::Travel { ice, lasts } => plan.ice[ice].travel = lasts,
            Self::Air { freezer, air } => plan.freezers[freezer].air = Some(air),
            Self::Room { freezer, more } => {
                let freezer = &mut plan.freezers[freezer];
                // A file that says how much it holds says it in whole places.
                (freezer.holds, freezer.bags) = (freezer.holds + more, 0);
            }
            Self::Thickness { ornament, thickness } => {
                plan.ornaments[ornament].thickness = thickness;
            }
            Self::Method { ornament, method } => plan.ornaments[ornament].method = method,
            Self::BorrowedOven { ornament, at } => {
                plan.ornaments[ornament].method = Method::Oven((plan.ovens.len(), at));
                plan.ovens.push(borrowed_oven(plan.home()));
            }
            Self::Tray { oven } => plan.ovens[oven].trays += 1,
            Self::Humidity(humidity) => plan.room.humidity = humidity,
            Self::Give { ornament, day } => plan.ornaments[ornament].give = day,
            Self::Without { ornament, finish } => {
                plan.ornaments[ornament].finish.retain(|step| *step != finish);
            }
            Self::Bare { ornament } => {
                plan.ornaments[ornament].finish.retain(|step| *step == Finish::Wrap);
            }
            Self::NoSpares { ornament } => plan.ornaments[ornament].spare = Spare::Number(0),
            Self::NoSpareBlocks { ice } => no_spare_blocks(&mut plan.ice[ice]),
        }
    }

    /// The change half-way between a smaller one of its kind, or none, and this; none where there is
    /// nothing between them.
    pub(super) fn halfway(&self, less: Option<&Self>, plan: &Plan) -> Option<Self> {
        let (most, unchanged) = self.by(plan)?;
        let least = less.map_or(Some(unchanged), |less| Some(less.by(plan)?.0))?;
        let half = (most + least) / 2;
        (half != most && half != least).then(|| self.by_instead(half, plan))
    }

    /// Whether it is the same change as another one, and more of it.
    pub(super) fn exceeds(&self, other: &Self, plan: &Plan) -> bool {
        let (Some((own, none)), Some((less, _))) = (self.by(plan), other.by(plan)) else {
            return false;
        };
        let (own_by, less_by) = (own - none, less - none);
        own_by.signum() == less_by.signum()
            && own_by.abs() > less_by.abs()
            && other.by_instead(own, plan) == *self
    }

    /// By how much it changes the plan, where that is a number, and by how much no change does:
    /// moulds, places, blocks, quarters of an hour.
    fn by(&self, plan: &Plan) -> Option<(i64, i64)> {
        Some(match *self {
            Self::Moulds { more, .. } | Self::Room { more, .. } => (i64::from(more), 0),
            Self::Shared { ice, blocks } => (i64::from(blocks), i64::from(blocks_of(plan, ice))),
            Self::SessionAt { ice, session, at } => {
                let own = plan.ice[ice].sessions[session].at;
                let same_day = own.date_naive() == at.date_naive();
                (same_day.then(|| (at - own).num_minutes() / QUARTER)?, 0)
            }
            _ => return None,
        })
    }

    /// The same change by another number.
    fn by_instead(&self, by: i64, plan: &Plan) -> Self {
        let mut change = self.clone();
        match &mut change {
            Self::Moulds { more, .. } | Self::Room { more, .. } => *more = by as u32,
            Self::Shared { blocks, .. } => *blocks = by as u32,
            Self::SessionAt { ice, session, at } => {
                *at = plan.ice[*ice].sessions[*session].at + TimeDelta::minutes(QUARTER * by);
            }
            _ => {}
        }
        change
    }

    /// Whether letting go of a fact does all that it does.
    pub(super) fn does_no_more(&self, fact: &Blame) -> bool {
        match (self, fact) {
            (Self::Moulds { mould: of, .. }, Blame::Moulds(own))
            | (Self::Room { freezer: of, .. }, Blame::Room(own))
            | (Self::Hands { place: of }, Blame::OneHands(own))
            | (Self::Tray { oven: of }, Blame::Oven(own))
            | (Self::Give { ornament: of, .. }, Blame::Given(own)) => of == own,
            // Mornings begin before the hours that are let go.
            (Self::Hours { place, more }, Blame::Hours(own)) => {
                place == own && *more != MoreHours::Mornings
            }
            (Self::Ahead { .. }, Blame::Ahead)
            | (Self::Fill { .. } | Self::Air { .. }, Blame::Freezing { .. })
            | (Self::Thickness { .. }, Blame::Drying { .. }) => true,
            _ => false,
        }
    }
}

/// Blocks that all children together have, where each has one in the largest of its groups.
fn blocks_of(plan: &Plan, ice: usize) -> u32 {
    let sessions = plan.ice[ice].sessions.iter();
    match plan.ice[ice].blocks {
        Blocks::Number(number) => number,
        Blocks::Each => {
            sessions.map(|session| plan.groups[session.group].children).max().unwrap_or(0)
        }
    }
}

fn no_spare_blocks(ice: &mut Ice) {
    ice.spare = 0;
    ice.sessions.iter_mut().for_each(|session| session.spare = None);
}

/// A freezer like the present one in a place, and the blocks frozen in it.
fn freezer_at(plan: &mut Plan, ice: usize, place: usize, air: Option<ThermodynamicTemperature>) {
    let mut there = plan.freezers[plan.ice[ice].freezer].clone();
    there.place = place;
    there.name = format!("{} freezer", plan.places[place].name);
    there.air = air.or(there.air);
    plan.freezers.push(there);
    plan.ice[ice].freezer = plan.freezers.len() - 1;
    plan.ice[ice].travel = hours(0.0);
}

/// An ordinary one with one ordinary tray, 13 by 18 in (common practice, no source), where
/// the dough is made.
fn borrowed_oven(place: usize) -> Oven {
    Oven {
        name: "borrowed".to_owned(),
        kind: crate::tables::Oven::still(),
        trays: 1,
        tray: (millimetres(330.0), millimetres(460.0)),
        place,
    }
}

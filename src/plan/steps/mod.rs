//! The trade: what must be done for an ice session and for a batch of
//! ornaments, as tasks and waits of a [`Draft`](super::draft::Draft).

mod batch;
mod finish;
mod ice;
mod names;
mod work;

pub use batch::add_ornament;
pub use ice::add_ice;
pub use names::{day_words, pieces, slug, time_words};
pub use work::Work;

use super::{
    clock::Tick,
    draft::{Booking, Draft},
    engine::{FactId, GoalId, ResourceId},
    file::{Mould, Plan},
};
use std::ops::Range;

/// Room of a filled mould beside that of a bagged block: a mould must stand
/// level with air around it, a bag lies anywhere (common practice, no source).
pub const MOULD_ROOM: u32 = 3;

/// `there are 4 fox moulds`.
fn mould_words(mould: &Mould) -> String {
    let verb = if mould.own == 1 { "is" } else { "are" };
    format!("there {verb} {}", pieces(mould.own, &format!("{} mould", mould.name)))
}

/// What all activities of a plan share: hours, moulds, freezers, ovens.
pub struct Shared {
    /// When hands are free at home: the sittings to be kept few.
    pub hours: Vec<Range<Tick>>,
    /// Names of the places.
    pub names: Vec<String>,
    /// Windows by place.
    pub open: Vec<Vec<Range<Tick>>>,
    /// Facts behind the hours by place.
    pub open_facts: Vec<FactId>,
    /// The plan's moulds by kind.
    pub moulds: Vec<ResourceId>,
    /// Room in each freezer, in the room that one bagged block takes.
    pub freezers: Vec<ResourceId>,
    /// Each oven: one load at a time.
    pub ovens: Vec<ResourceId>,
}

impl Shared {
    /// Books what the plan shares into the draft.
    pub fn book(draft: &mut Draft, plan: &Plan) -> Self {
        let open: Vec<_> = plan.places.iter().map(|place| draft.clock.hours(place)).collect();
        let open_facts = plan
            .places
            .iter()
            .map(|place| draft.fact(format!("hands are free at {} only in its hours", place.name)))
            .collect();
        let moulds = plan
            .moulds
            .iter()
            .map(|mould| {
                let fact = draft.fact(mould_words(mould));
                draft.resource(format!("{} moulds", mould.name), mould.own, fact)
            })
            .collect();
        let freezers = plan
            .freezers
            .iter()
            .map(|freezer| {
                let words =
                    format!("the {} freezer holds {} moulds at once", freezer.name, freezer.holds);
                let fact = draft.fact(words);
                draft.resource(
                    format!("{} freezer", freezer.name),
                    MOULD_ROOM * freezer.holds,
                    fact,
                )
            })
            .collect();
        let ovens = plan
            .ovens
            .iter()
            .map(|oven| {
                let fact = draft.fact(format!("the {} oven takes one load at a time", oven.name));
                draft.resource(format!("{} oven", oven.name), 1, fact)
            })
            .collect();
        let home = plan.places.iter().position(|place| place.name == "home").unwrap_or(0);
        Self {
            names: plan.places.iter().map(|place| place.name.clone()).collect(),
            hours: open.get(home).cloned().unwrap_or_default(),
            open,
            open_facts,
            moulds,
            freezers,
            ovens,
        }
    }

    /// A booking inside the hours of a place.
    pub fn in_hours(&self, place: usize, goal: GoalId, hours: f64) -> Booking {
        Booking {
            hours,
            windows: self.open.get(place).cloned().unwrap_or_default(),
            fact: self.open_facts.get(place).copied().unwrap_or(FactId(0)),
            ends: format!("{} hours end", self.names.get(place).map_or("the", String::as_str)),
            goal,
        }
    }

    /// The longest stretch, in ticks, that hands are free in a place.
    pub fn longest(&self, place: usize) -> Tick {
        let windows = self.open.get(place).map(Vec::as_slice).unwrap_or_default();
        windows.iter().map(|window| window.end - window.start).max().unwrap_or(0)
    }
}

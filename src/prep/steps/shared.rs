//! What all activities of a plan share: hours, hands, moulds, freezers, ovens.

use super::names::{named, pieces};
use crate::{
    planfile::{Mould, Plan},
    prep::{
        clock::{Tick, joined},
        draft::{Booking, Draft, Watch},
    },
    scheduler::{FactId, GoalId, ResourceId},
};
use std::ops::Range;

/// Room of a filled mould beside that of a bagged block: a mould must stand
/// level with air around it, a bag lies anywhere (common practice, no source).
pub const MOULD_ROOM: u32 = 3;

/// `there are 4 fox moulds`.
pub fn mould_words(mould: &Mould) -> String {
    let verb = if mould.own == 1 { "is" } else { "are" };
    format!("there {verb} {}", pieces(mould.own, &format!("{} mould", mould.name)))
}

/// A place, and when hands are free in it.
struct Workplace {
    name: String,
    open: Vec<Range<Tick>>,
    /// The fact behind those hours.
    fact: FactId,
}

/// What all activities of a plan share: hours, moulds, freezers, ovens.
pub struct Shared {
    /// When hands are free out of class: the sittings to be kept few.
    pub hours: Vec<Range<Tick>>,
    /// Each place of the plan.
    places: Vec<Workplace>,
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
        let places: Vec<Workplace> = plan
            .places
            .iter()
            .map(|place| Workplace {
                name: place.name.clone(),
                open: draft.clock.hours(&plan.away, place),
                fact: draft.fact(format!("hands are free at {} only in its hours", place.name)),
            })
            .collect();
        let moulds = plan
            .moulds
            .iter()
            .map(|mould| {
                let fact = draft.fact(mould_words(mould));
                draft.resource(format!("all {} moulds are taken by", mould.name), mould.own, fact)
            })
            .collect();
        let freezers = plan
            .freezers
            .iter()
            .enumerate()
            .map(|(n, freezer)| {
                let room = room_words(plan, n);
                let words = format!("the {} holds {room} at once", named(&freezer.name, "freezer"));
                if freezer.usual {
                    draft.notes.push(format!(
                        "The file does not say how much the {} holds: as one of its kind usually \
                         has room, {room} at once.",
                        named(&freezer.name, "freezer"),
                    ));
                }
                let fact = draft.fact(words);
                draft.resource(
                    format!("the {} is full with", named(&freezer.name, "freezer")),
                    MOULD_ROOM * freezer.holds,
                    fact,
                )
            })
            .collect();
        let ovens = plan
            .ovens
            .iter()
            .map(|oven| {
                let words = format!("the {} takes one load at a time", named(&oven.name, "oven"));
                let fact = draft.fact(words);
                draft.resource(format!("the {} is taken by", named(&oven.name, "oven")), 1, fact)
            })
            .collect();
        book_hands(draft, plan, &places);
        Self { hours: sittings(plan, &places), places, moulds, freezers, ovens }
    }

    /// A booking inside the hours of a place.
    pub fn in_hours(&self, place: usize, goal: GoalId, hours: f64) -> Booking {
        let Workplace { name, open, fact } = &self.places[place];
        Booking {
            hours,
            windows: open.clone(),
            fact: *fact,
            ends: format!("{name} hours allow"),
            goal,
        }
    }

    /// The longest stretch, in ticks, that hands are free in a place; none in a place
    /// whose hours are all past.
    pub fn longest(&self, place: usize) -> Tick {
        self.places[place].open.iter().map(|window| window.end - window.start).max().unwrap_or(0)
    }
}

/// The hours of all places but the groups' rooms.
fn sittings(plan: &Plan, places: &[Workplace]) -> Vec<Range<Tick>> {
    let room = |place: usize| plan.groups.iter().any(|group| group.place == place);
    let homes = places.iter().enumerate().filter(|(place, _)| !room(*place));
    let mut windows: Vec<_> = homes.flat_map(|(_, home)| home.open.iter().cloned()).collect();
    windows.sort_by_key(|window| window.start);
    joined(windows)
}

/// Hands that belong to a place, and ovens that must not be left alone by the
/// one pair that goes from place to place.
fn book_hands(draft: &mut Draft, plan: &Plan, places: &[Workplace]) {
    for place in &plan.places {
        if let Some(hands) = place.hands {
            let verb = if hands == 1 { "is" } else { "are" };
            let pairs = if hands == 1 { "1 pair" } else { &format!("{hands} pairs") };
            let fact = draft.fact(format!("there {verb} {pairs} of hands at {}", place.name));
            let resource =
                draft.resource(format!("hands at {} are busy with", place.name), hands, fact);
            draft.hands_at.insert(place.name.clone(), resource);
        }
    }
    for (here, place) in plan.places.iter().enumerate().filter(|(_, place)| place.hands.is_none()) {
        let ovens = plan.ovens.iter().filter(|oven| oven.place == here).count() as u32;
        let elsewhere = places.iter().zip(&plan.places).enumerate();
        let mut shared =
            elsewhere.filter(|(there, (_, other))| *there != here && other.hands.is_none());
        if ovens > 0 && shared.any(|(_, (other, _))| meet(&other.open, &places[here].open)) {
            let fact = draft.fact(format!("an oven in use at {} is not left alone", place.name));
            let words = format!("the oven at {} is watched during", place.name);
            let resource = draft.resource(words, ovens, fact);
            draft.watches.push(Watch { place: place.name.clone(), resource, ovens });
        }
    }
}

/// Whether two lists of windows have a moment in common.
fn meet(a: &[Range<Tick>], b: &[Range<Tick>]) -> bool {
    a.iter().any(|a| b.iter().any(|b| a.start < b.end && b.start < a.end))
}

/// How much a freezer holds: so many moulds, each kind for itself where they differ in size.
fn room_words(plan: &Plan, freezer: usize) -> String {
    let holds = plan.freezers[freezer].holds;
    let used = |n: usize| plan.ice.iter().any(|ice| ice.freezer == freezer && ice.mould == n);
    let moulds = || (0..plan.moulds.len()).filter(|n| used(*n)).map(|n| &plan.moulds[n]);
    if moulds().all(|mould| mould.to_a_place == 1) {
        return pieces(holds, "mould");
    }
    let each = moulds().map(|mould| pieces(mould.on_places(holds), &named(&mould.name, "mould")));
    each.collect::<Vec<_>>().join(" or ")
}

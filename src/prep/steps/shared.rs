//! What all activities of a plan share: hours, hands, moulds, freezers, ovens.

use crate::{
    planfile::{Ice, Plan},
    prep::{
        clock::{Tick, joined},
        draft::{Booking, Draft, Note, Watch},
        fact::Fact,
    },
    scheduler::{FactId, GoalId, ResourceId},
    units::in_hours,
};
use std::ops::Range;

/// When hands are free in a place.
struct Workplace {
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
        let places = (0..plan.places.len()).map(|n| Workplace {
            open: draft.clock.hours(plan, n),
            fact: draft.fact(Fact::Hours(n)),
        });
        let places: Vec<Workplace> = places.collect();
        let moulds = plan.moulds.iter().enumerate();
        let moulds = moulds.map(|(n, mould)| draft.resource(mould.own, Fact::Moulds(n)));
        let moulds = moulds.collect();
        let freezers = plan.freezers.iter().enumerate().map(|(n, freezer)| {
            let used = plan.ice.iter().any(|ice| ice.freezer == n);
            draft.notes.extend((freezer.usual && used).then_some(Note::UsualRoom(n)));
            draft.resource(freezer.room(), Fact::Room(n))
        });
        let freezers = freezers.collect();
        let ovens = (0..plan.ovens.len()).map(|n| draft.resource(1, Fact::Oven(n))).collect();
        let guessed = |ice: &Ice| !ice.travel_told && in_hours(ice.travel) > 0.0;
        let guessed = plan.ice.iter().enumerate().filter(|(_, ice)| guessed(ice));
        draft.notes.extend(guessed.map(|(n, _)| Note::SameWay(n)));
        book_hands(draft, plan, &places);
        Self { hours: sittings(plan, &places), places, moulds, freezers, ovens }
    }

    /// A booking inside the hours of a place.
    pub fn in_hours(&self, place: usize, goal: GoalId, hours: f64) -> Booking {
        let Workplace { open, fact } = &self.places[place];
        Booking { hours, windows: open.clone(), fact: *fact, goal }
    }

    /// The longest stretch, in ticks, that hands are free in a place; none in a place
    /// whose hours are all past.
    pub fn longest(&self, place: usize) -> Tick {
        self.places[place].open.iter().map(|window| window.end - window.start).max().unwrap_or(0)
    }
}

/// The hours of all places but the groups' rooms.
fn sittings(plan: &Plan, places: &[Workplace]) -> Vec<Range<Tick>> {
    let homes = places.iter().enumerate().filter(|(place, _)| !plan.is_room(*place));
    let mut windows: Vec<_> = homes.flat_map(|(_, home)| home.open.iter().cloned()).collect();
    windows.sort_by_key(|window| window.start);
    joined(windows)
}

/// Hands that belong to a place, and ovens that must not be left alone by the
/// one pair that goes from place to place.
fn book_hands(draft: &mut Draft, plan: &Plan, places: &[Workplace]) {
    for (n, place) in plan.places.iter().enumerate() {
        if let Some(hands) = place.hands {
            let resource = draft.resource(hands, Fact::Hands(n));
            draft.hands_at.insert(place.name.clone(), resource);
        }
    }
    for (here, place) in plan.places.iter().enumerate().filter(|(_, place)| place.hands.is_none()) {
        let ovens = plan.ovens.iter().filter(|oven| oven.place == here).count() as u32;
        let elsewhere = places.iter().zip(&plan.places).enumerate();
        let mut shared =
            elsewhere.filter(|(there, (_, other))| *there != here && other.hands.is_none());
        if ovens > 0 && shared.any(|(_, (other, _))| meet(&other.open, &places[here].open)) {
            let resource = draft.resource(ovens, Fact::OvenWatched(here));
            draft.watches.push(Watch { place: place.name.clone(), resource, ovens });
        }
    }
}

/// Whether two lists of windows have a moment in common.
fn meet(a: &[Range<Tick>], b: &[Range<Tick>]) -> bool {
    a.iter().any(|a| b.iter().any(|b| a.start < b.end && b.start < a.end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_that_only_touch_do_not_meet() {
        let evening = [10..20, 40..50];
        for (other, expected) in [(0..10, false), (0..11, true), (19..40, true), (20..40, false)] {
            assert_eq!(meet(&evening, &[60..70, other.clone()]), expected, "{other:?}");
            assert_eq!(meet(&[60..70, other.clone()], &evening), expected, "{other:?}");
        }
        assert!(!meet(&evening, &[]));
    }
}

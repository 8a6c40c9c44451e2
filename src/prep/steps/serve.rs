//! An ice session from the freezer on: pack as she leaves, carry, set out, let it temper,
//! use, drain and wipe.

use std::{collections::BTreeSet, ops::Range};

use super::ice::Making;
use crate::{
    prep::{
        clock::{Tick, hours_of, ticks_up},
        draft::{Anchor, Booking, Draft, Ends, Passive},
        durations::Outcomes,
        fact::{Always, Fact, Wait},
        rounds::PACK_H,
        schedule::Attention,
        trips::{SessionAt, Table, Trip, way_ticks},
        what::{Thing, What},
    },
    scheduler::{ActivityId, FactId},
    tables::Step,
    units::in_hours,
};

impl Making<'_> {
    /// Packing as she leaves, whatever the hours of the place say, and the way to class.
    pub(super) fn leave(
        &self,
        draft: &mut Draft,
        trip: &Trip,
        packed: Option<Tick>,
    ) -> (ActivityId, ActivityId) {
        let fact = draft.fact(Fact::Begins(self.at));
        let what = What::Pack(trip.count);
        let mut task = self.task("pack", what, self.freezer().place, Step::Pack);
        task.count = trip.count;
        task.bring = vec![Thing::CoolBox, Thing::Towels];
        let from = trip.leave - ticks_up(PACK_H).max(trip.pack);
        let booking = self.bound(hours_of(trip.pack), from..trip.leave, fact);
        let pack = draft.task(task, booking);
        draft.place(pack, Some(packed.unwrap_or(trip.leave - trip.pack)));
        let what = What::Carry(trip.count);
        let mut task = self.task("carry", what, self.group.place, Step::Carry);
        task.place = self.rooms(trip);
        task.count = trip.count;
        task.bring = vec![Thing::Blocks(trip.count)];
        let there = trip.leave + way_ticks(self.ice);
        let booking = self.bound(in_hours(self.ice.travel).max(0.0), trip.leave..there, fact);
        let carry = draft.task(task, booking);
        draft.then(pack, carry);
        (pack, carry)
    }

    /// The names of the rooms that the blocks of a trip go to, each once.
    fn rooms(&self, trip: &Trip) -> String {
        let group = |at: &SessionAt| self.plan.ice[at.0].sessions[at.1].group;
        let rooms = trip.sessions.iter().map(|at| self.plan.groups[group(at)].place);
        let mut own: Vec<&str> = rooms.map(|room| self.plan.places[room].name.as_str()).collect();
        let mut known = BTreeSet::new();
        own.retain(|room| known.insert(*room));
        own.join(" and ")
    }

    /// A booking that takes all of its time.
    fn bound_to(&self, window: &Range<Tick>, fact: FactId) -> Booking {
        self.bound(hours_of(window.end - window.start), window.clone(), fact)
    }

    /// A booking that no opening hours bind.
    fn bound(&self, hours: f64, window: Range<Tick>, fact: FactId) -> Booking {
        let windows = std::iter::once(window).collect();
        Booking { hours, windows, fact, goal: self.goal }
    }

    /// Set out, temper, use, drain; after packing and the way to class where there is one.
    pub(super) fn serve(
        &self,
        draft: &mut Draft,
        table: &Table,
        way: Option<(ActivityId, ActivityId)>,
    ) -> ActivityId {
        let room = self.group.place;
        let fact = draft.fact(Fact::Begins(self.at));
        let what = What::SetOut(self.wanted);
        let mut task = self.task("set-out", what, room, Step::Temper);
        let blocks = way.map(|_| Thing::Blocks(self.wanted));
        task.bring = blocks.into_iter().chain([Thing::Trays]).collect();
        let set_out = draft.task(task, self.bound_to(&table.set_out, fact));
        if let Some((_, carry)) = way {
            draft.then(carry, set_out);
        }

        let mut used = self.task("use", What::Use(self.at.0), room, Step::Use);
        used.bring = vec![Thing::FloorTowels, Thing::IcePaint];
        let used = draft.task(used, self.bound_to(&table.used, fact));
        let stands_h = hours_of(table.used.start - table.set_out.end);
        self.temper(draft, (way.map(|(pack, _)| pack), set_out, stands_h), used);

        let mut task = self.task("drain", What::Drain, room, Step::Rinse);
        if self.freezer().place != room {
            task.take_back = vec![Thing::Emptied, Thing::IcePaint];
        }
        let soon = draft.fact(Fact::Always(Always::Wiped));
        let drain = draft.task(task, self.bound_to(&table.drained, soon));
        draft.then(used, drain);
        set_out
    }

    /// Out of the box long enough before it is touched, and packed no longer
    /// than the box keeps it, the way included.
    fn temper(
        &self,
        draft: &mut Draft,
        (pack, set_out, stands_h): (Option<ActivityId>, ActivityId, f64),
        used: ActivityId,
    ) {
        let keeping = self.keeping;
        let fact = draft.fact(Fact::Wait(Wait::Tempers, keeping.temper_h));
        draft.then_after(set_out, used, keeping.temper_h, fact);
        if let Some(pack) = pack {
            let fact = draft.fact(Fact::Wait(Wait::CoolBox, keeping.cool_box_h));
            draft.then_within(pack, used, keeping.cool_box_h, fact);
        }
        let mut task = self.task("temper", What::Temper, self.group.place, Step::Temper);
        task.attention = Attention::None;
        draft.spans.push(Passive {
            task,
            after: set_out,
            before: used,
            anchor: Anchor::End,
            outcomes: Outcomes::exactly(stands_h),
            ends: Ends::Time,
            not_after_h: None,
            over: false,
        });
    }
}

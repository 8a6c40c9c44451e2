//! An ice session from the freezer on: pack as she leaves, carry, set out, let it temper,
//! use, drain and wipe.

use std::ops::Range;

use super::ice::Making;
use crate::{
    prep::{
        clock::{Tick, hours_of, ticks_up},
        draft::{Anchor, Booking, Draft, Ends, Passive},
        durations::Outcomes,
        fact::{Always, Fact, Wait},
        rounds::PACK_H,
        schedule::Attention,
        trips::{Trip, set_out_ticks, way_ticks},
        what::{Thing, What},
    },
    scheduler::{ActivityId, FactId},
    tables::{Step, Work},
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
        task.count = trip.count;
        task.bring = vec![Thing::Blocks(trip.count)];
        let there = trip.leave + way_ticks(self.ice);
        let booking = self.bound(in_hours(self.ice.travel).max(0.0), trip.leave..there, fact);
        let carry = draft.task(task, booking);
        draft.then(pack, carry);
        (pack, carry)
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
        way: Option<(ActivityId, ActivityId)>,
    ) -> ActivityId {
        let room = self.group.place;
        let start = draft.clock.floor(self.session.at);
        let fact = draft.fact(Fact::Begins(self.at));
        let out = start - ticks_up(self.keeping.temper_h);
        let what = What::SetOut(self.wanted);
        let mut task = self.task("set-out", what, room, Step::Temper);
        task.bring = vec![Thing::Trays];
        let hours = hours_of(set_out_ticks(self.group.children));
        let window = out - set_out_ticks(self.group.children)..out;
        let set_out = draft.task(task, self.bound(hours, window, fact));
        if let Some((_, carry)) = way {
            draft.then(carry, set_out);
        }

        let turns = self.ice.turns_last(self.group).map_or(0.0, in_hours);
        let lasts = Work::use_ice().usual_h(self.group.children).max(turns);
        let end = start + ticks_up(lasts).max(1);
        let mut used = self.task("use", What::Use(self.at.0), room, Step::Use);
        used.bring = vec![Thing::FloorTowels];
        let used = draft.task(used, self.bound(lasts, start..end, fact));
        self.temper(draft, (way.map(|(pack, _)| pack), set_out), used);

        let mut task = self.task("drain", What::Drain, room, Step::Rinse);
        if self.freezer().place != room {
            task.take_back = vec![Thing::BoxOf(self.ice.freezer)];
        }
        let hours = Work::drain().usual_h(self.group.children);
        let soon = draft.fact(Fact::Always(Always::Wiped));
        let window = end..end + ticks_up(hours).max(1);
        let drain = draft.task(task, self.bound(hours, window, soon));
        draft.then(used, drain);
        set_out
    }

    /// Out of the box long enough before it is touched, and packed no longer
    /// than the box keeps it, the way included.
    fn temper(
        &self,
        draft: &mut Draft,
        (pack, set_out): (Option<ActivityId>, ActivityId),
        used: ActivityId,
    ) {
        let keeping = self.keeping;
        let temper = Outcomes::exactly(keeping.temper_h);
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
            outcomes: temper,
            ends: Ends::Time,
            not_after_h: None,
            over: false,
        });
    }
}

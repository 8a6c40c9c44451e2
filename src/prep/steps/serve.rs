//! An ice session from the freezer on: pack as she leaves, carry, set out, let it temper,
//! use, drain and wipe.

use std::ops::Range;

use super::{
    ice::Making,
    names::{pieces, wait_words},
};
use crate::{
    planfile::HOME,
    prep::{
        clock::{Tick, hours_of, ticks_up},
        draft::{Anchor, Booking, Draft, Ends, Passive},
        durations::Outcomes,
        rounds::PACK_H,
        schedule::Attention,
        trips::{Trip, set_out_ticks, way_ticks},
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
        let blocks = pieces(trip.count, "block");
        let fact = self.begins(draft);
        let what = format!("Pack {blocks} into the cool box");
        let mut task = self.task("pack", what, self.freezer().place, Step::Pack);
        task.count = trip.count;
        task.bring = vec!["cool box with a lid".to_owned(), "towels".to_owned()];
        let from = trip.leave - ticks_up(PACK_H).max(trip.pack);
        let booking = self.bound(hours_of(trip.pack), from..trip.leave, fact);
        let pack = draft.task(task, booking);
        draft.place(pack, Some(packed.unwrap_or(trip.leave - trip.pack)));
        let what = format!("Carry {blocks} to class");
        let mut task = self.task("carry", what, self.group.place, Step::Carry);
        task.count = trip.count;
        task.bring = vec![format!("{blocks}, frozen, in the cool box")];
        let there = trip.leave + way_ticks(self.ice);
        let booking = self.bound(in_hours(self.ice.travel).max(0.0), trip.leave..there, fact);
        let carry = draft.task(task, booking);
        draft.then(pack, carry);
        (pack, carry)
    }

    /// A booking that no opening hours bind.
    fn bound(&self, hours: f64, window: Range<Tick>, fact: FactId) -> Booking {
        let windows = std::iter::once(window).collect();
        Booking { hours, windows, fact, ends: "the session allows".to_owned(), goal: self.goal }
    }

    /// When it is: packing and leaving go by it too.
    fn begins(&self, draft: &mut Draft) -> FactId {
        draft.fact(format!(
            "{} begins {}",
            self.goal_words,
            self.plan.locale().day_and_time(&self.session.at)
        ))
    }

    /// Set out, temper, use, drain.
    pub(super) fn serve(
        &self,
        draft: &mut Draft,
        (pack, carry): (ActivityId, ActivityId),
    ) -> ActivityId {
        let room = self.group.place;
        let start = draft.clock.floor(self.session.at);
        let fact = self.begins(draft);
        let out = start - ticks_up(self.keeping.temper_h);
        let what = format!("Set {} out on trays", pieces(self.wanted, "block"));
        let mut task = self.task("set-out", what, room, Step::Temper);
        task.bring = vec!["trays under the blocks".to_owned()];
        let hours = hours_of(set_out_ticks(self.group.children));
        let window = out - set_out_ticks(self.group.children)..out;
        let set_out = draft.task(task, self.bound(hours, window, fact));
        draft.then(carry, set_out);

        let turns = self.ice.turns_last(self.group).map_or(0.0, in_hours);
        let lasts = Work::use_ice().usual_h(self.group.children).max(turns);
        let end = start + ticks_up(lasts).max(1);
        let mut used = self.task("use", self.ice.name.clone(), room, Step::Use);
        used.bring = vec!["floor towels".to_owned()];
        let used = draft.task(used, self.bound(lasts, start..end, fact));
        self.temper(draft, (pack, set_out), used);

        let what = "Drain, dry the floor, rinse the trays".to_owned();
        let mut task = self.task("drain", what, room, Step::Rinse);
        let from = self.freezer().place;
        let to = match self.plan.places[from].name.as_str() {
            HOME => String::new(),
            other => format!(" (to the {other})"),
        };
        let items = (from != room).then(|| format!("cool box, trays and towels{to}"));
        task.take_back = items.into_iter().collect();
        let hours = Work::drain().usual_h(self.group.children);
        let soon = draft.fact("melt water is wiped up as the session ends");
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
        (pack, set_out): (ActivityId, ActivityId),
        used: ActivityId,
    ) {
        let keeping = self.keeping;
        let temper = Outcomes::exactly(keeping.temper_h);
        let fact = draft.fact(format!(
            "a block is out {} before it is touched, until it no longer sticks to skin",
            wait_words(keeping.temper_h)
        ));
        draft.then_after(set_out, used, keeping.temper_h, fact);
        let fact =
            draft.fact(format!("the cool box keeps them {}", wait_words(keeping.cool_box_h)));
        draft.then_within(pack, used, keeping.cool_box_h, fact);
        let words = "The blocks temper on their trays".to_owned();
        let mut task = self.task("temper", words, self.group.place, Step::Temper);
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

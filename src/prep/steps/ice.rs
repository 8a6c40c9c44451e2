//! An ice session: wash, fill, freeze, turn out and bag, refill as often as
//! the moulds require, pack, carry, let it temper, use, drain and rinse.

use super::{
    names::{day_words, doing, named, pieces, slug, wait_words},
    shared::{MOULD_ROOM, Shared, mould_words},
};
use crate::{
    planfile::{Blocks, Freezer, Group, Ice, Mould, Plan, Session},
    prep::{
        clock::ticks_up,
        draft::{Anchor, Booking, Draft, Passive, Serves, Task},
        durations::{DurationError, Durations, Keeping, Outcomes, Process},
        schedule::{Amount, Attention},
    },
    scheduler::{ActivityId, GoalId},
    tables::{Step, Work},
    units::{in_hours, in_millilitres, show_volume},
};

/// Longest a bagged block is kept: it shrinks by sublimation and takes up
/// smells (common practice, no source).
const KEEP_DAYS: f64 = 14.0;

/// One session while its steps are made.
struct Making<'a> {
    plan: &'a Plan,
    shared: &'a Shared,
    ice: &'a Ice,
    mould: &'a Mould,
    group: &'a Group,
    session: &'a Session,
    goal: GoalId,
    goal_words: String,
    id: String,
    /// Blocks turned out in each round.
    rounds: Vec<u32>,
    /// What goes on in the freezer in each.
    process: &'a Process,
}

/// Adds every session of the ice activity at a position of the plan's list.
///
/// # Errors
/// [`DurationError`] when the physics has no answer for its mould or freezer.
pub fn add_ice(
    draft: &mut Draft,
    plan: &Plan,
    shared: &Shared,
    position: usize,
    durations: &dyn Durations,
) -> Result<(), DurationError> {
    let ice = &plan.ice[position];
    let (mould, freezer) = (&plan.moulds[ice.mould], &plan.freezers[ice.freezer]);
    let at_once = mould.own.min(mould.on_places(freezer.holds));
    // All that may freeze at once is counted as freezing at once, so that any
    // mix of rounds that fits the freezer keeps its promise.
    let in_freezer: u32 = plan.moulds.iter().map(|mould| mould.places(mould.own)).sum();
    let count = mould.on_places(in_freezer.min(freezer.holds));
    let freezing = durations.freeze(mould, freezer, count)?;
    let process = Process::Freezing { mould: mould.clone(), freezer: freezer.clone(), count };
    let keeping = durations.keeping(mould, plan.room)?;
    for (n, session) in ice.sessions.iter().enumerate() {
        let group = &plan.groups[session.group];
        let earlier = ice.sessions.iter().take(n).filter(|other| other.group == session.group);
        let number = earlier.count() + 1;
        let wanted = match ice.blocks {
            Blocks::Each => group.children,
            Blocks::Number(number) => number,
        } + session.spare.unwrap_or(ice.spare);
        let goal_words = format!("{} for {}", ice.name, group.name);
        let day = day_words(session.at.date_naive());
        let serves = Serves::Session { ice: position, session: n };
        let goal = draft.goal(format!("{goal_words} on {day}"), serves);
        Making {
            plan,
            shared,
            ice,
            mould,
            group,
            session,
            goal,
            goal_words,
            id: format!("{}-{}-{number}", slug(&ice.name), slug(&group.name)),
            rounds: rounds(wanted, at_once),
            process: &process,
        }
        .add(draft, &freezing, keeping);
    }
    Ok(())
}

/// Blocks in each round: full rounds last, so that the odd ones lie longest.
fn rounds(wanted: u32, at_once: u32) -> Vec<u32> {
    let at_once = at_once.max(1);
    let rest = wanted % at_once;
    let full = (wanted / at_once) as usize;
    (rest > 0).then_some(rest).into_iter().chain(std::iter::repeat_n(at_once, full)).collect()
}

impl Making<'_> {
    fn add(&self, draft: &mut Draft, freezing: &Outcomes, keeping: Keeping) {
        let wash = self.wash(draft);
        let mut last = wash;
        let (mut filled, mut turned_out) = (Vec::new(), Vec::new());
        for round in 0..self.rounds.len() {
            let (fill, turn_out) = self.round(draft, round, last, freezing);
            filled.push(fill);
            turned_out.push(turn_out);
            last = turn_out;
        }
        let pack = self.pack(draft);
        for turn_out in turned_out {
            let fact = draft.fact("a bagged block is kept at most two weeks");
            draft.then_within(turn_out, pack, KEEP_DAYS * 24.0, fact);
        }
        for (fill, count) in filled.into_iter().zip(&self.rounds) {
            // The room of a bag until it is packed, the rest while in its mould.
            let bags = self.mould.places(*count);
            draft.hold(self.shared.freezers[self.ice.freezer], bags, fill, pack);
        }
        self.serve(draft, pack, keeping);
    }

    fn freezer(&self) -> &Freezer {
        &self.plan.freezers[self.ice.freezer]
    }

    fn task(&self, name: &str, what: String, place: usize, step: Step) -> Task {
        Task {
            id: format!("{}-{name}", self.id),
            goal: self.goal_words.clone(),
            what,
            doing: doing(step),
            place: self.plan.places[place].name.clone(),
            group: Some(self.group.name.clone()),
            attention: Attention::Hands,
            uses: Vec::new(),
            amounts: Vec::new(),
            bring: Vec::new(),
            step,
            count: self.rounds.iter().sum(),
            dried: None,
            youngest: self.group.youngest_years(),
            chance: None,
            done: false,
            process: None,
        }
    }

    fn moulds(&self, count: u32) -> String {
        pieces(count, &format!("{} mould", self.mould.name))
    }

    fn wash(&self, draft: &mut Draft) -> ActivityId {
        let count = self.rounds.iter().copied().max().unwrap_or(1);
        let what = format!("Wash {}", self.moulds(count));
        let hours = Work::wash().usual_h(count);
        let booking = self.shared.in_hours(self.freezer().place, self.goal, hours);
        let wash = draft.task(self.task("wash", what, self.freezer().place, Step::Wash), booking);
        // Nobody washes a mould that holds a block.
        draft.hold(self.shared.moulds[self.ice.mould], count, wash, wash);
        wash
    }

    /// Fill, freeze, turn out; the filling and the turning out.
    fn round(
        &self,
        draft: &mut Draft,
        round: usize,
        after: ActivityId,
        freezing: &Outcomes,
    ) -> (ActivityId, ActivityId) {
        let count = self.rounds[round];
        let home = self.freezer().place;
        let suffix = if self.rounds.len() > 1 { format!("-{}", round + 1) } else { String::new() };
        let of = match self.rounds.len() {
            1 => String::new(),
            rounds => format!(" (round {} of {rounds})", round + 1),
        };
        let mut fill = self.task(
            &format!("fill{suffix}"),
            format!("Fill {}{of}", self.moulds(count)),
            home,
            Step::Fill,
        );
        fill.amounts = vec![self.water(count)];
        let booking = self.shared.in_hours(home, self.goal, Work::fill().usual_h(count));
        let fill = draft.task(fill, booking);
        // A later round waits for the moulds, the first one for the washing.
        let moulds_free = draft.fact(mould_words(self.mould));
        draft.then_after(after, fill, 0.0, moulds_free);

        let mut turn_out = self.task(
            &format!("turn-out{suffix}"),
            format!("Turn out and bag {}{of}", pieces(count, "block")),
            home,
            Step::TurnOut,
        );
        turn_out.count = count;
        let booking = self.shared.in_hours(home, self.goal, Work::turn_out().usual_h(count));
        let turn_out = draft.task(turn_out, booking);
        let sure = freezing.point(0.95);
        let fact = if sure.is_finite() {
            format!("freezing needs {} to be sure", wait_words(sure))
        } else {
            "this freezer never freezes them for sure".to_owned()
        };
        let fact = draft.fact(fact);
        draft.then_when(fill, turn_out, freezing, fact);
        let mut freeze = self.task(
            &format!("freeze{suffix}"),
            format!("{} freeze{of}", self.moulds(count)),
            home,
            Step::Freeze,
        );
        freeze.attention = Attention::None;
        freeze.uses = vec![named(&self.freezer().name, "freezer")];
        freeze.process = Some(self.process.clone());
        draft.spans.push(Passive {
            task: freeze,
            after: fill,
            before: turn_out,
            anchor: Anchor::Start,
            outcomes: freezing.clone(),
            over: false,
        });
        draft.hold(self.shared.moulds[self.ice.mould], count, fill, turn_out);
        let mould_room = (MOULD_ROOM - 1) * self.mould.places(count);
        draft.hold(self.shared.freezers[self.ice.freezer], mould_room, fill, turn_out);
        (fill, turn_out)
    }

    fn water(&self, count: u32) -> Amount {
        let each = self.mould.volume;
        let all = each * f64::from(count);
        let system = self.plan.units;
        Amount {
            what: "water".to_owned(),
            // A millilitre of water weighs a gram: 0.998 g at 20 °C (IAPWS-95).
            mass_g: Some(in_millilitres(all) * 0.998),
            cups: Some(all.get::<uom::si::volume::cup>()),
            count: Some(count),
            text: format!(
                "{} in each, {} in all",
                show_volume(each, system),
                show_volume(all, system)
            ),
        }
    }

    fn pack(&self, draft: &mut Draft) -> ActivityId {
        let count: u32 = self.rounds.iter().sum();
        let home = self.freezer().place;
        let what = format!("Pack {} into the cool box", pieces(count, "block"));
        let mut task = self.task("pack", what, home, Step::Pack);
        task.bring = vec!["cool box with a lid".to_owned(), "towels".to_owned()];
        let booking = self.shared.in_hours(home, self.goal, Work::pack().usual_h(count));
        draft.task(task, booking)
    }

    /// Carry, temper, use, drain.
    fn serve(&self, draft: &mut Draft, pack: ActivityId, keeping: Keeping) {
        let room = self.group.place;
        let count: u32 = self.rounds.iter().sum();
        let mut carry = self.task(
            "carry",
            format!("Carry {} to class", pieces(count, "block")),
            room,
            Step::Carry,
        );
        carry.bring = vec![format!("{}, frozen, in the cool box", pieces(count, "block"))];
        let any = draft.fact("the way to class can be gone at any hour");
        let booking = Booking {
            hours: in_hours(self.ice.travel).max(0.0),
            windows: draft.clock.any_time(),
            fact: any,
            ends: "the days of the plan".to_owned(),
            goal: self.goal,
        };
        let carry = draft.task(carry, booking);
        let at_once = draft.fact("packed blocks are carried at once");
        draft.then_within(pack, carry, 0.25, at_once);

        let turns = self.ice.turns_last(self.group).map_or(0.0, in_hours);
        let use_hours = Work::use_ice().usual_h(self.group.children).max(turns);
        let start = draft.clock.floor(self.session.at);
        let when = draft.fact(format!(
            "{} begins {} {}",
            self.goal_words,
            day_words(self.session.at.date_naive()),
            self.session.at.format("%H:%M")
        ));
        let mut used = self.task("use", self.ice.name.clone(), room, Step::Use);
        used.bring = vec!["trays under the blocks".to_owned(), "towels for the floor".to_owned()];
        let session = Booking {
            hours: use_hours,
            windows: std::iter::once(start..start + ticks_up(use_hours).max(1)).collect(),
            fact: when,
            ends: "the session".to_owned(),
            goal: self.goal,
        };
        let used = draft.task(used, session);
        self.temper(draft, (pack, carry), used, keeping);

        let drain = self.task(
            "drain",
            "Drain, dry the floor, rinse the trays".to_owned(),
            room,
            Step::Rinse,
        );
        let hours = Work::drain().usual_h(self.group.children);
        let booking = self.shared.in_hours(room, self.goal, hours);
        let drain = draft.task(drain, booking);
        let soon = draft.fact("melt water is wiped up at once");
        draft.then_within(used, drain, 0.25, soon);
    }

    /// Out of the box long enough before it is touched, and packed no longer
    /// than the box keeps it, the way included.
    fn temper(
        &self,
        draft: &mut Draft,
        (pack, carry): (ActivityId, ActivityId),
        used: ActivityId,
        keeping: Keeping,
    ) {
        let temper = Outcomes::exactly(keeping.temper_h);
        let fact = draft.fact(format!(
            "a block is out {} before it is touched, until it no longer sticks to skin",
            wait_words(keeping.temper_h)
        ));
        draft.then_after(carry, used, keeping.temper_h, fact);
        let fact =
            draft.fact(format!("the cool box keeps them {}", wait_words(keeping.cool_box_h)));
        draft.then_within(pack, used, keeping.cool_box_h, fact);
        let mut task = self.task(
            "temper",
            "Set the blocks out on their trays to temper".to_owned(),
            self.group.place,
            Step::Temper,
        );
        task.attention = Attention::None;
        draft.spans.push(Passive {
            task,
            after: carry,
            before: used,
            anchor: Anchor::End,
            outcomes: temper,
            over: false,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::rounds;

    #[test]
    fn the_odd_blocks_come_first() {
        assert_eq!(rounds(12, 4), [4, 4, 4]);
        assert_eq!(rounds(10, 4), [2, 4, 4]);
        assert_eq!(rounds(3, 4), [3]);
    }
}

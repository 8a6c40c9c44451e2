//! Leaving for class: once a morning, with the blocks of all its sessions; or, where the freezer
//! stands there, straight from it to the table.

use std::{collections::BTreeMap, ops::Range};

use chrono::DateTime;
use chrono_tz::Tz;

use super::{
    clock::{Clock, Tick, joined, ticks_down, ticks_up},
    durations::{DurationError, Durations, Keeping},
};
use crate::{
    planfile::{Ice, Opening, Plan, Session},
    tables::Work,
    units::in_hours,
};

/// An ice activity and its session, by their places in the plan.
pub type SessionAt = (usize, usize);

/// Leavings so near to each other are one, in hours (common practice, no source).
const ONCE_H: f64 = 1.0;

/// One way to class with ice.
#[derive(Debug, Clone, PartialEq)]
pub struct Trip {
    /// Whether the blocks are packed and carried; else they freeze where they are set out.
    pub carried: bool,
    /// When she leaves, or takes the blocks out.
    pub leave: Tick,
    /// How long all its blocks are packed before.
    pub pack: Tick,
    /// Its sessions, by their start.
    pub sessions: Vec<SessionAt>,
    /// Its blocks.
    pub count: u32,
    /// When the blocks of each session are set out, and what follows.
    pub tables: BTreeMap<SessionAt, Table>,
}

/// A session's ice from the moment that it is set out.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// When hands set it out.
    pub set_out: Range<Tick>,
    /// When it is used.
    pub used: Range<Tick>,
    /// When the floor is wiped.
    pub drained: Range<Tick>,
    /// How long the cool box keeps it.
    pub kept: Tick,
}

impl Trip {
    /// The same with the blocks of those of its sessions that `served` picks; with all where it
    /// picks none.
    pub fn with(self, plan: &Plan, served: impl Fn(&SessionAt) -> bool) -> Self {
        let mut own: Vec<SessionAt> = self.sessions.iter().copied().filter(served).collect();
        if own.is_empty() {
            own.clone_from(&self.sessions);
        }
        let blocks = own.into_iter().map(|(ice, number)| {
            let (ice, session) = (&plan.ice[ice], &plan.ice[ice].sessions[number]);
            let count = ice.wanted(session, &plan.groups[session.group]);
            (count, plan.moulds[ice.mould].worth(count))
        });
        // How many blocks they are worth to the hands that pack them.
        let (count, worth) = blocks.fold((0, 0.0), |all, one| (all.0 + one.0, all.1 + one.1));
        let packed = || ticks_up(Work::pack().usual_h_of(worth)).max(1);
        Self { count, pack: if self.carried { packed() } else { 0 }, ..self }
    }
}

/// The trips for the sessions that `served` picks, by session.
///
/// # Errors
/// [`DurationError`] when a mould is outside the physics' range.
pub fn trips(
    plan: &Plan,
    clock: Clock,
    durations: &dyn Durations,
    served: impl Fn(SessionAt) -> bool,
) -> Result<BTreeMap<SessionAt, Trip>, DurationError> {
    let mut own = Vec::new();
    for (position, ice) in plan.ice.iter().enumerate() {
        let sessions = ice.sessions.iter().enumerate().filter(|(n, _)| served((position, *n)));
        for (number, session) in sessions {
            // Its own blocks alone: others of the trip are set out before, or may not be served.
            let count = ice.wanted(session, &plan.groups[session.group]);
            let keeping = durations.keeping(&plan.moulds[ice.mould], count, plan.room)?;
            own.push((session.at, (position, number), keeping));
        }
    }
    own.sort_by_key(|(at, session, _)| (*at, *session));
    let mut leavings = Vec::new();
    for (session, table) in tables(plan, clock, &own) {
        let ice = &plan.ice[session.0];
        let own = &ice.sessions[session.1];
        let (from, group) = (plan.freezers[ice.freezer].place, &plan.groups[own.group]);
        let way = (from != group.place).then(|| way_ticks(ice));
        let leave = leaving(plan, clock, (own, from), (way, table.set_out.start));
        leavings.push(((from, way), leave, own.at, (session, table)));
    }
    leavings.sort_by_key(|((from, _), leave, at, (session, _))| (*from, *leave, *at, *session));
    let mut all: Vec<(usize, Trip)> = Vec::new();
    for ((from, way), leave, _, (session, table)) in leavings {
        let at_once = |(place, trip): &&mut (usize, Trip)| {
            let both_carried = trip.carried && way.is_some();
            *place == from && both_carried && leave - trip.leave <= ticks_up(ONCE_H)
        };
        match all.last_mut().filter(at_once) {
            Some((_, trip)) => {
                trip.sessions.push(session);
                trip.tables.insert(session, table);
            }
            None => {
                let (sessions, tables) = (vec![session], BTreeMap::from([(session, table)]));
                let carried = way.is_some();
                all.push((from, Trip { carried, leave, pack: 0, sessions, count: 0, tables }));
            }
        }
    }
    let packed = all.into_iter().map(|(_, trip)| trip.with(plan, |_| true));
    Ok(packed
        .flat_map(|trip| trip.sessions.clone().into_iter().map(move |at| (at, trip.clone())))
        .collect())
}

/// When the ice of some sessions, in time order, is set out, used and wiped up. Ice that would
/// be set out while another session has her hands is set out before that one, where it stands
/// on the table no longer than until it softens.
fn tables(
    plan: &Plan,
    clock: Clock,
    sessions: &[(DateTime<Tz>, SessionAt, Keeping)],
) -> Vec<(SessionAt, Table)> {
    let mut busy: Vec<Range<Tick>> = Vec::new();
    let mut all: Vec<(SessionAt, Table)> = Vec::new();
    for (_, at, keeping) in sessions {
        let group = &plan.groups[plan.ice[at.0].sessions[at.1].group];
        let mut table = table(plan, clock, *at, *keeping);
        // A room of its own hands has them for all its sessions.
        if plan.places[group.place].hands.is_none() {
            let earliest = table.used.start - ticks_down(keeping.table_h);
            table.set_out = free(table.set_out.clone(), &busy, earliest);
            busy.extend([table.set_out.clone(), table.used.start..table.drained.end]);
        }
        all.push((*at, table));
    }
    all
}

/// The last time of the same length that meets none of those that are `busy`; the same where
/// that would end before the `earliest`.
fn free(wished: Range<Tick>, busy: &[Range<Tick>], earliest: Tick) -> Range<Tick> {
    let length = wished.end - wished.start;
    let mut end = wished.end;
    while let Some(met) = busy.iter().find(|it| it.start < end && end - length < it.end) {
        end = met.start;
    }
    if end < earliest { wished } else { end - length..end }
}

/// When a session's ice is set out to temper just in time, used, and wiped up.
fn table(plan: &Plan, clock: Clock, (ice, session): SessionAt, keeping: Keeping) -> Table {
    let ice = &plan.ice[ice];
    let (session, group) = (&ice.sessions[session], &plan.groups[ice.sessions[session].group]);
    let start = clock.floor(session.at);
    let turns = ice.turns_last(group).map_or(0.0, in_hours);
    let used = start + ticks_up(Work::use_ice().usual_h(group.children).max(turns)).max(1);
    let drained = used + ticks_up(Work::drain().usual_h(group.children)).max(1);
    let out = start - ticks_up(keeping.temper_h);
    let set_out = out - ticks_up(Work::set_out().usual_h(group.children)).max(1)..out;
    let kept = ticks_down(keeping.cool_box_h);
    Table { set_out, used: start..used, drained: used..drained, kept }
}

/// When she leaves for a session: in time for the blocks to be set out, and for class where it
/// opens before that; again where it opens again and she is where the blocks are in between.
/// Without a way, when they are taken out.
fn leaving(
    plan: &Plan,
    clock: Clock,
    (session, from): (&Session, usize),
    (way, there): (Option<Tick>, Tick),
) -> Tick {
    let Some(way) = way else { return there };
    let day = session.at.date_naive();
    let hours = |open: &[Opening]| -> Vec<Range<Tick>> {
        let open = open.iter().filter(|open| open.on(day));
        let mut open: Vec<Range<Tick>> =
            open.map(|open| clock.at(day, open.from)..clock.at(day, open.until)).collect();
        open.sort_by_key(|open| open.start);
        // Class that goes on does not open again.
        joined(open)
    };
    let class = hours(plan.class_hours(plan.groups[session.group].place));
    let home = hours(&plan.places[from].hours);
    let is_back = |opens: Tick| {
        let before = class.iter().filter(|open| open.end <= opens).map(|open| open.end).max();
        before.is_none_or(|before| home.iter().any(|open| before < open.end && open.start < opens))
    };
    let begins = clock.floor(session.at);
    let opens = class.iter().filter(|open| open.start <= begins && is_back(open.start));
    there.min(opens.map(|open| open.start).max().unwrap_or(there)) - way
}

/// How long the way to class is.
pub fn way_ticks(ice: &Ice) -> Tick {
    ticks_up(in_hours(ice.travel).max(0.0)).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_meets_other_work_goes_before_it_as_far_as_it_may() {
        let busy = [90..120, 70..85];
        assert_eq!(free(130..140, &busy, 0), 130..140);
        assert_eq!(free(120..130, &busy, 0), 120..130);
        assert_eq!(free(115..125, &busy, 0), 60..70, "five are free before 90, and it takes ten");
        assert_eq!(free(115..120, &busy, 0), 85..90);
        assert_eq!(free(115..125, &busy, 71), 115..125, "no earlier than it may be");
    }
}

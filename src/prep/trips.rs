//! Leaving for class: once a morning, with the blocks of all its sessions; or, where the freezer
//! stands there, straight from it to the table.

use std::collections::BTreeMap;

use super::{
    clock::{Clock, Tick, ticks_down, ticks_up},
    durations::{DurationError, Durations, Keeping},
};
use crate::{
    planfile::{Ice, Plan, Session},
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
    /// How long the blocks of each session temper, and how long the cool box keeps them.
    pub keeping: BTreeMap<SessionAt, (Tick, Tick)>,
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
    let mut leavings = Vec::new();
    for (position, ice) in plan.ice.iter().enumerate() {
        let keeping = durations.keeping(&plan.moulds[ice.mould], plan.room)?;
        let own = ice.sessions.iter().enumerate().filter(|(n, _)| served((position, *n)));
        leavings.extend(own.map(|(number, session)| {
            let (from, group) = (plan.freezers[ice.freezer].place, &plan.groups[session.group]);
            let way = (from != group.place).then(|| way_ticks(ice));
            let leave = leaving(plan, clock, session, (way, keeping));
            let kept = (ticks_up(keeping.temper_h), ticks_down(keeping.cool_box_h));
            ((from, way), leave, session.at, ((position, number), kept))
        }));
    }
    leavings.sort_by_key(|((from, _), leave, at, (session, _))| (*from, *leave, *at, *session));
    let mut all: Vec<(usize, Trip)> = Vec::new();
    for ((from, way), leave, _, (session, kept)) in leavings {
        let at_once = |(place, trip): &&mut (usize, Trip)| {
            let both_carried = trip.carried && way.is_some();
            *place == from && both_carried && leave - trip.leave <= ticks_up(ONCE_H)
        };
        match all.last_mut().filter(at_once) {
            Some((_, trip)) => {
                trip.sessions.push(session);
                trip.keeping.insert(session, kept);
            }
            None => {
                let (sessions, keeping) = (vec![session], BTreeMap::from([(session, kept)]));
                let carried = way.is_some();
                all.push((from, Trip { carried, leave, pack: 0, sessions, count: 0, keeping }));
            }
        }
    }
    let packed = all.into_iter().map(|(_, trip)| trip.with(plan, |_| true));
    Ok(packed
        .flat_map(|trip| trip.sessions.clone().into_iter().map(move |at| (at, trip.clone())))
        .collect())
}

/// When she leaves for a session: in time for the blocks to be set out and to temper, and
/// for class where it opens before that. Without a way, when they are taken out.
fn leaving(
    plan: &Plan,
    clock: Clock,
    session: &Session,
    (way, keeping): (Option<Tick>, Keeping),
) -> Tick {
    let day = session.at.date_naive();
    let group = plan.groups.get(session.group);
    let room = group.and_then(|group| plan.places.get(group.place));
    let open = room.into_iter().flat_map(|room| &room.hours).filter(|open| open.on(day));
    let children = group.map_or(0, |group| group.children);
    let there = clock.floor(session.at) - set_out_ticks(children) - ticks_up(keeping.temper_h);
    let Some(way) = way else { return there };
    let opens = open.map(|open| clock.at(day, open.from)).min().unwrap_or(there);
    there.min(opens) - way
}

/// How long the way to class is.
pub fn way_ticks(ice: &Ice) -> Tick {
    ticks_up(in_hours(ice.travel).max(0.0)).max(1)
}

/// How long hands set the blocks out.
pub fn set_out_ticks(children: u32) -> Tick {
    ticks_up(Work::set_out().usual_h(children)).max(1)
}

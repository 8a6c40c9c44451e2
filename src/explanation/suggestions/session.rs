//! What may make an ice session possible.

use chrono::{DateTime, Days, NaiveTime, TimeDelta};
use chrono_tz::Tz;

use super::{Change, Fill, hours};
use crate::planfile::{Blocks, Freezer, MOST_AHEAD, Opening, Plan};
use crate::units::{ThermodynamicTemperature, celsius, in_celsius};

/// A block of so many times less water is another thing to a child: a cube is no block to paint on
/// (common practice, no source).
const MUCH_LESS: u64 = 4;

pub(super) fn for_session(plan: &Plan, n: usize, s: usize) -> Vec<Vec<Change>> {
    let ice = &plan.ice[n];
    let (mould, freezer) = (ice.mould, ice.freezer);
    let mut kinds = vec![
        [1, 2, 4, 8].map(|more| Change::Moulds { mould, more }).to_vec(),
        no_spares(plan, n),
        fewer_blocks(plan, n, s),
        later_that_day(plan, n, s),
        later_session(plan, n, s),
        longer_class(plan, n, s),
        earlier_that_day(plan, n, s),
        further_ahead(plan),
        [Fill::TwoThirds, Fill::Half].map(|to| Change::Fill { mould, to }).to_vec(),
        other_mould(plan, n),
        colder(plan, freezer),
        [2, 4, 8, 16, 32].map(|more| Change::Room { freezer, more }).to_vec(),
        other_freezer(plan, n),
        freezer_in_class(plan, n, s),
        shorter_way(plan, n),
    ];
    let home = plan.freezers[freezer].place;
    kinds.push(late_before(plan, n, s));
    kinds.extend(hours(home));
    kinds.push(vec![Change::Hands { place: plan.groups[ice.sessions[s].group].place }]);
    kinds.push(vec![Change::Hands { place: home }]);
    kinds
}

/// As many blocks as are needed, where there are more.
pub(super) fn no_spares(plan: &Plan, n: usize) -> Vec<Change> {
    let ice = &plan.ice[n];
    let mut spares = ice.sessions.iter().map(|session| session.spare.unwrap_or(ice.spare));
    spares.any(|spare| spare > 0).then_some(Change::NoSpareBlocks { ice: n }).into_iter().collect()
}

/// Blocks are shared, or a few lie on the table for all.
pub(super) fn fewer_blocks(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    let ice = &plan.ice[n];
    let wanted = match ice.blocks {
        Blocks::Each => plan.groups[ice.sessions[s].group].children,
        Blocks::Number(number) => number,
    };
    let mut fewer = [2, 3, 4].map(|share| wanted.div_ceil(share)).to_vec();
    fewer.extend([2, 1]);
    fewer.retain(|few| *few < wanted);
    fewer.sort_unstable_by(|a, b| b.cmp(a));
    fewer.dedup();
    fewer.into_iter().map(|blocks| Change::Shared { ice: n, blocks }).collect()
}

/// The group's next days of class, at the same time of day.
pub(super) fn later_session(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    let session = &plan.ice[n].sessions[s];
    let group = &plan.groups[session.group];
    let later = |days: u64| session.at.checked_add_days(Days::new(days));
    let days = (1..=10).filter_map(later).filter(|at| plan.meets(group, at.date_naive()));
    days.map(|at| Change::SessionAt { ice: n, session: s, at }).collect()
}

/// Later, as long as children are there an hour more (common practice, no source).
pub(super) fn later_that_day(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    that_day(plan, (n, s), &[30, 60])
}

/// Somebody there from an hour before the session to two hours after it, unless they are there
/// for all of that.
pub(super) fn longer_class(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    let session = &plan.ice[n].sessions[s];
    let place = plan.groups[session.group].place;
    let (day, time) = (session.at.date_naive(), session.at.time());
    // Not past midnight: a session so late or so early has no such hours.
    let (from, before) = time.overflowing_sub_signed(TimeDelta::hours(1));
    let (until, after) = time.overflowing_add_signed(TimeDelta::hours(2));
    let class = plan.class_hours(place);
    let there = class.iter().any(|it| it.on(day) && it.from <= from && until <= it.until);
    if before != 0 || after != 0 || there {
        return Vec::new();
    }
    vec![Change::HoursOn { place, day, from, until }]
}

/// Somebody there till eleven on the evening before, later than usual (common practice, no
/// source).
pub(super) fn late_before(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    let ice = &plan.ice[n];
    let place = plan.freezers[ice.freezer].place;
    let Some(day) = ice.sessions[s].at.date_naive().pred_opt() else { return Vec::new() };
    let open = plan.places[place].hours.iter().filter(|open| open.on(day));
    let until = NaiveTime::from_hms_opt(23, 0, 0);
    let span = open.map(|open| open.until).max().zip(until).filter(|(from, until)| from < until);
    span.map(|(from, until)| Change::HoursOn { place, day, from, until }).into_iter().collect()
}

/// Earlier: from an afternoon back to the morning.
pub(super) fn earlier_that_day(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    that_day(plan, (n, s), &[-30, -60, -120, -180, -240])
}

/// So many minutes later on its day, where there is class for an hour more.
fn that_day(plan: &Plan, (ice, session): (usize, usize), minutes: &[i64]) -> Vec<Change> {
    let of = &plan.ice[ice].sessions[session];
    let (day, class) = (of.at.date_naive(), plan.group_hours(&plan.groups[of.group]));
    let there = |at: &DateTime<Tz>| {
        let (until, next) = at.time().overflowing_add_signed(TimeDelta::hours(1));
        let open = |it: &Opening| it.on(day) && it.from <= at.time() && until <= it.until;
        at.date_naive() == day && next == 0 && class.iter().any(open)
    };
    let moved = minutes.iter().filter_map(|by| of.at.checked_add_signed(TimeDelta::minutes(*by)));
    moved.filter(there).map(|at| Change::SessionAt { ice, session, at }).collect()
}

/// Ice made earlier, to lie in its bags.
pub(super) fn further_ahead(plan: &Plan) -> Vec<Change> {
    (plan.wishes.ahead + 1..=MOST_AHEAD).map(|days| Change::Ahead { days }).collect()
}

/// Another mould, unless its blocks are too small to stand in for those that are wanted.
pub(super) fn other_mould(plan: &Plan, n: usize) -> Vec<Change> {
    let own = plan.ice[n].mould;
    let least = plan.moulds[own].milligrams() / MUCH_LESS;
    let others = (0..plan.moulds.len()).filter(|mould| *mould != own);
    let others = others.filter(|mould| plan.moulds[*mould].milligrams() >= least);
    others.map(|mould| Change::Mould { ice: n, mould }).collect()
}

pub(super) fn colder(plan: &Plan, freezer: usize) -> Vec<Change> {
    let usual = usual_where_warmer(&plan.freezers[freezer]);
    usual.map(|air| Change::Air { freezer, air }).into_iter().collect()
}

/// What a freezer for food is meant to hold (three and four stars of Regulation (EU) 2019/2016), for
/// one that is warmer; 0 °F is not.
fn usual_where_warmer(freezer: &Freezer) -> Option<ThermodynamicTemperature> {
    let warmer = freezer.air.is_some_and(|air| in_celsius(air) > -17.0);
    warmer.then(|| celsius(-18.0))
}

pub(super) fn other_freezer(plan: &Plan, n: usize) -> Vec<Change> {
    let others = (0..plan.freezers.len()).filter(|freezer| *freezer != plan.ice[n].freezer);
    others.map(|freezer| Change::Freezer { ice: n, freezer }).collect()
}

/// Filled and frozen where the children are, in a freezer as cold as it should be.
pub(super) fn freezer_in_class(plan: &Plan, n: usize, s: usize) -> Vec<Change> {
    let ice = &plan.ice[n];
    let place = plan.groups[ice.sessions[s].group].place;
    let this = &plan.freezers[ice.freezer];
    if this.place == place {
        return Vec::new();
    }
    vec![Change::FreezerAt { ice: n, place, air: usual_where_warmer(this) }]
}

/// Blocks kept somewhere nearer to class.
pub(super) fn shorter_way(plan: &Plan, n: usize) -> Vec<Change> {
    let travel = plan.ice[n].travel;
    if travel < crate::units::hours(1.0) {
        return Vec::new();
    }
    [0.5, 0.25, 0.1].map(|share| Change::Travel { ice: n, lasts: share * travel }).to_vec()
}

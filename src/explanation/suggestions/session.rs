//! What may make an ice session possible.

use chrono::{Days, TimeDelta};

use super::{WayOut, hours, more_hands};
use crate::units::{ThermodynamicTemperature, celsius, in_celsius, in_hours, show_temperature};
use crate::{
    planfile::{Blocks, Freezer, Opening, Plan, Span},
    prep::steps::{day_words, named, pieces, wait_words},
};

pub(super) fn for_session(plan: &Plan, n: usize, s: usize) -> Vec<Vec<WayOut>> {
    let ice = &plan.ice[n];
    let mut kinds = vec![
        more_moulds(plan, ice.mould),
        fewer_blocks(plan, n, s),
        later_session(plan, n, s),
        longer_class(plan, n, s),
        earlier_that_day(plan, n, s),
        lower_fill(plan, ice.mould),
        other_mould(plan, n),
        colder(plan, ice.freezer),
        freezer_room(plan, ice.freezer),
        other_freezer(plan, n),
        freezer_in_class(plan, n, s),
        shorter_way(plan, n),
    ];
    kinds.extend(hours(plan, plan.freezers[ice.freezer].place));
    kinds.push(more_hands(plan, plan.groups[ice.sessions[s].group].place));
    kinds.push(more_hands(plan, plan.freezers[ice.freezer].place));
    kinds
}

pub(super) fn more_moulds(plan: &Plan, mould: usize) -> Vec<WayOut> {
    let name = format!("more {} mould", plan.moulds[mould].name);
    let more = |count: u32| {
        let words = match count {
            1 => format!("1 {name}"),
            _ => format!("{count} {name}s"),
        };
        WayOut::new(words, move |plan| plan.moulds[mould].own += count)
    };
    [1, 2, 4, 8].map(more).to_vec()
}

/// Blocks are shared, or a few lie on the table for all.
pub(super) fn fewer_blocks(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let ice = &plan.ice[n];
    let group = &plan.groups[ice.sessions[s].group];
    let wanted = match ice.blocks {
        Blocks::Each => group.children,
        Blocks::Number(number) => number,
    };
    let fewer = [wanted.div_ceil(2), 4, 2, 1].into_iter().filter(|few| *few < wanted);
    fewer
        .map(|few| {
            let words = format!("{} in all for “{}”, to share", pieces(few, "block"), ice.name);
            WayOut::new(words, move |plan| {
                plan.ice[n].blocks = Blocks::Number(few);
                plan.ice[n].spare = 0;
                plan.ice[n].sessions.iter_mut().for_each(|session| session.spare = None);
            })
        })
        .collect()
}

/// The group's next days of class, at the same time of day.
pub(super) fn later_session(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let session = &plan.ice[n].sessions[s];
    let group = &plan.groups[session.group];
    let (name, at) = (group.name.clone(), session.at);
    let later = |days: u64| at.checked_add_days(Days::new(days));
    let days = (1..=10).filter_map(later).filter(|at| plan.meets(group, at.date_naive()));
    days.map(|at| {
        let words =
            format!("“{}” for {name} on {} instead", plan.ice[n].name, day_words(at.date_naive()));
        WayOut::new(words, move |plan| plan.ice[n].sessions[s].at = at)
    })
    .collect()
}

/// Somebody there from an hour before the session to two hours after it.
pub(super) fn longer_class(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let session = &plan.ice[n].sessions[s];
    let room = plan.groups[session.group].place;
    let (day, time) = (session.at.date_naive(), session.at.time());
    // Not past midnight: a session so late or so early has no such hours.
    let (from, before) = time.overflowing_sub_signed(TimeDelta::hours(1));
    let (until, after) = time.overflowing_add_signed(TimeDelta::hours(2));
    if before != 0 || after != 0 {
        return Vec::new();
    }
    let (name, on) = (&plan.places[room].name, day_words(day));
    let words =
        format!("somebody at {name} {} to {} on {on}", from.format("%H:%M"), until.format("%H:%M"));
    let hours = Opening { on: Span::Dates(day..=day), from, until };
    vec![WayOut::new(words, move |plan| plan.places[room].hours.push(hours.clone()))]
}

pub(super) fn earlier_that_day(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let session = &plan.ice[n].sessions[s];
    let name = plan.groups[session.group].name.clone();
    let earlier = [30, 60].map(|by| session.at.checked_sub_signed(TimeDelta::minutes(by)));
    let that_day =
        earlier.into_iter().flatten().filter(|at| at.date_naive() == session.at.date_naive());
    that_day
        .map(|at| {
            let words =
                format!("“{}” for {name} at {} instead", plan.ice[n].name, at.format("%H:%M"));
            WayOut::new(words, move |plan| plan.ice[n].sessions[s].at = at)
        })
        .collect()
}

pub(super) fn lower_fill(plan: &Plan, mould: usize) -> Vec<WayOut> {
    let name = plan.moulds[mould].name.clone();
    let fill = |(words, share): (&str, f64)| {
        WayOut::new(format!("fill the {name} moulds {words}"), move |plan| {
            plan.moulds[mould].volume *= share;
            plan.moulds[mould].depth *= share;
        })
    };
    [("to two thirds", 2.0 / 3.0), ("half full", 0.5)].map(fill).to_vec()
}

pub(super) fn other_mould(plan: &Plan, n: usize) -> Vec<WayOut> {
    let others = plan.moulds.iter().enumerate().filter(|(m, _)| *m != plan.ice[n].mould);
    others
        .map(|(m, mould)| {
            let words = format!("the {} moulds for “{}”", mould.name, plan.ice[n].name);
            WayOut::new(words, move |plan| plan.ice[n].mould = m)
        })
        .collect()
}

pub(super) fn colder(plan: &Plan, freezer: usize) -> Vec<WayOut> {
    let Some(usual) = usual_where_warmer(&plan.freezers[freezer]) else { return Vec::new() };
    let name = named(&plan.freezers[freezer].name, "freezer");
    let words = format!("the {name} at {}", show_temperature(usual, plan.units));
    vec![WayOut::new(words, move |plan| plan.freezers[freezer].air = Some(usual))]
}

/// What a freezer for food is meant to hold (three and four stars of Regulation (EU) 2019/2016), for
/// one that is warmer; 0 °F is not.
fn usual_where_warmer(freezer: &Freezer) -> Option<ThermodynamicTemperature> {
    let warmer = freezer.air.is_some_and(|air| in_celsius(air) > -17.0);
    warmer.then(|| celsius(-18.0))
}

pub(super) fn freezer_room(plan: &Plan, freezer: usize) -> Vec<WayOut> {
    let name = named(&plan.freezers[freezer].name, "freezer");
    let room = |more: u32| {
        let words = format!("room for {} more in the {name}", pieces(more, "mould"));
        WayOut::new(words, move |plan| plan.freezers[freezer].holds += more)
    };
    [2, 4, 8, 16, 32].map(room).to_vec()
}

pub(super) fn other_freezer(plan: &Plan, n: usize) -> Vec<WayOut> {
    let others = plan.freezers.iter().enumerate().filter(|(f, _)| *f != plan.ice[n].freezer);
    others
        .map(|(f, freezer)| {
            let words = format!("freeze in the {} instead", named(&freezer.name, "freezer"));
            WayOut::new(words, move |plan| plan.ice[n].freezer = f)
        })
        .collect()
}

/// Filled and frozen where the children are, in a freezer as cold as it should be.
pub(super) fn freezer_in_class(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let ice = &plan.ice[n];
    let room = plan.groups[ice.sessions[s].group].place;
    let this = &plan.freezers[ice.freezer];
    if this.place == room {
        return Vec::new();
    }
    let place = plan.places[room].name.clone();
    let colder = usual_where_warmer(this);
    let at = colder.map(|air| format!(" ({})", show_temperature(air, plan.units)));
    let at = at.unwrap_or_default();
    let words = format!("freeze in a freezer at {place}{at}, filled and turned out there");
    vec![WayOut::new(words, move |plan| {
        let mut there = plan.freezers[plan.ice[n].freezer].clone();
        there.place = room;
        there.name = format!("{place} freezer");
        there.air = colder.or(there.air);
        plan.freezers.push(there);
        plan.ice[n].freezer = plan.freezers.len() - 1;
        plan.ice[n].travel = crate::units::hours(0.0);
    })]
}

/// Blocks kept somewhere nearer to class.
pub(super) fn shorter_way(plan: &Plan, n: usize) -> Vec<WayOut> {
    let travel = plan.ice[n].travel;
    let shorter = |share: f64| {
        let words = format!("freeze them {} from class", wait_words(in_hours(share * travel)));
        WayOut::new(words, move |plan| plan.ice[n].travel = share * travel)
    };
    if travel < crate::units::hours(1.0) {
        return Vec::new();
    }
    [0.5, 0.25, 0.1].map(shorter).to_vec()
}

//! What may make a batch of ornaments possible.

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::{Change, hours};
use crate::planfile::{Finish, Method, Plan, usual_setting};
use crate::prep::looks::may_be_drier;
use crate::properties::brine::brine_boiling_point;
use crate::transfer::psychrometrics::standard_pressure;
use crate::units::{
    System, ThermodynamicTemperature, celsius, in_celsius, in_fraction, millimetres, percents,
};

pub(super) fn for_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<Vec<Change>> {
    let home = plan.made_at(&plan.ornaments[n]);
    // What another batch lacks is made as that one was.
    let mut kinds = match is_mixed(plan, now, plan.in_file(n)) {
        // Pieces are as thick and as many as they were made, and have dried in the room as it is
        // until they were seen not to be ready.
        true if may_be_drier(plan, &plan.ornaments[n]) => vec![drier(plan)],
        true => Vec::new(),
        false => vec![
            thinner(plan, n),
            other_method(plan, n),
            hotter(plan, n),
            one_tray_more(plan, n),
            drier(plan),
            vec![Change::NoSpares { ornament: n }],
        ],
    };
    kinds.push(later_gift(plan, now, n));
    // One thing less is known at once; more hours come in five kinds.
    kinds.push(fewer_finishes(plan, n));
    kinds.extend(hours(home));
    kinds.push(bare(plan, n));
    let rooms = plan.rooms_of(&plan.ornaments[n]).into_iter().filter(|room| *room != home);
    let places = std::iter::once(home).chain(rooms);
    kinds.extend(places.map(|place| vec![Change::Hands { place }]));
    kinds
}

/// Whether the dough of a batch is mixed already, of a plan that is followed.
fn is_mixed(plan: &Plan, now: DateTime<Utc>, n: usize) -> bool {
    let kept = plan.kept.as_ref();
    kept.is_some_and(|kept| kept.is_mixed(&plan.ornaments[n].name, now.fixed_offset()))
}

pub(super) fn thinner(plan: &Plan, n: usize) -> Vec<Change> {
    let sizes: &[f64] = match plan.units {
        System::Us => &[25.4 * 3.0 / 8.0, 25.4 / 4.0, 25.4 * 3.0 / 16.0, 25.4 / 8.0],
        System::Metric => &[8.0, 6.0, 5.0, 4.0, 3.0],
    };
    let sizes = sizes.iter().map(|mm| millimetres(*mm));
    let thinner = sizes.filter(|size| *size < 0.99 * plan.ornaments[n].thickness);
    thinner.map(|thickness| Change::Thickness { ornament: n, thickness }).collect()
}

pub(super) fn other_method(plan: &Plan, n: usize) -> Vec<Change> {
    let at = usual_setting(plan.units);
    let other = |method| Change::Method { ornament: n, method };
    match plan.ornaments[n].method {
        Method::Any(Some(_)) => Vec::new(),
        Method::Oven(_) | Method::OvenThenAir(_) => vec![other(Method::Air)],
        _ if plan.ovens.is_empty() => vec![Change::BorrowedOven { ornament: n, at }],
        _ => (0..plan.ovens.len()).map(|oven| other(Method::Oven((oven, at)))).collect(),
    }
}

/// Above this setting the brine in a wet core boils and the piece may puff.
fn hottest(plan: &Plan) -> ThermodynamicTemperature {
    celsius(in_celsius(brine_boiling_point(standard_pressure(plan.room.altitude))) - 3.0)
}

pub(super) fn hotter(plan: &Plan, n: usize) -> Vec<Change> {
    let method = plan.ornaments[n].method;
    let Some((oven, at)) = method.oven() else { return Vec::new() };
    let top = in_celsius(hottest(plan));
    let settings = [0.5, 1.0].map(|share| in_celsius(at) + share * (top - in_celsius(at)));
    let settings = settings.into_iter().filter(|set| *set > in_celsius(at) + 1.0);
    let hotter = |set| match method {
        Method::Any(_) => Method::Any(Some((oven, celsius(set)))),
        Method::OvenThenAir(_) => Method::OvenThenAir((oven, celsius(set))),
        _ => Method::Oven((oven, celsius(set))),
    };
    settings.map(|set| Change::Method { ornament: n, method: hotter(set) }).collect()
}

pub(super) fn one_tray_more(plan: &Plan, n: usize) -> Vec<Change> {
    let oven = plan.ornaments[n].method.oven().map(|(oven, _)| oven);
    let oven = oven.filter(|oven| plan.ovens[*oven].with_a_tray_more().is_some());
    oven.map(|oven| Change::Tray { oven }).into_iter().collect()
}

/// What dries in the room: the dough itself, also after the oven, and its coats.
pub(super) fn drier(plan: &Plan) -> Vec<Change> {
    let drier = [55.0, 40.0].into_iter().filter(|h| *h < 100.0 * in_fraction(plan.room.humidity));
    drier.map(|humidity| Change::Humidity(percents(humidity))).collect()
}

/// Later days on which all its groups can still be given their pieces.
pub(super) fn later_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<Change> {
    let today = now.with_timezone(&plan.zone).date_naive();
    let first = plan.ornaments[n].give.max(today);
    let days = (1..=28).filter_map(|on| first.checked_add_days(Days::new(on)));
    let days = days.filter(|day| in_class(plan, n, *day));
    days.map(|day| Change::Give { ornament: n, day }).collect()
}

fn in_class(plan: &Plan, n: usize, day: NaiveDate) -> bool {
    let groups = || plan.ornaments[n].groups.iter().filter_map(|group| plan.groups.get(*group));
    let week = || (0..7).filter_map(|back| day.checked_sub_days(Days::new(back)));
    groups().any(|group| plan.meets(group, day))
        && groups().all(|group| week().any(|day| plan.meets(group, day)))
}

pub(super) fn fewer_finishes(plan: &Plan, n: usize) -> Vec<Change> {
    let has = |finish: &Finish| plan.ornaments[n].finish.contains(finish);
    let steps = [Finish::Photo, Finish::Seal, Finish::Paint].into_iter().filter(has);
    steps.map(|finish| Change::Without { ornament: n, finish }).collect()
}

/// Nothing put on after drying, where that is more than one thing.
pub(super) fn bare(plan: &Plan, n: usize) -> Vec<Change> {
    let coats = plan.ornaments[n].finish.iter().filter(|step| **step != Finish::Wrap).count();
    if coats < 2 { Vec::new() } else { vec![Change::Bare { ornament: n }] }
}

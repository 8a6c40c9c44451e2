//! When she leaves with what is carried to class.

use chrono::{DateTime, NaiveTime};
use chrono_tz::Tz;

use crate::{
    planfile::{HOME, Plan, WAY},
    units::zone::resolve,
};

/// When she leaves home for what begins in class then: as home hours end on that morning before
/// class opens, or half an hour before it does.
pub fn leaving(plan: &Plan, start: DateTime<Tz>) -> DateTime<Tz> {
    let day = start.date_naive();
    let rooms = plan.groups.iter().flat_map(|group| plan.class_hours(group.place));
    let opens = rooms.filter(|open| open.on(day));
    let opens = opens.map(|open| resolve(plan.zone, day.and_time(open.from)));
    let there = opens.filter(|from| *from <= start).min().unwrap_or(start);
    let ends = plan
        .places
        .iter()
        .filter(|place| place.name == HOME)
        .flat_map(|place| &place.hours)
        .filter(|open| open.on(day) && open.from != NaiveTime::MIN)
        .map(|open| [open.from, open.until].map(|time| resolve(plan.zone, day.and_time(time))))
        .filter(|[from, _]| *from < there)
        // What runs into class ends in time for the way.
        .map(|[_, until]| if until > there { there - WAY } else { until });
    ends.max().unwrap_or(there - WAY)
}

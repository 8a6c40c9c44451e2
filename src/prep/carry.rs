//! What leaves the house on which morning, the frozen things first.

use chrono::{DateTime, Duration, NaiveTime};
use chrono_tz::Tz;

use super::schedule::{Carry, Step};
use crate::{planfile::Plan, tables::Step as Kind, units::zone::resolve};

/// One list for each morning and goal, in time order.
pub fn carry(plan: &Plan, steps: &[Step]) -> Vec<Carry> {
    let mut lists: Vec<Carry> = Vec::new();
    for step in steps.iter().filter(|step| !step.bring.is_empty()) {
        let on_the_way = step.kind == Kind::Carry;
        let in_class = step.group.is_some() && !is_home(plan, step);
        if !on_the_way && !in_class {
            continue;
        }
        let leave = if on_the_way { step.start } else { leaving(plan, step.start) };
        let same_morning = |list: &&mut Carry| {
            list.goal == step.goal && list.leave.date_naive() == leave.date_naive()
        };
        match lists.iter_mut().find(same_morning) {
            Some(list) => list.items.extend(step.bring.iter().cloned()),
            None => lists.push(Carry { leave, goal: step.goal.clone(), items: step.bring.clone() }),
        }
    }
    lists.sort_by_key(|list| list.leave);
    lists
}

fn is_home(plan: &Plan, step: &Step) -> bool {
    let groups = plan.groups.iter().filter(|group| step.group.as_ref() == Some(&group.name));
    let rooms: Vec<&str> = groups.map(|group| plan.places[group.place].name.as_str()).collect();
    !rooms.contains(&step.place.as_str())
}

/// When she leaves home for what begins in class then: as home hours end on that morning, or
/// half an hour before class opens.
pub fn leaving(plan: &Plan, start: DateTime<Tz>) -> DateTime<Tz> {
    let day = start.date_naive();
    let ends = plan
        .places
        .iter()
        .filter(|place| place.name == "home")
        .flat_map(|place| &place.hours)
        .filter(|open| open.on(day) && open.from != NaiveTime::MIN)
        .map(|open| resolve(plan.zone, day.and_time(open.until)))
        .filter(|end| *end <= start);
    let rooms = plan.groups.iter().filter_map(|group| plan.places.get(group.place));
    let opens = rooms.flat_map(|room| &room.hours).filter(|open| open.on(day));
    let opens = opens.map(|open| resolve(plan.zone, day.and_time(open.from)));
    let there = opens.filter(|from| *from <= start).min().unwrap_or(start);
    ends.max().unwrap_or(there - Duration::minutes(30))
}

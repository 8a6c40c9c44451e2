//! What leaves the house on which morning, the frozen things first, and what comes home again.

use chrono::DateTime;
use chrono_tz::Tz;

use crate::{
    planfile::Plan,
    prep::{
        leaving,
        schedule::{Carry, Step},
    },
    tables::Step as Kind,
    units::zone::resolve,
};

/// One list for each morning and goal, in time order. She leaves once a morning, and a thing
/// that serves several steps is in one list.
pub fn carry(plan: &Plan, steps: &[Step]) -> Vec<Carry> {
    let mut lists: Vec<Carry> = Vec::new();
    for step in steps.iter().filter(|step| !step.bring.is_empty()) {
        let on_the_way = step.kind == Kind::Carry;
        if on_the_way || in_class(plan, step) {
            let leave = if on_the_way { step.start } else { leaving(plan, step.start) };
            add(&mut lists, leave, step, &step.bring);
        }
    }
    let ways = steps.iter().filter(|step| step.kind == Kind::Carry).map(|way| way.start).collect();
    let leaves = lists.iter().map(|list| list.leave).collect();
    for list in &mut lists {
        // The way with the ice is laid to the minute; other things go with it.
        let earliest = |times: &Vec<DateTime<Tz>>| of_day(times, list.leave).min();
        list.leave = earliest(&ways).or(earliest(&leaves)).unwrap_or(list.leave);
    }
    lists.sort_by_key(|list| list.leave);
    lists
}

/// One list for each day and goal of what she takes home as class ends, in time order.
pub fn back(plan: &Plan, steps: &[Step]) -> Vec<Carry> {
    let mut lists: Vec<Carry> = Vec::new();
    for step in steps.iter().filter(|step| !step.take_back.is_empty()) {
        add(&mut lists, class_ends(plan, step), step, &step.take_back);
    }
    let ends: Vec<DateTime<Tz>> = lists.iter().map(|list| list.leave).collect();
    for list in &mut lists {
        list.leave = of_day(&ends, list.leave).max().unwrap_or(list.leave);
    }
    lists.sort_by_key(|list| list.leave);
    lists
}

/// Those of some times that are on the day of another.
fn of_day(times: &[DateTime<Tz>], on: DateTime<Tz>) -> impl Iterator<Item = DateTime<Tz>> {
    let day = on.date_naive();
    times.iter().copied().filter(move |time| time.date_naive() == day)
}

/// Adds things to the list of a day and goal, each once.
fn add(lists: &mut Vec<Carry>, leave: DateTime<Tz>, step: &Step, items: &[String]) {
    let same_day =
        |list: &&mut Carry| list.goal == step.goal && list.leave.date_naive() == leave.date_naive();
    let Some(list) = lists.iter_mut().find(same_day) else {
        let items = items.to_vec();
        return lists.push(Carry { leave, goal: step.goal.clone(), items });
    };
    for item in items {
        if !list.items.contains(item) {
            list.items.push(item.clone());
        }
    }
}

/// When the class of a step is over on its day.
fn class_ends(plan: &Plan, step: &Step) -> DateTime<Tz> {
    let day = step.start.date_naive();
    let group = plan.groups.iter().find(|group| step.group.as_ref() == Some(&group.name));
    let room = group.and_then(|group| plan.places.get(group.place));
    let hours = room.into_iter().flat_map(|room| &room.hours).filter(|open| open.on(day));
    let ends = hours.map(|open| resolve(plan.zone, day.and_time(open.until)));
    ends.filter(|end| *end >= step.end).min().unwrap_or(step.end)
}

fn in_class(plan: &Plan, step: &Step) -> bool {
    step.group.is_some() && !is_home(plan, step)
}

fn is_home(plan: &Plan, step: &Step) -> bool {
    let groups = plan.groups.iter().filter(|group| step.group.as_ref() == Some(&group.name));
    let rooms: Vec<&str> = groups.map(|group| plan.places[group.place].name.as_str()).collect();
    !rooms.contains(&step.place.as_str())
}

//! What leaves the house on which morning, the frozen things first, and what comes home again.

use chrono::{DateTime, NaiveDate};
use chrono_tz::Tz;

use super::words::{served, thing};
use crate::{
    planfile::{HOME, Plan},
    prep::{draft::Serves, leaving, schedule::Carry, tell::TimedStep, what::Thing},
    tables::Step as Kind,
    units::zone::resolve,
};

/// The steps of a plan, as far as things go to class and back with them.
pub struct Carried<'a, 'b> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its steps, in time order.
    pub steps: &'a [TimedStep<'b>],
}

impl Carried<'_, '_> {
    /// One list for each way and goal, in time order. A thing that serves several steps of a
    /// goal is in its list once.
    pub fn out(&self) -> Vec<Carry> {
        let mut lists = Lists::default();
        let on_the_way = |step: &&TimedStep<'_>| step.task.step == Kind::Carry;
        for step in self.in_class().filter(|step| !on_the_way(step)) {
            lists.add(self.plan, (self.leaves(step), self.made_at(step)), step, &step.task.bring);
        }
        lists.in_time_order()
    }

    /// One list for each day and goal of what she takes along as class ends, in time order.
    pub fn back(&self) -> Vec<Carry> {
        let mut lists = Lists::default();
        let taken =
            |step: &&TimedStep<'_>| !step.task.take_back.is_empty() && step.task.place != HOME;
        for step in self.steps.iter().filter(taken) {
            let same_day = |other: &&TimedStep<'_>| taken(other) && on(other) == on(step);
            let ends = self.steps.iter().filter(same_day).map(|other| self.class_ends(other));
            let at = ends.max().unwrap_or(step.end);
            lists.add(self.plan, (at, self.made_at(step)), step, &step.task.take_back);
        }
        lists.in_time_order()
    }

    /// Steps for which things are brought to a room of children; to those who are at her home
    /// nothing is.
    fn in_class(&self) -> impl Iterator<Item = &TimedStep<'_>> {
        let bring = self.steps.iter().filter(|step| !step.task.bring.is_empty());
        bring.filter(|step| step.task.place != HOME).filter(|step| {
            let groups = self.plan.groups.iter();
            let mut own = groups.filter(|group| step.task.group.as_ref() == Some(&group.name));
            own.any(|group| self.plan.places[group.place].name == step.task.place)
        })
    }

    /// The name of the place where what a step needs is frozen or made.
    fn made_at(&self, step: &TimedStep<'_>) -> &str {
        match step.goal {
            Serves::Session { ice, .. } => {
                let freezer = &self.plan.freezers[self.plan.ice[ice].freezer];
                &self.plan.places[freezer.place].name
            }
            Serves::Gift { .. } => {
                let of_batch =
                    |other: &&TimedStep<'_>| other.goal == step.goal && other.task.group.is_none();
                self.steps.iter().find(of_batch).map_or(HOME, |made| &made.task.place)
            }
        }
    }

    /// When the things of a step leave: with its blocks, or with whatever leaves home first.
    fn leaves(&self, step: &TimedStep<'_>) -> DateTime<Tz> {
        let from = self.made_at(step);
        let ways = self.steps.iter().filter(|way| way.task.step == Kind::Carry);
        let mut ways = ways.filter(|way| on(way) == on(step) && self.made_at(way) == from);
        match step.goal {
            Serves::Session { .. } => {
                ways.rfind(|way| way.end <= step.start).map_or(step.start, |way| way.start)
            }
            Serves::Gift { .. } if from != HOME => step.start,
            Serves::Gift { .. } => {
                let same_day = |other: &&TimedStep<'_>| on(other) == on(step);
                let others = self.in_class().filter(same_day);
                let first = || others.map(|other| leaving(self.plan, other.start)).min();
                ways.next().map(|way| way.start).or_else(first).unwrap_or(step.start)
            }
        }
    }

    /// When the class of a step is over on its day.
    fn class_ends(&self, step: &TimedStep<'_>) -> DateTime<Tz> {
        let mut groups = self.plan.groups.iter();
        let group = groups.find(|group| step.task.group.as_ref() == Some(&group.name));
        let hours = group.map_or(&[][..], |group| self.plan.class_hours(group.place));
        let hours = hours.iter().filter(|it| it.on(on(step)));
        let ends = hours.map(|open| resolve(self.plan.zone, on(step).and_time(open.until)));
        ends.filter(|end| *end >= step.end).min().unwrap_or(step.end)
    }
}

fn on(step: &TimedStep<'_>) -> NaiveDate {
    step.start.date_naive()
}

/// Lists while they are made.
#[derive(Default)]
struct Lists(Vec<(Carry, Vec<OfGroup>)>);

/// A thing, and the group that it is for.
type OfGroup = (Option<String>, Thing);

impl Lists {
    /// Adds things of a step to the list of a time, a place and a goal, each of a group once.
    fn add(
        &mut self,
        plan: &Plan,
        (leave, place): (DateTime<Tz>, &str),
        step: &TimedStep<'_>,
        things: &[Thing],
    ) {
        let goal = served(plan, step.goal);
        let is_it = |list: &Carry| list.leave == leave && list.place == place && list.goal == goal;
        let at = self.0.iter().position(|(list, _)| is_it(list)).unwrap_or(self.0.len());
        if at == self.0.len() {
            let place = place.to_owned();
            let (items, things) = (Vec::new(), Vec::new());
            self.0.push((Carry { leave, place, goal, items, things }, Vec::new()));
        }
        let own = &mut self.0[at].1;
        for thing in things.iter().map(|thing| (step.task.group.clone(), *thing)) {
            if !own.contains(&thing) {
                own.push(thing);
            }
        }
    }

    fn in_time_order(self) -> Vec<Carry> {
        let together = |(list, own): (Carry, Vec<OfGroup>)| {
            let things = all_together(own.into_iter().map(|(_, thing)| thing));
            let items = things.iter().map(|one| thing(*one)).collect();
            Carry { things, items, ..list }
        };
        let mut lists: Vec<Carry> = self.0.into_iter().map(together).collect();
        lists.sort_by(|a, b| (a.leave, &a.place).cmp(&(b.leave, &b.place)));
        lists
    }
}

/// Things of one kind as one, so many of them.
pub fn all_together(things: impl IntoIterator<Item = Thing>) -> Vec<Thing> {
    let mut all: Vec<Thing> = Vec::new();
    for thing in things {
        match all.iter_mut().find_map(|own| Some((own.and(thing)?, own))) {
            Some((both, own)) => *own = both,
            None => all.push(thing),
        }
    }
    all
}

/// What is done with things that leave a place, or go back to it.
pub fn carry_words(place: &str, back: bool) -> String {
    match (place, back) {
        (HOME, false) => "Leave with".to_owned(),
        (HOME, true) => "Bring home".to_owned(),
        (_, false) => format!("From the {place}"),
        (_, true) => format!("Back to the {place}"),
    }
}

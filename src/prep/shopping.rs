//! What to buy for the whole plan, and by when.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{
    amounts::{counted, sum},
    durations::Durations,
    schedule::{Amount, Purchase, Step},
    steps::slug,
};
use crate::planfile::{Finish, Group, Ornament, Plan};
use crate::units::System;

/// The shopping list, earliest need first.
pub fn shopping(plan: &Plan, steps: &[Step], durations: &dyn Durations) -> Vec<Purchase> {
    let mut list = BTreeMap::new();
    for ornament in &plan.ornaments {
        let groups: Vec<&Group> =
            ornament.groups.iter().filter_map(|n| plan.groups.get(*n)).collect();
        let count = ornament.pieces(&groups);
        if let Some(mixed) = day_of(steps, &slug(&ornament.name), "-mix") {
            for amount in durations.dough(plan, ornament, count) {
                if amount.what != "water" {
                    add(&mut list, plan.units, amount, mixed);
                }
            }
        }
        for (what, amount, step) in finishing(ornament, count) {
            if let Some(day) = day_of(steps, &slug(&ornament.name), step) {
                add(&mut list, plan.units, counted(what, amount), day);
            }
        }
    }
    for step in steps.iter().filter(|step| step.id.contains("-turn-out")) {
        let bags = step.what.split(' ').find_map(|word| word.parse().ok()).unwrap_or(1);
        add(&mut list, plan.units, counted("freezer bags", bags), step.start.date_naive());
    }
    let mut list: Vec<Purchase> = list.into_values().collect();
    list.sort_by(|a, b| (a.needed, &a.amount.what).cmp(&(b.needed, &b.amount.what)));
    list
}

/// What the finishing steps use up.
fn finishing(ornament: &Ornament, count: u32) -> Vec<(&'static str, u32, &'static str)> {
    let mut things = Vec::new();
    for step in &ornament.finish {
        match step {
            Finish::Paint => things.push(("pots of acrylic paint", 6, "-paint")),
            Finish::Photo => things.push(("bottles of white glue", 1, "-photo")),
            Finish::Seal => things.push(("jars of water-based sealer", 1, "-seal")),
            Finish::Wrap => things.push(("sheets of wrapping paper", count, "-wrap")),
        }
    }
    things.push(("ribbons", count, "-roll"));
    things
}

/// The day of the first step of an ornament whose id goes on with `step`.
fn day_of(steps: &[Step], ornament: &str, step: &str) -> Option<NaiveDate> {
    let begin = format!("{ornament}{step}");
    steps.iter().find(|known| known.id.starts_with(&begin)).map(|known| known.start.date_naive())
}

/// Adds an amount to the line of the same thing.
fn add(list: &mut BTreeMap<String, Purchase>, units: System, amount: Amount, needed: NaiveDate) {
    match list.get_mut(&amount.what) {
        None => {
            list.insert(amount.what.clone(), Purchase { amount, needed });
        }
        Some(line) => {
            line.needed = line.needed.min(needed);
            line.amount = sum(units, &line.amount, &amount);
        }
    }
}

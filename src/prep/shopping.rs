//! What to buy for the whole plan, and by when.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{
    amounts::{counted, sum},
    durations::Durations,
    schedule::{Amount, Purchase, Step},
};
use crate::planfile::{Finish, Group, Ornament, Plan};
use crate::{tables::Step as Kind, units::System};

/// The shopping list, earliest need first.
pub fn shopping(plan: &Plan, steps: &[Step], durations: &dyn Durations) -> Vec<Purchase> {
    let mut list = BTreeMap::new();
    for ornament in &plan.ornaments {
        let groups: Vec<&Group> = ornament.groups.iter().map(|n| &plan.groups[*n]).collect();
        let count = ornament.pieces(&groups);
        if let Some(mixed) = day_of(steps, &ornament.name, Kind::Mix) {
            for amount in durations.dough(plan, ornament, count) {
                if amount.what != "water" {
                    add(&mut list, plan.units, amount, mixed);
                }
            }
        }
        for (what, amount, step) in finishing(ornament, count) {
            if let Some(day) = day_of(steps, &ornament.name, step) {
                add(&mut list, plan.units, counted(what, amount), day);
            }
        }
    }
    for step in steps.iter().filter(|step| step.kind == Kind::TurnOut) {
        add(&mut list, plan.units, counted("freezer bags", step.count), step.start.date_naive());
    }
    let mut list: Vec<Purchase> = list.into_values().collect();
    list.sort_by(|a, b| (a.needed, &a.amount.what).cmp(&(b.needed, &b.amount.what)));
    list
}

/// What the finishing steps use up.
fn finishing(ornament: &Ornament, count: u32) -> Vec<(&'static str, u32, Kind)> {
    let mut things = Vec::new();
    for step in &ornament.finish {
        match step {
            Finish::Paint => things.push(("pots of acrylic paint", 6, Kind::Paint)),
            Finish::Photo => things.push(("bottles of white glue", 1, Kind::Photo)),
            Finish::Seal => things.push(("jars of water-based sealer", 1, Kind::Seal)),
            Finish::Wrap => things.push(("sheets of wrapping paper", count, Kind::Wrap)),
        }
    }
    things.push(("ribbons", count, Kind::Roll));
    things
}

/// The day of the first step of a kind that a batch has.
fn day_of(steps: &[Step], ornament: &str, kind: Kind) -> Option<NaiveDate> {
    let its = |step: &&Step| step.kind == kind && step.goal == ornament;
    steps.iter().find(its).map(|step| step.start.date_naive())
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

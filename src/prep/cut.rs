//! What is cut of the batches of a plan that is followed: nobody paints or gives a piece that was
//! never cut. What is lacking, since more children came, is a batch of its own.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use crate::{
    planfile::{Kept, Ornament, Pieces, Plan, slug},
    tables::Step,
};

/// A plan with what is kept of it by a moment: its batches have the pieces that were cut, the spare
/// ones for children who came since, and what they lack is made as a batch more.
pub fn following(mut plan: Plan, kept: Kept, now: DateTime<FixedOffset>) -> Plan {
    let today = now.with_timezone(&plan.zone).date_naive();
    let mut number = 0;
    // A batch that is added may be cut too, and lack some.
    while let Some(own) = plan.ornaments.get(number) {
        let to_give = own.give >= today;
        if let Some(cut) = cut(&kept, own, now).filter(|_| to_give) {
            let pieces = handed_out(&plan, &kept, number, (cut, now));
            plan.ornaments.extend(lacking(&plan, number, &pieces));
            plan.ornaments[number].groups.retain(|group| pieces.given.contains_key(group));
            plan.ornaments[number].pieces = Some(pieces);
        }
        number += 1;
    }
    plan.kept = Some(kept);
    plan
}

/// Pieces that were cut of a batch by a moment; none where none were.
fn cut(kept: &Kept, own: &Ornament, now: DateTime<FixedOffset>) -> Option<u32> {
    let over = kept.over_by(now);
    let mut rolled = kept.of(&own.name, Step::Roll);
    let count = rolled.find(|step| over.end(step).is_some())?.count;
    Some(count).filter(|count| *count > 0)
}

/// Who has the pieces of a batch: those that are painted stay with their group, and others are for
/// a group that has none yet before they are for more children of one that has.
fn handed_out(
    plan: &Plan,
    kept: &Kept,
    number: usize,
    (cut, now): (u32, DateTime<FixedOffset>),
) -> Pieces {
    let own = &plan.ornaments[number];
    let over = kept.over_by(now);
    let painted = |group: usize| {
        let id = format!("{}-paint-{}", slug(&own.name), slug(&plan.groups[group].name));
        let mut steps = kept.of(&own.name, Step::Paint);
        let step = steps.find(|step| step.id == id && over.end(step).is_some());
        step.map_or(0, |step| step.count)
    };
    let (mut left, mut given) = (cut, BTreeMap::new());
    let mut hand = |group: usize, most: u32| {
        let has = given.entry(group).or_insert(0);
        let more = most.min(own.given_to(plan, group)).saturating_sub(*has).min(left);
        (*has, left) = (*has + more, left - more);
    };
    for group in &own.groups {
        hand(*group, painted(*group));
    }
    let (has_some, has_none): (Vec<usize>, Vec<usize>) =
        own.groups.iter().partition(|group| painted(**group) > 0);
    for group in has_none.into_iter().chain(has_some) {
        hand(group, u32::MAX);
    }
    let later = |(group, pieces): (&usize, &u32)| match painted(*group) {
        0 => 0,
        own => pieces.saturating_sub(own),
    };
    let unpainted = given.iter().map(later).sum();
    given.retain(|_, pieces| *pieces > 0);
    let lacking = own.given(plan) - given.values().sum::<u32>();
    let of = own.pieces.as_ref().and_then(|pieces| pieces.of);
    Pieces { cut, given, unpainted, lacking, of }
}

/// A batch of what another one lacks; none where it lacks nothing, or the name is taken.
fn lacking(plan: &Plan, number: usize, there: &Pieces) -> Option<Ornament> {
    let own = &plan.ornaments[number];
    let lacks = |group: &usize| {
        let has = there.given.get(group).copied().unwrap_or(0);
        let lacks = own.given_to(plan, *group) - has;
        (lacks > 0).then_some((*group, lacks))
    };
    let given: BTreeMap<usize, u32> = own.groups.iter().filter_map(lacks).collect();
    let name = plan.name_of_more(number);
    let names = plan.ornaments.iter().map(|one| &one.name);
    let is_taken =
        names.chain(plan.ice.iter().map(|one| &one.name)).any(|it| slug(it) == slug(&name));
    if given.is_empty() || is_taken {
        return None;
    }
    let groups = given.keys().copied().collect();
    let cut = own.with_spares(there.lacking);
    let pieces = Pieces { cut, given, unpainted: 0, lacking: 0, of: Some(plan.in_file(number)) };
    Some(Ornament { name, groups, pieces: Some(pieces), ..own.clone() })
}

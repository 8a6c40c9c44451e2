//! What must be done before each step: what it follows, and for a filling what was turned out of
//! its moulds.

use std::collections::{BTreeMap, VecDeque};

use super::{
    clock::Tick,
    draft::{Draft, Filling},
};
use crate::{
    planfile::Plan,
    scheduler::{ActivityId, Solution},
};

/// The ids of the steps that must be done before each, by its id.
pub fn needs(plan: &Plan, draft: &Draft, solution: &Solution) -> BTreeMap<String, Vec<String>> {
    let mut all: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let id = |task: ActivityId| draft.tasks[task.0].id.clone();
    let links = draft.problem.links.iter().map(|link| (id(link.after), id(link.before)));
    let spans = draft.spans.iter().map(|span| (span.task.id.clone(), id(span.after)));
    let moulds = (0..plan.moulds.len()).flat_map(|mould| emptied(plan, draft, solution, mould));
    let moulds = moulds.map(|(fill, turn_out)| (id(fill), id(turn_out)));
    for (after, before) in links.chain(spans).chain(moulds) {
        let own = all.entry(after).or_default();
        if !own.contains(&before) {
            own.push(before);
        }
    }
    all
}

/// Moulds of one kind that are filled, or emptied.
enum Turn {
    Out(ActivityId, u32),
    Fill(ActivityId, u32),
}

/// Each filling of a mould with the turnings out of whose moulds it takes some: those that have
/// been empty for longest are taken first.
fn emptied(
    plan: &Plan,
    draft: &Draft,
    solution: &Solution,
    mould: usize,
) -> Vec<(ActivityId, ActivityId)> {
    let own = draft.fillings.iter().filter(|filling| filling.mould == mould);
    let mut turns: Vec<(Tick, Turn)> =
        own.filter_map(|filling| turns_of(draft, solution, filling)).flatten().collect();
    // What is emptied at a moment may be filled then.
    turns.sort_by_key(|(at, turn)| (*at, matches!(turn, Turn::Fill(..))));
    let mut empty = VecDeque::from([(None, plan.moulds[mould].own)]);
    let mut all = Vec::new();
    for (_, turn) in turns {
        match turn {
            Turn::Out(turn_out, count) => empty.push_back((Some(turn_out), count)),
            Turn::Fill(fill, mut wanted) => {
                while let Some((of, left)) = empty.front_mut().filter(|_| wanted > 0) {
                    let taken = wanted.min(*left);
                    all.extend(of.map(|turn_out| (fill, turn_out)));
                    (wanted, *left) = (wanted - taken, *left - taken);
                    if *left == 0 {
                        empty.pop_front();
                    }
                }
            }
        }
    }
    all
}

fn turns_of(draft: &Draft, solution: &Solution, filling: &Filling) -> Option<[(Tick, Turn); 2]> {
    let Filling { fill, turn_out, round, .. } = filling;
    let out = solution.start(*turn_out)? + draft.problem.activities[turn_out.0].duration;
    let filled = (solution.start(*fill)?, Turn::Fill(*fill, round.count));
    Some([filled, (out, Turn::Out(*turn_out, round.count))])
}

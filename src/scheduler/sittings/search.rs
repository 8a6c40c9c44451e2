//! Forward from stretch to stretch.

use std::cmp::Ordering;

use super::ahead::{Unbegun, ahead};
use super::index::Index;
use super::label::Label;
use super::plan::{Act, Plan};
use super::problem::{Cost, Problem, Ripening};
use super::step::steps;
use super::turn::turns;

/// The most things done within one stretch.
const DEEP: usize = 12;

/// Labels kept at the end of a stretch when a first plan is looked for.
const NARROW: usize = 60;

/// How far to look, in labels and not in time.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Labels kept at the end of a stretch.
    pub width: usize,
    /// Labels kept that are equally far.
    pub alike: usize,
    /// Labels made in all.
    pub labels: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { width: 400, alike: 6, labels: 4_000_000 }
    }
}

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The best plan found.
    pub plan: Option<Plan>,
    /// Whether no label was dropped but for a better one.
    pub whole: bool,
    /// Labels made.
    pub labels: u64,
}

/// The cheapest plan that serves every demand and finishes every chain.
pub fn search(problem: &Problem, ripening: &dyn Ripening, effort: Effort) -> Outcome {
    let index = Index::new(problem, ripening);
    let unbegun = Unbegun::new(problem);
    let narrow = Effort { width: effort.width.min(NARROW), ..effort };
    let mut first = Run::new(&index, &unbegun, narrow, None);
    let plan = first.run();
    let labels = first.made;
    if first.whole {
        return Outcome { plan, whole: true, labels };
    }
    let mut second = Run::new(&index, &unbegun, effort, plan.as_ref().map(|plan| plan.price));
    let plan = second.run().or(plan);
    Outcome { plan, whole: second.whole, labels: labels + second.made }
}

struct Run<'a> {
    index: &'a Index<'a>,
    effort: Effort,
    /// Everything done by any label, with what was done before it.
    acts: Vec<(usize, Act)>,
    /// The cheapest that is complete.
    best: Option<Label>,
    whole: bool,
    made: u64,
    begin: Cost,
    unbegun: &'a Unbegun,
    /// What is dearer is of no use.
    most: Cost,
}

impl<'a> Run<'a> {
    fn new(
        index: &'a Index<'a>,
        unbegun: &'a Unbegun,
        effort: Effort,
        most: Option<Cost>,
    ) -> Self {
        let begin = index.problem.places.iter().map(|place| place.begin).max().unwrap_or(0);
        let most = most.unwrap_or(Cost::MAX / 16);
        let acts = Vec::new();
        Self { index, effort, acts, best: None, whole: true, made: 0, begin, unbegun, most }
    }

    fn run(&mut self) -> Option<Plan> {
        let index = self.index;
        let mut labels = vec![Label::first(index)];
        let mut before = None;
        for stretch in 0..index.problem.stretches.len() {
            let step = |label: Label| label.advance(index, before, stretch);
            labels = labels.into_iter().filter_map(step).collect();
            before = Some(stretch);
            labels = self.keep(labels, stretch);
            let mut layer = labels.clone();
            for _ in 0..DEEP {
                layer = self.extend(&layer, stretch);
                if layer.is_empty() {
                    break;
                }
                labels.extend(layer.iter().cloned());
            }
            labels = self.settle(labels);
        }
        self.best.take().map(|label| self.plan(&label))
    }

    /// All that may be done next within a stretch.
    fn extend(&mut self, layer: &[Label], stretch: usize) -> Vec<Label> {
        let mut next = Vec::new();
        let mut found = Vec::new();
        for label in layer {
            turns(self.index, label, stretch, &mut found);
            steps(self.index, label, stretch, &mut found);
            for (act, mut after) in found.drain(..) {
                self.acts.push((label.act, act));
                after.act = self.acts.len() - 1;
                self.made += 1;
                next.push(after);
            }
        }
        self.pareto(next)
    }

    /// Takes out what is complete.
    fn settle(&mut self, labels: Vec<Label>) -> Vec<Label> {
        let (complete, open): (Vec<_>, Vec<_>) =
            labels.into_iter().partition(|label| label.complete(self.index));
        for label in complete {
            if self.best.as_ref().is_none_or(|best| label.worth < best.worth) {
                self.most = self.most.min(label.worth.price);
                self.best = Some(label);
            }
        }
        open
    }

    /// Drops what is in nothing better than another that is as far.
    fn pareto(&self, mut labels: Vec<Label>) -> Vec<Label> {
        labels.sort_by(|a, b| far(a, b).then_with(|| a.worth.cmp(&b.worth)));
        let mut kept: Vec<Label> = Vec::new();
        let mut group = 0;
        for label in labels {
            if kept.get(group).is_some_and(|first| far(first, &label) != Ordering::Equal) {
                group = kept.len();
            }
            let better = |other: &Label| other.dominates(self.index, &label, self.begin);
            if kept.len() - group < self.effort.alike.max(1) * 4 && !kept[group..].iter().any(better) {
                kept.push(label);
            }
        }
        kept
    }

    /// The same, and of what is left the most promising.
    fn keep(&mut self, labels: Vec<Label>, stretch: usize) -> Vec<Label> {
        let mut rated = Vec::new();
        for label in self.pareto(labels) {
            let left = ahead(self.index, self.unbegun, &label, stretch);
            if label.worth.price + left.bound <= self.most {
                rated.push((label.worth.price + left.guess, label));
            }
        }
        rated.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.worth.cmp(&b.1.worth)));
        if rated.len() > self.effort.width {
            self.whole = false;
            rated.truncate(self.effort.width);
        }
        rated.into_iter().map(|(_, label)| label).collect()
    }

    fn plan(&self, label: &Label) -> Plan {
        let mut acts = Vec::new();
        let mut at = label.act;
        while let Some((before, act)) = self.acts.get(at) {
            acts.push(act.clone());
            at = *before;
        }
        acts.reverse();
        Plan { acts, price: label.worth.price }
    }
}

fn far(a: &Label, b: &Label) -> Ordering {
    let ((ours, our_chains), (theirs, their_chains)) = (a.far(), b.far());
    ours.cmp(theirs).then_with(|| our_chains.cmp(their_chains))
}

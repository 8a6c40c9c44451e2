//! Forward from stretch to stretch, once.

use std::{cmp::Ordering, rc::Rc};

use super::ahead::Outlook;
use super::effort::{EVEN, Effort, FEW, How, Outcome};
use super::index::Index;
use super::label::{Label, Worth};
use super::left::{NEVER, beyond};
use super::plan::{Act, Plan};
use super::problem::{Cost, Stop};
use super::step::steps;
use super::turn::turns;

/// The most things done within one stretch.
const DEEP: usize = 12;

/// Times as many labels as at the end of a stretch are kept within it.
const LAYER: usize = 16;

/// Comparisons of two labels that take as long as making one.
const COMPARED: u64 = 16;

/// Labels of a search for whether there is nothing, at most.
const MOST_PROVED: u64 = 200_000;

/// How many times its share of the labels a stretch may make where they are spread: most
/// stretches have little work in them (a choice of ours).
const SHARES: u64 = 4;

/// A search that goes once through all stretches.
pub(super) struct Run<'a> {
    index: &'a Index<'a>,
    effort: Effort,
    /// Everything done by any label, with what was done before it.
    acts: Vec<(usize, Act)>,
    /// The cheapest that is complete.
    best: Option<Label>,
    whole: bool,
    made: u64,
    /// Labels compared with another.
    compared: u64,
    begin: Cost,
    outlook: &'a Outlook,
    /// The last that can serve no more, and the stretch.
    hopeless: Option<(Label, usize)>,
    /// What is dearer is of no use.
    most: Cost,
    /// Labels kept at the end of this stretch.
    width: usize,
    /// Labels made of each that was kept, in the last stretch with work in it.
    each: u64,
}

impl<'a> Run<'a> {
    pub(super) fn new(
        index: &'a Index<'a>,
        outlook: &'a Outlook,
        effort: Effort,
        most: Option<Cost>,
    ) -> Self {
        let begin = index.problem.places.iter().map(|place| place.begin).max().unwrap_or(0);
        let most = most.unwrap_or(Cost::MAX / 16);
        let acts = Vec::new();
        Self {
            index,
            effort,
            acts,
            best: None,
            whole: true,
            made: 0,
            compared: 0,
            begin,
            outlook,
            hopeless: None,
            most,
            width: effort.width,
            each: 0,
        }
    }

    /// As many labels are kept of a stretch as what is left of the effort does for, where it is
    /// spread over the stretches.
    fn spread(&mut self, stretch: usize) {
        if self.effort.spread {
            let stretches = self.index.problem.stretches.len();
            let all = self.effort.labels * stretches as u64;
            let share = SHARES * all.saturating_sub(self.made) / (stretches - stretch) as u64;
            let width = (share / self.each.max(1)) as usize;
            self.width = width.clamp(FEW, self.effort.width);
        }
    }

    pub(super) fn run(mut self) -> Outcome {
        let index = self.index;
        let mut labels = vec![Label::first(index)];
        let mut stopped = None;
        let mut before = None;
        for stretch in 0..index.problem.stretches.len() {
            let promising = labels.first().and_then(|label| label.open(index));
            let step = |label: Label| label.advance(index, before, stretch);
            let (on, late): (Vec<_>, Vec<_>) =
                labels.into_iter().map(step).partition(Result::is_ok);
            self.spread(stretch);
            labels = self.keep(on.into_iter().filter_map(Result::ok).collect(), stretch);
            let (made, kept) = (self.made, labels.len() as u64);
            before = Some(stretch);
            if labels.is_empty() {
                let late = late.into_iter().find_map(Result::err);
                stopped = late.or_else(|| self.beyond()).or(promising);
                break;
            }
            let mut layer = labels.clone();
            for _ in 0..DEEP {
                layer = self.extend(&layer, stretch);
                if !self.index.lenient {
                    layer = self.narrowed(layer, stretch, LAYER);
                }
                if layer.is_empty() {
                    break;
                }
                if self.index.lenient && self.is_spent() {
                    self.whole = false;
                    let (plan, stopped, labels) = (None, promising, self.made);
                    return Outcome {
                        plan,
                        stopped,
                        whole: false,
                        spent: true,
                        how: How::Usual,
                        labels,
                    };
                }
                labels.extend(layer.iter().cloned());
            }
            labels = self.settle(labels);
            if self.made > made {
                self.each = (self.made - made).div_ceil(kept);
            }
        }
        stopped = stopped.or(labels.first().and_then(|label| label.open(index)));
        let plan = self.best.take().map(|label| self.plan(&label));
        stopped = stopped.filter(|_| plan.is_none());
        let (whole, spent, labels) = (self.whole, self.is_spent(), self.made);
        Outcome { plan, stopped, whole, spent, how: How::Usual, labels }
    }

    /// All that may be done next within a stretch.
    fn extend(&mut self, layer: &[Label], stretch: usize) -> Vec<Label> {
        let mut next = Vec::new();
        let mut found = Vec::new();
        for label in layer {
            if self.index.lenient && self.is_spent() {
                break;
            }
            turns(self.index, label, stretch, &mut found);
            steps(self.index, label, stretch, &mut found);
            for (act, mut after) in found.drain(..) {
                self.made += 1;
                if self.rated(&after, stretch).is_some() {
                    self.acts.push((label.act, act));
                    after.act = self.acts.len() - 1;
                    next.push(after);
                }
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
    fn pareto(&mut self, labels: Vec<Label>) -> Vec<Label> {
        // Labels are large: their places are sorted, and only what is kept is moved.
        let mut order: Vec<usize> = (0..labels.len()).collect();
        order.sort_by(|a, b| {
            let (a, b) = (&labels[*a], &labels[*b]);
            far(a, b).then_with(|| a.worth.cmp(&b.worth))
        });
        let mut kept: Vec<usize> = Vec::new();
        let mut group = 0;
        for at in order {
            let label = &labels[at];
            if kept.get(group).is_some_and(|first| far(&labels[*first], label) != Ordering::Equal) {
                group = kept.len();
            }
            self.compared += (kept.len() - group) as u64;
            let better = |other: &usize| labels[*other].dominates(self.index, label, self.begin);
            if kept[group..].iter().any(better) {
                continue;
            }
            if kept.len() - group < self.effort.alike {
                kept.push(at);
            } else {
                self.whole = false;
            }
        }
        let mut kept = in_order(labels, kept);
        if self.index.lenient {
            kept.iter_mut().for_each(|label| label.worth = Worth::default());
        }
        kept
    }

    /// The same, and of what is left the most promising.
    fn keep(&mut self, labels: Vec<Label>, stretch: usize) -> Vec<Label> {
        let labels = self.pareto(labels);
        self.narrowed(labels, stretch, 1)
    }

    /// The most promising labels, so many times as many as are kept at the end of a stretch.
    fn narrowed(&mut self, labels: Vec<Label>, stretch: usize, times: usize) -> Vec<Label> {
        let width = if self.is_spent() { FEW } else { times * self.width };
        if times > 1 && labels.len() <= width {
            return labels;
        }
        let guesses = labels.iter().enumerate();
        let mut rated: Vec<(Cost, Worth, usize)> = guesses
            .filter_map(|(at, label)| Some((self.rated(label, stretch)?, label.worth, at)))
            .collect();
        rated.sort_unstable();
        if rated.len() > width {
            self.whole = false;
            rated.truncate(width);
        }
        in_order(labels, rated.into_iter().map(|(.., at)| at))
    }

    /// About what a plan costs that goes on from a label; none where it is of no use.
    fn rated(&mut self, label: &Label, stretch: usize) -> Option<Cost> {
        let left = self.outlook.ahead(self.index, label, stretch);
        if left.bound >= NEVER {
            self.hopeless = Some((label.clone(), stretch));
        }
        (left.bound < NEVER && label.worth.price + left.bound <= self.most)
            .then(|| label.worth.price + self.effort.left * left.guess / EVEN)
    }

    /// What the last label that was dropped can serve no more.
    fn beyond(&self) -> Option<Stop> {
        let (label, stretch) = self.hopeless.as_ref()?;
        let kind = self.outlook.hopeless(label, *stretch)?;
        let at = (*stretch, label.is_sitting());
        beyond(self.index, kind, label.stairs[kind], at).map(Stop::Demand)
    }

    /// Whether as many labels were made as the effort allows.
    fn is_spent(&self) -> bool {
        // What shows that there is nothing keeps so many labels that comparing them is the work.
        let compared = if self.index.lenient { self.compared / COMPARED } else { 0 };
        let work = self.made + compared;
        if self.index.lenient && work > MOST_PROVED {
            return true;
        }
        work > self.effort.labels * self.index.problem.stretches.len() as u64
    }

    fn plan(&self, label: &Label) -> Plan {
        let mut acts = Vec::new();
        let mut at = label.act;
        while let Some((before, act)) = self.acts.get(at) {
            acts.push(act.clone());
            at = *before;
        }
        acts.reverse();
        let mut plan = Plan { acts, price: label.worth.price };
        plan.price -= plan.shunned(&self.index.problem.stretches);
        plan
    }
}

/// The labels at some places, in the order of these.
fn in_order(labels: Vec<Label>, places: impl IntoIterator<Item = usize>) -> Vec<Label> {
    let mut labels: Vec<Option<Label>> = labels.into_iter().map(Some).collect();
    places.into_iter().filter_map(|at| labels[at].take()).collect()
}

fn far(a: &Label, b: &Label) -> Ordering {
    let ((ours, our_chains), (theirs, their_chains)) = (a.far(), b.far());
    ours.cmp(theirs).then_with(|| match Rc::ptr_eq(&a.chains, &b.chains) {
        true => Ordering::Equal,
        false => our_chains.cmp(their_chains),
    })
}

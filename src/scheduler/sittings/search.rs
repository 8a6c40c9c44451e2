//! Forward from stretch to stretch.

use std::{cmp::Ordering, rc::Rc};

use super::ahead::Outlook;
use super::index::Index;
use super::label::{Label, Worth};
use super::left::{NEVER, beyond};
use super::plan::{Act, Plan};
use super::problem::{Cost, Demand, Problem, Ripening, Stop};
use super::step::steps;
use super::turn::turns;

/// The most things done within one stretch.
const DEEP: usize = 12;

/// Labels kept at the end of a stretch when a first plan is looked for.
const NARROW: usize = 60;

/// Times as many labels as at the end of a stretch are kept within it.
const LAYER: usize = 16;

/// Comparisons of two labels that take as long as making one.
const COMPARED: u64 = 16;

/// Labels that a wide search makes, about.
const MOST_MADE: u64 = 750_000;

/// Labels of a search for whether there is nothing, at most.
const MOST_PROVED: u64 = 200_000;

/// How much what is left of a plan counts beside what was spent, in quarters.
const EVEN: Cost = 4;

/// The same where a search that puts things off found no plan: of 5 to 12 on invented classes the
/// least that found them all.
const EAGER: Cost = 8;

/// The same where a better plan is looked for than an eager search found.
const HALF_EAGER: Cost = 6;

/// The same where hours are so few that much must be done as soon as it can be.
const FORWARD: Cost = 16;

/// How many times its share of the labels a stretch may make where they are spread: most
/// stretches have little work in them.
const SHARES: u64 = 4;

/// Labels kept when the effort is spent.
const FEW: usize = 20;

/// How far to look, in labels and not in time.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Labels kept at the end of a stretch.
    pub width: usize,
    /// Labels kept that are equally far.
    pub alike: usize,
    /// Labels made for each stretch on average, after which few are kept.
    pub labels: u64,
    /// Whether work is also tried as late as an evening allows.
    pub late: bool,
    /// How much what is left of a plan counts beside what was spent when labels are kept, in quarters.
    pub left: Cost,
    /// Whether the labels are spread over the stretches, so that each has its share.
    pub spread: bool,
}

impl Effort {
    /// For showing that there is no plan.
    const PROOF: Self = Self { width: 5_000, alike: 100, labels: 15_000, ..Self::USUAL };

    /// For a good plan.
    pub const USUAL: Self =
        Self { width: 400, alike: 24, labels: 10_000, late: false, left: EVEN, spread: false };

    /// For a plan where the usual effort is soon spent: about a second.
    pub const WIDE: Self = Self { width: 1_200, labels: 40_000, spread: true, ..Self::USUAL };

    /// For whether there is a plan at all.
    pub const QUICK: Self = Self { width: NARROW, labels: 2_500, ..Self::USUAL };

    /// For what is left where much was searched already.
    pub const HASTY: Self = Self { width: FEW, alike: 8, labels: 600, ..Self::USUAL };
}

impl Effort {
    /// The same with work tried as late as an evening allows.
    pub const fn late(self) -> Self {
        Self { late: true, ..self }
    }

    /// The same that rather keeps labels with little left to do: it finds dearer plans, and more
    /// of them where everything is put off until there is no room.
    const fn eager(self) -> Self {
        Self { left: EAGER, ..self }
    }

    /// The same with as little put off as can be.
    const fn forward(self) -> Self {
        Self { left: FORWARD, spread: true, ..self }
    }
}

impl Default for Effort {
    fn default() -> Self {
        Self::USUAL
    }
}

/// How a search is done, the first of these ways that finds a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// As it should be.
    Usual,
    /// With things put off less.
    Eager,
    /// With some of what is ripe left in its vessels.
    InParts,
}

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The best plan found.
    pub plan: Option<Plan>,
    /// What the search could not get past, where it found no plan.
    pub stopped: Option<Stop>,
    /// Whether no label was dropped but for a better one.
    pub whole: bool,
    /// Whether it made as many labels as its effort allows, and then kept few.
    pub spent: bool,
    /// How it searched when it found a plan.
    pub how: How,
    /// Labels made.
    pub labels: u64,
}

/// The cheapest plan that serves every demand and finishes every chain. What was filled together
/// is turned out together, which is less to remember, where a plan is found so.
pub fn search(problem: &Problem, ripening: &dyn Ripening, effort: Effort) -> Outcome {
    let mut index = Index::new(problem, ripening, false);
    index.late = effort.late;
    let outlook = Outlook::new(&index);
    if let Some(chain) = (0..problem.chains.len()).find(|chain| outlook.never(*chain)) {
        let stopped = Some(Stop::Chain(chain));
        return Outcome {
            plan: None,
            stopped,
            whole: true,
            spent: false,
            how: How::Usual,
            labels: 0,
        };
    }
    let narrow = Effort { width: effort.width.min(NARROW), ..effort };
    let first = Run::new(&index, &outlook, narrow, None).run();
    if let (0, Some(earlier)) = (first.labels, first.stopped.and_then(|stop| before(problem, stop)))
    {
        // By the numbers alone it goes no further; by all the rules perhaps not even so far.
        let sooner = search(&earlier, ripening, narrow);
        return if sooner.plan.is_none() { sooner } else { first };
    }
    let found = first.whole || first.plan.is_some();
    let first = if found { first } else { eager(&index, &outlook, narrow, first) };
    let found = if first.whole || effort.width <= NARROW {
        first
    } else {
        widen(&index, &outlook, effort, first)
    };
    if found.plan.is_some() || !some_is_short(&index) {
        return found;
    }
    in_parts(&mut index, &outlook, narrow, found)
}

/// Whether some stretch is too short to turn out all that may be filled at once of every kind,
/// and to fill it again.
fn some_is_short(index: &Index) -> bool {
    let problem = index.problem;
    let mut turned = vec![0; problem.places.len()];
    for (kind, own) in problem.kinds.iter().enumerate() {
        let most = own.own.min(index.wanted(kind)) as usize;
        turned[own.place] += own.empty[most] + own.fill[most];
    }
    let mut stretches = problem.stretches.iter();
    stretches.any(|stretch| stretch.span.end - stretch.span.start < turned[stretch.place])
}

/// A plan in which some of what is ripe is left in its vessels, where none was found without: a
/// short morning may have time for a part of it.
fn in_parts(index: &mut Index, outlook: &Outlook, effort: Effort, none: Outcome) -> Outcome {
    index.parts = true;
    let first = Run::new(index, outlook, effort, None).run();
    let found = first.whole || first.plan.is_some();
    let own = if found { first } else { eager(index, outlook, effort, first) };
    let (labels, whole) = (none.labels + own.labels, none.whole && own.whole);
    match own.plan {
        Some(_) => Outcome { labels, whole, how: How::InParts, ..own },
        None => Outcome { labels, whole, ..none },
    }
}

/// What a plan that was found costs, and what its shunned hours weigh.
fn price(index: &Index, found: &Outcome) -> Option<Cost> {
    found.plan.as_ref().map(|plan| plan.price + plan.shunned(&index.problem.stretches))
}

/// A plan where a search that puts things off found none.
fn eager(index: &Index, outlook: &Outlook, effort: Effort, first: Outcome) -> Outcome {
    let mut other = Run::new(index, outlook, effort.eager(), None).run();
    other.labels += first.labels;
    other.how = How::Eager;
    if other.plan.is_some() { other } else { Outcome { labels: other.labels, ..first } }
}

/// The cheapest plan, by a search as wide as the effort allows, after a narrow one.
pub fn search_on(
    problem: &Problem,
    ripening: &dyn Ripening,
    effort: Effort,
    narrow: Outcome,
) -> Outcome {
    let mut index = Index::new(problem, ripening, false);
    index.late = effort.late;
    widen(&index, &Outlook::new(&index), effort, narrow)
}

/// A plan with as little put off as can be, and then the cheapest: what is found where hours are
/// so few that the cheap beginnings come to nothing.
pub fn search_forward(problem: &Problem, ripening: &dyn Ripening, effort: Effort) -> Outcome {
    let index = Index::new(problem, ripening, false);
    let outlook = Outlook::new(&index);
    let first = Run::new(&index, &outlook, effort.forward(), None).run();
    let first = Outcome { how: How::Eager, ..first };
    if first.plan.is_none() { first } else { widen(&index, &outlook, effort, first) }
}

fn widen(index: &Index, outlook: &Outlook, effort: Effort, narrow: Outcome) -> Outcome {
    // A dearer plan is better than one in parts.
    let most = price(index, &narrow).filter(|_| narrow.how != How::InParts);
    let left = if narrow.how == How::Usual { effort.left } else { HALF_EAGER };
    let wide = Effort { width: affordable(effort.width, narrow.labels), left, ..effort };
    if wide.width <= NARROW && narrow.plan.is_some() {
        return narrow;
    }
    let mut wider = Run::new(index, outlook, wide, most).run();
    wider.labels += narrow.labels;
    wider.how = if wider.plan.is_some() { How::Usual } else { narrow.how };
    wider.plan = wider.plan.or(narrow.plan);
    wider.stopped = wider.stopped.filter(|_| wider.plan.is_none());
    wider
}

/// The problem with only those demands for a kind that leave before the one that stops;
/// none where there are none.
fn before(problem: &Problem, stop: Stop) -> Option<Problem> {
    let Stop::Demand(number) = stop else { return None };
    let Demand { kind, leave, by, .. } = problem.demands[number];
    let mut earlier = problem.clone();
    let sooner = |demand: &Demand| demand.kind == kind && (demand.leave, demand.by) < (leave, by);
    for demand in earlier.demands.iter_mut().filter(|demand| !sooner(demand)) {
        demand.count = 0;
    }
    earlier.chains.clear();
    earlier.demands.iter().any(|demand| demand.count > 0).then_some(earlier)
}

/// How many labels are kept at the end of a stretch by a wide search, so that it makes
/// about as many as it may, after a narrow one that made so many.
fn affordable(width: usize, narrow: u64) -> usize {
    let times = (MOST_MADE / narrow.max(1)).max(1) as usize;
    width.min(times * NARROW)
}

/// What no plan can serve, shown by an easier problem that has none either:
/// one kind or chain at a time, then all kinds without the chains.
///
/// For kinds it looks at every order of work with each piece of it as early as
/// it can be: moving work earlier breaks no rule until it meets the hours, the
/// work before it, the moment something is ripe or leaves, or begins to
/// ripen beside what it did not ripen beside before; and all these starts are
/// tried. None says nothing: a plan may exist or not.
pub fn shown_impossible(problem: &Problem, ripening: &dyn Ripening) -> Option<Stop> {
    let outlook = Outlook::new(&Index::new(problem, ripening, true));
    let never = (0..problem.chains.len()).find(|chain| outlook.never(*chain));
    let alone = |kind| first_unserved(problem, ripening, &|other| other == kind);
    never.map(Stop::Chain).or_else(|| (0..problem.kinds.len()).find_map(alone)).or_else(|| {
        (problem.kinds.len() > 1).then(|| first_unserved(problem, ripening, &|_| true))?
    })
}

/// What cannot be served where there are only the kinds that `holds` picks.
fn first_unserved(
    problem: &Problem,
    ripening: &dyn Ripening,
    holds: &dyn Fn(usize) -> bool,
) -> Option<Stop> {
    let mut some = problem.clone();
    some.chains.clear();
    for demand in some.demands.iter_mut().filter(|demand| !holds(demand.kind)) {
        demand.count = 0;
    }
    let index = Index::new(&some, ripening, true);
    let outlook = Outlook::new(&index);
    let outcome = Run::new(&index, &outlook, Effort::PROOF, None).run();
    let stopped = outcome.stopped.filter(|_| outcome.whole && outcome.plan.is_none())?;
    let earlier = before(&some, stopped).filter(|_| outcome.labels == 0);
    earlier.and_then(|earlier| first_unserved(&earlier, ripening, &|_| true)).or(Some(stopped))
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
    fn new(index: &'a Index<'a>, outlook: &'a Outlook, effort: Effort, most: Option<Cost>) -> Self {
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

    fn run(mut self) -> Outcome {
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

//! The ways to look for a plan, one after the other, and to show that there is none.

use super::ahead::Outlook;
use super::effort::{Effort, HALF_EAGER, How, NARROW, Outcome};
use super::index::Index;
use super::problem::{Cost, Demand, Problem, Ripening, Stop};
use super::run::Run;

/// Labels that a wide search makes, about.
const MOST_MADE: u64 = 750_000;

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

/// What a search could not get past where it was stopped by the numbers alone, before it made a
/// label: by all the rules it perhaps does not even get so far.
pub fn sooner(
    problem: &Problem,
    ripening: &dyn Ripening,
    effort: Effort,
    stopped: Outcome,
) -> Outcome {
    let stop = stopped.stopped.filter(|_| stopped.labels == 0);
    let Some(earlier) = stop.and_then(|stop| before(problem, stop)) else { return stopped };
    let narrow = Effort { width: effort.width.min(NARROW), ..effort };
    let found = search(&earlier, ripening, narrow);
    let found = sooner(&earlier, ripening, narrow, found);
    let labels = found.labels;
    Outcome { labels, ..if found.plan.is_none() { found } else { stopped } }
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

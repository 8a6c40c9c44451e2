//! Whether some goals can all be served at given levels, by which plan.

use super::filed::Filed;
use super::network::Network;
use super::parts::parts;
use super::problem::{Problem, Tick};
use super::search::any_plan;

/// A level for each goal; `None` is not served.
pub(super) type Levels = Vec<Option<usize>>;

/// The start of each activity of the problem that is planned.
pub(super) type Starts = Vec<Option<Tick>>;

/// What a check found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// There is a plan: this one.
    Feasible(Starts),
    /// There is none.
    Infeasible,
    /// The nodes ran out first.
    Unknown,
}

/// Whether all goals can be served at their levels; rules of facts that
/// `dropped` marks are left out.
pub(super) fn check(
    problem: &Filed,
    levels: &Levels,
    nodes: &mut u64,
    dropped: &dyn Fn(usize) -> bool,
) -> Verdict {
    let served = served(problem, levels);
    let network = Network::without(dropped, problem, &served, levels);
    let Ok(bounds) = network.bounds() else { return Verdict::Infeasible };
    let mut starts = Some(vec![None; problem.activities.len()]);
    for part in parts(&network, &bounds, false) {
        let ids: Vec<usize> = part.iter().map(|&i| served[i]).collect();
        let network = &mut Network::without(dropped, problem, &ids, levels);
        let found = any_plan(network, bounds.of(&part), nodes);
        match (found.best, &mut starts) {
            (Some((plan, _)), Some(starts)) => place(starts, &ids, plan),
            (None, _) if found.proven => return Verdict::Infeasible,
            _ => starts = None,
        }
    }
    starts.map_or(Verdict::Unknown, Verdict::Feasible)
}

/// Fits the goals that `known` does not plan in between those that it does.
pub(super) fn fit_in(
    problem: &Filed,
    levels: &Levels,
    known: &Starts,
    nodes: &mut u64,
) -> Option<Starts> {
    let served = served(problem, levels);
    let network = &mut Network::new(problem, &served, levels);
    let mut bounds = network.bounds().ok()?;
    for (at, &i) in served.iter().enumerate() {
        if let Some(start) = known[i] {
            (bounds.first[at], bounds.last[at]) = (start, start);
        }
    }
    let (plan, _) = any_plan(network, bounds, nodes).best?;
    let mut starts = vec![None; known.len()];
    place(&mut starts, &served, plan);
    Some(starts)
}

/// Notes the starts that were found for the activities `ids`.
pub(super) fn place(starts: &mut Starts, ids: &[usize], found: Vec<Tick>) {
    for (&i, start) in ids.iter().zip(found) {
        starts[i] = Some(start);
    }
}

/// The activities of the served goals.
pub(super) fn served(problem: &Problem, levels: &Levels) -> Vec<usize> {
    (0..problem.activities.len())
        .filter(|&i| levels[problem.activities[i].goal.0].is_some())
        .collect()
}

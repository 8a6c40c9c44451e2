//! Depth-first branch and bound over what the network leaves open: which of two
//! holds of an overloaded resource goes first, and which sittings stay free.

use super::fewest::Sittings;
use super::network::{Bounds, Network};
use super::problem::Tick;

/// How good a plan of one part is; smaller is better, compared in this order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    /// Distinct sittings with hands-on work.
    pub(super) sittings: u32,
    /// Ticks before the own latest start, summed over activities.
    pub(super) earliness: i64,
    /// Squared hands-on ticks, summed over sittings.
    pub(super) unevenness: i64,
}

/// What a search came to.
#[derive(Clone, Debug)]
pub(super) struct Findings {
    /// The best starts found and their score.
    pub(super) best: Option<(Vec<Tick>, Score)>,
    /// Whether nothing better is possible (with no starts: nothing at all).
    pub(super) proven: bool,
}

/// Any plan within `bounds` that keeps all rules.
pub(super) fn any_plan(network: &mut Network<'_>, bounds: Bounds, nodes: &mut u64) -> Findings {
    Search::new(network, nodes, false).run(bounds, None)
}

/// The plan within `bounds` with the least score, starting from a known plan.
pub(super) fn best_plan(
    network: &mut Network<'_>,
    bounds: Bounds,
    nodes: &mut u64,
    known: Option<Vec<Tick>>,
) -> Findings {
    Search::new(network, nodes, true).run(bounds, known)
}

struct Search<'a, 'p> {
    network: &'a mut Network<'p>,
    sittings: Sittings,
    /// Sittings that count as used below this node.
    required: Vec<bool>,
    /// The sum of all own latest starts.
    own_latest: i64,
    /// Whether to go on after the first plan.
    improving: bool,
    best: Option<(Vec<Tick>, Score)>,
    nodes: &'a mut u64,
    /// Whether something was left unexplored for want of nodes.
    cut: bool,
}

impl<'a, 'p> Search<'a, 'p> {
    fn new(network: &'a mut Network<'p>, nodes: &'a mut u64, improving: bool) -> Self {
        Self {
            sittings: Sittings::new(network),
            required: vec![false; network.forbidden.len()],
            own_latest: network.own_latest().map_or(0, |own| own.into_iter().map(i64::from).sum()),
            improving,
            best: None,
            nodes,
            cut: false,
            network,
        }
    }

    fn run(mut self, mut bounds: Bounds, known: Option<Vec<Tick>>) -> Findings {
        if let Some(starts) = known {
            self.record(&starts);
        }
        let all: Vec<usize> = (0..self.network.activities.len()).collect();
        if self.network.tighten(&mut bounds, &all).is_ok() {
            self.explore(&bounds);
        }
        Findings { proven: !self.cut, best: self.best }
    }

    fn explore(&mut self, bounds: &Bounds) {
        if *self.nodes == 0 {
            self.cut = true;
        }
        if self.cut || (!self.improving && self.best.is_some()) {
            return;
        }
        *self.nodes -= 1;
        if !self.improving {
            if self.network.overfull(bounds) {
                return;
            }
            let sittings = self.sittings.fewest(self.network, bounds, &self.required);
            if sittings.is_some() {
                self.resolve(bounds);
            }
            return;
        }
        match self.hopeful(bounds) {
            Hope::Better => {}
            Hope::OnlyByBalance if self.network.overload(&bounds.last).is_none() => {
                return self.record(&bounds.last);
            }
            Hope::OnlyByBalance | Hope::None => return,
        }
        match self.undecided(&bounds.last) {
            Some(sitting) => self.decide(bounds, sitting),
            None => self.resolve(bounds),
        }
    }

    /// Settles the latest overload of a resource; without any, the latest
    /// schedule is a plan.
    fn resolve(&mut self, bounds: &Bounds) {
        match self.network.overload(&bounds.last) {
            None => self.record(&bounds.last),
            Some(holds) => self.order(bounds, &holds),
        }
    }

    /// Whether a plan below this node can beat the best. A plan that is equal
    /// in sittings and earliness can only be the latest schedule itself.
    fn hopeful(&self, bounds: &Bounds) -> Hope {
        let Some((_, best)) = &self.best else { return Hope::Better };
        let sittings = self.sittings.fewest(self.network, bounds, &self.required);
        let earliness = self.earliness(&bounds.last);
        match sittings.map(|sittings| (sittings, earliness).cmp(&(best.sittings, best.earliness))) {
            None | Some(std::cmp::Ordering::Greater) => Hope::None,
            Some(std::cmp::Ordering::Equal) => Hope::OnlyByBalance,
            Some(std::cmp::Ordering::Less) => Hope::Better,
        }
    }

    fn earliness(&self, starts: &[Tick]) -> i64 {
        self.own_latest - starts.iter().map(|&start| i64::from(start)).sum::<i64>()
    }

    /// Hands-on ticks of each sitting.
    fn work(&self, starts: &[Tick]) -> Vec<i64> {
        let mut work = vec![0; self.required.len()];
        for &i in &self.sittings.hands {
            if let Some(e) = self.network.sitting(i, starts[i]) {
                work[e] += i64::from(self.network.durations[i]);
            }
        }
        work
    }

    /// Of the sittings that the latest schedule uses though nothing asks for
    /// them yet, the one with the most work, the later of equals.
    fn undecided(&self, starts: &[Tick]) -> Option<usize> {
        let work = self.work(starts);
        (0..work.len()).filter(|&e| work[e] > 0 && !self.required[e]).max_by_key(|&e| (work[e], e))
    }

    fn record(&mut self, starts: &[Tick]) {
        let work = self.work(starts);
        let score = Score {
            sittings: work.iter().map(|&ticks| u32::from(ticks > 0)).sum(),
            earliness: self.earliness(starts),
            unevenness: work.iter().map(|ticks| ticks * ticks).sum(),
        };
        if self.best.as_ref().is_none_or(|(_, best)| score < *best) {
            self.best = Some((starts.to_vec(), score));
        }
    }

    /// First with the sitting, then without it.
    fn decide(&mut self, bounds: &Bounds, sitting: usize) {
        self.required[sitting] = true;
        self.explore(bounds);
        self.required[sitting] = false;
        self.network.forbidden[sitting] = true;
        let mut without = bounds.clone();
        if self.network.tighten(&mut without, &self.sittings.hands).is_ok() {
            self.explore(&without);
        }
        self.network.forbidden[sitting] = false;
    }

    /// One of the overloading holds must end before another starts: each such
    /// order in turn, the one that costs the least earliness first. What was
    /// tried is ruled out for the rest, so that nothing is looked at twice.
    fn order(&mut self, bounds: &Bounds, holds: &[(usize, usize)]) {
        let ways = self.ways(bounds, holds);
        let mut rest = bounds.clone();
        let mut ruled_out = Vec::new();
        for (_, to, from) in ways {
            self.network.add_order(to, from);
            let mut tighter = rest.clone();
            if self.network.tighten(&mut tighter, &[to, from]).is_ok() {
                self.explore(&tighter);
            }
            self.network.drop_order(to, from);
            self.network.add_overlap(to, from);
            ruled_out.push((to, from));
            if self.network.tighten(&mut rest, &[to, from]).is_err() {
                break;
            }
        }
        for (to, from) in ruled_out.into_iter().rev() {
            self.network.drop_overlap(to, from);
        }
    }

    /// The orders (earliness, which ends, before which starts) that are possible.
    fn ways(&mut self, bounds: &Bounds, holds: &[(usize, usize)]) -> Vec<(i64, usize, usize)> {
        let mut ways = Vec::new();
        for &(_, to) in holds {
            for &(from, own) in holds {
                let end = bounds.first[to] + self.network.durations[to];
                if own == to || end > bounds.last[from] {
                    continue;
                }
                self.network.add_order(to, from);
                let mut tighter = bounds.clone();
                if self.network.tighten(&mut tighter, &[to, from]).is_ok() {
                    ways.push((self.earliness(&tighter.last), to, from));
                }
                self.network.drop_order(to, from);
            }
        }
        ways.sort_unstable();
        ways
    }
}

enum Hope {
    Better,
    OnlyByBalance,
    None,
}

impl Network<'_> {
    /// A score that no plan can beat.
    pub(super) fn least_score(&self) -> Score {
        let Ok(bounds) = self.bounds() else { return Score::default() };
        let required = vec![false; self.forbidden.len()];
        let latest = |starts: &[Tick]| starts.iter().map(|&start| i64::from(start)).sum::<i64>();
        Score {
            sittings: Sittings::new(self).fewest(self, &bounds, &required).unwrap_or(0),
            earliness: self.own_latest().map_or(0, |own| latest(&own)) - latest(&bounds.last),
            unevenness: 0,
        }
    }
}

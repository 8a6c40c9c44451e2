//! What a search has chosen: the rounds, by the session that takes the first block of each, and how
//! batches are dried.

use std::collections::BTreeMap;

use super::{
    clock::Tick,
    draft::{LEVELS, Serves},
    round::Round,
    trips::SessionAt,
    ways::Way,
};
use crate::scheduler::sittings::Terms;

/// How a batch is dried, and when each of its tasks begins, counted among its own.
#[derive(Debug, Clone)]
pub struct Dried {
    /// The way.
    pub way: Way,
    /// How sure it is, as a place in [`LEVELS`].
    pub level: usize,
    /// Tasks and their starts.
    pub starts: Vec<(usize, Tick)>,
}

/// What a search has chosen.
#[derive(Debug, Clone, Default)]
pub struct Chosen {
    /// The rounds by the session that takes the first block of each.
    pub rounds: BTreeMap<SessionAt, Vec<Round>>,
    /// When packing begins, by the session whose step it is, where a refill waits for it.
    pub packed: BTreeMap<SessionAt, Tick>,
    /// Sessions that it serves, and how surely, as a place in [`LEVELS`].
    pub served: BTreeMap<SessionAt, usize>,
    /// Sessions that it does not serve, and whether no plan can.
    pub unserved: BTreeMap<SessionAt, bool>,
    /// Batches of ornaments, by their position.
    pub batches: BTreeMap<usize, Dried>,
    /// Batches that it cannot finish in time, and whether no plan can.
    pub late: BTreeMap<usize, bool>,
    /// When what is done in class around a batch can be done at the earliest, by its id.
    pub reserved: BTreeMap<String, Tick>,
    /// Its price in minutes, where it has a plan.
    pub price: Option<f64>,
    /// The same by what is paid for, but for moves.
    pub terms: Option<Terms>,
    /// How many labels were made.
    pub labels: u64,
    /// How many of them in the first search, a quick one.
    pub first_labels: u64,
}

impl Chosen {
    /// Leaves out what another leaves out, but for what this one has.
    pub fn leave_out(&mut self, other: &Self) {
        let unserved = other.unserved.iter().filter(|(at, _)| !self.served.contains_key(at));
        self.unserved.extend(unserved.map(|(at, shown)| (*at, *shown)));
        let late = other.late.iter().filter(|(batch, _)| !self.batches.contains_key(batch));
        self.late.extend(late.map(|(batch, shown)| (*batch, *shown)));
    }

    /// Whether the plan serves a session.
    pub fn serves(&self, at: SessionAt) -> bool {
        self.served.contains_key(&at)
    }

    /// The level of what is least sure; the last one where something is not served.
    pub fn worst(&self) -> usize {
        if self.left_out() > 0 {
            return LEVELS.len() - 1;
        }
        let batches = self.batches.values().map(|dried| dried.level);
        self.served.values().copied().chain(batches).max().unwrap_or(0)
    }

    /// How surely the plan serves a goal, as a place in [`LEVELS`]; none where it does not.
    pub fn level(&self, serves: Serves) -> Option<usize> {
        match serves {
            Serves::Session { ice, session } => self.served.get(&(ice, session)).copied(),
            Serves::Gift { ornament } => self.batches.get(&ornament).map(|dried| dried.level),
        }
    }

    /// How many goals to come it leaves out.
    pub fn left_out(&self) -> usize {
        self.unserved.len() + self.late.len()
    }

    /// The same, with what another search of the same plan has shown that no plan serves.
    pub fn shown_by(mut self, other: &Self) -> Self {
        for (at, shown) in &mut self.unserved {
            *shown |= other.unserved.get(at).is_some_and(|shown| *shown);
        }
        for (ornament, shown) in &mut self.late {
            *shown |= other.late.get(ornament).is_some_and(|shown| *shown);
        }
        self
    }

    /// The same on a time line that begins so many ticks earlier.
    pub fn later(mut self, by: Tick) -> Self {
        for round in self.rounds.values_mut().flatten() {
            round.fill = (round.fill.0 + by, round.fill.1 + by);
            round.out = (round.out.0 + by, round.out.1 + by);
            round.wash = round.wash.map(|(start, moulds)| (start + by, moulds));
        }
        for start in self.packed.values_mut() {
            *start += by;
        }
        for (_, start) in self.batches.values_mut().flat_map(|batch| &mut batch.starts) {
            *start += by;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prep::round::Stage;

    #[test]
    fn a_plan_on_an_earlier_time_line_moves_as_one() {
        let round = Round {
            count: 4,
            beside: 4,
            wash: Some((1, 4)),
            fill: (2, 4),
            out: (30, 31),
            takers: vec![(0, 0); 4],
            stage: Stage::ToCome,
            number: 1,
            rest: false,
            wet_at: None,
        };
        let way = Way::Air;
        let dried = Dried { way, level: 0, starts: vec![(0, 5), (1, 7)] };
        let chosen = Chosen {
            rounds: BTreeMap::from([((0, 0), vec![round.clone()])]),
            packed: BTreeMap::from([((0, 0), 40)]),
            batches: BTreeMap::from([(0, dried)]),
            ..Chosen::default()
        };
        let later = chosen.later(100);
        let moved = Round { wash: Some((101, 4)), fill: (102, 104), out: (130, 131), ..round };
        assert_eq!(later.rounds[&(0, 0)], [moved]);
        assert_eq!(later.packed[&(0, 0)], 140);
        assert_eq!(later.batches[&0].starts, [(0, 105), (1, 107)]);
    }
}

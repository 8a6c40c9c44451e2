//! Sessions that a search left out, served after all: what was in the way of one may have been left
//! out since, or may be how sure those beside it are.

use super::{Searching, alike};
use crate::{
    prep::draft::LIKELY,
    scheduler::sittings::{Begun, Demand, Effort},
};

impl Searching<'_> {
    /// Puts a demand that was left out back into the problem, at a level at which it is served;
    /// whether there is one. In a quick look none is.
    pub(super) fn brings_back(&mut self) -> bool {
        if self.look.effort.width <= Effort::QUICK.width {
            return false;
        }
        if let Some(shunning) = self.fewer.last() {
            // What was found last may be in fewer hours.
            self.within(alike(shunning));
        }
        while let Some((demand, count)) = self.left_out.pop() {
            let problem = &mut self.rounds.problem;
            let without = (problem.demands.clone(), problem.begun.clone());
            problem.demands[demand].count = count;
            if self.rounds.never_served().is_none() && self.is_served_beside(demand) {
                return true;
            }
            self.taken_as(without);
        }
        false
    }

    /// Takes a demand at the surest level down to [`LIKELY`] at which it is served beside the
    /// others, or else with as few as can be of them at that level too, the nearest first; whether
    /// there is one.
    fn is_served_beside(&mut self, demand: usize) -> bool {
        let beside = self.rounds.beside(demand);
        let powers = std::iter::successors(Some(1), |number| Some(2 * number));
        let numbers = powers.take_while(|number| *number < 2 * beside.len());
        let as_they_are = (self.rounds.problem.demands.clone(), self.rounds.problem.begun.clone());
        for number in std::iter::once(0).chain(numbers.map(|number| number.min(beside.len()))) {
            for level in self.look.from + usize::from(number > 0)..=LIKELY {
                if self.is_hasty() {
                    return false;
                }
                self.taken_as(as_they_are.clone());
                self.rounds.take_level(demand, level);
                for other in &beside[..number] {
                    if self.rounds.level(*other) < level {
                        self.rounds.take_level(*other, level);
                    }
                }
                if self.search(Effort::QUICK).plan.is_some() {
                    return true;
                }
            }
        }
        false
    }

    /// Takes all demands, and what was begun for them, at the levels that they had.
    pub(super) fn taken_as(&mut self, (demands, begun): (Vec<Demand>, Vec<Begun>)) {
        let problem = &mut self.rounds.problem;
        (problem.demands, problem.begun) = (demands, begun);
    }
}

//! The work of a plan a little later, where that costs no more: right before what waits for it, out
//! of a dear hour, or as late as blocks that are less sure had better be.

use std::ops::RangeInclusive;

use super::super::problem::Tick;
use super::label::stairs;
use super::plan::{Act, Plan, Turn};
use super::problem::{Problem, Ripening};

impl Plan {
    /// The same plan where turns that follow each other go later, before the next work, where that
    /// costs less: right before what waits for them in vain, or out of a dear hour. A plan that is
    /// followed stays as it is.
    #[must_use]
    pub fn closed_up(mut self, problem: &Problem, ripening: &dyn Ripening) -> Self {
        if problem.kept.is_some() {
            return self;
        }
        for first in 0..self.acts.len() {
            for last in first..self.acts.len() {
                let Some(idle) = self.idle_after(first..=last, problem) else { break };
                let cheaper = self.cheaper_later(first..=last, idle, (problem, ripening));
                self = cheaper.unwrap_or(self);
            }
        }
        self
    }

    /// The cheapest with some turns later by up to so much, where that is cheaper than now.
    fn cheaper_later(
        &self,
        turns: RangeInclusive<usize>,
        idle: Tick,
        (problem, ripening): (&Problem, &dyn Ripening),
    ) -> Option<Self> {
        let costs = |plan: &Self| plan.terms(problem).sum() + plan.shunned(&problem.stretches);
        let own = costs(self);
        let later = |by: Tick| self.delayed(turns.clone(), by);
        let saves = |plan: &Self| costs(plan) < own;
        // What costs less comes near, or leaves its hour, little by little or all at once.
        if idle < 1 || ![1, idle].map(later).iter().any(saves) {
            return None;
        }
        let found = (1..=idle).map(later).filter(saves);
        let ripe = found.filter(|plan| plan.is_ripe(problem, ripening));
        let plan = ripe.min_by_key(costs)?;
        Some(Self { price: plan.terms(problem).sum(), ..plan })
    }

    /// The same plan where what is not as sure as can be is turned out as late before the next
    /// work as costs the same, with the turns right after it: it is more likely ripe later.
    #[must_use]
    pub fn turned_out_late(mut self, problem: &Problem, ripening: &dyn Ripening) -> Self {
        let costs = |plan: &Self| (plan.terms(problem).sum(), plan.shunned(&problem.stretches));
        // Where a plan is followed, no filling moves but for a reason.
        let fresh = problem.kept.is_none();
        for n in 0..self.acts.len() {
            let Act::Turn(turn) = &self.acts[n] else { continue };
            if !self.is_unsure(n, problem) || turn.fill > 0 && !fresh {
                continue;
            }
            let own = costs(&self);
            for last in n..if fresh { self.acts.len() } else { n + 1 } {
                let Some(idle) = self.idle_after(n..=last, problem) else { break };
                let mut later = (1..=idle).rev().map(|by| self.delayed(n..=last, by));
                let latest =
                    later.find(|plan| costs(plan) == own && plan.is_ripe(problem, ripening));
                self = latest.unwrap_or(self);
            }
        }
        self
    }

    /// Whether one of its turns turns out what is not as sure as can be.
    fn is_unsure(&self, turn: usize, problem: &Problem) -> bool {
        let Act::Turn(own) = &self.acts[turn] else { return false };
        let earlier = self.acts[..turn].iter().filter_map(|act| match act {
            Act::Turn(turn) if turn.kind == own.kind => Some(turn.empty),
            _ => None,
        });
        let out = stairs(problem)[own.kind].out + earlier.sum::<u32>();
        let sureness = problem.sureness(own.kind);
        let pieces = sureness.iter().skip(out as usize).take(own.empty as usize);
        pieces.copied().any(|sureness| sureness > 0)
    }

    /// The same plan with some turns so much later.
    fn delayed(&self, turns: RangeInclusive<usize>, by: Tick) -> Self {
        let mut plan = self.clone();
        for act in &mut plan.acts[turns] {
            if let Act::Turn(Turn { start, out, end, .. }) = act {
                for at in [start, out, end] {
                    *at += by;
                }
            }
        }
        plan
    }

    /// How long nothing is done after some turns until their stretch ends or their pieces leave;
    /// none where they are not all turns of one stretch from which nothing leaves at once.
    fn idle_after(&self, turns: RangeInclusive<usize>, problem: &Problem) -> Option<Tick> {
        let next = self.acts.get(turns.end() + 1).map(|next| next.span().1);
        let acts = self.acts[turns].iter();
        let turns: Vec<&Turn> = acts
            .map(|act| match act {
                Act::Turn(turn) if turn.pack.is_none() => Some(turn),
                _ => None,
            })
            .collect::<Option<_>>()?;
        let (first, last) = (turns.first()?, turns.last()?);
        if first.stretch != last.stretch {
            return None;
        }
        let idle = turns.iter().filter(|turn| turn.empty > 0).filter_map(|turn| {
            let leaves = problem.demands.iter().filter(|demand| demand.kind == turn.kind);
            leaves
                .map(|demand| demand.by)
                .filter(|by| *by >= turn.out)
                .min()
                .map(|by| by - turn.out)
        });
        let stretch = problem.stretches[first.stretch].span.end;
        Some(idle.fold(next.map_or(stretch, |next| next.min(stretch)) - last.end, Tick::min))
    }
}

#[cfg(test)]
mod tests {
    use super::super::problem::{After, Kept, Stretch};
    use super::*;

    /// One evening of 100 ticks, the last ten of them dear, and two pieces that leave after it.
    fn evening(by: Tick) -> Problem {
        let dear = std::iter::once(90..100).collect();
        let evening = Stretch { dear, dear_tick: 100, ..Stretch::at_home(0..100, 1) };
        Problem::of_two_pieces(vec![evening], by)
    }

    /// When turns begin that were to begin at a tick, empty so many and fill so many.
    fn late(problem: &Problem, turns: &[(Tick, u32, u32)], perhaps: bool) -> Vec<Tick> {
        let turns = turns.iter().map(|&(start, empty, fill)| {
            let (stretch, kind, pack, wash) = (0, 0, None, 0);
            let out = start + 2 * Tick::from(empty > 0);
            let end = out + 2 * Tick::from(fill > 0);
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        });
        let plan = Plan { acts: turns.collect(), price: 0 };
        let mut problem = problem.clone();
        let all = &mut problem.demands[0];
        (all.count, all.sureness) = (plan.turns().map(|turn| turn.fill).sum(), perhaps.into());
        let late = plan.turned_out_late(&problem, &After(20));
        late.turns().map(|turn| turn.start).collect()
    }

    #[test]
    fn what_is_perhaps_not_ripe_is_turned_out_as_late_as_costs_the_same() {
        let out = |problem: &Problem, at: Tick, perhaps: bool| {
            late(problem, &[(0, 0, 2), (at, 2, 0)], perhaps)[1]
        };
        let problem = evening(200);
        assert_eq!(out(&problem, 30, true), 88, "before the dear hours");
        assert_eq!(out(&problem, 30, false), 30, "what is surely ripe stays");
        assert_eq!(out(&problem, 3, true), 3, "to wait for it costs more");
        assert_eq!(out(&evening(60), 30, true), 58, "before it leaves");
    }

    /// What is filled right after it waits with it, as long as it is ripe in its own time.
    #[test]
    fn a_mould_is_filled_again_as_late_as_that_will_be_ripe() {
        let again = [(0, 0, 2), (30, 2, 2), (80, 2, 0)];
        assert_eq!(late(&evening(200), &again, true), [0, 64, 88]);
        let apart = [(0, 0, 2), (30, 2, 0), (32, 0, 2), (80, 2, 0)];
        assert_eq!(late(&evening(200), &apart, true), [0, 64, 66, 88]);
        let followed = Problem { kept: Some(Kept::default()), ..evening(200) };
        assert_eq!(late(&followed, &apart, true), [0, 30, 32, 88], "no filling moves");
    }

    /// Two kinds of work in a dear hour go out of it together, as long as all is ripe by then.
    #[test]
    fn work_in_a_dear_hour_goes_out_of_it() {
        let dear = std::iter::once(0..20).collect();
        let morning = Stretch { dear, dear_tick: 1, ..Stretch::at_home(0..30, 1) };
        let evening = Stretch::at_home(100..200, 1);
        let problem = Problem::of_two_pieces(vec![morning, evening], 300);
        let turn = |stretch: usize, start: Tick, empty: u32, fill: u32| {
            let (out, end) = (start + 2 * Tick::from(empty > 0), start + 2);
            Act::Turn(Turn { stretch, kind: 0, start, out, pack: None, end, empty, wash: 0, fill })
        };
        let acts =
            |first: Tick| vec![turn(0, first, 0, 1), turn(0, first + 2, 0, 1), turn(1, 100, 2, 0)];
        let plan = Plan { acts: acts(5), price: 0 };
        assert_eq!(plan.clone().closed_up(&problem, &After(50)).acts, acts(20));
        assert_eq!(plan.clone().closed_up(&problem, &After(79)).acts, acts(17), "ripe by then");
        assert_eq!(plan.closed_up(&problem, &After(86)).acts, acts(5), "it would save nothing");
    }

    /// It begins fifteen ticks later, and there is nothing to wait for.
    #[test]
    fn a_turn_goes_right_before_the_work_that_waits_for_it() {
        let problem = evening(200);
        let turn = |start: Tick, empty: u32, fill: u32| {
            let (out, end) = (start + 2 * Tick::from(empty > 0), start + 2);
            let (stretch, kind, pack, wash) = (0, 0, None, 0);
            Act::Turn(Turn { stretch, kind, start, out, pack, end, empty, wash, fill })
        };
        let acts = |first: Tick| vec![turn(first, 0, 2), turn(17, 2, 0)];
        let plan = |first: Tick| Plan { acts: acts(first), price: 0 };
        assert_eq!(plan(0).closed_up(&problem, &After(0)).acts, acts(15));
        assert_eq!(plan(0).closed_up(&problem, &After(10)).acts, acts(0), "not ripe by then");
        let followed = Problem { kept: Some(Kept::default()), ..problem };
        assert_eq!(plan(0).closed_up(&followed, &After(0)).acts, acts(0), "no filling moves");
    }
}

//! A batch that nothing ties to its giving is begun as late as costs her no more: pieces that
//! wait for it lie about. One that is wrapped is put away, but not for months.

use super::Searching;
use crate::{
    planfile::Finish,
    prep::clock::{Tick, hours_of, ticks_up},
    scheduler::sittings::{self, Act, Cost, Done, Effort, search},
};

/// Later beginnings that are tried of a batch, each half as much later.
const MOST_LATER: u32 = 4;

/// Days for which wrapped pieces are put away that need not be fewer: room for a week of illness
/// and a holiday, and the photo is still of this season (common practice, no source).
const PUT_AWAY: i32 = 21;

impl Searching<'_> {
    /// The same plan with such batches nearer to their giving. A plan that is kept stays, and a
    /// quick look is content with what it found.
    pub(super) fn nearer(&mut self, plan: sittings::Plan) -> sittings::Plan {
        let is_quick = self.look.effort.width <= Effort::QUICK.width;
        if is_quick || self.rounds.plan.kept.is_some() {
            return plan;
        }
        (0..self.batches.len()).fold(plan, |plan, chain| self.later(chain, plan))
    }

    fn later(&mut self, chain: usize, plan: sittings::Plan) -> sittings::Plan {
        let finish = &self.rounds.plan.ornaments[self.batches[chain].ornament].finish;
        let put_away = if finish.contains(&Finish::Wrap) { PUT_AWAY } else { 0 };
        let Some([first, last]) = ends(&plan, chain) else { return plan };
        let own = self.rounds.problem.chains[chain].clone();
        let by = own.ways[last.way].steps[last.step].end_by;
        let most = days(by.saturating_sub(last.end)) - put_away;
        // Whole weeks where there are some: the same weekdays have the same hours.
        let weeks = |days: i32| if days > 7 { days - days % 7 } else { days };
        let mut later: Vec<i32> = (0..MOST_LATER).map(|half| weeks(most.max(0) >> half)).collect();
        later.retain(|days| *days > 0);
        later.dedup();
        let found = later.into_iter().find_map(|days| {
            let from = first.start + ticks_up(24.0 * f64::from(days));
            for step in self.rounds.problem.chains[chain].ways.iter_mut().flat_map(|w| &mut w.steps)
            {
                step.from = step.from.max(from);
            }
            let found = search(&self.rounds.problem, &self.rounds, self.look.effort);
            self.chosen.labels += found.labels;
            self.rounds.problem.chains[chain].clone_from(&own);
            let found = found.plan?;
            let [_, finished] = ends(&found, chain)?;
            let nearer = Cost::from(self::days(finished.end - last.end)) * own.day;
            (found.price <= plan.price + nearer).then_some(found)
        });
        found.unwrap_or(plan)
    }
}

/// The first and the last step of a chain.
fn ends(plan: &sittings::Plan, chain: usize) -> Option<[Done; 2]> {
    let own = || {
        plan.acts.iter().filter_map(|act| match act {
            Act::Step(done) if done.chain == chain => Some(done),
            _ => None,
        })
    };
    let (first, last) = (own().min_by_key(|done| done.start), own().max_by_key(|done| done.end));
    Some([first?.clone(), last?.clone()])
}

/// Whole days.
fn days(ticks: Tick) -> i32 {
    (hours_of(ticks) / 24.0) as i32
}

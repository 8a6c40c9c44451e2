//! What cannot be done: the facts that clash, and ways out that were tried by planning
//! again.

use chrono::{DateTime, Utc};

use crate::{
    explanation::{
        alone::day,
        blame::{Blamed, blame},
        budget::{Budget, Searches, World},
        obstacle::Blame,
        suggestions::{Suggestion, candidates, making_way, smallest},
        warmth::surest,
    },
    planfile::Plan,
    prep::{
        Laid,
        draft::{LEVELS, LIKELY, Serves},
        durations::Durations,
    },
    scheduler::GoalId,
};

/// Enough to choose from.
const ENOUGH: usize = 5;

/// A choice is between two at least.
const LEAST: usize = 2;

/// Pairs of changes that are tried when single ones do not suffice.
const MOST_PAIRS: usize = 20;

/// Goals that are explained; who mends these plans again.
pub const MOST_EXPLAINED: usize = 8;

/// Labels of the searches for what clashes and for ways out, of all goals together: about a
/// second.
const EFFORT: u64 = 1_000_000;

/// Shares of the effort that is left, of which each goal has one: who mends the first of many plans
/// again, and one that is explained is worth more than several that are not.
const MOST_SHARES: usize = 3;

/// A session or gift that cannot be served.
#[derive(Debug)]
pub struct Unserved {
    /// Which.
    pub goal: GoalId,
    /// Facts that cannot all be true, while all but any one of them could.
    pub blame: Vec<Blame>,
    /// Changes to the plan with which it was served when tried.
    pub ways_out: Vec<WayOut>,
    /// Whether there was no effort left to look for more.
    pub cut_short: bool,
}

/// A change to the plan with which a goal was served when tried.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOut {
    /// The change.
    pub change: Suggestion,
    /// The chance that it is then ready in time, where that is less than is explained.
    pub chance: Option<f64>,
}

/// Goals that a plan does not serve, why, and what would help: the first
/// [`MOST_EXPLAINED`] of them, as far as the effort reaches.
pub fn unserved(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Vec<Unserved> {
    let left = laid.solution.unserved();
    let goals = laid.draft.goals.iter().enumerate();
    let served = goals.filter(|(number, _)| !left.contains(&GoalId(*number)));
    let served: Vec<Serves> = served.map(|(_, serves)| *serves).collect();
    let searches = Searches::default();
    let mut effort = EFFORT;
    let mut explained = Vec::new();
    for (number, goal) in left.iter().take(MOST_EXPLAINED).enumerate() {
        let Some(serves) = laid.draft.goals.get(goal.0).copied() else { continue };
        let to_come = left.len().min(MOST_EXPLAINED) - number;
        let own = effort / to_come.min(MOST_SHARES) as u64;
        let world = World::of(plan.clone(), now);
        let level = level(&world, durations, serves, &searches);
        let of = |labels: u64| Budget::new(labels, level, durations, &searches);
        let others = nearest(plan, serves, &served);
        let mut budget = of(own / 2);
        let mut blamed = blame(&world, durations, (serves, &others), &budget);
        if blamed.needed.is_empty() && level > LIKELY {
            // It is served where the others are as unsure as it is alone, and they are not made so.
            budget = Budget::new(budget.left(), LIKELY, durations, &searches);
            blamed = blame(&world, durations, (serves, &others), &budget);
        }
        // What would help is worth as much as what is in the way.
        let trying = of(own / 2 + budget.left());
        let trial = Trial { world: &world, serves, others: &others, budget: &trying };
        let ways_out = trial.ways_out(&blamed);
        let cut_short = budget.is_spent() || trying.is_spent();
        let blame = blamed.needed;
        explained.push(Unserved { goal: *goal, blame, ways_out, cut_short });
        effort -= own - trying.left();
    }
    explained
}

/// The level of sureness at which a goal is explained: the surest at which it would be served if
/// it were alone, since it would be taken at that; the surest there is where it would not.
fn level(world: &World, durations: &dyn Durations, serves: Serves, searches: &Searches) -> usize {
    let surest = surest(&world.plan, durations, serves).unwrap_or(0);
    let alone = world.only(&[serves]);
    let reached = Budget::once(durations, searches).reached(&alone, serves);
    reached.map_or(surest, |level| level.max(surest))
}

/// Goals in the order of how near their day is to that of one.
fn nearest(plan: &Plan, serves: Serves, others: &[Serves]) -> Vec<Serves> {
    let mut others = others.to_vec();
    others.sort_by_key(|other| (day(plan, *other) - day(plan, serves)).num_days().abs());
    others
}

/// Looking for changes with which a goal is served.
struct Trial<'a> {
    /// The plan without a change.
    world: &'a World,
    serves: Serves,
    /// Goals that are served without a change.
    others: &'a [Serves],
    /// Searches that may still be made.
    budget: &'a Budget<'a>,
}

impl Trial<'_> {
    /// The smallest of a kind that works, also between two of it, and the place of the first of
    /// the kind that does.
    fn smallest(
        &self,
        kind: &[Suggestion],
        works: impl Fn(&Suggestion) -> bool,
    ) -> Option<(usize, Suggestion)> {
        smallest(&self.world.plan, (None, kind), works)
    }

    /// The smallest of one kind and of another that do together, where the most of both does;
    /// none where there was no time to find it.
    fn smallest_pair(
        &self,
        (a, b): (&[Suggestion], &[Suggestion]),
        works: impl Fn(&Suggestion) -> bool,
    ) -> Option<Suggestion> {
        let (most_a, most_b) = (a.last()?, b.last()?);
        if !works(&most_a.and(most_b)) {
            return None;
        }
        let (_, a) = self.smallest(a, |one| works(&one.and(most_b)))?;
        let (_, b) = self.smallest(b, |one| works(&a.and(one)))?;
        (!self.budget.is_spent()).then(|| a.and(&b))
    }

    /// The smallest change of each kind that works, as surely as is explained; two changes
    /// together where single ones do not. Then some that work less surely.
    fn ways_out(&self, blamed: &Blamed) -> Vec<WayOut> {
        let mut kinds = candidates(&self.world.plan, self.world.now, self.serves);
        let too_warm = blamed.needed.iter().any(|one| matches!(one, Blame::TooWarm { .. }));
        if too_warm {
            // Nothing else makes a freezer colder; with that, something else may be enough.
            kinds.sort_by_key(|kind| !kind.iter().all(Suggestion::is_colder));
        }
        let kept = blamed.needed.iter().filter_map(|one| match one {
            Blame::Kept(other) => Some(*other),
            _ => None,
        });
        let conflict: Vec<Serves> = kept.collect();
        if let [in_the_way] = conflict[..] {
            kinds.extend(making_way(&self.world.plan, in_the_way));
        }
        let vain = |one: &Suggestion| {
            let needless = blamed.needless.iter().any(|fact| one.does_no_more(fact));
            needless || too_warm && !one.is_colder()
        };
        let (mut found, without) = self.sure(&kinds, &conflict, vain);
        let less = without.iter().filter_map(|kind| self.less_sure(kind, &conflict));
        found.extend(less.take(LEAST));
        if found.len() < LEAST {
            found.extend(self.less_sure_pair(&without, &conflict));
        }
        found
    }

    /// What works as surely as is explained, and the kinds without one that does. What is in
    /// `vain` alone is tried beside something else only.
    fn sure<'k>(
        &self,
        kinds: &'k [Vec<Suggestion>],
        conflict: &[Serves],
        vain: impl Fn(&Suggestion) -> bool,
    ) -> (Vec<WayOut>, Vec<&'k [Suggestion]>) {
        let works = |one: &Suggestion| self.works(one, conflict, None).is_some();
        let (mut found, mut none): (Vec<Suggestion>, Vec<&[Suggestion]>) = Default::default();
        let mut short: Vec<&[Suggestion]> = Vec::new();
        for kind in kinds {
            let vain = kind.iter().all(&vain);
            let smallest = if vain { None } else { self.smallest(kind, works) };
            none.extend(smallest.is_none().then_some(&kind[..]));
            // What does not do alone: beside another it may.
            short.push(&kind[..smallest.as_ref().map_or(kind.len(), |(place, _)| *place)]);
            found.extend(smallest.map(|(_, change)| change));
            if found.len() == ENOUGH {
                break;
            }
        }
        if found.len() < LEAST {
            short.retain(|kind| !kind.is_empty());
            let wanted = LEAST - found.len();
            found.extend(
                pairs(&short)
                    .take(MOST_PAIRS)
                    .filter_map(|pair| self.smallest_pair(pair, works))
                    .take(wanted),
            );
        }
        (found.into_iter().map(|change| WayOut { change, chance: None }).collect(), none)
    }

    /// The smallest change of a kind that works less surely than is explained.
    fn less_sure(&self, kind: &[Suggestion], conflict: &[Serves]) -> Option<WayOut> {
        let from = Some(self.budget.level() + 1).filter(|from| *from <= LIKELY)?;
        let level = |change: &Suggestion| self.works(change, conflict, Some(from));
        let (_, change) = self.smallest(kind, |change| level(change).is_some())?;
        let chance = LEVELS.get(level(&change)?).copied();
        Some(WayOut { change, chance })
    }

    /// Two changes that work together, less surely than is explained.
    fn less_sure_pair(&self, kinds: &[&[Suggestion]], conflict: &[Serves]) -> Option<WayOut> {
        let from = Some(self.budget.level() + 1).filter(|from| *from <= LIKELY)?;
        let level = |change: &Suggestion| self.works(change, conflict, Some(from));
        let works = |change: &Suggestion| level(change).is_some();
        let mut pairs = pairs(kinds).take(MOST_PAIRS);
        let change = pairs.find_map(|pair| self.smallest_pair(pair, works))?;
        let chance = LEVELS.get(level(&change)?).copied();
        Some(WayOut { change, chance })
    }

    /// The level of sureness at which the goal is served then, by itself, beside those that it was
    /// in conflict with and beside all the others, with no other lost for it: at the one that is
    /// explained, or from another one down.
    fn works(
        &self,
        suggestion: &Suggestion,
        conflict: &[Serves],
        from: Option<usize>,
    ) -> Option<usize> {
        let changed = World { plan: suggestion.changed(&self.world.plan), ..self.world.clone() };
        let mut last = None;
        for beside in [&[], conflict, self.others] {
            let most = self.budget.left_out(&self.world.only(beside), from);
            let world = changed.only(&[beside, &[self.serves]].concat());
            last = Some(self.budget.served_at(&world, self.serves, most, from)?);
        }
        last
    }
}

/// Each two of several kinds.
fn pairs<'k>(
    kinds: &[&'k [Suggestion]],
) -> impl Iterator<Item = (&'k [Suggestion], &'k [Suggestion])> {
    let of = |(n, a)| kinds.iter().skip(n + 1).map(move |b| (a, *b));
    kinds.iter().copied().enumerate().flat_map(of)
}

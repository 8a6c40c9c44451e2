//! An oracle that tries every start of every activity, tick by tick, and shares
//! nothing with the engine but the problem's words.

use solidby::scheduler::{Effort, Objective, Problem, Solution, solve};

use crate::scheduler::generate::{Dice, problem};

/// The rules that a plan breaks, in words; empty for a sound plan.
pub fn broken(problem: &Problem, plan: &Solution) -> Vec<String> {
    let mut broken = Vec::new();
    for (i, activity) in problem.activities.iter().enumerate() {
        if plan.starts[i].is_some() != plan.levels[activity.goal.0].is_some() {
            broken.push(format!("goal of activity {i} is served in part"));
        }
        let inside = |start: i32| {
            let end = start + activity.duration;
            activity.windows.iter().any(|w| w.start <= start && end <= w.end)
        };
        if plan.starts[i].is_some_and(|start| !inside(start)) {
            broken.push(format!("activity {i} is outside its windows"));
        }
    }
    if !links_kept(problem, &plan.starts, &plan.levels) {
        broken.push("a link is broken".into());
    }
    if !capacities_kept(problem, &plan.starts) {
        broken.push("a capacity is exceeded".into());
    }
    broken
}

fn links_kept(problem: &Problem, starts: &[Option<i32>], levels: &[Option<usize>]) -> bool {
    problem.links.iter().all(|link| {
        let (Some(before), Some(after)) = (starts[link.before.0], starts[link.after.0]) else {
            return true;
        };
        let level = levels[problem.activities[link.after.0].goal.0].expect("served");
        let min = link.min.get(level).unwrap_or(link.min.last().expect("a minimum"));
        let wait = after - (before + problem.activities[link.before.0].duration);
        *min <= wait && link.max.is_none_or(|max| wait <= max)
    })
}

fn capacities_kept(problem: &Problem, starts: &[Option<i32>]) -> bool {
    let end = |i: usize| starts[i].map(|start| start + problem.activities[i].duration);
    let in_order = |hold: &solidby::scheduler::Hold| {
        hold.from == hold.to || end(hold.from.0).is_none() || end(hold.from.0) <= starts[hold.to.0]
    };
    problem.holds.iter().all(in_order)
        && problem.resources.iter().enumerate().all(|(r, resource)| {
            let taken = |tick: i32| -> u32 {
                let holds = problem.holds.iter().filter(|hold| hold.resource.0 == r);
                let takes = |from: usize, to: usize| {
                    starts[from].is_some_and(|s| s <= tick) && end(to).is_some_and(|e| tick < e)
                };
                holds.filter(|h| takes(h.from.0, h.to.0)).map(|h| h.amount).sum()
            };
            starts.iter().flatten().all(|&start| taken(start) <= resource.capacity)
        })
}

/// Sittings, earliness and unevenness of given starts.
pub fn score(problem: &Problem, starts: &[Option<i32>]) -> (u32, i64, i64) {
    let (mut sittings, mut earliness, mut unevenness) = (0, 0, 0);
    for sitting in &problem.sittings {
        let mut work = 0;
        for (activity, start) in problem.activities.iter().zip(starts) {
            if activity.hands && start.is_some_and(|start| sitting.contains(&start)) {
                work += i64::from(activity.duration);
            }
        }
        sittings += u32::from(work > 0);
        unevenness += work * work;
    }
    for (i, start) in starts.iter().enumerate() {
        if let Some(start) = start {
            let latest = *domain(problem, i).last().expect("it has a start");
            earliness += i64::from(latest - start);
        }
    }
    (sittings, earliness, unevenness)
}

fn domain(problem: &Problem, i: usize) -> Vec<i32> {
    let activity = &problem.activities[i];
    activity.windows.iter().flat_map(|w| w.start..=w.end - activity.duration).collect()
}

/// The best objective, by trying everything.
fn best(problem: &Problem) -> Objective {
    let mut choices = all_levels(problem);
    choices.sort();
    choices
        .into_iter()
        .find_map(|((unserved, unsure, _), levels)| {
            let mut best = None;
            let mut starts = vec![None; problem.activities.len()];
            try_starts(problem, &levels, 0, &mut starts, &mut best);
            best.map(|(sittings, earliness, unevenness)| Objective {
                unserved,
                unsure,
                sittings,
                earliness,
                unevenness,
            })
        })
        .expect("serving nothing is always possible")
}

type Cost = (u64, Vec<u64>, Vec<usize>);

/// Every level (or none) for every goal, with what it costs.
fn all_levels(problem: &Problem) -> Vec<(Cost, Vec<Option<usize>>)> {
    let each = problem.levels + 1;
    (0..each.pow(problem.goals.len() as u32))
        .map(|mut code| {
            let mut ranks = Vec::new();
            for _ in &problem.goals {
                ranks.push(code % each);
                code /= each;
            }
            let missed = |g: &usize| ranks[*g] == problem.levels;
            let unserved =
                (0..ranks.len()).filter(missed).map(|g| u64::from(problem.goals[g].weight)).sum();
            let at = |level| ranks.iter().filter(|&&rank| rank == level).count() as u64;
            let unsure = (1..problem.levels).rev().map(at).collect();
            let levels =
                ranks.iter().map(|&rank| (rank < problem.levels).then_some(rank)).collect();
            ((unserved, unsure, ranks), levels)
        })
        .collect()
}

fn try_starts(
    problem: &Problem,
    levels: &[Option<usize>],
    i: usize,
    starts: &mut Vec<Option<i32>>,
    best: &mut Option<(u32, i64, i64)>,
) {
    if !links_kept(problem, starts, levels) {
        return;
    }
    if i == starts.len() {
        if capacities_kept(problem, starts) {
            let score = score(problem, starts);
            *best = Some(best.map_or(score, |best| best.min(score)));
        }
        return;
    }
    if levels[problem.activities[i].goal.0].is_none() {
        return try_starts(problem, levels, i + 1, starts, best);
    }
    for start in domain(problem, i) {
        starts[i] = Some(start);
        try_starts(problem, levels, i + 1, starts, best);
    }
    starts[i] = None;
}

#[test]
fn agrees_with_trying_everything() {
    let (mut missed, mut unsure, mut most) = (0, 0, 0);
    for seed in 0..3_000 {
        let problem = problem(&mut Dice(seed), 9);
        let plan = solve(&problem, Effort::default()).expect("well formed");
        assert_eq!(broken(&problem, &plan), Vec::<String>::new(), "seed {seed}");
        assert!(plan.proven, "seed {seed} is small enough to be proven");
        assert_eq!(plan.objective, best(&problem), "seed {seed}: {problem:?} {plan:?}");
        missed += usize::from(plan.objective.unserved > 0);
        unsure += usize::from(plan.objective.unsure.iter().any(|&goals| goals > 0));
        most = most.max(problem.activities.len());
    }
    println!("3,000 problems: {missed} with goals not served, {unsure} with less sure goals");
    assert_eq!(most, 9);
    assert!(missed > 300 && unsure > 100, "the problems must not all be easy");
}

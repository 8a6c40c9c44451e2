//! What holds for every plan, over many random problems.

use solidby::scheduler::{
    Activity, ActivityId, Effort, FactId, GoalId, Hold, Link, Problem, ProblemError, ResourceId,
    solve,
};

use crate::scheduler::generate::{Dice, problem};
use crate::scheduler::oracle::{broken, score};

#[test]
fn every_plan_keeps_every_rule() {
    for seed in 0..10_000 {
        let problem = problem(&mut Dice(1_000_000 + seed), 14);
        let plan = solve(&problem, Effort::default()).expect("well formed");
        assert_eq!(broken(&problem, &plan), Vec::<String>::new(), "seed {seed}");
        let objective = &plan.objective;
        let told = (objective.sittings, objective.earliness, objective.unevenness);
        assert_eq!(told, score(&problem, &plan.starts), "seed {seed}");
    }
}

#[test]
fn the_same_problem_gives_the_same_plan() {
    for seed in 0..200 {
        let problem = problem(&mut Dice(2_000_000 + seed), 14);
        let plan = || solve(&problem, Effort::default()).expect("well formed").starts;
        assert_eq!(plan(), plan(), "seed {seed}");
    }
}

#[test]
fn ill_formed_problems_are_told_apart() {
    let sound = || {
        let mut problem = Problem { levels: 2, sittings: vec![0..3, 5..9], ..Problem::default() };
        let goal = problem.add_goal(1);
        problem.add_goal(1);
        problem.add_resource(1, FactId(0));
        for _ in 0..2 {
            let windows = vec![0..4, 6..9];
            let (duration, hands, fact) = (1, true, FactId(0));
            problem.add_activity(Activity { duration, windows, goal, hands, fact });
        }
        problem.links.push(Link {
            before: ActivityId(0),
            after: ActivityId(1),
            min: vec![2, 1],
            max: None,
            fact: FactId(0),
        });
        let (from, to) = (ActivityId(0), ActivityId(1));
        problem.holds.push(Hold { resource: ResourceId(0), amount: 1, from, to });
        problem
    };
    assert!(solve(&sound(), Effort::default()).is_ok());
    type Spoil = fn(&mut Problem);
    let cases: [(Spoil, ProblemError); 12] = [
        (|p| p.levels = 0, ProblemError::NoLevels),
        (|p| p.sittings.swap(0, 1), ProblemError::SittingsUnsorted),
        (|p| p.sittings[0].end = 0, ProblemError::SittingsUnsorted),
        (|p| p.goals[1].weight = 0, ProblemError::NoWeight(GoalId(1))),
        (|p| p.activities[1].goal = GoalId(7), ProblemError::UnknownGoal(ActivityId(1))),
        (|p| p.activities[1].duration = 0, ProblemError::NoDuration(ActivityId(1))),
        (|p| p.activities[0].windows.swap(0, 1), ProblemError::WindowsUnsorted(ActivityId(0))),
        (|p| p.links[0].after = ActivityId(7), ProblemError::BadLink(0)),
        (|p| p.links[0].min.clear(), ProblemError::BadLink(0)),
        (|p| p.links[0].min.swap(0, 1), ProblemError::LevelsUnsorted(0)),
        (|p| p.holds[0].resource = ResourceId(7), ProblemError::BadHold(0)),
        (|p| p.activities[1].goal = GoalId(1), ProblemError::BadHold(0)),
    ];
    for (spoil, error) in cases {
        let mut problem = sound();
        spoil(&mut problem);
        assert_eq!(solve(&problem, Effort::default()).err(), Some(error.clone()), "{error}");
    }
}

/// Nine jobs of 4 in 35, hard to rule out, beside one job in a window of its own.
fn crowd_and_one() -> Problem {
    let mut problem = Problem { levels: 1, ..Problem::default() };
    let hands = problem.add_resource(1, FactId(0));
    let goals = [problem.add_goal(1), problem.add_goal(1)];
    for n in 0..10 {
        let (goal, window) = if n < 9 { (goals[0], 0..35) } else { (goals[1], 100..120) };
        let windows = std::iter::once(window).collect();
        let job = Activity { duration: 4, windows, goal, hands: false, fact: FactId(1) };
        let job = problem.add_activity(job);
        problem.holds.push(Hold { resource: hands, amount: 1, from: job, to: job });
    }
    problem
}

#[test]
fn one_service_that_is_not_proven_leaves_the_whole_unproven() {
    let hasty = Effort { service: 0, ..Effort::default() };
    let plan = solve(&crowd_and_one(), hasty).expect("well formed");
    assert_eq!(plan.levels, [None, Some(0)]);
    assert!(plan.gap.service && !plan.proven);
}

/// Without any effort a plan is still sound, and never further from the best
/// than the gap it tells.
#[test]
fn the_gap_is_honest() {
    let none = Effort { service: 0, improve: 0, prove: 0, prove_most: 0 };
    let (mut compared, mut worse) = (0, 0);
    for seed in 0..2_000 {
        let problem = problem(&mut Dice(4_000_000 + seed), 12);
        let hasty = solve(&problem, none).expect("well formed");
        let best = solve(&problem, Effort::default()).expect("well formed");
        assert_eq!(broken(&problem, &hasty), Vec::<String>::new(), "seed {seed}");
        assert!(best.proven && best.objective <= hasty.objective, "seed {seed}");
        if hasty.levels != best.levels {
            assert!(hasty.gap.service, "seed {seed}");
            continue;
        }
        compared += 1;
        worse += usize::from(best.objective < hasty.objective);
        let (told, gap) = (&hasty.objective, hasty.gap);
        assert!(told.sittings - gap.sittings <= best.objective.sittings, "seed {seed}");
        if told.sittings == best.objective.sittings {
            assert!(told.earliness - gap.earliness <= best.objective.earliness, "seed {seed}");
        }
    }
    println!("{compared} compared, {worse} of them worse without effort");
    assert!(compared > 1_000 && worse > 100, "{compared} compared, {worse} worse");
}

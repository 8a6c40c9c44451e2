//! Hand-made problems that cannot be served: the conflict names just the facts
//! that matter, and dropping any one of them, or leaving out any one of the
//! goals, lets the rest be.

use solidby::scheduler::{
    Activity, ActivityId, Conflict, Effort, FactId, GoalId, Hold, Link, Problem, ResourceId,
    conflict, solve,
};

struct Case {
    name: &'static str,
    problem: Problem,
    goals: &'static [usize],
    facts: &'static [usize],
}

fn act(problem: &mut Problem, goal: GoalId, duration: i32, window: (i32, i32)) -> ActivityId {
    let fact = FactId(problem.activities.len());
    let windows = std::iter::once(window.0..window.1).collect();
    problem.add_activity(Activity { duration, windows, goal, hands: true, fact })
}

fn wait(problem: &mut Problem, before: ActivityId, after: ActivityId, min: i32, max: Option<i32>) {
    let fact = FactId(100 + problem.links.len());
    problem.links.push(Link { before, after, min: vec![min], max, fact });
}

fn hold(
    problem: &mut Problem,
    resource: ResourceId,
    amount: u32,
    from: ActivityId,
    to: ActivityId,
) {
    problem.holds.push(Hold { resource, amount, from, to });
}

fn one_goal() -> (Problem, GoalId) {
    let mut problem = Problem { levels: 1, ..Problem::default() };
    let goal = problem.add_goal(1);
    (problem, goal)
}

/// The last fill is at 20, it is needed at 30, it freezes for 12.
fn too_slow() -> Problem {
    let (mut problem, goal) = one_goal();
    let fill = act(&mut problem, goal, 1, (0, 20));
    let early = act(&mut problem, goal, 1, (0, 40));
    let needed = act(&mut problem, goal, 1, (30, 31));
    wait(&mut problem, fill, needed, 12, None);
    wait(&mut problem, early, needed, 0, None);
    problem.activities[fill.0].windows = std::iter::once(19..20).collect();
    problem
}

/// Six blocks at once in a freezer for five.
fn too_few_places() -> Problem {
    let (mut problem, goal) = one_goal();
    let places = problem.add_resource(5, FactId(200));
    let fill = act(&mut problem, goal, 1, (0, 20));
    let needed = act(&mut problem, goal, 1, (30, 31));
    wait(&mut problem, fill, needed, 9, None);
    hold(&mut problem, places, 6, fill, needed);
    problem
}

/// Two sessions on one morning share moulds that freeze all night.
fn shared_moulds() -> Problem {
    let (mut problem, _) = one_goal();
    let moulds = problem.add_resource(4, FactId(200));
    problem.add_goal(1);
    problem.add_goal(1);
    for goal in 0..3 {
        let day = if goal == 2 { 100 } else { 0 };
        let fill = act(&mut problem, GoalId(goal), 1, (day, day + 20));
        let needed = act(&mut problem, GoalId(goal), 1, (day + 30, day + 31));
        wait(&mut problem, fill, needed, 9, None);
        hold(&mut problem, moulds, 3, fill, needed);
    }
    problem
}

/// A bake that must be watched for 6 in sittings of 4.
fn never_watched() -> Problem {
    let (mut problem, goal) = one_goal();
    let bake = act(&mut problem, goal, 6, (0, 4));
    let give = act(&mut problem, goal, 1, (50, 60));
    problem.activities[bake.0].windows = vec![0..4, 20..24, 40..44];
    wait(&mut problem, bake, give, 2, None);
    problem
}

/// Sealed within 5 of drying, but dry at 10 and hands are free from 30.
fn sealed_too_late() -> Problem {
    let (mut problem, goal) = one_goal();
    let dry = act(&mut problem, goal, 1, (9, 12));
    let seal = act(&mut problem, goal, 1, (30, 40));
    wait(&mut problem, dry, seal, 0, Some(5));
    problem
}

/// Three jobs of 4 for one pair of hands between 0 and 10.
fn busy_hands() -> Problem {
    let (mut problem, goal) = one_goal();
    let hands = problem.add_resource(1, FactId(200));
    for _ in 0..3 {
        let job = act(&mut problem, goal, 4, (0, 10));
        hold(&mut problem, hands, 1, job, job);
    }
    for activity in &mut problem.activities {
        activity.fact = FactId(7);
    }
    problem
}

/// Rounds of two blocks and one of one, which take a place a block until they are needed and
/// two more a block while in their moulds. Whatever the order, one of two is filled when the
/// five others are there: 12 and 4. The odd one comes last, 13 and 2.
fn rounds_in_bags(places: u32) -> Problem {
    let (mut problem, goal) = one_goal();
    let places = problem.add_resource(places, FactId(200));
    let needed = act(&mut problem, goal, 1, (9000, 9001));
    for blocks in [1, 2, 2, 2, 2, 2, 2] {
        let fill = act(&mut problem, goal, 1, (0, 9000));
        let turn_out = act(&mut problem, goal, 1, (0, 9000));
        wait(&mut problem, fill, turn_out, 9, None);
        hold(&mut problem, places, 2 * blocks, fill, turn_out);
        hold(&mut problem, places, blocks, fill, needed);
    }
    problem
}

fn cases() -> Vec<Case> {
    vec![
        Case { name: "too slow", problem: too_slow(), goals: &[0], facts: &[0, 2, 100] },
        Case { name: "places", problem: too_few_places(), goals: &[0], facts: &[200] },
        Case {
            name: "shared moulds",
            problem: shared_moulds(),
            goals: &[0, 1],
            facts: &[1, 3, 200],
        },
        Case { name: "never watched", problem: never_watched(), goals: &[0], facts: &[0] },
        Case { name: "sealed late", problem: sealed_too_late(), goals: &[0], facts: &[0, 1, 100] },
        Case { name: "rounds", problem: rounds_in_bags(15), goals: &[0], facts: &[200] },
        Case { name: "busy hands", problem: busy_hands(), goals: &[0], facts: &[7, 200] },
    ]
}

fn all(problem: &Problem) -> Vec<Option<usize>> {
    vec![Some(problem.levels - 1); problem.goals.len()]
}

/// The problem without the rules of one fact, done by hand.
fn without(problem: &Problem, fact: FactId) -> Problem {
    let mut free = problem.clone();
    free.links.retain(|link| link.fact != fact);
    for activity in free.activities.iter_mut().filter(|activity| activity.fact == fact) {
        activity.windows = std::iter::once(-500..500).collect();
    }
    for resource in free.resources.iter_mut().filter(|resource| resource.fact == fact) {
        resource.capacity = u32::MAX;
    }
    free
}

#[test]
fn conflicts_name_just_what_clashes() {
    for case in cases() {
        let found = conflict(&case.problem, &all(&case.problem), Effort::default());
        let expected = Conflict {
            goals: case.goals.iter().copied().map(GoalId).collect(),
            facts: case.facts.iter().copied().map(FactId).collect(),
        };
        assert_eq!(found, Ok(Some(expected)), "{}", case.name);
    }
}

/// Which round is last is open, and there are thousands of orders of them.
#[test]
fn what_counting_tells_is_not_searched_for() {
    let effort = Effort { service: 1, ..Effort::default() };
    let problem = rounds_in_bags(15);
    let found = conflict(&problem, &all(&problem), effort).expect("well formed");
    assert_eq!(found.map(|found| found.facts), Some(vec![FactId(200)]));
    let room = rounds_in_bags(16);
    assert_eq!(solve(&room, Effort::default()).expect("well formed").unserved(), []);
}

#[test]
fn dropping_any_one_fact_lets_the_goals_be() {
    for case in cases() {
        for &fact in case.facts {
            let mut free = without(&case.problem, FactId(fact));
            for (g, goal) in free.goals.iter_mut().enumerate() {
                goal.weight = if case.goals.contains(&g) { 10 } else { 1 };
            }
            let plan = solve(&free, Effort::default()).expect("well formed");
            assert_eq!(plan.unserved(), [], "{} without fact {fact}", case.name);
        }
    }
}

#[test]
fn leaving_out_any_one_goal_lets_the_others_be() {
    for case in cases() {
        for &goal in case.goals {
            let mut wanted = all(&case.problem);
            wanted[goal] = None;
            let found = conflict(&case.problem, &wanted, Effort::default());
            assert_eq!(found, Ok(None), "{} without goal {goal}", case.name);
        }
    }
}

#[test]
fn a_goal_that_cannot_be_sure_names_the_wait() {
    let mut problem = too_slow();
    problem.levels = 2;
    problem.links[0].min = vec![12, 10];
    let plan = solve(&problem, Effort::default()).expect("well formed");
    assert_eq!(plan.levels, [Some(1)]);
    let found = conflict(&problem, &[Some(0)], Effort::default()).expect("well formed");
    assert_eq!(found.map(|found| found.facts), Some(vec![FactId(0), FactId(2), FactId(100)]));
}

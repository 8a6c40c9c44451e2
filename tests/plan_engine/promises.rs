//! What holds for every plan, over many random problems.

use solidby::plan::engine::{Effort, solve};

use crate::generate::{Dice, problem};
use crate::oracle::{broken, score};

#[test]
fn every_plan_keeps_every_rule() {
    for seed in 0..10_000 {
        let problem = problem(&mut Dice(1_000_000 + seed), 14);
        let plan = solve(&problem, Effort::default()).expect("well formed");
        assert_eq!(broken(&problem, &plan), Vec::<String>::new(), "seed {seed}");
        let objective = &plan.objective;
        let told = (objective.evenings, objective.earliness, objective.unevenness);
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

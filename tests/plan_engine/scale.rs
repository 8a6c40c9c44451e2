//! How the cost grows with the length of the plan.

use std::time::Instant;

use solidby::plan::engine::{Effort, solve};

use crate::months::months;
use crate::oracle::broken;

#[test]
fn months_of_prep_are_planned_soundly() {
    for sessions in [1, 2, 3, 5, 8, 11] {
        let problem = months(sessions);
        let began = Instant::now();
        let plan = solve(&problem, Effort::default()).expect("well formed");
        println!(
            "{:5} activities {:9.3} ms {:?} proven {} {:?}",
            problem.activities.len(),
            began.elapsed().as_secs_f64() * 1e3,
            plan.objective,
            plan.proven,
            plan.gap
        );
        assert_eq!(broken(&problem, &plan), Vec::<String>::new());
        assert_eq!(plan.objective.unserved, 0);
    }
}

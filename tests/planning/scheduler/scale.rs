//! How the cost grows with the length of the plan, on prep of the real kind.

use std::time::Instant;

use solidby::scheduler::{Effort, solve};

use crate::scheduler::months::months;
use crate::scheduler::oracle::{broken, score};

/// Prints activities, time, time per activity and what is left unproven. The
/// limit is the product's, for a release build: a thousand activities in 5 s.
#[test]
fn months_of_prep_are_planned_soundly_and_in_time() {
    for sessions in [1, 2, 3, 5, 11, 30, 91] {
        let problem = months(sessions);
        let began = Instant::now();
        let plan = solve(&problem, Effort::default()).expect("well formed");
        let took = began.elapsed().as_secs_f64();
        println!(
            "{:4} activities {:8.2} ms {:7.3} ms each, {} sittings, proven {}, {:?}",
            problem.activities.len(),
            took * 1e3,
            took * 1e3 / problem.activities.len() as f64,
            plan.objective.sittings,
            plan.proven,
            plan.gap
        );
        assert_eq!(broken(&problem, &plan), Vec::<String>::new());
        assert_eq!(plan.unserved(), [], "every session can be served");
        assert!(plan.objective.unsure.iter().all(|&goals| goals == 0), "and surely");
        assert_eq!(plan.objective.sittings, score(&problem, &plan.starts).0);
        assert_eq!(plan.proven, sessions <= 5, "{sessions} sessions");
        assert_eq!(plan.gap.sittings, 0, "{sessions} sessions: the fewest sittings are proven");
        assert!(took < 5.0 || cfg!(debug_assertions), "{sessions} sessions took {took} s");
    }
}

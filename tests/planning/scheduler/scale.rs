//! Plans of a day to half a year, on prep of the real kind: all served, surely, and the fewest sittings proven.

use solidby::scheduler::{Effort, solve};

use crate::scheduler::months::months;
use crate::scheduler::oracle::{broken, score};

/// How long they take stands in `benches/plan_speed.rs`.
#[test]
fn months_of_prep_are_planned_soundly() {
    for sessions in [1, 2, 3, 5, 11, 30, 91] {
        let problem = months(sessions);
        let plan = solve(&problem, Effort::default()).expect("well formed");
        assert_eq!(broken(&problem, &plan), Vec::<String>::new());
        assert_eq!(plan.unserved(), [], "every session can be served");
        assert!(plan.objective.unsure.iter().all(|&goals| goals == 0), "and surely");
        assert_eq!(plan.objective.sittings, score(&problem, &plan.starts).0);
        assert_eq!(plan.proven, sessions <= 5, "{sessions} sessions");
        assert_eq!(plan.gap.sittings, 0, "{sessions} sessions: the fewest sittings are proven");
    }
}

//! Why an activity is not later: every reason can be checked by moving it.

use solidby::scheduler::{ActivityId, Effort, binding, solve};

use crate::scheduler::generate::{Dice, problem};
use crate::scheduler::oracle::{broken, score};

#[test]
fn nothing_can_be_later_without_a_reason() {
    let mut told = [0; 4];
    for seed in 0..2_000 {
        let problem = problem(&mut Dice(3_000_000 + seed), 9);
        let plan = solve(&problem, Effort::default()).expect("well formed");
        for i in 0..problem.activities.len() {
            let Some(binding) = binding(&problem, &plan, ActivityId(i)) else {
                assert_eq!(plan.starts[i], None, "seed {seed}");
                continue;
            };
            let Some(next) = binding.next else {
                told[0] += 1;
                continue;
            };
            let mut moved = plan.clone();
            moved.starts[i] = Some(next);
            let breaks = !broken(&problem, &moved).is_empty();
            let more = score(&problem, &moved.starts).0 > score(&problem, &plan.starts).0;
            let rules = !binding.links.is_empty()
                || !binding.holds.is_empty()
                || !binding.resources.is_empty();
            assert_eq!(rules, breaks, "seed {seed} activity {i}: {binding:?}");
            assert!(breaks || more, "seed {seed} activity {i} could be later");
            assert!(breaks || binding.sitting.is_some(), "seed {seed} activity {i}");
            told[1] += usize::from(!binding.links.is_empty());
            told[2] += usize::from(!binding.resources.is_empty());
            told[3] += usize::from(binding.sitting.is_some());
        }
    }
    println!("windows {}, links {}, resources {}, sittings {}", told[0], told[1], told[2], told[3]);
    assert!(told.iter().all(|&times| times > 20), "each kind of reason must occur: {told:?}");
}

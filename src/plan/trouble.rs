//! What cannot be done: the smallest set of facts that clash, and ways out
//! that were tried by planning again.

use chrono::{DateTime, Utc};

use super::{
    durations::Durations,
    engine::{self, Effort},
    file::{Method, Plan},
    lay::{Laid, LayError, solve},
    schedule::Problem,
};
use crate::units::{celsius, in_celsius, millimetres};

/// One change to the plan, in words, and how it is made.
struct WayOut {
    words: String,
    changed: Plan,
}

/// The problems of a plan in which some goal is not served.
///
/// # Errors
/// [`LayError`] as for the plan itself.
pub fn problems(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    laid: &Laid,
) -> Result<Vec<Problem>, LayError> {
    let Laid { draft, solution } = laid;
    let last = draft.problem.levels.saturating_sub(1);
    let unserved = solution.unserved();
    let ways_out = ways_out(plan, now, durations, unserved.len());
    let mut problems = Vec::new();
    for goal in unserved {
        // Alone first: only what stands against the others when that is the trouble.
        let mut wanted: Vec<Option<usize>> = vec![None; draft.goals.len()];
        wanted[goal.0] = Some(last);
        let alone = engine::conflict(&draft.problem, &wanted, Effort::default())?;
        let conflict = match alone {
            Some(conflict) => Some(conflict),
            None => {
                let mut wanted = solution.levels.clone();
                wanted[goal.0] = Some(last);
                engine::conflict(&draft.problem, &wanted, Effort::default())?
            }
        };
        let because = conflict.map_or_else(Vec::new, |conflict| {
            let others = conflict.goals.iter().filter(|other| **other != goal);
            let others = others.filter_map(|other| draft.goals.get(other.0)).map(|aim| &aim.words);
            let facts = conflict.facts.iter().filter_map(|fact| draft.facts.get(fact.0));
            others.map(|other| format!("{other} needs them too")).chain(facts.cloned()).collect()
        });
        let what = draft.goals.get(goal.0).map(|aim| aim.words.clone()).unwrap_or_default();
        problems.push(Problem { what, because, ways_out: ways_out.clone() });
    }
    Ok(problems)
}

/// The changes that serve every goal, tried one by one.
fn ways_out(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    unserved: usize,
) -> Vec<String> {
    candidates(plan)
        .into_iter()
        .filter_map(|way| {
            let laid = solve(&way.changed, now, durations).ok()?;
            match laid.solution.unserved().len() {
                0 => Some(way.words),
                left if left < unserved => {
                    Some(format!("{} (still leaves {left} undone)", way.words))
                }
                _ => None,
            }
        })
        .collect()
}

fn candidates(plan: &Plan) -> Vec<WayOut> {
    let mut ways = Vec::new();
    for (n, mould) in plan.moulds.iter().enumerate() {
        for more in [2, 4, 8] {
            let words = format!("{more} more {} moulds", mould.name);
            push(&mut ways, plan, words, |p| p.moulds[n].own += more);
        }
        let words = format!("fill the {} moulds to two thirds", mould.name);
        push(&mut ways, plan, words, |p| {
            p.moulds[n].volume *= 2.0 / 3.0;
            p.moulds[n].depth *= 2.0 / 3.0;
        });
    }
    for (n, freezer) in plan.freezers.iter().enumerate() {
        let words = format!("clear the {} freezer for twice as many moulds", freezer.name);
        push(&mut ways, plan, words, |p| p.freezers[n].holds *= 2);
    }
    for (n, place) in plan.places.iter().enumerate().filter(|(_, place)| place.name == "home") {
        let words = format!("a Saturday and a Sunday at {}, 09:00 to 21:00", place.name);
        push(&mut ways, plan, words, |p| {
            p.places[n].hours.extend("Sat-Sun 09:00-21:00".parse().ok());
        });
    }
    ornaments(plan, &mut ways);
    ways
}

fn ornaments(plan: &Plan, ways: &mut Vec<WayOut>) {
    for (n, ornament) in plan.ornaments.iter().enumerate() {
        let name = &ornament.name;
        for thickness in [5.0, 4.0, 3.0].map(millimetres) {
            if thickness < ornament.thickness {
                let words = format!(
                    "roll “{name}” {} thick",
                    crate::units::show_length(thickness, plan.units)
                );
                push(ways, plan, words, |p| p.ornaments[n].thickness = thickness);
            }
        }
        match ornament.method {
            Method::Air => {
                if !plan.ovens.is_empty() {
                    let at = celsius(95.0);
                    let words = format!("bake “{name}” instead of drying it in the room");
                    push(ways, plan, words, |p| {
                        p.ornaments[n].method = Method::Oven { oven: 0, at }
                    });
                }
            }
            Method::Oven { oven, at } => {
                push(
                    ways,
                    plan,
                    format!("dry “{name}” in the room instead of baking it"),
                    |p| {
                        p.ornaments[n].method = Method::Air;
                    },
                );
                let hotter = celsius((in_celsius(at) + 10.0).min(105.0));
                if hotter > at {
                    let words = format!(
                        "bake “{name}” at {}",
                        crate::units::show_temperature(hotter, plan.units)
                    );
                    push(ways, plan, words, |p| {
                        p.ornaments[n].method = Method::Oven { oven, at: hotter };
                    });
                }
            }
        }
    }
}

fn push(ways: &mut Vec<WayOut>, plan: &Plan, words: String, change: impl FnOnce(&mut Plan)) {
    let mut changed = plan.clone();
    change(&mut changed);
    ways.push(WayOut { words, changed });
}

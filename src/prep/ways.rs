//! Ways of drying that the file leaves to the plan: in the room where that is in time,
//! since nobody stands beside it, else in the oven.

use chrono::{DateTime, Utc};

use super::{Durations, Laid, LayError, draft::Serves, solve};
use crate::planfile::{Choice, Method, Ornament, Plan};

/// A plan of which every batch has its way of drying.
pub struct Decided {
    /// The plan.
    pub plan: Plan,
    /// What was decided, and why.
    pub notes: Vec<String>,
}

/// Decides what the file leaves open: all in the room first; those that are late there
/// in their oven, unless that is no better.
///
/// # Errors
/// As [`solve`].
pub fn decide(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
) -> Result<Decided, LayError> {
    let mut plan = plan.clone();
    let open: Vec<(usize, Choice)> = plan
        .ornaments
        .iter()
        .enumerate()
        .filter_map(|(n, ornament)| Some((n, ornament.choice?)))
        .collect();
    if open.is_empty() {
        return Ok(Decided { plan, notes: Vec::new() });
    }
    let late = unserved(&solve(&plan, now, durations)?);
    let baked = open.iter().filter(|(n, _)| late.contains(n));
    let baked: Vec<_> = baked.filter_map(|(n, choice)| Some((*n, choice.oven?))).collect();
    for (n, (oven, at)) in &baked {
        plan.ornaments[*n].method = Method::Oven { oven: *oven, at: *at };
    }
    let still = if baked.is_empty() { late } else { unserved(&solve(&plan, now, durations)?) };
    for (n, _) in baked.iter().filter(|(n, _)| still.contains(n)) {
        plan.ornaments[*n].method = Method::Air;
    }
    let told = |(n, choice): &(usize, Choice)| note(&plan.ornaments[*n], choice, still.contains(n));
    let notes = open.iter().map(told).collect();
    Ok(Decided { plan, notes })
}

/// Batches that are not given in time, by their positions.
fn unserved(laid: &Laid) -> Vec<usize> {
    let goals = laid.solution.unserved().into_iter();
    goals
        .filter_map(|goal| match laid.draft.goals[goal.0].serves {
            Serves::Gift { ornament } => Some(ornament),
            Serves::Session { .. } => None,
        })
        .collect()
}

/// How a batch is dried, and why.
fn note(ornament: &Ornament, choice: &Choice, late: bool) -> String {
    let name = &ornament.name;
    let way = match (ornament.method, late, choice.oven) {
        (Method::Oven { .. }, ..) => {
            format!("“{name}” is dried in the oven: in the room it would not be ready in time")
        }
        (Method::Air, false, _) => format!(
            "“{name}” is dried in the room: it is ready in time there, and nobody stands beside an oven"
        ),
        (Method::Air, true, Some(_)) => {
            format!("“{name}” is not ready in time, neither in the room nor in the oven")
        }
        (Method::Air, true, None) => {
            format!("“{name}” is not ready in time in the room, and the file names no oven for it")
        }
    };
    match choice.oven_then_air {
        true => {
            format!("{way}. Some hours in the oven and the rest in the room is not planned yet.")
        }
        false => format!("{way}."),
    }
}

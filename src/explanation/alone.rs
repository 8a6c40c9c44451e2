//! A plan with one session or gift alone, or without one: what is left out is long over,
//! so that all others keep their places in it.

use chrono::Days;

use crate::{planfile::Plan, prep::draft::Serves};

/// Longer ago than any plan reaches.
const LONG_AGO: Days = Days::new(4_000);

/// The plan with one goal alone.
pub fn alone(plan: &Plan, serves: Serves) -> Plan {
    let all = goals(plan);
    all.into_iter().filter(|other| *other != serves).fold(plan.clone(), without)
}

/// The plan without one of its goals.
pub fn without(mut plan: Plan, other: Serves) -> Plan {
    match other {
        Serves::Session { ice, session } => {
            let session = &mut plan.ice[ice].sessions[session];
            session.at = session.at.checked_sub_days(LONG_AGO).unwrap_or(session.at);
        }
        Serves::Gift { ornament } => {
            let ornament = &mut plan.ornaments[ornament];
            ornament.give = ornament.give.checked_sub_days(LONG_AGO).unwrap_or(ornament.give);
        }
    }
    plan
}

/// Every session and gift of a plan.
pub fn goals(plan: &Plan) -> Vec<Serves> {
    let sessions = plan.ice.iter().enumerate().flat_map(|(ice, own)| {
        (0..own.sessions.len()).map(move |session| Serves::Session { ice, session })
    });
    let gifts = (0..plan.ornaments.len()).map(|ornament| Serves::Gift { ornament });
    sessions.chain(gifts).collect()
}

//! A plan with some of its sessions and gifts alone, or without one: what is left out is long
//! over, so that all others keep their places in it.

use chrono::{Days, NaiveDate};

use crate::{planfile::Plan, prep::draft::Serves};

/// Longer ago than any plan reaches.
const LONG_AGO: Days = Days::new(4_000);

/// The plan with some of its goals alone.
pub fn only(plan: &Plan, kept: &[Serves]) -> Plan {
    goals(plan).into_iter().filter(|goal| !kept.contains(goal)).fold(plan.clone(), without)
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

/// The day of a session or a gift.
pub fn day(plan: &Plan, serves: Serves) -> NaiveDate {
    match serves {
        Serves::Session { ice, session } => plan.ice[ice].sessions[session].at.date_naive(),
        Serves::Gift { ornament } => plan.ornaments[ornament].give,
    }
}

/// Every session and gift of a plan.
pub fn goals(plan: &Plan) -> Vec<Serves> {
    let sessions = plan.sessions().map(|(ice, session)| Serves::Session { ice, session });
    let gifts = (0..plan.ornaments.len()).map(|ornament| Serves::Gift { ornament });
    sessions.chain(gifts).collect()
}

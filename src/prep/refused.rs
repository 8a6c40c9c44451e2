//! What planning refuses, thing by thing: for who checks a file before it is planned.

use chrono::{DateTime, Utc};

use super::{Durations, LayError, Look, solve_slower};
use crate::planfile::{Plan, Table};

/// Why something of a plan cannot be planned at all.
#[derive(Debug)]
pub struct Refused {
    /// The activity, by its table and its position there; none for the whole plan.
    pub of: Option<(Table, usize)>,
    /// Why.
    pub error: LayError,
}

/// All that planning refuses; nothing where it makes a plan, be it one that cannot be kept.
pub fn refused(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Vec<Refused> {
    let error = |plan: &Plan| solve_slower(plan, now, (durations, durations), Look::QUICK).err();
    let alone = Plan { ice: Vec::new(), ornaments: Vec::new(), done: Vec::new(), ..plan.clone() };
    let ice = plan.ice.iter().enumerate().filter_map(|(n, ice)| {
        let error = error(&Plan { ice: vec![ice.clone()], ..alone.clone() })?;
        Some(Refused { of: Some((Table::Ice, n)), error })
    });
    let ornaments = plan.ornaments.iter().enumerate().filter_map(|(n, ornament)| {
        let error = error(&Plan { ornaments: vec![ornament.clone()], ..alone.clone() })?;
        Some(Refused { of: Some((Table::Ornament, n)), error })
    });
    let found: Vec<Refused> = ice.chain(ornaments).collect();
    if !found.is_empty() {
        return found;
    }
    error(plan).map(|error| Refused { of: None, error }).into_iter().collect()
}

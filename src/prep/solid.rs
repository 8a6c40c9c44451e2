//! A session goes on with what is solid where some of its blocks stay wet for too long.

use std::borrow::Cow;

use chrono::{DateTime, Utc};

use super::{
    draft::Serves,
    durations::Durations,
    error::LayError,
    kept::KeptPlan,
    lay::{Laid, solve},
    trips::SessionAt,
};
use crate::{planfile::Plan, scheduler::GoalId};

/// Makes the steps of a plan and schedules them; without those blocks of a session that were seen
/// to be wet where it is packed by now, or cannot be served with them and nobody is at home again
/// before it leaves. The plan with what its sessions go without.
///
/// # Errors
/// As [`solve`].
pub fn served<'p>(
    plan: &'p Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
) -> Result<(Cow<'p, Plan>, Laid), LayError> {
    let laid = solve(plan, now, durations)?;
    let Some(kept) = KeptPlan::of(plan, laid.draft.clock) else {
        return Ok((Cow::Borrowed(plan), laid));
    };
    let unserved = laid.solution.unserved();
    let blocks = |ice: usize| (plan.ice[ice].mould, plan.ice[ice].freezer);
    let lack = |goal: &GoalId| match laid.draft.goals[goal.0] {
        Serves::Session { ice, .. } => Some(blocks(ice)),
        Serves::Gift { .. } => None,
    };
    let lacking: Vec<_> = unserved.iter().filter_map(lack).collect();
    // The session that takes what is wet need not be the one that the search left out for it.
    let left_behind = |at: &SessionAt| {
        kept.is_packed(*at) || lacking.contains(&blocks(at.0)) && kept.is_last_look(*at)
    };
    let mut fewer = plan.clone();
    for at in plan.sessions().filter(left_behind) {
        let (solid, wet) = kept.solid_and_wet(at);
        if solid > 0 {
            fewer.ice[at.0].sessions[at.1].without = wet;
        }
    }
    if fewer == *plan {
        return Ok((Cow::Borrowed(plan), laid));
    }
    let less = solve(&fewer, now, durations)?;
    let helps = unserved.is_empty() || less.solution.unserved().len() < unserved.len();
    Ok(if helps { (Cow::Owned(fewer), less) } else { (Cow::Borrowed(plan), laid) })
}

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
/// to be wet where it is packed by now, or cannot be served with them. The plan with what its
/// sessions go without.
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
    let left_behind = |at: &SessionAt| {
        let serves = Serves::Session { ice: at.0, session: at.1 };
        let goal = laid.draft.goals.iter().position(|goal| *goal == serves);
        kept.is_packed(*at) || goal.is_some_and(|goal| unserved.contains(&GoalId(goal)))
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

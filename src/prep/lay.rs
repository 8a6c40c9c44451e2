//! From a sound plan to its steps with their times: made, back-scheduled, followed.

use std::ops::Range;

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::{
    begun::{begun, begun_at},
    chains::usual_way,
    choose::{Look, choose},
    chosen::Chosen,
    clock::Clock,
    done::{goal_over, take_as_done},
    draft::{Draft, LEVELS, LIKELY, Note, Serves},
    durations::Durations,
    error::LayError,
    follow::Followed,
    kept::KeptPlan,
    place::solution,
    replay::replay,
    round::Begun,
    schedule::Status,
    steps::{Shared, add_ice, add_ornament},
    tell::{Timetable, steps},
    trips::SessionAt,
};
use crate::{
    planfile::{Happened, Method, Plan},
    scheduler::{ActivityId, GoalId, Solution, broken, sittings::Terms},
};

/// A school year and its summer, days.
const FARTHEST: i64 = 400;

/// Steps of one plan: a daily activity all the school year, and the rest of it.
const MOST_STEPS: usize = 3_500;

/// Steps of a session at the least, whose blocks are frozen in class with those of another: set
/// out, use and drain.
const STEPS_OF_A_SESSION: usize = 3;

/// A plan laid out, with what it was laid out from.
pub struct Laid {
    /// The steps and waits.
    pub draft: Draft,
    /// When each task starts.
    pub solution: Solution,
    /// Goals that it is shown that no plan can serve beside the others.
    pub shown: Vec<GoalId>,
    /// What the plan costs her, in minutes of her comfort; none where there is none.
    pub price: Option<f64>,
    /// The same by what is paid for, but for moves.
    pub terms: Option<Terms>,
    /// The work of the search for it, in labels.
    pub labels: u64,
}

impl Laid {
    /// What is known before anything is explained.
    pub fn status(&self) -> Status {
        match (self.solution.unserved().is_empty(), self.shown.is_empty()) {
            (true, _) => Status::Found,
            (false, true) => Status::NotFound,
            (false, false) => Status::Impossible,
        }
    }

    /// The steps of what can be served, followed in every kitchen; what cannot is left out and
    /// not explained.
    ///
    /// # Errors
    /// [`LayError`] when a thing of the plan is outside the physics' range.
    pub fn timetable(
        &self,
        plan: &Plan,
        durations: &dyn Durations,
    ) -> Result<Timetable<'_>, LayError> {
        let Self { draft, solution, .. } = self;
        let replay = replay(plan, draft, solution, durations)?;
        let followed = Followed { plan, draft, solution, replay: &replay, durations };
        let mut steps = steps(draft, solution);
        followed.add_to(&mut steps);
        let reserves = followed.reserves(&steps);
        Ok(Timetable { steps, reserves, chances: replay.chances })
    }
}

/// Makes the steps of a plan and schedules them.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range.
pub fn solve(plan: &Plan, now: DateTime<Utc>, durations: &dyn Durations) -> Result<Laid, LayError> {
    solve_slower(plan, now, (durations, durations), Look::WHOLE)
}

/// The same, looking only so far, and searched with slower durations than those that it is laid out
/// with where more time is to be kept than is likely to be needed.
///
/// # Errors
/// As [`solve`].
pub fn solve_slower(
    plan: &Plan,
    now: DateTime<Utc>,
    (slower, durations): (&dyn Durations, &dyn Durations),
    look: Look,
) -> Result<Laid, LayError> {
    let clock = clock(plan, now)?;
    let last = plan.kept.as_ref().and_then(|kept| kept.happened.last());
    let bad_news = last.is_some_and(Happened::is_not_ready);
    let levels = if bad_news { 1 } else { LEVELS.len() };
    let none = Chosen::default();
    if let Some(stays) = stays(plan, now, (clock, 0..levels), &none, (slower, durations))? {
        return Ok(stays);
    }
    let chosen = most_served(plan, now, slower, look)?;
    // What became less sure stays where nothing surer is found, and what was left out is still.
    let levels = usize::from(chosen.left_out() == 0)..chosen.worst() + 1;
    if let Some(stays) = stays(plan, now, (clock, levels), &chosen, (slower, durations))? {
        return Ok(stays);
    }
    let draft = draft(plan, now, clock, (&chosen, durations))?;
    let solution = solution(&draft, &chosen);
    let shown = shown(&draft, &chosen);
    let Chosen { price, terms, labels, .. } = chosen;
    Ok(Laid { draft, solution, shown, price, terms, labels })
}

/// What is chosen for the plan. Where a whole search leaves something out it has spent its effort on
/// how sure that may be; a quick one that asks for less may serve more.
fn most_served(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    look: Look,
) -> Result<Chosen, LayError> {
    let whole = chosen(plan, now, durations, look)?;
    let likely = Look { levels: LIKELY + 1, ..Look::QUICK };
    // It begins with the same search, and would be given up after that.
    let given_up = whole.first_labels > likely.most;
    if whole.left_out() == 0 || look.levels <= likely.levels || given_up {
        return Ok(whole);
    }
    let quick = chosen(plan, now, durations, likely)?;
    let fewer = quick.price.is_some() && quick.left_out() < whole.left_out();
    Ok(if fewer { quick.shown_by(&whole) } else { whole })
}

/// The plan that is kept, where what is still to come of it breaks no rule at one of some
/// levels of sureness, and it leaves nothing out but what another leaves out too.
fn stays(
    plan: &Plan,
    now: DateTime<Utc>,
    (clock, levels): (Clock, Range<usize>),
    other: &Chosen,
    (slower, durations): (&dyn Durations, &dyn Durations),
) -> Result<Option<Laid>, LayError> {
    let Some(kept) = KeptPlan::of(plan, clock) else { return Ok(None) };
    for level in levels {
        let mut chosen = kept.stay(level);
        chosen.leave_out(other);
        if !enough(plan, now, &chosen) {
            return Ok(None);
        }
        let checked = draft(plan, now, clock, (&chosen, slower))?;
        let mut solution = solution(&checked, &chosen);
        let unserved = solution.unserved();
        let activities = checked.problem.activities.iter().zip(&checked.tasks).enumerate();
        let to_come = activities
            .filter(|(_, (activity, task))| !task.done && !unserved.contains(&activity.goal));
        for (number, (_, task)) in to_come {
            match kept.start(&task.id) {
                Some(start) => solution.starts[number] = Some(start),
                None => return Ok(None),
            }
        }
        if broken(&checked.problem, &solution).is_empty() {
            let draft = draft(plan, now, clock, (&chosen, durations))?;
            let shown = shown(&draft, &chosen);
            return Ok(Some(Laid {
                draft,
                solution,
                shown,
                price: None,
                terms: None,
                labels: chosen.labels,
            }));
        }
    }
    Ok(None)
}

/// Whether each session to come is served and has its blocks, but for those that are left out.
fn enough(plan: &Plan, now: DateTime<Utc>, chosen: &Chosen) -> bool {
    plan.sessions().filter(|at| !chosen.unserved.contains_key(at)).all(|at| {
        let ice = &plan.ice[at.0];
        let session = &ice.sessions[at.1];
        let wanted = ice.wanted(session, &plan.groups[session.group]) as usize;
        let takers = chosen.rounds.values().flatten().flat_map(|round| &round.takers);
        let has_all = || takers.filter(|taker| **taker == at).count() == wanted;
        session.at <= now || chosen.serves(at) && has_all()
    })
}

/// The time line of a plan.
fn clock(plan: &Plan, now: DateTime<Utc>) -> Result<Clock, LayError> {
    // Before a search that would take its time and memory for so many.
    let steps = STEPS_OF_A_SESSION * plan.sessions().count();
    if steps > MOST_STEPS {
        return Err(LayError::TooManySteps { steps, most: MOST_STEPS });
    }
    Ok(Clock::new(plan.zone, now, near(last_day(plan, now), plan, now)?))
}

/// Makes the steps of a plan, those done taken as done.
fn draft(
    plan: &Plan,
    now: DateTime<Utc>,
    clock: Clock,
    (chosen, durations): (&Chosen, &dyn Durations),
) -> Result<Draft, LayError> {
    let mut draft = Draft::new(clock);
    let shared = Shared::book(&mut draft, plan);
    add_ice(&mut draft, plan, &shared, (chosen, durations))?;
    short(&draft)?;
    for ornament in 0..plan.ornaments.len() {
        let dried = chosen.batches.get(&ornament);
        let way =
            dried.map_or_else(|| usual_way(plan, durations, clock, ornament), |dried| dried.way);
        let first = draft.tasks.len();
        add_ornament(&mut draft, plan, &shared, (ornament, way), durations)?;
        for (task, start) in dried.into_iter().flat_map(|dried| &dried.starts) {
            draft.place(ActivityId(first + task), Some(*start));
        }
        let own = &plan.ornaments[ornament];
        if matches!(own.method, Method::Any(_)) && dried.is_some() {
            draft.notes.push(Note::Dried(ornament, way.dried()));
        }
        short(&draft)?;
    }
    draft.problem.sittings = shared.hours;
    let kept = KeptPlan::of(plan, clock);
    for goal in over(&draft, plan, now) {
        let serves = draft.goals[goal.0];
        let held = match (&kept, serves) {
            (Some(kept), Serves::Session { ice, session }) => kept.serves((ice, session)),
            _ => true,
        };
        draft.notes.push(Note::Over(serves));
        let to_come = |at: &SessionAt| plan.ice[at.0].sessions[at.1].at >= now;
        goal_over(&mut draft, goal, held, to_come);
    }
    take_as_done(&mut draft, plan)?;
    Ok(draft)
}

/// What is chosen for the plan. Where some of it is done, a search that begins before that
/// says which rounds were followed; what is in the freezer of them stays there.
///
/// # Errors
/// [`LayError`] when a thing of the plan is outside the physics' range.
pub fn chosen(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    look: Look,
) -> Result<Chosen, LayError> {
    let clock = clock(plan, now)?;
    if let Some(kept) = KeptPlan::of(plan, clock) {
        return Ok(choose(plan, clock, durations, look, &kept.begun())?);
    }
    let mut followed = Begun::default();
    if !plan.done.is_empty() {
        let last = last_day(plan, now) + Days::new(1);
        let before = Clock::new(plan.zone, begun_at(plan, now), last);
        let by = clock.floor(before.instant(0));
        let afresh = Plan { done: Vec::new(), ..plan.clone() };
        let chosen = choose(&afresh, before, durations, look, &followed)?.later(by);
        followed = begun(plan, clock, durations, chosen)?;
    }
    Ok(choose(plan, clock, durations, look, &followed)?)
}

/// The goals that no plan can serve.
fn shown(draft: &Draft, chosen: &Chosen) -> Vec<GoalId> {
    let never = |serves: Serves| match serves {
        Serves::Session { ice, session } => chosen.unserved.get(&(ice, session)),
        Serves::Gift { ornament } => chosen.late.get(&ornament),
    };
    let never = |goal: &usize| never(draft.goals[*goal]).copied().unwrap_or(false);
    (0..draft.goals.len()).filter(never).map(GoalId).collect()
}

/// The goals whose time is past.
fn over(draft: &Draft, plan: &Plan, now: DateTime<Utc>) -> Vec<GoalId> {
    let today = now.with_timezone(&plan.zone).date_naive();
    let past = |serves: Serves| match serves {
        Serves::Session { ice, session } => plan.ice[ice].sessions[session].at < now,
        Serves::Gift { ornament } => plan.ornaments[ornament].give < today,
    };
    (0..draft.goals.len()).filter(|goal| past(draft.goals[*goal])).map(GoalId).collect()
}

/// The day after the last one, unless that is too far off.
fn near(last: NaiveDate, plan: &Plan, now: DateTime<Utc>) -> Result<NaiveDate, LayError> {
    let today = now.with_timezone(&plan.zone).date_naive();
    let days = last.signed_duration_since(today).num_days();
    match last.checked_add_days(Days::new(1)) {
        Some(end) if days <= FARTHEST => Ok(end),
        _ => Err(LayError::TooFar { last, today, days, most: FARTHEST }),
    }
}

fn short(draft: &Draft) -> Result<(), LayError> {
    match draft.problem.activities.len() {
        steps if steps > MOST_STEPS => Err(LayError::TooManySteps { steps, most: MOST_STEPS }),
        _ => Ok(()),
    }
}

/// The day of the last thing the plan is for, today at the earliest.
fn last_day(plan: &Plan, now: DateTime<Utc>) -> NaiveDate {
    let sessions = plan.ice.iter().flat_map(|ice| &ice.sessions);
    let gifts = plan.ornaments.iter().map(|ornament| ornament.give);
    let today = now.with_timezone(&plan.zone).date_naive();
    let last = sessions.map(|session| session.at.date_naive()).chain(gifts).max();
    last.unwrap_or(today).max(today)
}

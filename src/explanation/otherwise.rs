//! What a plan would cost with a step at another time at home.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::{Serialize, Serializer};

use crate::{
    planfile::{Opening, Plan, Span},
    prep::{Durations, Laid, LayError, draft::Task, settled},
    scheduler::{
        ActivityId,
        sittings::{Cost, MINUTE, Terms},
    },
    tables::Term,
};

/// The best plan that is found without the time at home in which a step is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Otherwise {
    /// What it costs more, in minutes of her comfort; none where no such plan is found.
    pub more: Option<f64>,
    /// What it costs more and less, by what is paid for, dearest first.
    pub terms: Vec<TermMore>,
}

/// What a plan costs more for one thing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TermMore {
    /// For what, by its row in `tables/prices.toml`.
    #[serde(serialize_with = "row")]
    pub what: Term,
    /// Minutes of her comfort more; less where negative.
    pub more: f64,
}

fn row<S: Serializer>(term: &Term, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(term.name())
}

/// What is lost with another time for a task at home; none for what is not done at home, is
/// done already, or stands in a plan that is kept and would not be planned so today.
///
/// # Errors
/// [`LayError`] as for the plan.
pub(super) fn otherwise(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    (laid, id): (&Laid, ActivityId),
) -> Result<Option<Otherwise>, LayError> {
    let Some(task) = laid.draft.tasks.get(id.0) else { return Ok(None) };
    let Some(start) = start_of(laid, id) else { return Ok(None) };
    let in_class = |place: &str| {
        plan.groups
            .iter()
            .filter_map(|group| plan.places.get(group.place))
            .any(|it| it.name == place)
    };
    if task.done || in_class(&task.place) {
        return Ok(None);
    }
    let fresh = Plan { kept: None, ..plan.clone() };
    let again = plan.kept.as_ref().map(|_| settled(&fresh, now, durations)).transpose()?;
    let best = again.as_ref().unwrap_or(laid);
    let (Some(terms), Some(there)) = (best.terms, find(best, task)) else { return Ok(None) };
    let Some(other) = without(&fresh, now, (task, start)).filter(|_| there == start) else {
        return Ok(None);
    };
    let other = settled(&other, now, durations)?;
    let served = other.solution.unserved().is_empty();
    Ok(Some(match other.terms.filter(|_| served) {
        None => Otherwise { more: None, terms: Vec::new() },
        Some(other) => Otherwise {
            more: Some(minutes(other.sum() - terms.sum())),
            terms: apart(&terms, &other),
        },
    }))
}

/// When a task of the same id starts.
fn find(laid: &Laid, task: &Task) -> Option<DateTime<Tz>> {
    let place = laid.draft.tasks.iter().position(|other| other.id == task.id)?;
    start_of(laid, ActivityId(place))
}

fn start_of(laid: &Laid, id: ActivityId) -> Option<DateTime<Tz>> {
    Some(laid.draft.clock.instant(laid.solution.start(id)?))
}

/// The plan with the hours of a task's place spelled out day by day, but for those in which
/// it is; none where it is not in such hours.
fn without(plan: &Plan, now: DateTime<Utc>, (task, start): (&Task, DateTime<Tz>)) -> Option<Plan> {
    let (day, time) = (start.date_naive(), start.time());
    let mut plan = plan.clone();
    let last = last_day(&plan)?;
    let place = plan.places.iter_mut().find(|place| place.name == task.place)?;
    let days = now.with_timezone(&plan.zone).date_naive().iter_days();
    let all: Vec<Opening> = days
        .take_while(|day| *day <= last)
        .flat_map(|day| {
            let open = place.hours.iter().filter(move |open| open.on(day));
            open.map(move |open| Opening { on: Span::Dates(day..=day), ..open.clone() })
        })
        .collect();
    let is_its = |open: &Opening| open.on(day) && open.from <= time && time < open.until;
    let rest: Vec<Opening> = all.iter().filter(|open| !is_its(open)).cloned().collect();
    let is_at_home = rest.len() < all.len();
    place.hours = rest;
    is_at_home.then_some(plan)
}

/// The last day on which a plan has anything.
fn last_day(plan: &Plan) -> Option<NaiveDate> {
    let sessions = plan.ice.iter().flat_map(|ice| &ice.sessions);
    let sessions = sessions.map(|session| session.at.date_naive());
    sessions.chain(plan.ornaments.iter().map(|ornament| ornament.give)).max()
}

fn apart(best: &Terms, other: &Terms) -> Vec<TermMore> {
    let terms = [
        (Term::Sitting, other.sittings - best.sittings),
        (Term::Hands, other.hands - best.hands),
        (Term::OddHour, other.dear - best.dear),
        (Term::DayKept, other.kept - best.kept),
        (Term::Round, other.rounds - best.rounds),
        (Term::OvenHour, other.steps - best.steps),
        (Term::DayLying, other.days - best.days),
        (Term::BufferFirst, other.late - best.late),
        (Term::CarriedAgain, other.apart - best.apart),
    ];
    let moved = terms.into_iter().filter(|(_, more)| *more != 0);
    let mut terms: Vec<TermMore> =
        moved.map(|(what, more)| TermMore { what, more: minutes(more) }).collect();
    terms.sort_by(|a, b| b.more.total_cmp(&a.more));
    terms
}

fn minutes(cost: Cost) -> f64 {
    cost as f64 / MINUTE as f64
}

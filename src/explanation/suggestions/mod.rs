//! Changes to a plan that may make an impossible goal possible, the smallest
//! of each kind first. Whether one works is tried elsewhere.

mod gift;
mod session;
#[cfg(test)]
mod tests;

use std::{fmt, rc::Rc};

use chrono::{DateTime, Utc};

use crate::{
    planfile::{Opening, Plan},
    prep::draft::Serves,
};
use gift::for_gift;
use session::for_session;

/// How a plan is changed.
type Change = Rc<dyn Fn(&mut Plan)>;

/// One change to the plan, in words, and how it is made.
#[derive(Clone)]
pub struct WayOut {
    /// What to change: `2 more fox moulds`.
    pub words: String,
    change: Change,
}

impl fmt::Debug for WayOut {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_tuple("WayOut").field(&self.words).finish()
    }
}

impl WayOut {
    fn new(words: impl Into<String>, change: impl Fn(&mut Plan) + 'static) -> Self {
        Self { words: words.into(), change: Rc::new(change) }
    }

    /// The plan with this change.
    pub fn changed(&self, plan: &Plan) -> Plan {
        let mut plan = plan.clone();
        (self.change)(&mut plan);
        plan
    }
}

/// Two changes made together.
pub fn both(a: &WayOut, b: &WayOut) -> WayOut {
    let (first, second) = (a.change.clone(), b.change.clone());
    WayOut::new(format!("{}, and {}", a.words, b.words), move |plan| {
        first(plan);
        second(plan);
    })
}

/// Changes for one goal, by kind, the smallest of each kind first.
pub fn candidates(plan: &Plan, now: DateTime<Utc>, serves: Serves) -> Vec<Vec<WayOut>> {
    let mut kinds = match serves {
        Serves::Session { ice, session } => for_session(plan, ice, session),
        Serves::Gift { ornament } => for_gift(plan, now, ornament),
    };
    kinds.retain(|kind| !kind.is_empty());
    kinds
}

/// More hours of hands in a place, one kind each.
fn hours(plan: &Plan, place: usize) -> Vec<Vec<WayOut>> {
    const MORE: [(&str, &str); 5] = [
        ("on Saturday and Sunday, 09:00 to 21:00", "Sat-Sun 09:00-21:00"),
        ("every evening, 17:00 to 22:00", "daily 17:00-22:00"),
        ("every morning, 05:30 to 07:30", "daily 05:30-07:30"),
        ("every afternoon, 12:30 to 18:00", "daily 12:30-18:00"),
        ("every day, 07:00 to 22:00", "daily 07:00-22:00"),
    ];
    let name = plan.places[place].name.clone();
    let more = |(words, hours): (&str, &str)| {
        let hours: Option<Opening> = hours.parse().ok();
        vec![WayOut::new(format!("somebody at {name} {words}"), move |plan| {
            plan.places[place].hours.extend(hours.clone());
        })]
    };
    MORE.map(more).to_vec()
}

fn more_hands(plan: &Plan, place: usize) -> Vec<WayOut> {
    let hands = plan.places[place].hands.unwrap_or(0) + 1;
    let words = format!("one pair of hands more at {}", plan.places[place].name);
    let hands = hands.max(2);
    vec![WayOut::new(words, move |plan| plan.places[place].hands = Some(hands))]
}

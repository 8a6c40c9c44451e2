//! What stands in the way of a session or a gift: facts of the plan that cannot all be
//! true. Each is let go in turn, and what the plan cannot be kept without is what is left.

use std::cell::Cell;

use chrono::{DateTime, Days, Utc};

use super::{
    alone::{alone, without},
    let_go::LetGo,
};
use crate::{
    planfile::{Days as Weekdays, Finish, Opening, Plan},
    prep::{
        Chosen, Durations, Look, chosen,
        draft::{LEVELS, Serves},
        dry_hours,
    },
    units::ThermodynamicTemperature,
};

/// How many times more there is of a thing where it is let go.
const AMPLE: u32 = 8;

/// Dates that ice may be made ahead where that is let go.
const LONG_AHEAD: u32 = 10;

/// Days by which a moment is put off where it is let go.
const PUT_OFF: u64 = 28;

/// A fact of the plan that is in the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Blame {
    /// Something else is kept.
    Kept(Serves),
    /// A freezer is too warm for a mould ever to be sure; where it is known, the warmest
    /// air that would do.
    TooWarm {
        /// The freezer, by its place in the plan.
        freezer: usize,
        /// That air.
        warmest: Option<ThermodynamicTemperature>,
    },
    /// Blocks of an ice activity take so many hours to freeze.
    Freezing(f64),
    /// There are so many of a mould.
    Moulds(usize),
    /// A freezer has only so much room.
    Room(usize),
    /// Hands are free in a place only in its hours.
    Hours(usize),
    /// Ice is made only so many dates ahead.
    Ahead,
    /// A session begins when it does, counted from now.
    Begins {
        /// The ice activity.
        ice: usize,
        /// Its session.
        session: usize,
    },
    /// The cool box keeps blocks only so many hours.
    CoolBox(f64),
    /// There is one pair of hands for a place.
    OneHands(usize),
    /// Pieces of a batch take so many hours to dry through.
    Drying(f64),
    /// Coats take so many hours to dry, all together.
    Coats(f64),
    /// A batch is given by its day.
    Given(usize),
    /// A group meets only on its days.
    Meets(usize),
    /// An oven takes only so many pieces at a time.
    Oven(usize),
    /// Parents are asked for the photos of a batch a week ahead.
    Photos(usize),
}

/// The plan with some facts let go.
#[derive(Clone)]
struct World {
    plan: Plan,
    now: DateTime<Utc>,
    let_go: LetGo,
}

/// What one search costs beside its labels: the physics is asked, and steps are made.
const OVERHEAD: u64 = 3_000;

/// Effort that is left for explaining.
pub struct Budget {
    /// In labels of the search.
    labels: Cell<u64>,
    look: Look,
}

impl Budget {
    /// So many labels, for searches that go down to one of the levels of sureness.
    pub fn new(labels: u64, level: usize) -> Self {
        let look = Look { levels: level + 1, ..Look::QUICK };
        Self { labels: Cell::new(labels), look }
    }

    /// Whether there is none left.
    pub fn is_spent(&self) -> bool {
        self.labels.get() == 0
    }

    /// What is chosen for a plan in a quick look; none where nothing is left to find that out.
    pub fn chosen(
        &self,
        plan: &Plan,
        now: DateTime<Utc>,
        durations: &dyn Durations,
    ) -> Option<Chosen> {
        if self.is_spent() {
            return None;
        }
        let chosen = chosen(plan, now, durations, self.look).ok();
        let labels = chosen.as_ref().map_or(0, |chosen| chosen.labels);
        self.labels.set(self.labels.get().saturating_sub(labels + OVERHEAD));
        chosen
    }
}

/// Facts that cannot all be true while all but any one of them could, as far as the
/// budget reaches.
pub fn blame(
    plan: &Plan,
    now: DateTime<Utc>,
    durations: &dyn Durations,
    (serves, others): (Serves, &[Serves]),
    budget: &Budget,
) -> Vec<Blame> {
    if let Some(too_warm) = super::warmth::too_warm(plan, durations, serves) {
        return vec![too_warm];
    }
    let own = facts(plan, durations, serves, LEVELS[budget.look.levels - 1]);
    let served = |world: &World| {
        let quick = world.let_go.of(durations);
        let chosen = budget.chosen(&world.plan, world.now, &quick);
        chosen.is_some_and(|chosen| chosen.serves_goal(serves))
    };
    let of = |plan: Plan| World { plan, now, let_go: LetGo::default() };
    let world = of(alone(plan, serves));
    if !served(&world) {
        return smallest(world, &own, &served, budget);
    }
    let kept = others.iter().map(|other| Blame::Kept(*other)).collect::<Vec<_>>();
    smallest(of(plan.clone()), &[&own[..], &kept].concat(), &served, budget)
}

/// Lets go of each fact that is not needed for the clash, and keeps the others.
fn smallest(
    mut world: World,
    facts: &[Blame],
    served: &dyn Fn(&World) -> bool,
    budget: &Budget,
) -> Vec<Blame> {
    let mut needed = Vec::new();
    for fact in facts {
        if budget.is_spent() {
            break;
        }
        let without = world.without(fact);
        if served(&without) {
            needed.push(*fact);
        } else {
            world = without;
        }
    }
    needed
}

/// The facts that may be in the way, those first that people would look at last.
fn facts(plan: &Plan, durations: &dyn Durations, serves: Serves, chance: f64) -> Vec<Blame> {
    match serves {
        Serves::Session { ice, session } => {
            let own = &plan.ice[ice];
            let (mould, freezer) = (&plan.moulds[own.mould], &plan.freezers[own.freezer]);
            let room = plan.groups[own.sessions[session].group].place;
            let count = mould.own.min(mould.on_places(freezer.holds)).max(1);
            let hours = durations.freeze(mould, freezer, count);
            let keeps = durations.keeping(mould, plan.room);
            vec![
                Blame::CoolBox(keeps.map_or(0.0, |keeping| keeping.cool_box_h)),
                Blame::OneHands(room),
                Blame::Ahead,
                Blame::Room(own.freezer),
                Blame::Moulds(own.mould),
                Blame::Hours(freezer.place),
                Blame::Freezing(hours.map_or(f64::INFINITY, |hours| hours.point(chance))),
                Blame::Begins { ice, session },
            ]
        }
        Serves::Gift { ornament } => {
            let own = &plan.ornaments[ornament];
            let coats =
                own.finish.iter().map(|finish| durations.coats(*finish, plan.room).all_h()).sum();
            let meets = own.groups.iter().map(|group| Blame::Meets(*group));
            let oven = own.method.oven().map(|(oven, _)| Blame::Oven(oven));
            let photos = own.finish.contains(&Finish::Photo).then_some(Blame::Photos(ornament));
            let dry = dry_hours(plan, durations, ornament, chance);
            meets
                .chain(oven)
                .chain(photos)
                .chain([
                    Blame::Hours(plan.made_at(own)),
                    Blame::Coats(coats),
                    Blame::Drying(dry),
                    Blame::Given(ornament),
                ])
                .collect()
        }
    }
}

impl World {
    /// The same with one fact let go.
    fn without(&self, fact: &Blame) -> Self {
        let mut world = self.clone();
        let plan = &mut world.plan;
        match *fact {
            Blame::Kept(other) => *plan = without(plan.clone(), other),
            Blame::TooWarm { .. } => {}
            Blame::Freezing(_) => world.let_go.freezing = true,
            Blame::CoolBox(_) => world.let_go.cool_box = true,
            Blame::Drying(_) => world.let_go.drying = true,
            Blame::Coats(_) => world.let_go.coats = true,
            Blame::Moulds(mould) => plan.moulds[mould].own *= AMPLE,
            Blame::Room(freezer) => plan.freezers[freezer].holds *= AMPLE,
            Blame::Hours(place) => {
                plan.places[place].hours.extend("daily 06:00-22:00".parse::<Opening>().ok());
            }
            Blame::Ahead => plan.wishes.ahead = LONG_AHEAD,
            Blame::Begins { .. } => world.now = self.now - Days::new(PUT_OFF / 4),
            Blame::OneHands(place) => plan.places[place].hands = Some(2),
            Blame::Given(ornament) => {
                let day = plan.ornaments[ornament].give;
                plan.ornaments[ornament].give = day + Days::new(PUT_OFF);
                plan.closed.clear();
            }
            Blame::Meets(group) => {
                plan.groups[group].days = Weekdays::DAILY;
                plan.closed.clear();
            }
            Blame::Oven(oven) => plan.ovens[oven].trays *= AMPLE,
            Blame::Photos(ornament) => {
                plan.ornaments[ornament].finish.retain(|finish| *finish != Finish::Photo);
            }
        }
        world
    }
}

//! What stands in the way of a session or a gift: facts of the plan that cannot all be
//! true. Each is let go in turn, and what the plan cannot be kept without is what is left.

use chrono::{Days, NaiveDate};

use super::{
    alone::{day, without},
    budget::{Budget, World},
    obstacle::Blame,
    warmth::too_warm,
};
use crate::{
    planfile::{Days as Weekdays, Finish, Method, Opening, Plan},
    prep::{
        Durations,
        draft::{LEVELS, Serves},
        dry_hours,
    },
};

/// How many times more there is of a thing where it is let go.
const AMPLE: u32 = 8;

/// Dates that ice may be made ahead where that is let go.
const LONG_AHEAD: u32 = 10;

/// Days by which a moment is put off where it is let go.
const PUT_OFF: u64 = 28;

/// Other goals beside which one is looked at, those nearest to it: so many, then more, then all.
const NEAREST: [usize; 5] = [1, 2, 4, 8, usize::MAX];

/// Of those, so many may be named as what is kept.
const MOST_KEPT: usize = 8;

/// Times at which she is away that are looked at, at most.
const MOST_AWAY: usize = 3;

/// What came of letting go of the facts one by one.
#[derive(Debug, Default)]
pub struct Blamed {
    /// Facts that cannot all be true while all but any one of them could.
    pub needed: Vec<Blame>,
    /// Facts without which the goal is not served either, all let go together.
    pub needless: Vec<Blame>,
}

/// The facts in the way, as far as the budget reaches: of a goal alone, else beside as few as
/// can be of the `others`, which are served, the nearest first.
pub fn blame(
    world: &World,
    durations: &dyn Durations,
    (serves, others): (Serves, &[Serves]),
    budget: &Budget<'_>,
) -> Blamed {
    if let Some(too_warm) = too_warm(&world.plan, durations, serves) {
        return Blamed { needed: vec![too_warm], needless: Vec::new() };
    }
    let mut own = facts(&world.plan, durations, serves, LEVELS[budget.level()]);
    // Before what takes long, and the day itself.
    let last = own.iter().position(|fact| matches!(fact, Blame::Freezing { .. } | Blame::Coats(_)));
    let last = last.unwrap_or(own.len());
    own.splice(last..last, away(world, serves));
    let conflict = Conflict { serves, budget, most: 0 };
    let alone = world.only(&[serves]);
    if !conflict.is_served(&alone) {
        return conflict.smallest(alone, &own);
    }
    for nearest in NEAREST {
        let beside = &others[..nearest.min(others.len())];
        let most = budget.left_out(&world.only(beside), None);
        let conflict = Conflict { most, ..conflict };
        let both = world.only(&[beside, &[serves]].concat());
        if !conflict.is_served(&both) {
            // With fewer others each further search is shorter.
            let kept = beside.iter().take(MOST_KEPT).rev().map(|other| Blame::Kept(*other));
            let facts: Vec<Blame> = kept.chain(own).collect();
            return conflict.smallest(both, &facts);
        }
    }
    Blamed::default()
}

/// A goal that is not served.
#[derive(Clone, Copy)]
struct Conflict<'a> {
    serves: Serves,
    budget: &'a Budget<'a>,
    /// Goals that are left out without it.
    most: usize,
}

impl Conflict<'_> {
    fn is_served(&self, world: &World) -> bool {
        self.budget.serves(world, self.serves, self.most)
    }

    /// Lets go of each fact that is not needed for the clash, and keeps the others.
    fn smallest(&self, mut world: World, facts: &[Blame]) -> Blamed {
        let whole = world.clone();
        let mut blamed = Blamed::default();
        // What suffices alone is in every clash: it is told even where there is no time for more.
        let takes_long = |fact: &&Blame| {
            matches!(fact, Blame::Freezing { .. } | Blame::Drying { .. })
                && self.is_served(&world.without(fact))
        };
        let takes_long = facts.iter().find(takes_long);
        for fact in facts {
            if takes_long == Some(fact) {
                blamed.needed.push(*fact);
                continue;
            }
            if self.budget.is_spent() {
                continue;
            }
            let without = world.without(fact);
            if self.is_served(&without) {
                blamed.needed.push(*fact);
            } else {
                blamed.needless.push(*fact);
                world = without;
            }
        }
        self.single(&whole, &blamed).unwrap_or(blamed)
    }

    /// One fact that is in the way by itself, whatever becomes of all the others; where there are
    /// several that only do so together, letting go of one of these would not help.
    fn single(&self, world: &World, blamed: &Blamed) -> Option<Blamed> {
        if blamed.needed.len() < 2 {
            return None;
        }
        let all = || blamed.needed.iter().chain(&blamed.needless);
        let others = |fact: &Blame| all().filter(|other| *other != fact).copied().collect();
        let in_the_way = |fact: &&Blame| {
            let others: Vec<Blame> = others(fact);
            let alone = others.iter().fold(world.clone(), |world, other| world.without(other));
            !self.budget.is_spent() && !self.is_served(&alone)
        };
        let mut own = blamed.needless.iter().filter(|fact| !matches!(fact, Blame::Kept(_)));
        let fact = own.find(in_the_way)?;
        Some(Blamed { needed: vec![*fact], needless: others(fact) })
    }
}

/// The facts that may be in the way, those first that people would look at last.
fn facts(plan: &Plan, durations: &dyn Durations, serves: Serves, chance: f64) -> Vec<Blame> {
    match serves {
        Serves::Session { ice, session } => {
            let own = &plan.ice[ice];
            let (mould, freezer) = (&plan.moulds[own.mould], &plan.freezers[own.freezer]);
            let session_of = &own.sessions[session];
            let group = &plan.groups[session_of.group];
            let count = mould.own.min(mould.on_places(freezer.holds)).max(1);
            let hours = durations.freeze(mould, freezer, count);
            let hours = hours.map_or(f64::INFINITY, |hours| hours.point(chance));
            let keeps = durations.keeping(mould, own.wanted(session_of, group), plan.room);
            vec![
                Blame::CoolBox(keeps.map_or(0.0, |keeping| keeping.cool_box_h)),
                Blame::OneHands(group.place),
                Blame::Ahead,
                Blame::Room(own.freezer),
                Blame::Moulds(own.mould),
                Blame::Hours(freezer.place),
                Blame::Freezing { hours, chance },
                Blame::Begins { ice, session },
            ]
        }
        Serves::Gift { ornament } => gift_facts(plan, durations, ornament, chance),
    }
}

/// The last times before a goal at which she is away.
fn away(world: &World, serves: Serves) -> Vec<Blame> {
    let plan = &world.plan;
    let today = world.now.with_timezone(&plan.zone).date_naive();
    let by = day(plan, serves);
    let between = |number: &usize| {
        let days = &plan.away[*number].days;
        *days.start() <= by && today <= *days.end()
    };
    let mut away: Vec<usize> = (0..plan.away.len()).filter(between).collect();
    away.sort_by_key(|number| std::cmp::Reverse(*plan.away[*number].days.start()));
    away.into_iter().take(MOST_AWAY).map(Blame::Away).collect()
}

fn gift_facts(plan: &Plan, durations: &dyn Durations, gift: usize, chance: f64) -> Vec<Blame> {
    let own = &plan.ornaments[gift];
    let made_at = plan.made_at(own);
    let rooms = plan.rooms_of(own);
    let coats = own.finish.iter().map(|finish| durations.coats(*finish, plan.room).all_h()).sum();
    let mut facts: Vec<Blame> = rooms.iter().map(|room| Blame::OneHands(*room)).collect();
    facts.extend(own.groups.iter().map(|group| Blame::Meets(*group)));
    facts.extend(own.method.oven().map(|(oven, _)| Blame::Oven(oven)));
    facts.extend(own.finish.contains(&Finish::Photo).then_some(Blame::Photos(gift)));
    facts.extend(rooms.iter().filter(|room| **room != made_at).map(|room| Blame::Hours(*room)));
    facts.extend([
        Blame::Hours(made_at),
        Blame::Coats(coats),
        Blame::Drying {
            hours: dry_hours(plan, durations, gift, chance),
            chance,
            baked: matches!(own.method, Method::Oven(_) | Method::OvenThenAir(_)),
        },
        Blame::Given(gift),
    ]);
    facts
}

impl World {
    /// The same with one fact let go.
    fn without(&self, fact: &Blame) -> Self {
        let mut world = self.clone();
        let plan = &mut world.plan;
        match *fact {
            Blame::Kept(other) => *plan = without(plan.clone(), other),
            Blame::TooWarm { .. } => {}
            Blame::Freezing { .. } => world.let_go.freezing = true,
            Blame::CoolBox(_) => world.let_go.cool_box = true,
            Blame::Drying { .. } => world.let_go.drying = true,
            Blame::Coats(_) => world.let_go.coats = true,
            Blame::Moulds(mould) => plan.moulds[mould].own *= AMPLE,
            Blame::Room(freezer) => plan.freezers[freezer].holds *= AMPLE,
            Blame::Hours(place) => {
                plan.places[place].hours.extend("daily 06:00-23:00".parse::<Opening>().ok());
                if plan.is_room(place) {
                    // Whoever is in class for longer is not missed at home.
                    let home = plan.home();
                    plan.places[home].hands.get_or_insert(1);
                }
            }
            Blame::Away(number) => {
                // What is left out is long over, so that all others keep their places.
                let days = &mut plan.away[number].days;
                *days = NaiveDate::MIN..=NaiveDate::MIN;
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

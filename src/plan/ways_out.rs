//! Changes to a plan that may make an impossible goal possible, the smallest
//! of each kind first. Whether one works is tried elsewhere.

use std::{fmt, rc::Rc};

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::{
    draft::Serves,
    file::{Blocks, Finish, Freezer, Method, Opening, Plan, Spare},
    steps::{day_words, named, pieces, wait_words},
};
use crate::matter::brine::brine_boiling_point;
use crate::transfer::psychrometrics::standard_pressure;
use crate::units::{
    Length, System, ThermodynamicTemperature, celsius, in_celsius, in_fraction, in_hours,
    millimetres, percents, show_temperature,
};

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

fn for_session(plan: &Plan, n: usize, s: usize) -> Vec<Vec<WayOut>> {
    let ice = &plan.ice[n];
    let mut kinds = vec![
        more_moulds(plan, ice.mould),
        fewer_blocks(plan, n, s),
        later_session(plan, n, s),
        lower_fill(plan, ice.mould),
        other_mould(plan, n),
        colder(plan, ice.freezer),
        freezer_room(plan, ice.freezer),
        other_freezer(plan, n),
        freezer_in_class(plan, n, s),
        shorter_way(plan, n),
    ];
    kinds.extend(hours(plan, plan.freezers[ice.freezer].place));
    kinds.push(more_hands(plan, plan.groups[ice.sessions[s].group].place));
    kinds.push(more_hands(plan, plan.freezers[ice.freezer].place));
    kinds
}

fn for_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<Vec<WayOut>> {
    let home = match plan.ornaments[n].method {
        Method::Oven { oven, .. } => plan.ovens[oven].place,
        Method::Air => plan.places.iter().position(|place| place.name == "home").unwrap_or(0),
    };
    let mut kinds = vec![thinner(plan, n), other_method(plan, n), hotter(plan, n), drier(plan, n)];
    kinds.push(later_gift(plan, now, n));
    kinds.extend(hours(plan, home));
    kinds.push(fewer_finishes(plan, n));
    kinds.push(no_spares(plan, n));
    kinds.push(more_hands(plan, home));
    kinds
}

fn more_moulds(plan: &Plan, mould: usize) -> Vec<WayOut> {
    let name = format!("more {} mould", plan.moulds[mould].name);
    let more = |count: u32| {
        let words = match count {
            1 => format!("1 {name}"),
            _ => format!("{count} {name}s"),
        };
        WayOut::new(words, move |plan| plan.moulds[mould].own += count)
    };
    [1, 2, 4, 8].map(more).to_vec()
}

/// Blocks are shared, or a few lie on the table for all.
fn fewer_blocks(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let ice = &plan.ice[n];
    let group = &plan.groups[ice.sessions[s].group];
    let wanted = match ice.blocks {
        Blocks::Each => group.children,
        Blocks::Number(number) => number,
    };
    let fewer = [wanted.div_ceil(2), 4, 2, 1].into_iter().filter(|few| *few < wanted);
    fewer
        .map(|few| {
            let words = format!("{} in all for “{}”, to share", pieces(few, "block"), ice.name);
            WayOut::new(words, move |plan| {
                plan.ice[n].blocks = Blocks::Number(few);
                plan.ice[n].spare = 0;
                plan.ice[n].sessions.iter_mut().for_each(|session| session.spare = None);
            })
        })
        .collect()
}

/// The group's next days of class, at the same time of day.
fn later_session(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let session = &plan.ice[n].sessions[s];
    let group = &plan.groups[session.group];
    let (name, at) = (group.name.clone(), session.at);
    let later = |days: u64| at.checked_add_days(Days::new(days));
    let days = (1..=10).filter_map(later).filter(|at| plan.meets(group, at.date_naive()));
    days.map(|at| {
        let words =
            format!("“{}” for {name} on {} instead", plan.ice[n].name, day_words(at.date_naive()));
        WayOut::new(words, move |plan| plan.ice[n].sessions[s].at = at)
    })
    .collect()
}

fn lower_fill(plan: &Plan, mould: usize) -> Vec<WayOut> {
    let name = plan.moulds[mould].name.clone();
    let fill = |(words, share): (&str, f64)| {
        WayOut::new(format!("fill the {name} moulds {words}"), move |plan| {
            plan.moulds[mould].volume *= share;
            plan.moulds[mould].depth *= share;
        })
    };
    [("to two thirds", 2.0 / 3.0), ("half full", 0.5)].map(fill).to_vec()
}

fn other_mould(plan: &Plan, n: usize) -> Vec<WayOut> {
    let others = plan.moulds.iter().enumerate().filter(|(m, _)| *m != plan.ice[n].mould);
    others
        .map(|(m, mould)| {
            let words = format!("the {} moulds for “{}”", mould.name, plan.ice[n].name);
            WayOut::new(words, move |plan| plan.ice[n].mould = m)
        })
        .collect()
}

fn colder(plan: &Plan, freezer: usize) -> Vec<WayOut> {
    let Some(usual) = usual_where_warmer(&plan.freezers[freezer]) else { return Vec::new() };
    let name = named(&plan.freezers[freezer].name, "freezer");
    let words = format!("the {name} at {}", show_temperature(usual, plan.units));
    vec![WayOut::new(words, move |plan| plan.freezers[freezer].air = Some(usual))]
}

/// What a freezer is meant to hold, for one that is warmer; 0 °F is not.
fn usual_where_warmer(freezer: &Freezer) -> Option<ThermodynamicTemperature> {
    let warmer = freezer.air.is_some_and(|air| in_celsius(air) > -17.0);
    warmer.then(|| celsius(-18.0))
}

fn freezer_room(plan: &Plan, freezer: usize) -> Vec<WayOut> {
    let name = named(&plan.freezers[freezer].name, "freezer");
    let room = |more: u32| {
        let words = format!("room for {} more in the {name}", pieces(more, "mould"));
        WayOut::new(words, move |plan| plan.freezers[freezer].holds += more)
    };
    [2, 4, 8].map(room).to_vec()
}

fn other_freezer(plan: &Plan, n: usize) -> Vec<WayOut> {
    let others = plan.freezers.iter().enumerate().filter(|(f, _)| *f != plan.ice[n].freezer);
    others
        .map(|(f, freezer)| {
            let words = format!("freeze in the {} instead", named(&freezer.name, "freezer"));
            WayOut::new(words, move |plan| plan.ice[n].freezer = f)
        })
        .collect()
}

/// Filled and frozen where the children are, in a freezer as cold as it should be.
fn freezer_in_class(plan: &Plan, n: usize, s: usize) -> Vec<WayOut> {
    let ice = &plan.ice[n];
    let room = plan.groups[ice.sessions[s].group].place;
    let this = &plan.freezers[ice.freezer];
    if this.place == room {
        return Vec::new();
    }
    let place = plan.places[room].name.clone();
    let colder = usual_where_warmer(this);
    let at = colder.map(|air| format!(" ({})", show_temperature(air, plan.units)));
    let at = at.unwrap_or_default();
    let words = format!("freeze in a freezer at {place}{at}, filled and turned out there");
    vec![WayOut::new(words, move |plan| {
        let mut there = plan.freezers[plan.ice[n].freezer].clone();
        there.place = room;
        there.name = format!("{place} freezer");
        there.air = colder.or(there.air);
        plan.freezers.push(there);
        plan.ice[n].freezer = plan.freezers.len() - 1;
        plan.ice[n].travel = crate::units::hours(0.0);
    })]
}

/// Blocks kept somewhere nearer to class.
fn shorter_way(plan: &Plan, n: usize) -> Vec<WayOut> {
    let travel = plan.ice[n].travel;
    let shorter = |share: f64| {
        let words = format!("freeze them {} from class", wait_words(in_hours(share * travel)));
        WayOut::new(words, move |plan| plan.ice[n].travel = share * travel)
    };
    if travel < crate::units::hours(1.0) {
        return Vec::new();
    }
    [0.5, 0.25, 0.1].map(shorter).to_vec()
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

fn thinner(plan: &Plan, n: usize) -> Vec<WayOut> {
    let inch = |sixteenths: f64| millimetres(25.4 * sixteenths / 16.0);
    let sizes: Vec<(&str, Length)> = match plan.units {
        System::Us => {
            vec![
                ("3/8 in", inch(6.0)),
                ("1/4 in", inch(4.0)),
                ("3/16 in", inch(3.0)),
                ("1/8 in", inch(2.0)),
            ]
        }
        System::Metric => vec![
            ("8 mm", millimetres(8.0)),
            ("6 mm", millimetres(6.0)),
            ("5 mm", millimetres(5.0)),
            ("4 mm", millimetres(4.0)),
            ("3 mm", millimetres(3.0)),
        ],
    };
    let thinner = sizes.into_iter().filter(|(_, size)| *size < 0.99 * plan.ornaments[n].thickness);
    thinner
        .map(|(words, thickness)| {
            let words = format!("roll “{}” {words} thick", plan.ornaments[n].name);
            WayOut::new(words, move |plan| plan.ornaments[n].thickness = thickness)
        })
        .collect()
}

fn other_method(plan: &Plan, n: usize) -> Vec<WayOut> {
    let name = &plan.ornaments[n].name;
    match plan.ornaments[n].method {
        Method::Oven { .. } => {
            let words = format!("dry “{name}” in the room instead of baking it");
            vec![WayOut::new(words, move |plan| plan.ornaments[n].method = Method::Air)]
        }
        Method::Air => {
            let at = celsius(93.0);
            let bake = |oven: usize| {
                let words = format!(
                    "bake “{name}” in the {} at {}",
                    named(&plan.ovens[oven].name, "oven"),
                    show_temperature(at, plan.units)
                );
                WayOut::new(words, move |plan| plan.ornaments[n].method = Method::Oven { oven, at })
            };
            (0..plan.ovens.len()).map(bake).collect()
        }
    }
}

/// Above this setting the brine in a wet core boils and the piece may puff.
fn hottest(plan: &Plan) -> ThermodynamicTemperature {
    celsius(in_celsius(brine_boiling_point(standard_pressure(plan.room.altitude))) - 3.0)
}

fn hotter(plan: &Plan, n: usize) -> Vec<WayOut> {
    let Method::Oven { oven, at } = plan.ornaments[n].method else { return Vec::new() };
    let top = hottest(plan);
    let settings =
        [0.5, 1.0].map(|share| in_celsius(at) + share * (in_celsius(top) - in_celsius(at)));
    let settings = settings.into_iter().filter(|set| *set > in_celsius(at) + 1.0);
    settings
        .map(|set| {
            let at = celsius(set);
            let words = format!(
                "bake “{}” at {}",
                plan.ornaments[n].name,
                show_temperature(at, plan.units)
            );
            WayOut::new(words, move |plan| plan.ornaments[n].method = Method::Oven { oven, at })
        })
        .collect()
}

/// What dries in the room: the dough itself, or its coats.
fn drier(plan: &Plan, n: usize) -> Vec<WayOut> {
    let ornament = &plan.ornaments[n];
    if ornament.method != Method::Air && ornament.finish.iter().all(|step| *step == Finish::Wrap) {
        return Vec::new();
    }
    let drier = [55.0, 40.0].into_iter().filter(|h| *h < 100.0 * in_fraction(plan.room.humidity));
    drier
        .map(|humidity| {
            WayOut::new(format!("a heated room, at {humidity:.0} % humidity"), move |plan| {
                plan.room.humidity = percents(humidity);
            })
        })
        .collect()
}

/// Later days on which all its groups can still be given their pieces.
fn later_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<WayOut> {
    let ornament = &plan.ornaments[n];
    let today = now.with_timezone(&plan.zone).date_naive();
    let first = ornament.give.max(today);
    let days = [1, 2, 3, 4, 7, 10, 14, 21, 28]
        .iter()
        .filter_map(|on| first.checked_add_days(Days::new(*on)));
    let days = days.filter(|day| in_class(plan, n, *day));
    days.map(|day| {
        let words = format!("give “{}” by {}", ornament.name, day_words(day));
        WayOut::new(words, move |plan| plan.ornaments[n].give = day)
    })
    .collect()
}

fn in_class(plan: &Plan, n: usize, day: NaiveDate) -> bool {
    let groups = || plan.ornaments[n].groups.iter().filter_map(|group| plan.groups.get(*group));
    let week = || (0..7).filter_map(|back| day.checked_sub_days(Days::new(back)));
    groups().any(|group| plan.meets(group, day))
        && groups().all(|group| week().any(|day| plan.meets(group, day)))
}

fn fewer_finishes(plan: &Plan, n: usize) -> Vec<WayOut> {
    let ornament = &plan.ornaments[n];
    let without = |(finish, words): (Finish, &str)| {
        let words = format!("“{}” without {words}", ornament.name);
        ornament.finish.contains(&finish).then(|| {
            WayOut::new(words, move |plan| {
                plan.ornaments[n].finish.retain(|step| *step != finish);
            })
        })
    };
    let steps =
        [(Finish::Photo, "the photo"), (Finish::Seal, "the sealer"), (Finish::Paint, "paint")];
    steps.into_iter().filter_map(without).collect()
}

fn no_spares(plan: &Plan, n: usize) -> Vec<WayOut> {
    let words = format!("no spare pieces of “{}”", plan.ornaments[n].name);
    vec![WayOut::new(words, move |plan| plan.ornaments[n].spare = Spare::Number(0))]
}

#[cfg(test)]
#[path = "ways_out_tests.rs"]
mod tests;

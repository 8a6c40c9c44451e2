//! What may make a batch of ornaments possible.

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::{WayOut, hours, more_hands};
use crate::properties::brine::brine_boiling_point;
use crate::transfer::psychrometrics::standard_pressure;
use crate::units::{
    Length, System, ThermodynamicTemperature, celsius, in_celsius, in_fraction, millimetres,
    percents, show_temperature,
};
use crate::{
    planfile::{Finish, Method, Oven, OvenKind, Plan, Spare},
    prep::steps::{day_words, named},
};

pub(super) fn for_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<Vec<WayOut>> {
    let home = match plan.ornaments[n].method {
        Method::Oven { oven, .. } => plan.ovens[oven].place,
        Method::Air => home(plan),
    };
    let mut kinds = vec![thinner(plan, n), other_method(plan, n), hotter(plan, n), drier(plan, n)];
    kinds.push(later_gift(plan, now, n));
    kinds.extend(hours(plan, home));
    kinds.push(fewer_finishes(plan, n));
    kinds.push(bare(plan, n));
    kinds.push(no_spares(plan, n));
    kinds.push(more_hands(plan, home));
    kinds
}

pub(super) fn thinner(plan: &Plan, n: usize) -> Vec<WayOut> {
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

pub(super) fn other_method(plan: &Plan, n: usize) -> Vec<WayOut> {
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
            if plan.ovens.is_empty() {
                return vec![borrowed_oven(plan, n, at)];
            }
            (0..plan.ovens.len()).map(bake).collect()
        }
    }
}

/// An ordinary one with one ordinary tray, 13 by 18 in (common practice, no source), where
/// the dough is made.
fn borrowed_oven(plan: &Plan, n: usize, at: ThermodynamicTemperature) -> WayOut {
    let oven = Oven {
        name: "borrowed".to_owned(),
        kind: OvenKind::Still,
        trays: 1,
        tray: (millimetres(330.0), millimetres(460.0)),
        place: home(plan),
    };
    let (name, at_words) = (&plan.ornaments[n].name, show_temperature(at, plan.units));
    let words = format!("bake “{name}” at {at_words} in an oven, which the plan has not");
    WayOut::new(words, move |plan| {
        plan.ovens.push(oven.clone());
        plan.ornaments[n].method = Method::Oven { oven: plan.ovens.len() - 1, at };
    })
}

/// Where dough is made that no oven calls elsewhere.
fn home(plan: &Plan) -> usize {
    plan.places.iter().position(|place| place.name == "home").unwrap_or(0)
}

/// Above this setting the brine in a wet core boils and the piece may puff.
fn hottest(plan: &Plan) -> ThermodynamicTemperature {
    celsius(in_celsius(brine_boiling_point(standard_pressure(plan.room.altitude))) - 3.0)
}

pub(super) fn hotter(plan: &Plan, n: usize) -> Vec<WayOut> {
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
pub(super) fn drier(plan: &Plan, n: usize) -> Vec<WayOut> {
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
pub(super) fn later_gift(plan: &Plan, now: DateTime<Utc>, n: usize) -> Vec<WayOut> {
    let ornament = &plan.ornaments[n];
    let today = now.with_timezone(&plan.zone).date_naive();
    let first = ornament.give.max(today);
    let days = (1..=28).filter_map(|on| first.checked_add_days(Days::new(on)));
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

pub(super) fn fewer_finishes(plan: &Plan, n: usize) -> Vec<WayOut> {
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

/// Nothing put on after drying, where that is more than one thing.
pub(super) fn bare(plan: &Plan, n: usize) -> Vec<WayOut> {
    let ornament = &plan.ornaments[n];
    let coats = ornament.finish.iter().filter(|step| **step != Finish::Wrap).count();
    if coats < 2 {
        return Vec::new();
    }
    let words = format!("“{}” bare, with no paint, photo or sealer", ornament.name);
    vec![WayOut::new(words, move |plan| {
        plan.ornaments[n].finish.retain(|step| *step == Finish::Wrap);
    })]
}

pub(super) fn no_spares(plan: &Plan, n: usize) -> Vec<WayOut> {
    let words = format!("no spare pieces of “{}”", plan.ornaments[n].name);
    vec![WayOut::new(words, move |plan| plan.ornaments[n].spare = Spare::Number(0))]
}

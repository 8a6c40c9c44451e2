//! Suggestions in words.

use chrono::{DateTime, NaiveTime};
use chrono_tz::Tz;

use super::{
    blame::how_sure,
    words::{self, pieces, wait_words},
};
use crate::{
    explanation::{Change, Fill, MoreHours, Suggestion, conflict::WayOut},
    planfile::{Finish, Method, Plan},
    units::{
        Locale, ThermodynamicTemperature, in_fraction, in_hours, show_temperature, show_thickness,
    },
};

/// A way out as [`suggestion`] says it; where it is less sure than what is explained, with the
/// chance that it gives.
pub fn way_out(plan: &Plan, way: &WayOut) -> String {
    let change = suggestion(plan, &way.change);
    match way.chance {
        Some(chance) => format!("{change} ({})", how_sure(chance)),
        None => change,
    }
}

/// `2 more fox moulds`, `6 blocks in all for “Paint on ice”, to share`, for the plan as
/// it is before the change.
pub fn suggestion(plan: &Plan, suggestion: &Suggestion) -> String {
    suggestion.0.iter().map(|change| words(plan, change)).collect::<Vec<_>>().join(", and ")
}

fn words(plan: &Plan, change: &Change) -> String {
    let locale = plan.locale();
    let place = |n: usize| &plan.places[n].name;
    let mould = |n: usize| &plan.moulds[n].name;
    let ice = |n: usize| &plan.ice[n].name;
    let ornament = |n: usize| &plan.ornaments[n].name;
    let freezer = |n: usize| words::freezer(plan, n);
    match *change {
        Change::Hours { place: n, more } => {
            format!("somebody at {} {}", place(n), hours(more, locale))
        }
        Change::HoursOn { place: n, day: on, from, until } => {
            let [from, until] = [from, until].map(|time| locale.time(&time));
            format!("somebody at {} {from} to {until} on {}", place(n), locale.day(&on))
        }
        Change::Hands { place: n } => format!("one pair of hands more at {}", place(n)),
        Change::Moulds { mould: n, more } => {
            let tin = plan.moulds.get(n).is_some_and(|mould| mould.cups > 1);
            pieces(more, &format!("more {} {}", mould(n), if tin { "tin" } else { "mould" }))
        }
        Change::Fill { mould: n, to } => format!("fill the {} moulds {}", mould(n), fill(to)),
        Change::Shared { ice: n, blocks } => {
            format!("{} in all for “{}”, to share", pieces(blocks, "block"), ice(n))
        }
        Change::SessionAt { ice: n, session, at } => {
            let session = &plan.ice[n].sessions[session];
            let group = &plan.groups[session.group].name;
            format!("“{}” for {group} {} instead", ice(n), moved(session.at, at, locale))
        }
        Change::Ahead { days } => format!("fill ice up to {days} days ahead"),
        Change::Mould { ice: n, mould: m } => format!("the {} moulds for “{}”", mould(m), ice(n)),
        Change::Freezer { freezer: n, .. } => format!("freeze in the {} instead", freezer(n)),
        Change::FreezerAt { place: n, air, .. } => {
            let at = air.map_or_else(String::new, |air| format!(" ({})", degrees(plan, air)));
            format!("freeze in a freezer at {}{at}, filled and turned out there", place(n))
        }
        Change::Travel { lasts, .. } => {
            format!("freeze them {} from class", wait_words(in_hours(lasts)))
        }
        Change::Air { freezer: n, air } => format!("the {} at {}", freezer(n), degrees(plan, air)),
        Change::Room { freezer: n, more } => {
            format!("room for {} more in the {}", pieces(more, "mould"), freezer(n))
        }
        Change::Thickness { ornament: n, thickness } => {
            format!("roll “{}” {} thick", ornament(n), show_thickness(thickness, plan.units))
        }
        Change::Method { ornament: n, method } => dried(plan, n, method),
        Change::BorrowedOven { ornament: n, at } => {
            let at = degrees(plan, at);
            format!("bake “{}” at {at} in an oven, which the plan has not", ornament(n))
        }
        Change::Tray { oven: n } => {
            let trays = pieces(plan.ovens[n].trays + 1, "tray");
            format!("{trays} at once in the {}", words::oven(plan, n))
        }
        Change::Humidity(humidity) => {
            format!("a heated room, at {:.0} % humidity", 100.0 * in_fraction(humidity))
        }
        Change::Give { ornament: n, day: on } => {
            format!("give “{}” by {}", ornament(n), locale.day(&on))
        }
        Change::Without { ornament: n, finish } => {
            format!("“{}” without {}", ornament(n), coat(finish))
        }
        Change::Bare { ornament: n } => {
            format!("“{}” bare, with no paint, photo or sealer", ornament(n))
        }
        Change::NoSpares { ornament: n } => format!("no spare pieces of “{}”", ornament(n)),
        Change::NoSpareBlocks { ice: n } => format!("no spare blocks for “{}”", ice(n)),
    }
}

/// Another time of the day, or another day.
fn moved(from: DateTime<Tz>, to: DateTime<Tz>, locale: Locale) -> String {
    match from.date_naive() == to.date_naive() {
        true => format!("at {}", locale.time(&to)),
        false => format!("on {}", locale.day(&to)),
    }
}

fn degrees(plan: &Plan, at: ThermodynamicTemperature) -> String {
    show_temperature(at, plan.units)
}

fn hours(more: MoreHours, locale: Locale) -> String {
    let (days, [from, until]) = match more {
        MoreHours::Weekend => ("on Saturday and Sunday", [(9, 0), (21, 0)]),
        MoreHours::Evenings => ("every evening", [(17, 0), (22, 0)]),
        MoreHours::Mornings => ("every morning", [(5, 30), (7, 30)]),
        MoreHours::Afternoons => ("every afternoon", [(12, 30), (18, 0)]),
        MoreHours::AllDay => ("every day", [(7, 0), (22, 0)]),
    };
    let time =
        |(hour, minute)| locale.time(&NaiveTime::from_hms_opt(hour, minute, 0).unwrap_or_default());
    format!("{days}, {} to {}", time(from), time(until))
}

fn fill(to: Fill) -> &'static str {
    match to {
        Fill::TwoThirds => "to two thirds",
        Fill::Half => "half full",
    }
}

fn coat(finish: Finish) -> &'static str {
    match finish {
        Finish::Paint => "paint",
        Finish::Photo => "the photo",
        Finish::Seal => "the sealer",
        Finish::Wrap => "wrapping",
    }
}

/// Another way to dry, or another setting of the same oven.
fn dried(plan: &Plan, n: usize, method: Method) -> String {
    let ornament = &plan.ornaments[n];
    let name = &ornament.name;
    let Some((oven, at)) = method.oven() else {
        return format!("dry “{name}” in the room instead of baking it");
    };
    let at = degrees(plan, at);
    if ornament.method.oven().is_none() {
        return format!("bake “{name}” in the {} at {at}", words::oven(plan, oven));
    }
    format!("bake “{name}” at {at}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{System, celsius, millimetres};

    fn said(change: Change) -> String {
        let plan = crate::planfile::read(include_str!("../../demo/forest-fortnight.toml"))
            .unwrap_or_else(|faults| panic!("{faults:#?}"));
        let plan = Plan { units: System::Metric, ..plan };
        suggestion(&plan, &change.into())
    }

    #[test]
    fn each_change_is_said_as_something_to_do() {
        for (change, words) in [
            (Change::Moulds { mould: 0, more: 1 }, "1 more fox mould"),
            (Change::Moulds { mould: 0, more: 2 }, "2 more fox moulds"),
            (Change::Fill { mould: 0, to: Fill::Half }, "fill the fox moulds half full"),
            (Change::Ahead { days: 5 }, "fill ice up to 5 days ahead"),
            (
                Change::Air { freezer: 0, air: celsius(-18.0) },
                "the kitchen freezer at \u{2212}18 °C",
            ),
            (
                Change::Hours { place: 0, more: MoreHours::Evenings },
                "somebody at class every evening, 17:00 to 22:00",
            ),
            (
                Change::Thickness { ornament: 0, thickness: millimetres(5.0) },
                "roll “Photo ornaments” 5 mm thick",
            ),
            (
                Change::BorrowedOven { ornament: 0, at: celsius(93.0) },
                "bake “Photo ornaments” at 93 °C in an oven, which the plan has not",
            ),
            (
                Change::Without { ornament: 0, finish: Finish::Photo },
                "“Photo ornaments” without the photo",
            ),
            (Change::NoSpareBlocks { ice: 0 }, "no spare blocks for “Paint on ice”"),
        ] {
            assert_eq!(said(change), words);
        }
    }

    #[test]
    fn two_changes_are_said_together() {
        let plan = crate::planfile::read(include_str!("../../demo/forest-fortnight.toml"));
        let both = Suggestion(vec![
            Change::Moulds { mould: 0, more: 1 },
            Change::NoSpares { ornament: 0 },
        ]);
        let words = plan.map(|plan| suggestion(&plan, &both));
        assert_eq!(words.unwrap(), "1 more fox mould, and no spare pieces of “Photo ornaments”");
    }
}

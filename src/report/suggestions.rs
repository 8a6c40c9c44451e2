//! Suggestions in words.

use chrono::DateTime;
use chrono_tz::Tz;

use super::{
    blame::how_sure,
    words::{self, pieces, wait_words},
};
use crate::{
    explanation::{Change, Fill, MoreHours, Suggestion, conflict::WayOut},
    planfile::{Finish, Method, Opening, Plan},
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
    let own = |n: usize| format!("“{}”", plan.ornaments[plan.in_file(n)].name);
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
            let one = if plan.moulds[n].cups > 1 { "tin" } else { "mould" };
            pieces(more, &format!("more {} {one}", mould(n)))
        }
        Change::Fill { mould: n, to } => format!("fill the {} moulds {}", mould(n), fill(to)),
        Change::Shared { ice: n, blocks } => {
            format!("{} in all for “{}”, to share", pieces(blocks, "block"), ice(n))
        }
        Change::SessionAt { ice: n, session, at } => moved(plan, (n, session), at),
        Change::Ahead { days } => format!("fill ice up to {} ahead", pieces(days, "day")),
        Change::Mould { ice: n, mould: m } => format!("the {} moulds for “{}”", mould(m), ice(n)),
        Change::Freezer { freezer: n, .. } => format!("freeze in the {} instead", freezer(n)),
        Change::FreezerAt { place: n, air, .. } => freezer_at(plan, place(n), air),
        Change::Travel { lasts, .. } => {
            format!("freeze them {} from class", wait_words(in_hours(lasts)))
        }
        Change::Air { freezer: n, air } => format!("the {} at {}", freezer(n), degrees(plan, air)),
        Change::Room { freezer: n, more } => {
            format!("room for {} more in the {}", pieces(more, "mould"), freezer(n))
        }
        Change::Thickness { ornament: n, thickness } => {
            format!("roll {} {} thick", own(n), show_thickness(thickness, plan.units))
        }
        Change::Method { ornament: n, method } => dried(plan, n, method),
        Change::BorrowedOven { ornament: n, at } => {
            format!("bake {} at {} in an oven, which the plan has not", own(n), degrees(plan, at))
        }
        Change::Tray { oven: n } => {
            let trays = pieces(plan.ovens[n].trays + 1, "tray");
            format!("{trays} at once in the {}", words::oven(plan, n))
        }
        Change::Humidity(humidity) => {
            format!("a heated room, at {:.0} % humidity", 100.0 * in_fraction(humidity))
        }
        Change::Give { ornament: n, day: on } => {
            format!("give {} by {}", own(n), locale.day(&on))
        }
        Change::Without { ornament: n, finish } => format!("{} without {}", own(n), coat(finish)),
        Change::Bare { ornament: n } => format!("{} bare, with no paint, photo or sealer", own(n)),
        Change::NoSpares { ornament: n } => format!("no spare pieces of {}", own(n)),
        Change::NoSpareBlocks { ice: n } => format!("no spare blocks for “{}”", ice(n)),
    }
}

/// A session at another time of its day, or on another day.
fn moved(plan: &Plan, (ice, session): (usize, usize), to: DateTime<Tz>) -> String {
    let ice = &plan.ice[ice];
    let session = &ice.sessions[session];
    let to = match session.at.date_naive() == to.date_naive() {
        true => format!("at {}", plan.locale().time(&to)),
        false => format!("on {}", plan.locale().day(&to)),
    };
    format!("“{}” for {} {to} instead", ice.name, plan.groups[session.group].name)
}

/// A freezer that stands elsewhere, and its air where that is another one.
fn freezer_at(plan: &Plan, place: &str, air: Option<ThermodynamicTemperature>) -> String {
    let air = air.map_or_else(String::new, |air| format!(" ({})", degrees(plan, air)));
    format!("freeze in a freezer at {place}{air}, filled and turned out there")
}

fn degrees(plan: &Plan, at: ThermodynamicTemperature) -> String {
    show_temperature(at, plan.units)
}

fn hours(more: MoreHours, locale: Locale) -> String {
    let days = match more {
        MoreHours::Weekend => "on Saturday and Sunday",
        MoreHours::Evenings => "every evening",
        MoreHours::Mornings => "every morning",
        MoreHours::Afternoons => "every afternoon",
        MoreHours::AllDay => "every day",
    };
    let of =
        |hours: Opening| format!(", {} to {}", locale.time(&hours.from), locale.time(&hours.until));
    format!("{days}{}", more.opening().map(of).unwrap_or_default())
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
    let name = &plan.ornaments[plan.in_file(n)].name;
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
            (Change::Ahead { days: 1 }, "fill ice up to 1 day ahead"),
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

//! What stands in the way of a session or a gift, in words.

use super::words::{fact, freezer, goal, humid, wait_words};
use crate::{
    explanation::obstacle::Blame,
    planfile::{Absence, Part, Plan},
    prep::{
        durations::SURE,
        fact::{Always, Fact, Wait},
    },
    units::show_temperature,
};

/// One fact.
pub fn blame(plan: &Plan, blame: &Blame) -> String {
    let place = |place: usize| plan.places[place].name.as_str();
    match *blame {
        Blame::Kept(other) => format!("{} is to be kept", goal(plan, other)),
        Blame::TooWarm { freezer: n, warmest } => {
            let never = format!("the {} never freezes them for sure", freezer(plan, n));
            let (Some(warmest), Some(air)) = (warmest, plan.freezers[n].air) else { return never };
            let [air, warmest] = [air, warmest].map(|air| show_temperature(air, plan.units));
            if air == warmest {
                // In whole degrees they are the same, and would be read as good enough.
                return format!("{never}: its air is at {air}, and they need it a little colder");
            }
            format!("{never}: its air is at {air}, and they need {warmest} or colder")
        }
        Blame::Freezing { hours, chance } => {
            format!("freezing needs {} {}", wait_words(hours), how_sure(chance))
        }
        Blame::Moulds(mould) => fact(plan, Fact::Moulds(mould)),
        Blame::Room(n) => fact(plan, Fact::Room(n)),
        Blame::Hours(at) => fact(plan, Fact::Hours(at)),
        Blame::Away(number) => away(plan, &plan.away[number]),
        Blame::Ahead => fact(plan, Fact::Ahead),
        Blame::Begins { ice, session } => {
            let at = plan.ice[ice].sessions[session].at;
            format!("{} begins {}", plan.ice[ice].name, plan.locale().day_and_time(&at))
        }
        Blame::CoolBox(hours) => fact(plan, Fact::Wait(Wait::CoolBox, hours)),
        Blame::OneHands(at) => format!("there is one pair of hands at {}", place(at)),
        Blame::Drying { hours, chance, baked } if hours.is_finite() => {
            let baked = if baked { "baked once and then left in the room, " } else { "" };
            format!("{baked}drying through takes {} {}", wait_words(hours), how_sure(chance))
        }
        Blame::Drying { .. } => format!("{} such pieces are not sure to dry at all", humid(plan)),
        Blame::Coats(hours) if hours.is_finite() => {
            format!("paint, glue and sealer dry for {} in all", wait_words(hours))
        }
        Blame::Coats(_) => format!("{} paint, glue and sealer do not dry", humid(plan)),
        Blame::Photos(_) => fact(plan, Fact::Always(Always::PhotosAsked)),
        Blame::Given(ornament) => {
            format!("they are given by {}", plan.locale().day(&plan.ornaments[ornament].give))
        }
        Blame::Meets(group) => fact(plan, Fact::Meets(group)),
        Blame::Oven(oven) => fact(plan, Fact::Oven(oven)),
    }
}

/// `you are away Mon Dec 7 to Wed Dec 9`.
fn away(plan: &Plan, absence: &Absence) -> String {
    let [first, last] =
        [absence.days.start(), absence.days.end()].map(|day| plan.locale().day(day));
    let until = if first == last { String::new() } else { format!(" to {last}") };
    let part = match absence.part {
        Part::Whole => "",
        Part::Morning => ", in the morning",
        Part::Afternoon => ", in the afternoon",
        Part::Evening => ", in the evening",
    };
    format!("you are away {first}{until}{part}")
}

/// What a time holds for.
pub(super) fn how_sure(chance: f64) -> String {
    match chance >= SURE {
        true => "to be sure".to_owned(),
        false => format!("for a chance of {:.0} in 100", 100.0 * chance),
    }
}

//! What stands in the way of a session or a gift, in words.

use crate::{
    explanation::blame::Blame,
    planfile::Plan,
    prep::{
        draft::Serves,
        steps::{mould_words, named, pieces, wait_words},
    },
    units::{in_percents, show_temperature},
};

/// One fact; `goal` says what a session or gift is called.
pub fn blame<'a>(plan: &Plan, goal: &impl Fn(&Serves) -> &'a str, blame: &Blame) -> String {
    let place = |place: usize| plan.places[place].name.as_str();
    match *blame {
        Blame::Kept(other) => format!("{} is to be kept", goal(&other)),
        Blame::TooWarm { freezer, warmest } => {
            let freezer = &plan.freezers[freezer];
            let never =
                format!("the {} never freezes them for sure", named(&freezer.name, "freezer"));
            let (Some(warmest), Some(air)) = (warmest, freezer.air) else { return never };
            let [air, warmest] = [air, warmest].map(|air| show_temperature(air, plan.units));
            format!("{never}: its air is at {air}, and they need {warmest} or colder")
        }
        Blame::Freezing(hours) => format!("freezing needs {} to be sure", wait_words(hours)),
        Blame::Moulds(mould) => mould_words(&plan.moulds[mould]),
        Blame::Room(freezer) => {
            let freezer = &plan.freezers[freezer];
            let holds = pieces(freezer.holds, "mould");
            format!("the {} holds {holds} at once", named(&freezer.name, "freezer"))
        }
        Blame::Hours(at) => format!("hands are free at {} only in its hours", place(at)),
        Blame::Ahead => {
            format!("ice is filled at most {} ahead", pieces(plan.wishes.ahead, "day"))
        }
        Blame::Begins { ice, session } => {
            let at = plan.ice[ice].sessions[session].at;
            format!("{} begins {}", plan.ice[ice].name, plan.locale().day_and_time(&at))
        }
        Blame::CoolBox(hours) => format!("the cool box keeps them {}", wait_words(hours)),
        Blame::OneHands(at) => format!("there is one pair of hands at {}", place(at)),
        Blame::Drying(hours) if hours.is_finite() => {
            format!("drying through takes {} to be sure", wait_words(hours))
        }
        Blame::Drying(_) => format!("{} such pieces are not sure to dry at all", humid(plan)),
        Blame::Coats(hours) if hours.is_finite() => {
            format!("paint, glue and sealer dry for {} in all", wait_words(hours))
        }
        Blame::Coats(_) => format!("{} paint, glue and sealer do not dry", humid(plan)),
        Blame::Photos(_) => "parents are asked for photos a week ahead".to_owned(),
        Blame::Given(ornament) => {
            format!("they are given by {}", plan.locale().day(&plan.ornaments[ornament].give))
        }
        Blame::Meets(group) => {
            let group = &plan.groups[group];
            format!("{} meet on {}", group.name, group.day_words())
        }
        Blame::Oven(oven) => {
            format!("the {} takes one load at a time", named(&plan.ovens[oven].name, "oven"))
        }
    }
}

fn humid(plan: &Plan) -> String {
    format!("in a room at {:.0} % humidity", in_percents(plan.room.humidity))
}

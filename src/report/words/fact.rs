//! Facts of a plan in words.

use super::names::{freezer, humid, named, oven, pieces, served, wait_words};
use crate::{
    planfile::{Finish, Mould, Plan},
    prep::{
        draft::Serves,
        fact::{Always, Fact, Wait},
        what::Coat,
    },
};

/// A fact, to go on in a sentence.
pub fn fact(plan: &Plan, fact: Fact) -> String {
    let place = |place: usize| plan.places[place].name.as_str();
    let group = |group: usize| plan.groups[group].name.as_str();
    match fact {
        Fact::Always(of) => always(of).to_owned(),
        Fact::Wait(of, hours) => wait(plan, of, hours),
        Fact::NeverDry => format!("{} dough is not sure to dry at all", humid(plan)),
        Fact::Hands(at) => match plan.places[at].hands {
            Some(hands @ 2..) => format!("there are {hands} pairs of hands at {}", place(at)),
            _ => format!("there is 1 pair of hands at {}", place(at)),
        },
        Fact::Hours(at) => format!("hands are free at {} only in its hours", place(at)),
        Fact::Moulds(mould) => {
            let mould = &plan.moulds[mould];
            let verb = if mould.own == 1 { "is" } else { "are" };
            format!("there {verb} {}", pieces(mould.own, &format!("{} mould", mould.name)))
        }
        Fact::Room(of) => format!(
            "the {} holds {} at once; frozen and in bags, the blocks take a third of that room",
            freezer(plan, of),
            room(plan, of)
        ),
        Fact::Oven(of) => format!("the {} takes one load at a time", oven(plan, of)),
        Fact::OvenWatched(at) => format!("an oven in use at {} is not left alone", place(at)),
        Fact::Begins((ice, session)) => {
            let at = plan.locale().day_and_time(&plan.ice[ice].sessions[session].at);
            format!("{} begins {at}", served(plan, Serves::Session { ice, session }))
        }
        Fact::Ahead => format!("ice is filled at most {} ahead", pieces(plan.wishes.ahead, "day")),
        Fact::Meets(of) => format!("{} meet on {}", group(of), plan.groups[of].day_words()),
        Fact::MeetsLast(of, day) => {
            format!("{} meet last on {}", group(of), plan.locale().day(&day))
        }
    }
}

fn always(always: Always) -> &'static str {
    match always {
        Always::Order => "the steps follow one another in this order",
        Always::OneHands => "there is one pair of hands",
        Always::Wiped => "melt water is wiped up as the session ends",
        Always::PhotosAsked => "parents are asked for photos a week ahead",
        Always::PhotoSealed => "a photo is sealed within a week, before it curls",
        Always::PaintSealed => "painted pieces are sealed within two weeks",
        Always::RolledSoon => "mixed dough is rolled within two hours, before it dries out",
        Always::SameDay => "mixed dough is cut and in the oven or on the rack the same day",
        Always::NextDay => "a half-dried piece goes back into the oven the next day",
        Always::LastLoad => "cut dough is baked within two days, from the rack",
    }
}

fn wait(plan: &Plan, wait: Wait, hours: f64) -> String {
    let lasts = wait_words(hours);
    match wait {
        Wait::Freezing if hours.is_infinite() => {
            "this freezer never freezes them for sure".to_owned()
        }
        Wait::Freezing => format!("freezing needs {lasts} to be sure"),
        Wait::Tempers => format!(
            "a block is out {lasts} before it is touched, until it no longer sticks to skin"
        ),
        Wait::CoolBox => format!("the cool box keeps them {lasts}"),
        Wait::Cools => format!("a baked piece cools {lasts} first"),
        Wait::Firm => format!("on the rack they take {lasts} to be firm for sure"),
        Wait::Dry => format!("on the rack they take {lasts} to be dry through for sure"),
        Wait::Coat(coat) if hours.is_infinite() => {
            format!("{} {} does not dry", humid(plan), drying(coat).trim_end_matches(" dries"))
        }
        Wait::Coat(coat) => format!("{} for {lasts}", drying(coat)),
    }
}

/// What the hours that a fact gives are called, and that they allow it.
pub fn hours(plan: &Plan, fact: Fact) -> String {
    match fact {
        Fact::Hours(place) => format!("{} hours allow", plan.places[place].name),
        Fact::Meets(group) | Fact::MeetsLast(group, _) => {
            format!("class hours of {} allow", plan.groups[group].name)
        }
        _ => "the session allows".to_owned(),
    }
}

/// That another step takes what there is only so much of, as a fact says.
pub fn taken(plan: &Plan, fact: Fact) -> String {
    match fact {
        Fact::Moulds(mould) => format!("all {} moulds are taken by", plan.moulds[mould].name),
        Fact::Room(of) => format!("the {} is full with", freezer(plan, of)),
        Fact::Oven(of) => format!("the {} is taken by", oven(plan, of)),
        Fact::Hands(at) => format!("hands at {} are busy with", plan.places[at].name),
        Fact::OvenWatched(at) => format!("the oven at {} is watched during", plan.places[at].name),
        _ => "hands are busy with".to_owned(),
    }
}

/// How much a freezer holds: so many moulds or tins, each kind for itself where they differ.
pub(super) fn room(plan: &Plan, freezer: usize) -> String {
    let holds = plan.freezers[freezer].holds;
    let used = |n: usize| plan.ice.iter().any(|ice| ice.freezer == freezer && ice.mould == n);
    let moulds = || (0..plan.moulds.len()).filter(|n| used(*n)).map(|n| &plan.moulds[n]);
    let word = |mould: &Mould| if mould.cups > 1 { "tin" } else { "mould" };
    let alike =
        |word_of: &str| moulds().all(|mould| mould.to_a_place == 1 && word(mould) == word_of);
    if let Some(word) = ["mould", "tin"].into_iter().find(|word| alike(word)) {
        return pieces(holds, word);
    }
    let each = moulds()
        .map(|mould| pieces(mould.tins(mould.on_places(holds)), &named(&mould.name, word(mould))));
    each.collect::<Vec<_>>().join(" or ")
}

/// What goes on while a coat dries.
pub(super) fn drying(coat: Coat) -> &'static str {
    match coat {
        Coat { finish: Finish::Paint, .. } => "the paint dries",
        Coat { finish: Finish::Photo, .. } => "the glue dries",
        Coat { finish: Finish::Seal, last: true } => "the sealer dries",
        Coat { finish: Finish::Seal, last: false } => "the coat dries",
        Coat { finish: Finish::Wrap, .. } => "wrapped",
    }
}

//! Plans that cannot be done: the facts named clash and none of them is one too
//! many, and every suggestion that is printed was made and planned again.

use std::collections::BTreeSet;

use chrono::{DateTime, Utc};
use solidby::{
    explanation::{conflict::unserved, obstacle::Blame},
    planfile::{self, Plan},
    prep::{self, Laid, Physics},
    report::{plan::problems, suggestions::way_out, words},
    tables::Step,
};

const NOW: &str = "2026-11-27T15:00:00Z";

fn plan(text: &str) -> Plan {
    planfile::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn lay(plan: &Plan, physics: &Physics) -> Laid {
    prep::solve(plan, NOW.parse::<DateTime<Utc>>().unwrap(), physics).unwrap()
}

/// The plan without one of its facts, where a change of the plan says that.
fn let_go(plan: &Plan, fact: &Blame) -> Option<Plan> {
    let mut plan = plan.clone();
    match *fact {
        Blame::Moulds(mould) => plan.moulds[mould].own = 100,
        Blame::Room(freezer) => plan.freezers[freezer].holds = 100,
        Blame::Hours(place) => {
            plan.places[place].hours.push("daily 00:00-23:55".parse().unwrap());
        }
        Blame::Meets(group) => {
            plan.groups[group].days = "Mon Tue Wed Thu Fri Sat Sun".parse().unwrap();
            plan.closed.clear();
        }
        Blame::OneHands(place) => plan.places[place].hands = Some(2),
        _ => return None,
    }
    Some(plan)
}

/// A plan, a fact that must be among those named, and whether it alone is in the
/// way: then the goal is served without it.
fn cannot_be_done(text: &str, fact: &str, alone: bool) {
    let (plan, physics) = (plan(text), Physics::default());
    let laid = lay(&plan, &physics);
    let found = unserved(&plan, NOW.parse().unwrap(), &physics, &laid);
    assert_eq!(found.len(), laid.solution.unserved().len());
    assert!(!found.is_empty(), "{}: it can be done", plan.title);
    let told = problems(&plan, &laid, &found);
    for (unmet, told) in found.iter().zip(&told) {
        let facts = &told.because;
        assert!(facts.iter().any(|known| known.contains(fact)), "no “{fact}” in {facts:#?}");
        assert!(!unmet.cut_short, "{facts:#?}");
        for (gone, words) in unmet.blame.iter().zip(facts) {
            let Some(without) = let_go(&plan, gone).filter(|_| alone) else { continue };
            let again = lay(&without, &physics).solution.unserved();
            assert!(!again.contains(&unmet.goal), "“{words}” is one too many of {facts:#?}");
        }
        let ways = &told.ways.words;
        println!("{}: {facts:#?}\nways out {ways:#?}", plan.title);
        // A freezer that is too warm has one remedy; all else leaves a choice.
        let too_warm = unmet.blame.iter().any(|one| matches!(one, Blame::TooWarm { .. }));
        let least = if too_warm { 1 } else { 2 };
        assert!(ways.len() >= least, "{}: only {ways:#?}", plan.title);
        for way in &unmet.ways_out {
            let again = lay(&way.change.changed(&plan), &physics);
            let unserved = again.solution.unserved();
            assert!(!unserved.contains(&unmet.goal), "{}: {way:?}", plan.title);
        }
    }
}

macro_rules! catalogue {
    ($($name:ident: $file:literal, $fact:literal, $alone:literal;)*) => {
        $(#[test]
        fn $name() {
            let text = include_str!(concat!("../infeasible/", $file, ".toml"));
            cannot_be_done(text, $fact, $alone);
        })*
    };
}

catalogue! {
    too_few_moulds: "too-few-moulds", "there is 1 fox mould", true;
    closed_days: "closed-days", "Otters meet on Mon", true;
    too_thick_to_dry: "too-thick-to-dry", "drying through takes", true;
    photo_too_late: "photo-too-late", "asked for photos a week ahead", true;
    oven_never_watched: "oven-never-watched", "hands are free at home", true;
    freezer_too_small: "freezer-too-small", "the kitchen freezer holds 1 mould", true;
    session_too_soon: "session-too-soon", "begins Mon Nov 30", true;
    home_hours_too_short: "home-hours-too-short", "hands are free at home", true;
    never_dries_in_this_room: "never-dries-in-this-room", "90 % humidity", true;
    travel_too_long: "travel-too-long", "the cool box keeps them", true;
    one_pair_of_hands: "one-pair-of-hands", "there is one pair of hands", true;
    freezer_too_warm: "freezer-too-warm", "freezes them for sure", true;
    freezer_too_warm_and_one_mould: "freezer-too-warm-and-one-mould", "freezes them for sure", true;
}

/// The class of the demo with a freezer that is hardly one.
#[test]
fn a_freezer_just_below_freezing_in_the_demo() {
    let text = include_str!("../../demo/forest-fortnight.toml");
    cannot_be_done(
        &text.replace("air = \"0 F\"", "air = \"26 F\""),
        "freezes them for sure",
        false,
    );
}

/// Baked dry, but no coat dries on salt in such air.
#[test]
fn paint_never_dries_in_this_room() {
    let text = include_str!("../infeasible/never-dries-in-this-room.toml");
    let text = text.replace("\"air\"", "\"oven\"\noven = \"kitchen\"\nat = \"200 F\"");
    let text = text.replace("[\"wrap\"]", "[\"paint\", \"wrap\"]");
    cannot_be_done(&text, "in a room at 90 % humidity paint, glue and sealer do not dry", true);
}

/// Too few moulds, and a cool box that does not keep their blocks either: with more moulds they
/// melted all the same, so the cool box is what is told.
#[test]
fn what_is_in_the_way_by_itself_is_told_first() {
    let text = include_str!("../infeasible/travel-too-long.toml");
    let text = text.replace("own = 4", "own = 1").replace("blocks = 4", "blocks = 9");
    cannot_be_done(&text, "the cool box keeps them", true);
}

/// Two sessions at once for one pair of hands: the second is told with the first, which is
/// to be kept.
#[test]
fn a_conflict_is_told_whole() {
    let (plan, physics) =
        (plan(include_str!("../infeasible/one-pair-of-hands.toml")), Physics::default());
    let laid = lay(&plan, &physics);
    let found = unserved(&plan, NOW.parse().unwrap(), &physics, &laid);
    let told = problems(&plan, &laid, &found);
    assert_eq!(found.len(), told.len());
    for (unmet, told) in found.iter().zip(&told) {
        assert_eq!(told.what, words::goal(&plan, laid.draft.goals[unmet.goal.0]));
        let kept = told.because.iter().filter(|fact| fact.ends_with(" is to be kept"));
        assert_eq!(kept.count(), 1, "{:#?}", told.because);
        let ways: Vec<String> = unmet.ways_out.iter().map(|way| way_out(&plan, way)).collect();
        assert_eq!(told.ways.words, ways);
    }
}

/// Two sessions would leave with one cool box, and one of them is left out: its blocks, which are
/// never turned out, are not packed either.
#[test]
fn a_session_that_is_left_out_is_not_packed_for() {
    let plan = plan(include_str!("../infeasible/one-pair-of-hands.toml"));
    let laid = lay(&plan, &Physics::default());
    assert_eq!(laid.solution.unserved().len(), 1);
    let packed = laid.draft.tasks.iter().filter(|task| task.step == Step::Pack);
    assert_eq!(packed.map(|task| task.count).collect::<Vec<_>>(), [2]);
}

/// Home hours too short to bake in: that the pieces dry in the room all the same, or as two trays
/// at once, is told too, with the chance that each gives.
#[test]
fn a_way_that_is_less_sure_is_told_with_its_chance() {
    let (plan, physics) =
        (plan(include_str!("../infeasible/evenings-too-short-to-bake.toml")), Physics::default());
    let laid = lay(&plan, &physics);
    let found = unserved(&plan, NOW.parse().unwrap(), &physics, &laid);
    let told = problems(&plan, &laid, &found);
    let less: Vec<_> = found[0].ways_out.iter().filter(|way| way.chance.is_some()).collect();
    assert!(!less.is_empty(), "{:#?}", told[0].ways.words);
    for way in less {
        let again = lay(&way.change.changed(&plan), &physics).solution.unserved();
        assert!(!again.contains(&found[0].goal), "{way:?}");
    }
    let room = told[0].ways.words.iter().find(|way| way.contains("in the room"));
    assert!(room.is_some_and(|way| way.ends_with("in 100)")), "{:#?}", told[0].ways.words);
}

/// A freezer of which nothing is told is not called too warm where its blocks are ready at a
/// chance that the plan may be told with; and what waits for two loads is kept one time for.
#[test]
fn an_icebox_is_never_sure() {
    let (plan, physics) =
        (plan(include_str!("../infeasible/icebox-never-sure.toml")), Physics::default());
    let laid = lay(&plan, &physics);
    let found = unserved(&plan, NOW.parse().unwrap(), &physics, &laid);
    assert_eq!(found.len(), 1);
    let blame = &found[0].blame;
    assert!(!blame.iter().any(|one| matches!(one, Blame::TooWarm { .. })), "{blame:?}");
    assert!(blame.contains(&Blame::Room(0)), "{blame:?}");
    let schedule = laid.schedule(&plan, NOW.parse().unwrap(), &physics).unwrap();
    let ids: BTreeSet<&str> = schedule.steps.iter().map(|step| step.id.as_str()).collect();
    assert_eq!(ids.len(), schedule.steps.len());
    assert!(ids.contains("eggs-paint-owlets-reserve"), "{ids:?}");
}

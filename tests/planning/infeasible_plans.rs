//! Plans that cannot be done: the facts named clash and none of them is one too
//! many, and every suggestion that is printed was made and planned again.

use chrono::{DateTime, Utc};
use solidby::{
    explanation::conflict::unserved,
    planfile::{self, Plan},
    prep::{self, Laid, Physics},
    report::{plan::problems, suggestions::suggestion},
    scheduler::{Effort, GoalId, Problem, solve},
};

const NOW: &str = "2026-11-27T15:00:00Z";

fn plan(text: &str) -> Plan {
    planfile::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn lay(plan: &Plan, physics: &Physics) -> Laid {
    prep::solve(plan, NOW.parse::<DateTime<Utc>>().unwrap(), physics).unwrap()
}

/// Whether all of these goals can be served, whatever becomes of the others.
fn served(problem: &Problem, goals: &[GoalId]) -> bool {
    let mut problem = problem.clone();
    for goal in goals {
        problem.goals[goal.0].weight = 1000;
    }
    let unserved = solve(&problem, Effort::default()).unwrap().unserved();
    goals.iter().all(|goal| !unserved.contains(goal))
}

/// A plan, a fact that must be among those named, and whether it alone is in the
/// way: then the whole plan can be done without it.
fn cannot_be_done(text: &str, fact: &str, alone: bool) {
    let (plan, physics) = (plan(text), Physics::default());
    let laid = lay(&plan, &physics);
    let draft = &laid.draft;
    let found = unserved(&plan, NOW.parse().unwrap(), &physics, &laid).unwrap();
    assert_eq!(found.len(), laid.solution.unserved().len());
    assert!(!found.is_empty(), "{}: it can be done", plan.title);
    for unmet in found {
        let conflict = unmet.conflict.expect("a conflict is found");
        let facts: Vec<&str> = conflict.facts.iter().map(|f| draft.facts[f.0].as_str()).collect();
        assert!(facts.iter().any(|known| known.contains(fact)), "no “{fact}” in {facts:#?}");
        assert!(conflict.goals.contains(&unmet.goal));
        let only = draft.problem.where_only(|fact| conflict.facts.contains(&fact));
        assert!(!served(&only, &conflict.goals), "{facts:#?} do not clash");
        for gone in &conflict.facts {
            let words = &draft.facts[gone.0];
            let fewer = only.where_only(|fact| fact != *gone);
            assert!(served(&fewer, &conflict.goals), "“{words}” is one too many of {facts:#?}");
            if alone && words.contains(fact) {
                let all_but_this = draft.problem.where_only(|fact| fact != *gone);
                assert!(served(&all_but_this, &conflict.goals), "“{words}” is not what is wrong");
            }
        }
        for goal in &conflict.goals {
            let others: Vec<GoalId> =
                conflict.goals.iter().copied().filter(|other| other != goal).collect();
            assert!(served(&draft.problem, &others), "{others:?} clash by themselves");
        }
        let ways: Vec<String> =
            unmet.suggestions.iter().map(|way| suggestion(&plan, way)).collect();
        println!("{}: {facts:#?}\nways out {ways:#?}", plan.title);
        assert!(ways.len() >= 2, "{}: only {ways:#?}", plan.title);
        for way in &unmet.suggestions {
            let again = lay(&way.changed(&plan), &physics);
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
    too_thick_to_dry: "too-thick-to-dry", "drying in the room takes", true;
    photo_too_late: "photo-too-late", "asked for photos a week ahead", true;
    oven_never_watched: "oven-never-watched", "somebody near", true;
    freezer_too_small: "freezer-too-small", "the kitchen freezer holds 1 mould", true;
    session_too_soon: "session-too-soon", "begins Mon 30 Nov", true;
    home_hours_too_short: "home-hours-too-short", "hands are free at home", true;
    never_dries_in_this_room: "never-dries-in-this-room", "90 % humidity", true;
    travel_too_long: "travel-too-long", "the cool box keeps them", true;
    one_pair_of_hands: "one-pair-of-hands", "there is one pair of hands", true;
    freezer_too_warm: "freezer-too-warm", "freezes them for sure", true;
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
    cannot_be_done(&text, "in a room at 90 % humidity the paint does not dry", true);
}

/// Two sessions at once for one pair of hands: each is told with the other, which is to be
/// kept, and with every fact of the conflict.
#[test]
fn a_conflict_is_told_whole() {
    let (plan, physics) =
        (plan(include_str!("../infeasible/one-pair-of-hands.toml")), Physics::default());
    let laid = lay(&plan, &physics);
    let now = NOW.parse().unwrap();
    let found = unserved(&plan, now, &physics, &laid).unwrap();
    let told = problems(&plan, &laid, &found);
    assert_eq!(found.len(), told.len());
    for (unmet, told) in found.iter().zip(&told) {
        let conflict = unmet.conflict.as_ref().expect("a conflict is found");
        let name = |goal: &GoalId| laid.draft.goals[goal.0].words.clone();
        assert_eq!(told.what, name(&unmet.goal));
        let others = conflict.goals.iter().filter(|goal| **goal != unmet.goal);
        let kept = others.map(|goal| format!("{} is to be kept", name(goal)));
        let facts = conflict.facts.iter().map(|fact| laid.draft.facts[fact.0].clone());
        assert!(conflict.goals.len() > 1, "one session alone has hands enough");
        assert_eq!(told.because, kept.chain(facts).collect::<Vec<_>>());
        let ways: Vec<String> =
            unmet.suggestions.iter().map(|way| suggestion(&plan, way)).collect();
        assert_eq!(told.ways_out, ways);
    }
}

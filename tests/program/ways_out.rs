//! What is offered where a plan cannot be done: the least that is enough.

use crate::{followed::Kept, run::Run};

/// Invented: one small group, one freezer and one kind of mould.
const PLAN: &str = r#"
title = "Small freezer"
timezone = "America/Chicago"
units = "us"
[hours]
home = ["daily 06:15-07:15", "daily 18:30-21:30"]
class = ["Mon-Fri 08:00-12:30"]
[room]
temperature = "68 F"
humidity = "45 %"
[[group]]
name = "Moles"
days = "Mon Tue Wed Thu Fri"
children = 7
youngest = "3 years"
[[freezer]]
name = "icebox"
kind = "fridge-freezer"
air = "5 F"
holds = 2
[[mould]]
name = "boat"
volume = "300 mL"
depth = "35 mm"
wall = "silicone"
own = 7
[[ice]]
name = "Boats"
mould = "boat"
freezer = "icebox"
blocks = "each"
travel = "20 min"
session = [{ group = "Moles", at = 2027-01-21T09:30:00 }]
"#;

/// Ways out and reasons of the first problem, and what serves several, in words.
fn told(plan: &str, now: &str) -> [Vec<String>; 3] {
    let run = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", plan).now(now);
    let answer = run.exits(3).json();
    let words = |value: &serde_json::Value| -> Vec<String> {
        value.as_array().unwrap().iter().map(|it| it.as_str().unwrap().to_owned()).collect()
    };
    let first = &answer["problems"][0];
    [words(&first["ways_out"]), words(&first["because"]), words(&answer["ways_out"])]
}

/// Whether a plan is done with everything in it.
fn is_done(plan: &str, now: &str) -> bool {
    let run = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", plan).now(now).ends();
    run.code == Some(0)
}

#[test]
fn as_many_blocks_as_can_be_are_offered_and_as_little_room_as_is_enough() {
    let now = "2027-01-12T08:00:00";
    for (blocks, most) in [("\"each\"", 4), ("5", 4)] {
        let plan = PLAN.replace("blocks = \"each\"", &format!("blocks = {blocks}"));
        let [ways, ..] = told(&plan, now);
        let shared = format!("{most} blocks in all for “Boats”, to share");
        assert_eq!(ways, [shared.as_str(), "room for 1 mould more in the icebox freezer"]);
        let with = |number: u32| {
            plan.replace(&format!("blocks = {blocks}"), &format!("blocks = {number}"))
        };
        assert!(is_done(&with(most), now) && !is_done(&with(most + 1), now));
        assert!(is_done(&plan.replace("holds = 2", "holds = 3"), now));
    }
}

#[test]
fn one_change_for_several_is_the_least_that_is_enough_for_all() {
    let day = |day: u32| format!("{{ group = \"Moles\", at = 2027-01-{day}T09:30:00 }}");
    let plan = PLAN
        .replace(&format!("[{}]", day(21)), &format!("[{}, {}, {}]", day(20), day(21), day(22)));
    assert_ne!(plan, PLAN);
    let now = "2027-01-12T08:00:00";
    let [.., one_change] = told(&plan, now);
    let shared: Vec<u32> = one_change
        .iter()
        .filter(|words| words.contains("blocks in all") && words.ends_with(": all 3"))
        .filter_map(|words| words.split(' ').next()?.parse().ok())
        .collect();
    let [most] = shared[..] else { panic!("{one_change:?}") };
    let with = |number: u32| plan.replace("blocks = \"each\"", &format!("blocks = {number}"));
    assert!(is_done(&with(most), now), "{one_change:?}");
    assert!(!is_done(&with(most + 1), now), "{one_change:?}");
}

#[test]
fn a_session_is_put_off_by_quarters_of_an_hour() {
    let more = r#"
[[mould]]
name = "brick"
volume = "300 mL"
depth = "35 mm"
wall = "silicone"
own = 1
[[ice]]
name = "Bricks"
mould = "brick"
freezer = "icebox"
blocks = 1
travel = "20 min"
session = [{ group = "Moles", at = 2027-01-21T09:45:00 }]
"#;
    let plan = PLAN.replace("holds = 2", "holds = 8") + more;
    let now = "2027-01-12T08:00:00";
    let [ways, ..] = told(&plan, now);
    assert!(!ways.is_empty());
    let at = |time: &str| plan.replace("T09:45:00", &format!("T{time}:00"));
    let later =
        ["10:00", "10:15", "10:30", "10:45"].into_iter().find(|time| is_done(&at(time), now));
    let words = format!("“Bricks” for Moles at {} am instead", later.unwrap());
    assert!(ways.contains(&words), "{words}: {ways:?}");
}

#[test]
fn hours_at_home_are_named_and_offered_on_the_night_before() {
    let plan = PLAN.replace("holds = 2", "holds = 8").replace("300 mL", "220 mL");
    let plan = plan.replace("35 mm", "30 mm").replace("air = \"5 F\"", "air = \"0 F\"");
    let plan = plan.replace("children = 7", "children = 6");
    let now = "2027-01-20T22:00:00";
    let [ways, because, _] = told(&plan, now);
    assert!(
        because.contains(&"hands are free at home only in its hours".to_owned()),
        "{because:?}"
    );
    let late = "somebody at home 9:30 pm to 11:00 pm on Wed Jan 20".to_owned();
    assert!(ways.contains(&late), "{ways:?}");
    assert!(is_done(&plan.replace("18:30-21:30", "18:30-23:00"), now));
}

/// Invented: one deep ring, two of its blocks a week for one table.
const RINGS: &str = r#"
title = "One deep ring"
timezone = "America/Halifax"
units = "us"
[hours]
home = ["Sun-Thu 18:30-20:30", "Mon-Fri 06:30-07:15"]
class = ["Tue 08:45-11:45", "Thu 08:45-11:45"]
[room]
temperature = "66 F"
humidity = "45 %"
[wishes]
ahead = "3 days"
[[group]]
name = "Gulls"
days = "Tue Thu"
children = 14
youngest = "2 years"
[[freezer]]
name = "fridge-top"
kind = "fridge-freezer"
holds = 4
[[mould]]
name = "ring"
shape = "ring 9 x 4 in"
depth = "3 in"
own = 1
[[ice]]
name = "Wreath"
mould = "ring"
freezer = "fridge-top"
blocks = 2
session = [
  { group = "Gulls", at = 2027-02-02T09:15:00 },
  { group = "Gulls", at = 2027-02-16T09:15:00 },
]
"#;

#[test]
fn what_makes_several_unsure_sessions_sure_is_told_and_does() {
    let planned = |plan: &str| {
        let run = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", plan);
        run.now("2027-01-20T19:00:00").exits(0).json()
    };
    let answer = planned(RINGS);
    let sure = |answer: &serde_json::Value| answer["chance"]["all"].as_f64().unwrap() >= 0.95;
    assert!(!sure(&answer));
    let goals = answer["chance"]["by_goal"].as_object().unwrap();
    assert!(
        goals.len() == 2 && goals.values().all(|one| one.as_f64().unwrap() < 0.95),
        "{goals:?}"
    );
    let ways = answer["problems"][0]["ways_out"].to_string();
    // Once the plan is kept, the same changes make it sure.
    let kept = Kept::of(RINGS, "2027-01-20T19:00:00");
    let followed = kept.run(&["plan", &kept.plan, "--json"], "2027-01-20T19:05:00").json();
    assert_eq!(followed["problems"][0]["ways_out"].to_string(), ways);
    for (words, was, will_be) in [
        ("1 more ring mould", "own = 1", "own = 2"),
        ("1 block in all for “Wreath”, to share", "blocks = 2", "blocks = 1"),
        ("fill ice up to 4 days ahead", "3 days", "4 days"),
    ] {
        assert!(ways.contains(words), "{words}: {ways}");
        assert!(sure(&planned(&RINGS.replace(was, will_be))), "{words}");
    }
}

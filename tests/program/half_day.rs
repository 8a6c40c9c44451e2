//! A group that is there for a part of the class day alone.

use chrono::{DateTime, FixedOffset, NaiveTime};

use crate::run::Run;

/// Invented: a morning and an afternoon group in one room, with its own freezer and oven.
const PLAN: &str = r#"
title = "Mornings and afternoons"
timezone = "America/Phoenix"
units = "us"
[hours]
home = ["Mon-Thu 20:00-21:30"]
class = ["Mon-Fri 07:45-15:30"]
[room]
temperature = "75 F"
humidity = "20 %"
[[group]]
name = "Larks"
days = "Mon Tue Wed Thu Fri"
until = "11:45"
children = 12
youngest = "3 years"
[[group]]
name = "Owls"
days = "Tue Thu"
from = "12:30"
children = 15
youngest = "3 years"
[[freezer]]
name = "school"
place = "class"
kind = "upright"
holds = 20
[[oven]]
name = "school"
place = "class"
kind = "fan"
tray = "18 x 26 in"
trays = 2
[[mould]]
name = "cup"
volume = "5 fl oz"
wall = "plastic"
own = 20
[[ice]]
name = "Ice cups"
mould = "cup"
freezer = "school"
blocks = "each"
session = [
  { group = "Larks", at = 2026-12-02T10:00:00 },
  { group = "Owls", at = 2026-12-03T13:30:00 },
]
[[ornament]]
name = "Tags"
shape = "round 2 1/2 in"
thickness = "1/4 in"
recipe = "two-one-one"
groups = ["Larks", "Owls"]
method = "oven then air"
oven = "school"
at = "200 F"
finish = ["paint", "photo", "seal"]
give = 2026-12-17
"#;

fn time(text: &str) -> NaiveTime {
    NaiveTime::parse_from_str(text, "%H:%M").unwrap()
}

#[test]
fn steps_with_children_are_while_their_group_is_there() {
    let run = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", PLAN);
    let answer = run.now("2026-11-20T09:00:00").exits(0).json();
    let mut with = 0;
    for step in answer["steps"].as_array().unwrap() {
        let at =
            |key: &str| -> DateTime<FixedOffset> { step[key].as_str().unwrap().parse().unwrap() };
        let id = step["id"].as_str().unwrap();
        let children = ["-paint", "-ask-photos", "-gather-photos", "-give", "-use"];
        if !children.iter().any(|what| id.contains(what)) || step["attention"] == "none" {
            continue;
        }
        let there = match step["group"].as_str().unwrap() {
            "Larks" => [time("07:45"), time("11:45")],
            _ => [time("12:30"), time("15:30")],
        };
        let (start, end) = (at("start").time(), at("end").time());
        assert!(there[0] <= start && end <= there[1], "{id}: {start} to {end}");
        with += 1;
    }
    // Of each group: asked, photos gathered, painted, given, and a session.
    assert_eq!(with, 10);
}

#[test]
fn a_session_while_its_group_is_not_there_is_a_fault() {
    let checked = |plan: &str| {
        let run = Run::of(&["check", "p.toml"]).file("p.toml", plan);
        let ran = run.now("2026-11-20T09:00:00").exits(2);
        format!("{}{}", ran.stdout, ran.stderr)
    };
    let early = checked(&PLAN.replace("2026-12-03T13:30", "2026-12-03T10:30"));
    assert!(early.contains("Owls is not there at 10:30"), "{early}");
    let backwards =
        checked(&PLAN.replace("from = \"12:30\"", "from = \"12:30\"\nuntil = \"12:00\""));
    assert!(backwards.contains("`until` is not after `from`"), "{backwards}");
    let at_days = checked(&PLAN.replace("\"Tue Thu\"", "\"Tue Thu 12:30-15:30\""));
    assert!(at_days.contains("its hours are said by `from` and `until`"), "{at_days}");
    let night = checked(&PLAN.replace("from = \"12:30\"", "from = \"1:00\""));
    assert!(night.contains("01:00 is outside the hours of class"), "{night}");
    assert!(night.contains("an afternoon as 13:00"), "{night}");
}

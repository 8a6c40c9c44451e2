//! Ice for the afternoon, carried to a class that is open all day.

use serde_json::Value;

use crate::run::Run;

/// Invented: blocks for every child, at half past one.
const CLASS: &str = r#"
title = "After the nap"
timezone = "America/Chicago"
units = "us"
[hours]
home = ["daily 06:00-07:00", "daily 18:00-21:00"]
class = ["Mon-Fri 07:30-16:00"]
[[group]]
name = "Owls"
days = "Mon-Fri"
children = 9
youngest = "2 years"
[[freezer]]
name = "cellar"
kind = "chest"
holds = 12
[[mould]]
name = "owl"
volume = "250 mL"
depth = "3 cm"
wall = "silicone"
own = 9
[[ice]]
name = "Owls on ice"
mould = "owl"
freezer = "cellar"
blocks = "each"
travel = "15 min"
session = [{ group = "Owls", at = 2026-12-09T13:30:00 }]
"#;

fn plan(text: &str) -> Value {
    let run = Run::of(&["plan", "class.toml", "--json"]).now("2026-12-05T12:00:00");
    run.file("class.toml", text).ends().json()
}

/// Nine blocks keep each other cold for as long as one does not.
#[test]
fn blocks_that_travel_together_keep_until_the_afternoon() {
    let together = plan(CLASS);
    assert_eq!(together["status"], "found", "{:#}", together["problems"]);
    let alone = plan(&CLASS.replace("\"each\"", "1"));
    assert_eq!(
        alone["problems"][0]["because"][0].as_str().map(|why| &why[..13]),
        Some("the cool box ")
    );
}

/// That somebody is there while class is open helps nobody: it is not told, and typed in, it
/// changes nothing.
#[test]
fn what_is_true_already_is_no_way_out() {
    let one = CLASS.replace("\"each\"", "1");
    let alone = plan(&one);
    let ways = alone["problems"][0]["ways_out"].to_string();
    assert!(!ways.contains("somebody at class"), "{ways}");
    let said_twice = one.replace("16:00\"]", "16:00\", \"2026-12-09 12:30-15:30\"]");
    assert_eq!(plan(&said_twice)["problems"], alone["problems"]);
}

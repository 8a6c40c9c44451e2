//! Eight invented classes of `tests/data/classes`, and what their keys do to a plan.

use std::fs;

use serde_json::Value;

use crate::run::Run;

/// The classes, each with the clock that its head names.
fn classes() -> Vec<(String, String, String)> {
    let mut all: Vec<_> = fs::read_dir("tests/data/classes")
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let text = fs::read_to_string(&path).unwrap();
            let now = text.split("--now ").nth(1).unwrap().split_whitespace().next().unwrap();
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, now.to_owned(), text)
        })
        .collect();
    all.sort();
    all
}

fn class(name: &str) -> (String, String) {
    let found = classes().into_iter().find(|(known, ..)| known == name).unwrap();
    (found.1, found.2)
}

fn plan(text: &str, now: &str) -> Value {
    let run = Run::of(&["plan", "class.toml", "--json", "--no-diary"]).now(now);
    let ran = run.file("class.toml", text).ends();
    assert!(matches!(ran.code, Some(0 | 3)), "{}", ran.stderr);
    ran.json()
}

fn steps(plan: &Value) -> &Vec<Value> {
    plan["steps"].as_array().unwrap()
}

#[test]
fn every_class_is_sound() {
    assert_eq!(classes().len(), 8);
    for (name, now, text) in classes() {
        let run = Run::of(&["check", "class.toml"]).now(&now).file("class.toml", &text);
        let said = run.succeeds().stdout;
        assert!(said.contains("class.toml is sound"), "{name}: {said}");
    }
}

#[test]
fn nobody_works_on_days_away() {
    let (now, text) = class("away-midweek");
    let hands = |plan: &Value| {
        let hands = steps(plan).iter().filter(|step| step["attention"] != "none");
        let days = ["2026-12-09", "2026-12-10"];
        let day = |step: &Value| step["start"].as_str().unwrap()[..10].to_owned();
        hands.filter(|step| days.contains(&day(step).as_str())).count()
    };
    let away = plan(&text, &now);
    assert_eq!(away["feasible"], true);
    assert_eq!(hands(&away), 0);
    let there = plan(&text.replace("away ", "# away "), &now);
    assert!(hands(&there) > 0);
}

#[test]
fn both_spellings_of_a_mould_are_one_plan() {
    let (now, text) = class("mixed-load");
    let american = text.replace("[[mould]]", "[[mold]]").replace("mould = ", "mold = ");
    assert_ne!(american, text);
    assert_eq!(plan(&american, &now), plan(&text, &now));
}

#[test]
fn a_tin_of_cups_is_one_place() {
    // Twelve cups of one tin go where a single place is.
    let (now, text) = class("mixed-load");
    let (start, end) = (text.find("[[ice]]").unwrap(), text.rfind("[[ice]]").unwrap());
    let alone = format!("{}{}", &text[..start], &text[end..]).replace("holds = 20", "holds = 1");
    assert_eq!(plan(&alone, &now)["feasible"], true);
    assert_eq!(plan(&alone.replace("cups = 12\nown = 1", "own = 12"), &now)["feasible"], false);
}

#[test]
fn turns_at_shared_blocks_make_the_session_longer() {
    // Sixteen children at four blocks, 20 min each: four turns.
    let (now, text) = class("two-tins");
    let minutes = |text: &str| {
        let plan = plan(text, &now);
        let used = steps(&plan).iter().find(|step| step["id"].as_str().unwrap().ends_with("-use"));
        let time = |key: &str| {
            let text = used.unwrap()[key].as_str().unwrap();
            text.parse::<chrono::DateTime<chrono::FixedOffset>>().unwrap()
        };
        (time("end") - time("start")).num_minutes()
    };
    let turns = |more: &str| text.replace("blocks = 4", &format!("blocks = 4\n{more}"));
    assert_eq!(minutes(&turns("turn = \"20 min\"")), 80);
    assert_eq!(minutes(&turns("turn = \"20 min\"\nat_once = 2")), 40.max(minutes(&text)));
}

#[test]
fn the_plan_chooses_the_way_of_drying_and_says_why() {
    let (now, text) = class("slow-oven");
    let said = |text: &str| plan(text, &now)["notes"].to_string();
    let any = text.replace("oven then air", "any");
    assert!(said(&any).contains("is dried in the room: it is ready in time there"));
    let told = said(&text);
    assert!(!told.contains("is dried in"), "the file chose: {told}");
    // Four days are too few in the room.
    let soon = any.replace("give = 2026-12-17", "give = 2026-12-02").replace("200 F", "250 F");
    let soon = soon.replace("\"paint\", \"photo\", \"seal\", \"wrap\"", "\"paint\"");
    let plan = plan(&soon, &now);
    assert_eq!(plan["feasible"], true);
    let told = plan["notes"].to_string();
    assert!(
        told.contains("in the oven first: in the room alone it would not be ready in time"),
        "{told}"
    );
    assert!(steps(&plan).iter().any(|step| step["attention"] == "watch"));
}

#[test]
fn a_freezer_without_a_number_of_places_has_those_of_its_kind() {
    let (now, text) = class("two-tins");
    let said = |text: &str| plan(text, &now)["notes"].to_string();
    let usual = said(&text.replace("holds = 20", ""));
    assert!(usual.contains("does not say how much the kitchen freezer holds"), "{usual}");
    assert!(!said(&text).contains("does not say"));
}

#[test]
fn what_is_past_is_a_warning() {
    let (_, text) = class("away-midweek");
    let run = Run::of(&["check", "class.toml"]).now("2026-12-09T08:00:00");
    let said = run.file("class.toml", &text).succeeds().stdout;
    let line = 1 + text.lines().position(|line| line.contains("2026-12-08T09:30")).unwrap();
    assert!(said.contains(&format!("class.toml:{line}: warning: this session was")), "{said}");
}

/// Two hundred degrees are usual for dough, in °F.
#[test]
fn an_oven_too_hot_for_dough_is_a_warning() {
    let (now, text) = class("slow-oven");
    let at = text.lines().find(|line| line.starts_with("at = ")).unwrap();
    let check = |text: &str| {
        let run = Run::of(&["check", "class.toml"]).now(&now);
        run.file("class.toml", text).succeeds().stdout
    };
    assert!(!check(&text).contains("warning"));
    let said = check(&text.replace(at, "at = \"200 C\""));
    let line = 1 + text.lines().position(|line| line == at).unwrap();
    let warned = format!("class.toml:{line}: warning: dough at 200 C may puff above ");
    assert!(said.contains(&warned) && said.contains("was 200 °F meant?"), "{said}");
}

#[test]
fn children_at_home_are_there_when_the_file_says() {
    let daycare = include_str!("../data/family-daycare.toml");
    let check = |text: &str| {
        let run = Run::of(&["check", "class.toml"]).now("2026-12-01T08:00:00");
        run.file("class.toml", text).succeeds().stdout
    };
    assert!(!check(daycare).contains("warning"));
    let class = daycare.lines().find(|line| line.starts_with("class = ")).unwrap();
    let all_day = "home = [\"daily 05:45-21:30\"]";
    let home = daycare.lines().find(|line| line.starts_with("home = ")).unwrap();
    let said = check(&daycare.replace(class, "").replace(home, all_day));
    assert!(said.contains("warning: Ducks are taken to be there in all hours of home"), "{said}");
}

#[test]
fn both_weights_and_when_to_look_stand_beside_the_oven() {
    let (now, text) = class("slow-oven");
    let plan = plan(&text, &now);
    let bake = steps(&plan).iter().find(|step| step["short"] == "bake").unwrap();
    let weighs = |state: &str| bake["weigh_g"][state].as_f64().unwrap();
    assert!(weighs("dry") < weighs("firm") && weighs("firm") < weighs("wet"));
    let look = &bake["looks"][0];
    assert_eq!(look["at"], bake["end"]);
    let firm = format!("weighs {:.0} g or less", weighs("firm"));
    assert!(look["see"].as_str().unwrap().contains(&firm), "{look}");
    assert!(look["if_not"].as_str().unwrap().contains("go on drying"), "{look}");
}

/// Thick pieces in a damp room, in an oven that is watched for four hours at most.
const DAMP: &str = include_str!("../data/damp-room.toml");

#[test]
fn what_is_ready_does_not_go_into_the_oven_again() {
    let plan = plan(DAMP, "2026-11-27T08:00:00");
    let bakes = steps(&plan).iter().filter(|step| step["attention"] == "watch");
    let (again, first): (Vec<_>, Vec<_>) = bakes.partition(|step| step["needed"].is_number());
    assert!(!first.is_empty() && !again.is_empty(), "{:?}", plan["watch_h"]);
    // What decides on a further part is seen as the one before ends.
    let ready = first[0]["looks"][0]["chance"].as_f64().unwrap();
    let needed = again[0]["needed"].as_f64().unwrap();
    assert!((ready + needed - 1.0).abs() < 1e-9, "{ready} and {needed}");
    assert!(first[0]["looks"][0]["if_not"].as_str().unwrap().contains("that part falls away"));
    assert_eq!(again[0]["reserve"], needed <= 0.5);
    let hours = |key: &str| plan["watch_h"][key].as_f64().unwrap();
    let whole = 4.0 * (first.len() + again.len()) as f64;
    let expected = 4.0 * (first.len() as f64 + needed * again.len() as f64);
    assert!((hours("reserved") - whole).abs() < 0.1, "{}", hours("reserved"));
    assert!((hours("expected") - expected).abs() < 0.1, "{}", hours("expected"));
}

#[test]
fn dough_is_rolled_as_thin_as_it_was_said_and_a_tray_more_is_worth_a_word() {
    let (now, text) = class("slow-oven");
    let changed = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    };
    let thin = plan(&changed("thickness = \"1/4 in\"", "thickness = \"3/16 in\""), &now);
    let roll = steps(&thin).iter().find(|step| step["short"] == "roll").unwrap();
    assert!(roll["what"].as_str().unwrap().starts_with("Roll to 3/16 in"), "{roll}");
    let notes = plan(&changed("trays = 2", "trays = 1"), &now)["notes"].to_string();
    assert!(notes.contains("2 loads, 4 h beside the oven; with 2 trays at once"), "{notes}");
    assert!(!thin["notes"].to_string().contains("trays at once"), "{}", thin["notes"]);
    // Nor of loads that the plan leaves out.
    let text = changed("trays = 2", "trays = 1").replace("give = 2026-12-17", "give = 2026-11-30");
    let never = plan(&text, &now);
    assert_eq!(never["feasible"], false);
    assert!(!never["notes"].to_string().contains("trays at once"), "{}", never["notes"]);
}

/// A gift with less room for an ill child than was wished is told as such, also where nobody
/// wrote `buffer`; one that has it is not.
#[test]
fn a_gift_without_its_buffer_is_told() {
    let (now, text) = class("slow-oven");
    let notes = |text: &str| plan(text, &now)["notes"].to_string();
    let wishing =
        |days: &str| text.replace("[room]", &format!("[wishes]\nbuffer = \"{days}\"\n\n[room]"));
    assert!(!notes(&wishing("0 days")).contains("(buffer)"));
    let ten = notes(&wishing("10 days"));
    assert!(ten.contains("between, and 10 are wished (buffer)"), "{ten}");
    // Wrapped on the Friday before.
    let tight = text.replace("give = 2026-12-17", "give = 2026-12-14");
    let tight = notes(&tight);
    assert!(tight.contains("no class day between, and 1 is wished (buffer)"), "{tight}");
}

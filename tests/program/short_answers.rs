//! Answers that fit a screen, in the words and on the clock of who reads them.

use crate::run::Run;

use serde_json::Value;

const DEMO: &str = include_str!("../../demo/forest-fortnight.toml");

/// Sunday evening at six.
const NOW: &str = "2026-12-06T18:00:00";

fn asked(arguments: &[&str]) -> Run {
    Run::of(arguments).with(&["--now", NOW])
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&asked(arguments).with(&["--json"]).succeeds().stdout).unwrap()
}

#[test]
fn an_answer_is_one_screen() {
    let ice = ["ice", "--mold", "fox", "--count", "6", "--no-diary"];
    let dough = ["dough", "--thickness", "1/4 in", "--no-diary"];
    let thick = ["dough", "--thickness", "1/2 in", "--no-diary"];
    for (command, more) in [
        (&ice[..], &[][..]),
        (&ice, &["--by", "tomorrow 6:40 am"]),
        (&ice, &["--by", "tonight 11:00"]),
        (&ice, &["--at", "yesterday 18:30", "--wet-at", "6:30"]),
        (&dough, &["--oven", "200 F"]),
        (&dough, &["--by", "Dec 8 7:00 am"]),
        (&dough, &["--oven", "200 F", "--by", "tonight 10:00"]),
        (&dough, &["--air-dry", "--humidity", "85 %"]),
        // With all that can go wrong in the oven.
        (&thick, &["--oven", "170 F"]),
        (&thick, &["--oven", "250 F", "--oven-kind", "fan"]),
        (&thick, &["--oven", "350 F"]),
        (&thick, &["--oven", "250 F", "--oven-kind", "fan", "--by", "Dec 13 9:00 am"]),
        (&["thaw", "--mold", "fox"], &[]),
        (&["cool", "--thickness", "1/4 in", "--from", "200 F"], &[]),
    ] {
        let short = asked(command).with(more).with(&["--units", "us"]).succeeds().stdout;
        let lines = short.lines().count();
        assert!(lines <= 14, "{lines} lines:\n{short}");
        let whole = asked(command).with(more).with(&["--more"]).succeeds().stdout;
        assert!(whole.lines().count() > lines, "{whole}");
    }
}

#[test]
fn yes_and_no_come_first() {
    let by = |time: &str| {
        let ice = ["ice", "--mold", "fox", "--count", "6", "--no-diary", "--by", time];
        asked(&ice).succeeds().stdout
    };
    assert!(by("tomorrow 6:40 am").starts_with("Yes. "));
    assert!(by("tonight 8:00").starts_with("No. "));
    let late = asked(&["dough", "--thickness", "1/4 in", "--no-diary", "--by", "Dec 8 7:00 am"]);
    let late = late.succeeds().stdout;
    assert!(late.starts_with("No, too late. "), "{late}");
    assert!(late.contains("No oven is said: it dries in the room."), "{late}");
    assert!(late.contains("oven at "), "{late}");
}

#[test]
fn fewer_are_ready_where_all_are_not() {
    let ice = ["ice", "--mold", "fox", "--count", "12", "--no-diary", "--by", "tonight 23:30"];
    let answer = json(&ice);
    let counts = answer["counts"].as_array().unwrap();
    assert!(counts.len() > 1, "{answer}");
    let chances: Vec<f64> = counts.iter().map(|it| it["chance"].as_f64().unwrap()).collect();
    assert!(chances.is_sorted_by(|fewer, more| fewer >= more), "{chances:?}");
    assert_eq!(counts.last().unwrap()["count"], 12);
    assert_eq!(counts.last().unwrap()["chance"], answer["chance"]);
    for help in answer["helps"].as_array().unwrap() {
        let chance = help["chance"].as_f64().unwrap();
        assert!(chance >= answer["chance"].as_f64().unwrap(), "{help}");
    }
    // The latest filling for a chance of 0.95 is past.
    assert!(answer.get("fill_by").is_none(), "{answer}");
}

#[test]
fn still_wet_in_the_morning() {
    let ice = ["ice", "--mold", "fox", "--count", "6", "--no-diary", "--at", "yesterday 18:30"];
    let solid = |more: &[&str]| {
        let answer = json(&[&ice[..], more].concat());
        let band = &answer["solid_h"];
        ["p05", "p50", "p95"].map(|point| band[point].as_f64().unwrap())
    };
    let before = solid(&[]);
    // Seen after four hours, in the middle of the band, and after twelve, beyond its end.
    for (at, wet_h) in [("yesterday 22:30", 4.0), ("6:30", 12.0)] {
        let rest = solid(&["--wet-at", at]);
        assert!(rest[0] >= wet_h && rest.is_sorted(), "{rest:?}");
        assert!(rest.iter().zip(before).all(|(after, before)| *after >= before), "{rest:?}");
    }
    // Beyond the end of the band it is said, without being asked for, that something is amiss.
    let amiss = |at: &str| {
        let words = asked(&ice).with(&["--wet-at", at]).succeeds().stdout;
        words.contains("Hardly any kitchen like yours takes so long")
    };
    assert!(!amiss("yesterday 22:30") && amiss("12:30"));
    let never = asked(&ice).with(&["--wet-at", "yesterday 18:00"]).exits(2).stderr;
    assert!(never.contains("--wet-at is not after --at"), "{never}");
}

#[test]
fn an_oven_with_a_fan_is_sooner_done() {
    let dough = ["dough", "--thickness", "6 mm", "--oven", "93 C", "--no-diary"];
    let dry = |kind: &str| json(&[&dough[..], &["--oven-kind", kind]].concat())["dry_h"].clone();
    let [still, fan] = ["still", "fan"].map(|kind| dry(kind)["p50"].as_f64().unwrap());
    assert!(fan < 0.9 * still, "{fan} h with a fan, {still} h without");
}

#[test]
fn the_clock_is_the_readers() {
    let ice =
        |more: &[&str]| asked(&["ice", "--mold", "fox", "--no-diary"]).with(more).succeeds().stdout;
    assert!(ice(&["--units", "us"]).contains("Sun Dec 6 6:00 pm"));
    assert!(ice(&["--units", "us", "--clock", "24"]).contains("Sun Dec 6 18:00"));
    assert!(ice(&["--clock", "12"]).contains("Sun 6 Dec 6:00 pm"));
    assert!(ice(&["--units", "us", "--more"]).contains("molds"));
    let plan = Run::of(&["plan", "plan.toml", "--no-diary"]).now("2026-11-27T08:00:00");
    let plan = plan.file("plan.toml", DEMO).succeeds().stdout;
    assert!(plan.lines().count() <= 110, "{} lines", plan.lines().count());
    assert!(plan.contains("Tuesday, Dec 8") && !plan.contains("mould"), "{plan}");
}

#[test]
fn slips_and_cards_for_families() {
    let written = Run::of(&["plan", "plan.toml", "--notes", "notes.html"])
        .file("plan.toml", DEMO)
        .now("2026-11-27T08:00:00")
        .succeeds();
    let notes = written.written("notes.html");
    // Eleven Otters and nine Wrens: a slip for each, and a card for each gift.
    assert_eq!(notes.matches("<article class=\"note\">").count(), 20);
    assert_eq!(notes.matches("<article class=\"note card\">").count(), 20);
    for words in [
        "one photo of your child by Wednesday, December 9",
        "A wheat allergy or celiac disease?",
        "May we print and use this photo",
        "Hang it dry and away from lamps",
        "Never heat it, plug it in or wash it.",
        "keep it out of mouths",
        "Keep it from dogs and cats",
    ] {
        assert!(notes.contains(words), "{words}");
    }
}

#[test]
fn what_can_hurt_is_said_in_every_answer() {
    for (command, mind) in [
        ("ice --mould fox", "Let ice stand until it is wet"),
        ("thaw --mould fox", "Let ice stand until it is wet"),
        ("thaw --mould fox", "wipe the floor"),
        ("cool --thickness 6mm --from 95C", "Keep the hot tray out of reach"),
        ("dough --thickness 6mm --oven 95C", "stay with the oven"),
        ("dough --thickness 6mm --air-dry", "No tasting of dough"),
    ] {
        let command: Vec<&str> = command.split(' ').collect();
        let answer = asked(&command).succeeds().stdout;
        let words = answer.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(mind), "{command:?}: no {mind} in\n{answer}");
    }
}

/// A mould by what `[[mould]]` of a plan file has of it.
#[test]
fn a_volume_stands_as_deep_as_is_said() {
    let ready = |depth: &[&str]| {
        let asked = asked(&["ice", "--volume", "310 mL", "--no-diary", "--json"]).with(depth);
        asked.succeeds().json()["ready_h"]["p50"].as_f64().unwrap()
    };
    let [shallow, deep] = ["15 mm", "60 mm"].map(|depth| ready(&["--depth", depth]));
    assert!(shallow * 1.3 < deep, "{shallow} h and {deep} h");
    let said = asked(&["ice", "--box", "10 x 8 x 4 cm", "--depth", "3 cm"]).exits(2).stderr;
    assert!(said.contains("--depth"), "{said}");
    asked(&["thaw", "--volume", "310 mL", "--depth", "35 mm"]).succeeds();
}

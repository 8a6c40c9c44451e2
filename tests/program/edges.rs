//! Answers at the edge of what is asked: hot, thick, cold, many.

use serde_json::Value;

use crate::run::Run;

/// Sunday evening at six.
const NOW: &str = "2026-12-06T18:00:00";

fn asked(question: &str) -> Run {
    // What stands between bars is one word.
    let words = question.split('|').enumerate().flat_map(|(n, part)| match n % 2 {
        0 => part.split_whitespace().collect(),
        _ => vec![part],
    });
    let diary = if question.starts_with("ice") || question.starts_with("dough") {
        &["--no-diary"][..]
    } else {
        &[]
    };
    let fixed = ["--now", NOW, "--zone", "America/Denver"];
    Run::of(&words.collect::<Vec<_>>()).with(&fixed).with(diary)
}

/// The words of a short answer, on one line.
fn said(question: &str) -> String {
    let answer = asked(question).with(&["--units", "metric"]).succeeds().stdout;
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(question: &str) -> Value {
    serde_json::from_str(&asked(question).with(&["--json"]).succeeds().stdout).unwrap()
}

/// The 5, 50 and 95 % points; what never comes is infinite.
fn band(answer: &Value, name: &str) -> [f64; 3] {
    ["p05", "p50", "p95"].map(|point| answer[name][point].as_f64().unwrap_or(f64::INFINITY))
}

/// A middle that is still damp holds twice the heat: on the first screen, as a number.
#[test]
fn a_damp_piece_cools_longer() {
    let thick = "cool --thickness 25mm --from 93C";
    let words = said(thick);
    assert!(words.contains("34 min if it is dry through, 1 h 05 min if its middle may be"));
    let answer = json(thick);
    let minutes = |name: &str| answer[name].as_f64().unwrap();
    let times = minutes("damp_piece_child_min") / minutes("piece_child_min");
    assert!((1.9..2.1).contains(&times), "{times}");
    // By then a piece of 1 mm is as cool as a dry one.
    let thin = said("cool --thickness 1mm --from 93C");
    assert!(!thin.contains("may be damp"), "{thin}");
}

/// What comes later is never there before, in however cold and dry a room.
#[test]
fn a_block_in_a_cold_room_melts_in_order_or_never() {
    for room in ["1", "1.5", "2", "2.5", "3", "3.5", "5", "8"] {
        for humidity in ["", " --humidity |5 %|", " --humidity |50 %|", " --humidity |90 %|"] {
            let question = format!("thaw --box |10x8x4 cm| --room {room}C{humidity}");
            let answer = json(&question);
            let mut before = [0.0; 3];
            for name in ["wet_h", "soft_h", "half_h", "gone_h"] {
                let now = band(&answer, name);
                assert!(now.is_sorted(), "{question}: {name} {now:?}");
                assert!(now.iter().zip(before).all(|(now, then)| *now >= then), "{question}");
                before = now;
            }
        }
    }
    let cold = said("thaw --box |10x8x4 cm| --room |2 C| --humidity |50 %|");
    assert!(cold.starts_with("In so cold and dry a room it may not melt at all"), "{cold}");
    assert!(!cold.contains("stand never"), "{cold}");
}

/// However many there are, a freezer has no more power for them.
#[test]
fn more_blocks_are_never_solid_sooner() {
    let mut before = [0.0; 3];
    for count in [24, 100, 150, 160, 200, 300, 450, 500] {
        let answer = json(&format!("ice --box |10x8x4 cm| --air=-18C --count {count}"));
        let now = band(&answer, "solid_h");
        assert!(now.iter().zip(before).all(|(now, then)| *now >= then), "{count}: {now:?}");
        let nominal = answer["nominal"]["solid_h"].as_f64().unwrap_or(f64::INFINITY);
        assert!(nominal.is_finite() || now[1].is_infinite(), "{count}: {nominal}, {now:?}");
        before = now;
    }
}

#[test]
fn more_water_than_a_freezer_has_room_for_is_said() {
    let many = said("ice --box |10x8x4 cm| --count 500");
    assert!(many.contains("139.6 L of water, do not go in at once"), "{many}");
    assert!(!said("ice --box |10x8x4 cm| --count 18").contains("do not go in"));
}

/// What does not make it likelier is no help; fewer at a time are.
#[test]
fn what_cannot_be_saved_is_not_helped() {
    let question = "ice --box |10x8x4 cm| --air=-18C --count 500 --by |Mon 07:00|";
    let words = said(question);
    assert!(words.contains("freeze 11 at a time: then likely"), "{words}");
    for no_use in ["chill the water", "fill a quarter", " look "] {
        assert!(!words.contains(no_use), "{no_use} in {words}");
    }
    assert!(json(question)["helps"].as_array().unwrap().is_empty());
    let twelve = "ice --box |10x8x4 cm| --air=-18C --count 12 --by |Mon 04:00|";
    let answer = json(twelve);
    let chance = answer["chance"].as_f64().unwrap();
    for help in answer["helps"].as_array().unwrap() {
        assert!(help["chance"].as_f64().unwrap() >= chance + 0.05, "{help}");
    }
}

#[test]
fn salted_water_that_never_gets_hard_is_told_why() {
    let never = said("ice --box |10x8x4 cm| --air=-6C --salt |3 %|");
    assert!(never.contains("Water with so much salt is hard at"), "{never}");
    assert!(never.contains("leave salt out"), "{never}");
    let hardly = said("ice --box |10x8x4 cm| --air=-9C --salt |3 %|");
    assert!(!hardly.contains("never after filling"), "{hardly}");
    assert!(!hardly.contains("about never"), "{hardly}");
}

/// Hot water scalds, and does in a fridge what it does in a freezer.
#[test]
fn hot_water_cools_on_the_counter() {
    let words = said("ice --box |10x8x4 cm| --count 12 --start 90C --more");
    assert!(words.contains("freeze fewer at once, let it cool first"), "{words}");
    assert!(words.contains("let the water cool on the counter first"), "{words}");
    assert!(words.contains("Hot water scalds"), "{words}");
    assert!(!words.to_lowercase().contains("chill the water"), "{words}");
    let warm = said("ice --box |10x8x4 cm| --start 30C --more");
    assert!(!warm.contains("scalds") && warm.contains("chill the water in the fridge"), "{warm}");
}

#[test]
fn small_pieces_are_weighed_to_a_tenth() {
    let small = said("dough --thickness 6mm --oven 93C --size 45mm");
    let weights = small.split("one piece is ").nth(1).unwrap();
    let [wet, firm, dry] = [" g wet", " g, and", " g when"].map(|end| {
        let word = weights.split(end).next().unwrap().split(' ').next_back().unwrap();
        assert!(word.contains('.'), "{small}");
        word.parse::<f64>().unwrap()
    });
    assert!(wet > firm && firm > dry, "{small}");
}

#[test]
fn thick_pieces_are_not_for_the_oven() {
    let thick = said("dough --thickness 25mm --oven 93C");
    assert!(thick.starts_with("Too long for an oven"), "{thick}");
    assert!(thick.contains("roll it thinner, or let it lie in the air first"), "{thick}");
    assert!(!thick.contains("stays with the oven until then"), "{thick}");
    let thin = said("dough --thickness 6mm --oven 93C");
    assert!(thin.contains("stays with the oven until then") && !thin.contains("Too long"));
    // Nobody knows the hour after weeks.
    let long = said("dough --thickness 40mm --air-dry");
    assert!(long.contains(" weeks") && !long.contains(" days "), "{long}");
}

/// One block in a usual cool box has most of its air to itself.
#[test]
fn it_is_said_how_large_a_cool_box_is_meant() {
    let one = said("thaw --box |10x8x4 cm| --room 20C --in cool-box");
    assert!(one.contains("In a closed cool box that the ice fills, 3 times as large"), "{one}");
    // Computed here: a cube of 25 L has 0.51 m² of wall, 0.60 W/K with its opening; a block of
    // 0.03 m² in its air takes up 9 W/m²K, 0.27 W/K: 0.19 W/K in all, 3.7 W. 0.29 kg take 108 kJ.
    let hours = one.split("all of it is gone after ").nth(1).unwrap();
    assert!(["7 h", "8 h", "9 h"].iter().any(|it| hours.starts_with(it)), "{one}");
}

#[test]
fn errors_say_what_would_be_right() {
    let wrong = |question: &str, units: &str| {
        let ran = asked(question).with(&["--units", units]).exits(2);
        ran.stderr.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for (question, units, words) in [
        ("ice --box 10x8x4", "metric", "three numbers and a unit are needed, as in “10x8x4 cm”"),
        ("ice --round 8x4", "metric", "two numbers and a unit are needed"),
        ("ice --ball 8", "metric", "a number and a unit are needed"),
        (
            "ice --box |4x3x2 in| --fill |3 in|",
            "us",
            "a fill of 3 in is deeper than the mold, 2 in",
        ),
        (
            "thaw --box |4x3x2 in| --fill |3 in|",
            "us",
            "a fill of 3 in is deeper than the mold, 2 in",
        ),
        ("ice --box |10x8x4 cm| --air=-18", "us", "“-18” has no unit: type “-18 F” or “-18 C”"),
        ("ice --volume |1 mm|", "us", "qt, gal"),
        (
            "dough --thickness 6mm --air-dry --flour 250g --salt 0g --water 200g",
            "metric",
            "water by mass, that in the flour itself counted",
        ),
    ] {
        let said = wrong(question, units);
        assert!(said.contains(words), "{question}: {said}");
    }
    let quart = json("ice --volume |1 qt|")["mass_kg"].as_f64().unwrap();
    assert!((quart / 0.946_353 - 1.0).abs() < 0.01, "{quart}");
    asked("dough --thickness 6mm --air-dry --count 5000").succeeds();
    let now = said("cool --thickness 6mm --from 20C");
    assert!(now.starts_with("A child may touch it now."), "{now}");
}

//! Amounts as people have them, and dough that goes from place to place.

use serde_json::Value;

use crate::run::Run;

fn answer(words: &[&str]) -> Value {
    Run::of(words).with(&["--json", "--no-diary"]).now("2026-12-03T08:00:00Z").succeeds().json()
}

fn at(answer: &Value, path: &str) -> f64 {
    answer.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {answer}"))
}

const AIR: [&str; 5] = ["dough", "--thickness", "6 mm", "--air-dry", "--units=metric"];

fn dough(more: &[&str]) -> Value {
    answer(
        &[&["dough", "--thickness", "6.4 mm", "--oven", "93 C", "--faces", "two"], more].concat(),
    )
}

#[test]
fn flour_by_the_cup() {
    let cups = ["--flour", "2 cups", "--salt", "1 cup", "--water", "1 cup"];
    let cups = answer(&[&AIR[..], &cups].concat());
    let named = answer(&[&AIR[..], &["--recipe", "two-one-one"]].concat());
    for path in ["/dry_h/p05", "/hard_h/p95", "/weigh_g/firm"] {
        assert!((at(&cups, path) / at(&named, path) - 1.0).abs() < 1e-3, "{path}");
    }
    // One of them weighed: that much less is unsure.
    let mixed = ["--flour", "250 g", "--salt", "1 cup", "--water", "8 fl oz"];
    let mixed = answer(&[&AIR[..], &mixed].concat());
    assert!((at(&mixed, "/weigh_g/wet") / at(&cups, "/weigh_g/wet") - 1.0).abs() < 0.02);
}

#[test]
fn amounts_that_make_no_dough_are_refused_at_once() {
    for (flour, says) in [
        ("1e-12g", "at least one part of flour in eight of salt"),
        ("30 g", "with 9 parts of salt to one of flour"),
        ("2 handfuls", "cup"),
    ] {
        let amounts = ["--flour", flour, "--salt", "280 g", "--water", "100 g"];
        let ran = Run::of(&[&AIR[..], &amounts].concat()).ends();
        assert_eq!(ran.code, Some(2), "{flour}: {}", ran.stderr);
        assert!(ran.stderr.contains(says), "{flour}: {}", ran.stderr);
    }
    // An eighth is enough.
    answer(&[&AIR[..], &["--flour", "35 g", "--salt", "280 g", "--water", "60 g"]].concat());
}

#[test]
fn water_by_the_pound_and_the_cup() {
    // 453.592 g; 236.588 mL.
    for (water, kilograms) in [("1 lb", 0.453_59), ("2 cups", 0.4728), ("473 mL", 0.4727)] {
        let found = at(&answer(&["ice", "--volume", water]), "/mass_kg");
        assert!((found / kilograms - 1.0).abs() < 0.003, "{water}: {found} kg");
    }
}

#[test]
fn baked_then_dried_in_the_room() {
    let room = ["--room", "20 C", "--humidity", "50 %", "--size", "75 mm"];
    let with = |more: &[&str]| dough(&[&room[..], more].concat());
    let baked = with(&["--bake-for", "3 h"]);
    for point in ["p05", "p50", "p95"] {
        let (firm, dry) = (format!("/hard_h/{point}"), format!("/dry_h/{point}"));
        assert!(at(&baked, &firm) <= at(&baked, &dry), "{point}: {baked}");
    }
    let dry = at(&baked, "/nominal/dry_h");
    assert!(dry > at(&with(&[]), "/nominal/dry_h"), "the oven all along is quicker");
    let airy = with(&["--bake-for", "3 h", "--door", "ajar"]);
    assert!(at(&airy, "/nominal/dry_h") < dry, "the room's air is drier than the oven's");
    let painted = with(&["--bake-for", "3 h", "--paint-after", "24 h"]);
    assert!(at(&painted, "/nominal/dry_h") > dry, "paint puts water back");
    let weights = ["wet", "firm", "dry"].map(|state| at(&baked, &format!("/weigh_g/{state}")));
    assert!(weights[0] > weights[1] && weights[1] > weights[2], "{weights:?}");
}

#[test]
fn a_window_for_the_photo() {
    let size = ["--size", "75 mm"];
    let whole = dough(&size);
    let ring = dough(&[&size[..], &["--opening", "38 mm"]].concat());
    // A ring of 75 and 38 mm has 1 - (38/75)² of the disc.
    let share = at(&ring, "/weigh_g/wet") / at(&whole, "/weigh_g/wet");
    assert!((share - (1.0 - (38.0_f64 / 75.0).powi(2))).abs() < 1e-6, "{share}");
    assert!(at(&ring, "/nominal/hard_h") < at(&whole, "/nominal/hard_h"), "an edge more");
    let wide =
        ["dough", "--thickness", "6 mm", "--air-dry", "--size", "75 mm", "--opening", "74 mm"];
    let ran = Run::of(&wide).ends();
    assert!(ran.code == Some(2) && ran.stderr.contains("the opening"), "{}", ran.stderr);
}

/// Forty blocks in a chest are solid before they are firm to turn out; the chance and the
/// latest time to fill are those of being firm.
#[test]
fn the_chance_is_that_of_being_firm() {
    let asked = "ice --box 10x8x4cm --fill 32mm --wall silicone --freezer chest --count 40 \
                 --at 2026-12-01T08:00 --now 2026-12-01T08:00:00 --json";
    let answer = |by: &str| {
        let words: Vec<&str> = asked.split_whitespace().chain(["--by", by]).collect();
        Run::of(&words).succeeds().json()
    };
    let first = answer("2026-12-02T18:00");
    let [solid, ready] = ["solid_h", "ready_h"].map(|key| first[key]["p95"].as_f64().unwrap());
    assert!(solid + 0.5 < ready, "{solid} h and {ready} h");
    // Between the two it is sure to be solid and not yet sure to be firm.
    let between = ((solid + ready) * 30.0) as i64;
    let at = chrono::NaiveDate::from_ymd_opt(2026, 12, 1).unwrap().and_hms_opt(8, 0, 0).unwrap()
        + chrono::TimeDelta::minutes(between);
    let answer = answer(&at.format("%Y-%m-%dT%H:%M").to_string());
    let chance = answer["chance"].as_f64().unwrap();
    assert!((0.5..0.95).contains(&chance), "{chance}");
    assert_eq!(answer["verdict"], "likely");
}

//! The file of a plan that is kept, and what is read from it: today, and the calendar.

use std::fs;

use serde_json::Value;

use crate::{
    followed::{KEPT, Kept},
    run::{Run, demo_in},
};

/// What is told is a plain file that people may write, and one that is wrong is told.
#[test]
fn what_people_write_into_the_file_counts() {
    let kept = Kept::new();
    let path = kept.path().join("forest-fortnight.kept.toml");
    let now = "2026-12-08T20:00:00";
    let text = fs::read_to_string(&path).unwrap();
    let happened = |what: &str| {
        let row = format!("[[happened]]\nstep = \"fill-4-otters-9-dec\"\n{what}\n");
        fs::write(&path, text.replace("happened = []", &row)).unwrap();
        kept.run(&["plan", &kept.plan, "--json"], now)
    };
    assert!(text.contains("happened = []"), "{text}");
    let ran = happened("at = 2026-12-08T19:00:00-07:00\nskipped = true");
    assert!(ran.stdout.contains("\"fill-4-otters-9-dec\""), "{}", ran.stderr);
    for (wrong, says) in [
        ("at = 2026-12-08T19:00:00", "offset"),
        ("at = 2026-12-08T19:00:00-07:00\nweight_g = -3.0", "no such weight"),
        ("at = 2026-12-08T19:00:00-07:00\nwetness = 1", "unknown field"),
    ] {
        let ran = happened(wrong);
        assert_eq!(ran.code, Some(2), "{wrong}");
        assert!(ran.stderr.contains(says), "{wrong}: {}", ran.stderr);
    }
}

/// What goes on by itself beside other kinds takes as long in the plan that is kept as in the
/// one that was planned.
#[test]
fn a_kept_plan_freezes_as_long_as_it_was_planned() {
    let folder = tempfile::tempdir().unwrap();
    let text = include_str!("../data/classes/mixed-load.toml");
    fs::write(folder.path().join("plan.toml"), text).unwrap();
    let freezing = |more: &[&str], now| {
        let words = [&["plan", "plan.toml", "--json", "--no-diary"], more].concat();
        let plan = Run::of(&words).now(now).inside(folder.path()).succeeds().json();
        let steps = plan["steps"].as_array().unwrap().clone();
        let freeze =
            steps.into_iter().filter(|step| step["id"].as_str().unwrap().contains("-freeze"));
        freeze.map(|step| (step["id"].clone(), step["end"].clone())).collect::<Vec<_>>()
    };
    let planned = freezing(&["--keep"], "2026-12-03T08:00:00");
    assert_eq!(planned.len(), 2);
    assert_eq!(freezing(&[], "2026-12-03T09:00:00"), planned);
    assert_eq!(freezing(&[], "2026-12-08T20:00:00"), planned);
}

/// A plan that was kept later is not lost to a question about an earlier time.
#[test]
fn a_plan_that_was_kept_later_is_not_overwritten() {
    let kept = Kept::new();
    let path = kept.path().join("forest-fortnight.kept.toml");
    let before = fs::read_to_string(&path).unwrap();
    let earlier = "2026-11-20T08:00:00";
    let ran = kept.run(&["plan", &kept.plan, "--keep"], earlier);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("later than now"), "{}", ran.stderr);
    let ran = kept.run(&["plan", &kept.plan, "--ics", "prep.ics"], earlier);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stderr.contains("the plan is not kept"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}

#[test]
fn a_file_that_is_not_ours_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let plan = demo_in(folder.path());
    let other = folder.path().join("forest-fortnight.kept.toml");
    fs::write(&other, "mine = true\n").unwrap();
    let ran = Run::of(&["plan", &plan, "--keep", "--no-diary"]).now(KEPT).exits(2);
    assert!(ran.stderr.contains("kept.toml"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(&other).unwrap(), "mine = true\n");
}

/// What is not ready is kept a time for, silently.
#[test]
fn reserves_are_tentative_in_the_calendar() {
    let text =
        include_str!("../../demo/forest-fortnight.toml").replace("air = \"0 F\"", "air = \"12 F\"");
    let ran = Run::of(&["plan", "plan.toml", "--no-diary", "--json", "--ics", "prep.ics"])
        .file("plan.toml", &text)
        .now(KEPT)
        .succeeds();
    let plan = ran.json();
    let reserves = plan["steps"].as_array().unwrap().iter().filter(|it| it["reserve"] == true);
    let reserves = reserves.count();
    let ics = ran.written("prep.ics");
    let events: Vec<&str> = ics.split("BEGIN:VEVENT").collect();
    let tentative: Vec<_> = events.iter().filter(|it| it.contains("STATUS:TENTATIVE")).collect();
    println!("{reserves} reserves");
    assert!(reserves > 0);
    assert_eq!(tentative.len(), reserves);
    for event in tentative {
        assert!(event.contains("TRANSP:TRANSPARENT") && !event.contains("VALARM"), "{event}");
    }
}

#[test]
fn today_fits_a_screen() {
    let kept = Kept::new();
    for now in
        ["2026-11-29T08:00:00", "2026-12-08T06:20:00", "2026-12-08T18:20:00", "2026-12-09T06:30:00"]
    {
        let words = kept.run(&["today", &kept.plan], now).stdout;
        assert!(words.lines().count() <= 25, "{now}: {words}");
        assert!(words.contains("Today"), "{words}");
    }
    let words = kept.run(&["today", &kept.plan], "2026-12-08T18:20:00").stdout;
    assert!(words.contains("turn-out-3-otters-9-dec"), "{words}");
    let json = kept.run(&["today", &kept.plan, "--json"], "2026-12-08T18:20:00").stdout;
    let json: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["today"][0]["short"], "turn-out-3-otters-9-dec");
}

#[test]
fn today_says_what_leaves_and_comes_home() {
    let kept = Kept::new();
    let words = |now: &str| kept.run(&["today", &kept.plan], now).stdout;
    let morning = words("2026-12-07T07:00:00");
    let [leave, paint, home] = ["Leave with: 11 pieces", "Otters paint", "Bring home: 11 painted"]
        .map(|some| morning.find(some).unwrap_or_else(|| panic!("{some}: {morning}")));
    assert!(leave < paint && paint < home, "{morning}");
    assert!(!words("2026-12-07T08:10:00").contains("Leave with: 11 pieces"), "she is there");
    let json = kept.run(&["today", &kept.plan, "--json"], "2026-12-07T07:00:00").stdout;
    let json: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["carry"][0]["home"], false);
    assert_eq!(json["carry"][1]["items"][0], "11 painted pieces, lying flat");
}

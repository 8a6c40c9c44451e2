//! A gift that is less sure than wished and would be taken so, were there not a session of ice.

use crate::support::{self, Fixed};

use solidby::report::plan::lay_out;

/// Invented: one morning of class before the pieces are given, with ice in the middle of it and
/// half an hour for painting neither before nor after.
const KEEPSAKE: &str = r#"
title = "One Friday"
timezone = "Europe/Berlin"
units = "metric"
[hours]
home = ["daily 18:00-21:30"]
class = ["Fri 08:30-10:25"]
[room]
[[group]]
name = "Wrens"
days = "Fri"
children = 14
youngest = "3 years"
[[freezer]]
name = "kitchen"
kind = "chest"
holds = 20
[[mould]]
name = "beaker"
shape = "cup 6.5 x 5 x 7 cm"
own = 20
[[ice]]
name = "Towers"
mould = "beaker"
freezer = "kitchen"
blocks = "each"
session = [{ group = "Wrens", at = 2026-12-11T09:15:00 }]
[[ornament]]
name = "Keepsakes"
shape = "round 60 mm"
thickness = "6 mm"
recipe = "two-one-one"
groups = ["Wrens"]
each = 1
method = "air"
finish = ["paint", "wrap"]
give = 2026-12-18
"#;

#[test]
fn the_session_in_its_way_is_named_and_moved() {
    // Ready in time in 85 kitchens of 100, and so neither at 95 nor at 90.
    let durations = Fixed { slow: 15, ..Fixed::default() };
    let now = "2026-12-05T08:00:00Z".parse().unwrap();
    let alone = KEEPSAKE.replace("2026-12-11T09:15:00", "2026-12-04T09:15:00");
    assert!(lay_out(&support::plan(&alone), now, &durations).unwrap().feasible);

    let schedule = lay_out(&support::plan(KEEPSAKE), now, &durations).unwrap();
    assert!(!schedule.feasible);
    let [problem] = &schedule.problems[..] else { panic!("{:#?}", schedule.problems) };
    assert!(problem.what.starts_with("Keepsakes"), "{problem:#?}");
    let named = "Towers for Wrens on Fri 11 Dec is to be kept";
    assert!(problem.because.iter().any(|fact| fact == named), "{problem:#?}");
    // A month is no reason: the gift would be taken as it is.
    assert!(!problem.because.iter().any(|fact| fact.contains("30 days")), "{problem:#?}");
    let moved = "“Towers” for Wrens at 09:00 instead";
    assert!(problem.ways.words.iter().any(|way| way == moved), "{problem:#?}");
}

/// A gift that there is little time for, and nothing else: what would make it as sure as wished is
/// told, and makes it so.
#[test]
fn what_would_make_a_gift_sure_is_told() {
    let durations = Fixed { slow: 15, ..Fixed::default() };
    let now = "2026-12-05T08:00:00Z".parse().unwrap();
    let alone = KEEPSAKE.replace("2026-12-11T09:15:00", "2026-12-04T09:15:00");
    let schedule = lay_out(&support::plan(&alone), now, &durations).unwrap();
    let [problem] = &schedule.problems[..] else { panic!("{:#?}", schedule.problems) };
    assert_eq!(problem.what, "The whole plan holds in 85 kitchens of 100; 95 were wished");
    println!("{:#?}", problem.ways.words);
    let way = "give “Keepsakes” by Fri 15 Jan";
    assert!(problem.ways.words.iter().any(|told| told == way), "{problem:#?}");

    let later = alone.replace("give = 2026-12-18", "give = 2027-01-15");
    let schedule = lay_out(&support::plan(&later), now, &durations).unwrap();
    assert!(schedule.feasible && schedule.problems.is_empty(), "{:#?}", schedule.problems);
}

//! Ice that freezes where it is painted on: nothing is packed or carried, and what was turned
//! out in the morning is set out from the freezer.

use crate::support::{self, Fixed};

use chrono::{DateTime, Utc};
use solidby::{
    prep::schedule::{Attention, Schedule, Step},
    report::plan::lay_out,
};

/// Invented: eighteen blocks on a Tuesday morning, ten places in the freezer of the class, and
/// nobody there from Friday afternoon to Monday.
const TOWERS: &str = r#"
title = "Ice towers"
timezone = "Europe/Berlin"
units = "metric"
[hours]
home = ["Mon-Fri 19:00-21:30"]
class = ["Mon-Fri 07:30-15:00"]
[wishes]
ahead = "5 days"
[room]
[hands]
class = 2
[[group]]
name = "Wrens"
days = "Mon Tue Wed Thu Fri"
children = 17
youngest = "30 months"
[[freezer]]
name = "class"
kind = "fridge-freezer"
place = "class"
holds = 10
[[mould]]
name = "beaker"
shape = "cup 6.5 x 5 x 7 cm"
own = 20
[[ice]]
name = "Towers"
mould = "beaker"
freezer = "class"
blocks = "each"
spare = 1
session = [{ group = "Wrens", at = 2026-12-08T10:00:00 }]
"#;

fn laid_out(text: &str) -> Schedule {
    let now: DateTime<Utc> = "2026-11-27T20:00:00Z".parse().unwrap();
    lay_out(&support::plan(text), now, &Fixed::default()).unwrap()
}

fn step<'a>(schedule: &'a Schedule, name: &str) -> Vec<&'a Step> {
    schedule.steps.iter().filter(|step| step.id.contains(name)).collect()
}

#[test]
fn blocks_go_straight_from_the_freezer_to_the_table() {
    let schedule = laid_out(TOWERS);
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    for name in ["-pack", "-carry"] {
        assert!(step(&schedule, name).is_empty(), "{name}");
    }
    assert!(schedule.steps.iter().all(|step| step.place == "class"));
    let set_out = step(&schedule, "-set-out")[0];
    let turned_out = step(&schedule, "-turn-out");
    let blocks: u32 = step(&schedule, "-fill").iter().map(|fill| fill.count).sum();
    assert_eq!((blocks, turned_out.is_empty()), (18, false));
    assert!(turned_out.iter().all(|step| step.end <= set_out.start));
    let carried = schedule.carry.iter().flat_map(|carry| &carry.items);
    let of_ice = carried.filter(|item| item.contains("block") && item.contains("frozen"));
    assert_eq!(of_ice.count(), 0);
}

/// Of ten places those are taken by a third that a bag lies on: ten blocks on Monday morning, and
/// with those of Friday sixteen. For all eighteen it is filled on the Thursday before.
#[test]
fn to_fill_further_ahead_is_a_way_out() {
    let schedule = laid_out(&TOWERS.replace("5 days", "3 days"));
    assert!(!schedule.feasible);
    let ways = &schedule.problems[0].ways.words;
    assert!(ways.iter().any(|way| way == "fill ice up to 5 days ahead"), "{ways:#?}");
    // Nor is one day less enough, and so it is not the way that is told.
    assert!(!laid_out(&TOWERS.replace("5 days", "4 days")).feasible);
}

/// On a day without class nobody is there to fill, though the hours of class name that day.
#[test]
fn nobody_is_in_class_on_a_day_without() {
    let closed = TOWERS.replace("[wishes]", "closed = [\"2026-12-04\", \"2026-12-07\"]\n[wishes]");
    let schedule = laid_out(&closed.replace("5 days", "7 days"));
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let off = |step: &&Step| {
        let day = step.start.date_naive().to_string();
        step.attention != Attention::None && ["2026-12-04", "2026-12-07"].contains(&&*day)
    };
    assert_eq!(
        schedule.steps.iter().filter(off).map(|step| &*step.id).collect::<Vec<_>>(),
        [""; 0]
    );
}

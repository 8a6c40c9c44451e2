//! Two sessions that are in each other's way: of one morning, or of one pan.

use crate::support::{self, Fixed};

use chrono::Timelike;
use solidby::prep::{
    Physics,
    schedule::{Attention, Schedule},
};
use solidby::report::plan::lay_out;

/// Invented: two groups in one room, and one teacher.
const MORNING: &str = r#"
title = "Two after another"
timezone = "America/New_York"
[hours]
home = ["daily 17:00-21:30"]
class = ["Mon-Fri 08:30-15:00"]
[room]
[[group]]
name = "Ducklings"
days = "Wed"
children = 8
youngest = "2 years"
[[group]]
name = "Goslings"
days = "Wed"
children = 12
youngest = "3 years"
[[freezer]]
name = "kitchen"
kind = "chest"
holds = 20
[[mould]]
name = "bowl"
volume = "400 mL"
own = 10
[[ice]]
name = "Rescue the toys"
mould = "bowl"
freezer = "kitchen"
blocks = 4
travel = "12 min"
session = [
  { group = "Ducklings", at = 2026-12-09T09:45:00 },
  { group = "Goslings", at = 2026-12-09T11:00:00 },
]
"#;

fn laid(second: &str, durations: Fixed) -> Schedule {
    let text = MORNING.replace("11:00:00", second);
    let now = "2026-12-03T08:00:00Z".parse().unwrap();
    lay_out(&support::plan(&text), now, &durations).unwrap()
}

/// From when to when each step with her hands in class is, in minutes of the day.
fn in_class(schedule: &Schedule) -> Vec<(&str, u32, u32)> {
    let steps = schedule.steps.iter().filter(|step| step.place == "class");
    let hands = steps.filter(|step| step.attention == Attention::Hands);
    let minutes = |at: chrono::DateTime<chrono_tz::Tz>| 60 * at.hour() + at.minute();
    hands.map(|step| (step.id.as_str(), minutes(step.start), minutes(step.end))).collect()
}

/// When the ice of the second is set out, in minutes of the day.
fn second_is_out(steps: &[(&str, u32, u32)]) -> u32 {
    let mut out = steps.iter().filter(|(id, ..)| *id == "rescue-the-toys-goslings-1-set-out");
    out.next().unwrap_or_else(|| panic!("{steps:?}")).2
}

/// Its ice would be set out while the floor of the first is wiped.
#[test]
fn the_ice_of_the_second_is_set_out_before_the_first() {
    let schedule = laid("10:30:00", Fixed::default());
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let steps = in_class(&schedule);
    for ((one, _, ends), (other, starts, _)) in steps.iter().zip(&steps[1..]) {
        assert!(ends <= starts, "{other} begins before {one} ends: {steps:?}");
    }
    assert!(second_is_out(&steps) <= 9 * 60 + 45, "{steps:?}");
}

#[test]
fn what_does_not_meet_is_set_out_just_in_time() {
    let schedule = laid("13:30:00", Fixed::default());
    // A quarter of an hour in which it becomes wet.
    assert_eq!(second_is_out(&in_class(&schedule)), 13 * 60 + 15);
}

/// It would stand for three quarters of an hour.
#[test]
fn it_is_not_set_out_where_it_would_soften() {
    let schedule = laid("10:30:00", Fixed { table_h: 0.5, ..Fixed::default() });
    let [problem] = &schedule.problems[..] else { panic!("{:#?}", schedule.problems) };
    assert!(problem.what.contains("Goslings"), "{problem:#?}");
}

/// Invented: one pan, a kitchen that is open for an hour, and a group on each of two days.
const ONE_PAN: &str = r#"
title = "One pan"
timezone = "America/New_York"
[hours]
kitchen = ["Mon-Thu 13:00-14:00"]
hall = ["Mon-Thu 08:30-13:00"]
[room]
[[group]]
name = "Twos"
days = "Wed"
children = 8
room = "hall"
[[group]]
name = "Threes"
days = "Thu"
children = 12
room = "hall"
[[freezer]]
name = "church"
kind = "upright"
place = "kitchen"
holds = 2
[[mould]]
name = "pan"
volume = "10 cups"
wall = "aluminium"
own = 1
[[ice]]
name = "Ice mountain"
mould = "pan"
freezer = "church"
blocks = 1
session = [
  { group = "Twos", at = 2026-12-02T10:00:00 },
  { group = "Threes", at = 2026-12-03T10:00:00 },
]
"#;

/// From one hour of the kitchen to the next its block is frozen in four kitchens of five, and not
/// surely: both sessions have theirs so, or one has it surely and the other none.
#[test]
fn none_is_left_out_where_both_are_likely() {
    let now = "2026-11-28T14:00:00Z".parse().unwrap();
    let schedule = lay_out(&support::plan(ONE_PAN), now, &Physics::default()).unwrap();
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let all = schedule.promise.chance.unwrap().all;
    assert!((0.7..0.95).contains(&all), "{all}");
}

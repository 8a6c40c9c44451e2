//! A morning of a quarter of an hour has time to turn out a part of what one evening filled.

use solidby::prep::schedule::Schedule;
use solidby::report::plan::lay_out;

use crate::support::{self, Fixed};

const NOW: &str = "2026-12-04T12:00:00Z";

/// Twelve moulds, one evening, two mornings until `ends`, and all twelve blocks on Wednesday.
fn laid(ends: &str) -> Schedule {
    let text = format!(
        r#"
title = "Short mornings"
timezone = "Europe/Vienna"
[hours]
home = ["Mon 19:00-21:00", "Tue Wed 06:30-{ends}"]
class = ["Mon-Fri 08:30-12:00"]
[[group]]
name = "Larches"
days = "Mon Wed"
children = 12
youngest = "3 years"
[[freezer]]
name = "chest"
kind = "chest"
holds = 20
[[mould]]
name = "star"
volume = "150 mL"
wall = "silicone"
own = 12
[[ice]]
name = "Painting"
mould = "star"
freezer = "chest"
blocks = "each"
spare = 0
travel = "15 min"
session = [ {{ group = "Larches", at = 2026-12-09T09:30:00 }} ]
"#
    );
    lay_out(&support::plan(&text), NOW.parse().unwrap(), &Fixed::default()).unwrap()
}

/// Day, minutes and blocks of each step of a kind.
fn steps(schedule: &Schedule, kind: &str) -> Vec<(String, i64, u32)> {
    let own = schedule.steps.iter().filter(|step| step.id.contains(kind));
    let told = own.map(|step| {
        let blocks = step.what.split_whitespace().find_map(|word| word.parse().ok());
        let minutes = (step.end - step.start).num_minutes();
        (step.start.format("%a %H:%M").to_string(), minutes, blocks.unwrap())
    });
    told.collect()
}

#[test]
fn what_does_not_fit_into_one_morning_is_turned_out_on_two() {
    let schedule = laid("06:45");
    assert!(schedule.feasible);
    let outs = steps(&schedule, "turn-out");
    assert_eq!(outs.len(), 2, "{outs:?}");
    assert_eq!(outs.iter().map(|(.., blocks)| blocks).sum::<u32>(), 12);
    assert!(outs.iter().all(|(_, minutes, _)| *minutes <= 15), "{outs:?}");
    // Filled one after the other, after one washing of all twelve.
    let [(first, minutes, _), (second, ..)] = &steps(&schedule, "fill")[..] else {
        panic!("{schedule:#?}");
    };
    assert!(first.starts_with("Mon 19:1") && second > first && *minutes > 0, "{first} {second}");
    assert_eq!(steps(&schedule, "wash").len(), 1);
}

#[test]
fn where_there_is_time_all_is_turned_out_together() {
    let schedule = laid("07:00");
    assert!(schedule.feasible);
    assert_eq!(steps(&schedule, "turn-out").len(), 1);
    assert_eq!(steps(&schedule, "fill").len(), 1);
}

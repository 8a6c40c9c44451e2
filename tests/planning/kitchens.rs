//! What a plan promises, against many more kitchens than it was tried in.

use chrono::{DateTime, NaiveDateTime, TimeZone, Utc};
use solidby::prep::{Physics, solve};

use crate::support;

/// The chance of the whole plan is that of 4,096 kitchens within two standard errors of
/// both.
#[test]
#[ignore = "takes a minute: cargo test --test planning four_thousand -- --ignored --nocapture"]
fn the_chance_is_that_of_four_thousand_kitchens() {
    let mut far: Vec<String> = Vec::new();
    for (text, now) in [
        (include_str!("../../demo/forest-fortnight.toml"), "2026-11-26T12:00:00"),
        (include_str!("../../demo/whole-december.toml"), "2026-11-26T12:00:00"),
        (include_str!("../../demo/monsoon-stars.toml"), "2026-11-26T12:00:00"),
        (include_str!("../data/classes/slow-oven.toml"), "2026-11-28T08:00:00"),
        (include_str!("../data/classes/every-other-day.toml"), "2027-01-04T08:00:00"),
    ] {
        let plan = support::plan(text);
        let local: NaiveDateTime = now.parse().unwrap();
        let now: DateTime<Utc> = plan.zone.from_local_datetime(&local).unwrap().to_utc();
        let physics = Physics::default();
        let laid = solve(&plan, now, &physics).unwrap();
        let chance = |physics: &Physics| {
            let schedule = laid.schedule(&plan, now, physics).unwrap();
            schedule.promise.chance.unwrap().all
        };
        let few = chance(&physics);
        let many = chance(&Physics::default().in_kitchens(0..4096));
        let error = |p: f64, n: f64| (p * (1.0 - p) / n).max(1.0 / (n * n)).sqrt();
        let both = error(few, 256.0).hypot(error(many, 4096.0));
        println!(
            "{}: {few:.4} of 256, {many:.4} of 4,096, {:.1} errors",
            plan.title,
            (few - many).abs() / both
        );
        far.extend(((few - many).abs() > 2.0 * both).then(|| plan.title.clone()));
    }
    assert!(far.is_empty(), "{far:?}");
}

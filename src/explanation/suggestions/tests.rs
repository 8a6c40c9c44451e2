//! Each suggestion changes what it is to change, and by as much.

use chrono::NaiveDate;

use super::{gift::*, session::*, *};
use crate::planfile::{self, Blocks, Finish, Method, Spare, edit};
use crate::units::{System, celsius, in_celsius, in_fraction, in_hours, in_millimetres};

/// Invented: eleven children, one oven, two freezers, two moulds.
const PLAN: &str = r#"
title = "Ways out"
timezone = "Europe/Vienna"
units = "metric"
[hours]
home = ["daily 18:00-21:00"]
class = ["Mon-Fri 08:00-12:00"]
closed = ["2026-12-14"]
[room]
temperature = "20 C"
humidity = "60 %"
[hands]
home = 2
[[group]]
name = "Otters"
days = "Mon Wed"
children = 11
youngest = "3 years"
[[group]]
name = "Wrens"
days = "Tue"
children = 4
youngest = "3 years"
[[freezer]]
name = "kitchen"
kind = "fridge-freezer"
air = "-10 C"
holds = 8
[[freezer]]
name = "cellar"
kind = "fridge-freezer"
holds = 4
[[oven]]
name = "kitchen"
kind = "still"
trays = 1
tray = "400 x 350 mm"
[[mould]]
name = "fox"
volume = "300 mL"
depth = "30 mm"
wall = "silicone"
own = 4
[[mould]]
name = "bear"
volume = "200 mL"
depth = "30 mm"
wall = "silicone"
own = 2
[[ice]]
name = "Paint on ice"
mould = "fox"
freezer = "kitchen"
blocks = "each"
spare = 1
travel = "2 h"
session = [{ group = "Otters", at = 2026-12-07T09:00:00 }]
[[ornament]]
name = "Stars"
shape = "round 60 mm"
thickness = "5.5 mm"
recipe = "two-one-one"
groups = ["Otters", "Wrens"]
each = 1
spare = "10 %"
method = "air"
finish = ["paint", "photo", "seal", "wrap"]
give = 2026-12-09
"#;

fn plan() -> Plan {
    planfile::read(PLAN).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The plan with one change.
fn made(change: &Change, plan: &Plan) -> Plan {
    Suggestion::from(change.clone()).changed(plan)
}

/// The changes among the candidates for the session that `pick` picks.
fn for_the_session(plan: &Plan, pick: impl Fn(&Change) -> bool) -> Vec<Change> {
    for_session(plan, 0, 0).into_iter().flatten().filter(pick).collect()
}

#[test]
fn ice_and_hands_of_a_session_become_what_they_are_to() {
    let plan = plan();
    let fills = for_the_session(&plan, |change| matches!(change, Change::Fill { .. }));
    assert_eq!(fills.len(), 2);
    let third = made(&fills[0], &plan);
    assert!((in_millimetres(third.moulds[0].fill.unwrap()) - 20.0).abs() < 1e-9);
    assert!(
        (in_fraction(third.moulds[0].volume / plan.moulds[0].volume) - 2.0 / 3.0).abs() < 1e-12
    );
    assert_eq!(third.moulds[1], plan.moulds[1]);

    let colder_than_said = colder(&plan, 0);
    assert_eq!(made(&colder_than_said[0], &plan).freezers[0].air, Some(celsius(-18.0)));
    assert!(colder(&plan, 1).is_empty(), "nobody said that it is warmer than usual");

    let hands = |place: &str| plan.places.iter().position(|p| p.name == place).unwrap();
    let (home, class) = (hands("home"), hands("class"));
    assert_eq!(made(&Change::Hands { place: home }, &plan).places[home].hands, Some(3));
    // One pair goes from place to place, so one more makes two.
    assert_eq!(made(&Change::Hands { place: class }, &plan).places[class].hands, Some(2));

    let fewer = fewer_blocks(&plan, 0, 0);
    let numbers = fewer.iter().map(|way| made(way, &plan).ice[0].blocks);
    assert_eq!(numbers.collect::<Vec<_>>(), [6, 4, 3, 2, 1].map(Blocks::Number));
    assert!(fewer.iter().all(|way| made(way, &plan).ice[0].spare == 0));

    let without = no_spares(&plan, 0);
    assert_eq!(without, [Change::NoSpareBlocks { ice: 0 }]);
    let left = &made(&without[0], &plan).ice[0];
    assert_eq!((left.blocks, left.spare), (plan.ice[0].blocks, 0));
    assert!(no_spares(&made(&without[0], &plan), 0).is_empty(), "there are none to leave out");

    // Two hours' way, halved, quartered, and a tenth of it: twelve minutes.
    let minutes = |way: &Change| (60.0 * in_hours(made(way, &plan).ice[0].travel)).round();
    assert_eq!(shorter_way(&plan, 0).iter().map(minutes).collect::<Vec<_>>(), [60.0, 30.0, 12.0]);
}

#[test]
fn times_of_a_session_become_what_they_are_to() {
    let plan = plan();
    let class = plan.places.iter().position(|place| place.name == "class").unwrap();
    // There from eight to twelve.
    let times = later_that_day(&plan, 0, 0);
    let at = |way: &Change| made(way, &plan).ice[0].sessions[0].at.format("%H:%M").to_string();
    assert_eq!(times.iter().map(at).collect::<Vec<_>>(), ["09:30", "10:00"]);
    let late = made(&times[1], &plan);
    let late = made(&later_that_day(&late, 0, 0)[1], &late);
    assert!(later_that_day(&late, 0, 0).is_empty(), "an hour from then on nobody is there");
    let days = later_session(&plan, 0, 0);
    let on = |way: &Change| made(way, &plan).ice[0].sessions[0].at.to_rfc3339();
    // The Otters meet on Monday and Wednesday; Monday the 14th is closed.
    assert_eq!(
        days.iter().map(on).collect::<Vec<_>>(),
        ["2026-12-09T09:00:00+01:00", "2026-12-16T09:00:00+01:00"]
    );
    assert!(longer_class(&plan, 0, 0).is_empty(), "they are there from eight to eleven");
    let mut shorter = plan.clone();
    shorter.places[class].hours = vec!["Mon-Fri 08:30-12:00".parse().unwrap()];
    let longer = longer_class(&shorter, 0, 0);
    let hours = made(&longer[0], &shorter).places[class].hours.clone();
    assert_eq!(hours.last(), "2026-12-07 08:00-11:00".parse().ok().as_ref());
    let ahead = further_ahead(&plan);
    let ahead = ahead.iter().map(|way| made(way, &plan).wishes.ahead);
    assert_eq!(ahead.collect::<Vec<_>>(), [4, 5, 6, 7]);
    let sooner = earlier_that_day(&plan, 0, 0);
    assert_eq!(
        sooner.iter().map(on).collect::<Vec<_>>(),
        ["2026-12-07T08:30:00+01:00", "2026-12-07T08:00:00+01:00"]
    );
}

#[test]
fn moulds_and_freezers_become_what_they_are_to() {
    let plan = plan();
    assert_eq!(made(&other_mould(&plan, 0)[0], &plan).ice[0].mould, 1);
    let mut cubes = plan.clone();
    cubes.moulds[1].volume = 0.2 * cubes.moulds[0].volume;
    assert!(other_mould(&cubes, 0).is_empty(), "a cube is no block to paint on");
    assert_eq!(made(&other_freezer(&plan, 0)[0], &plan).ice[0].freezer, 1);
    let way = &freezer_in_class(&plan, 0, 0)[0];
    let there = made(way, &plan);
    let freezer = &there.freezers[there.ice[0].freezer];
    // The kitchen's is at -10 °C: one like it would help nobody.
    assert_eq!(freezer.air, Some(celsius(-18.0)));
    assert_eq!((freezer.place, there.freezers.len()), (plan.groups[0].place, 3));
    assert_eq!(in_hours(there.ice[0].travel), 0.0);
    let mut cold = plan.clone();
    cold.freezers[0].air = Some(celsius((0.0 - 32.0) / 1.8));
    assert!(colder(&cold, 0).is_empty(), "0 °F is as cold as it should be");
    let moulds = for_the_session(&plan, |change| matches!(change, Change::Moulds { .. }));
    let own = moulds.iter().map(|way| made(way, &plan).moulds[0].own);
    assert_eq!(own.collect::<Vec<_>>(), [5, 6, 8, 12]);
    let room = for_the_session(&plan, |change| matches!(change, Change::Room { .. }));
    let holds = room.iter().map(|way| made(way, &plan).freezers[0].holds);
    assert_eq!(holds.collect::<Vec<_>>(), [10, 12, 16, 24, 40]);
}

#[test]
fn sizes_and_days_of_a_gift_become_what_they_are_to() {
    let plan = plan();
    let now = "2026-12-01T08:00:00Z".parse().unwrap();
    let thin = thinner(&plan, 0);
    let sizes = thin.iter().map(|way| in_millimetres(made(way, &plan).ornaments[0].thickness));
    assert_eq!(sizes.map(f64::round).collect::<Vec<_>>(), [5.0, 4.0, 3.0]);
    // A sixteenth of an inch is 1.5875 mm.
    let inches = thinner(&Plan { units: System::Us, ..plan.clone() }, 0);
    let sizes = inches.iter().map(|way| in_millimetres(made(way, &plan).ornaments[0].thickness));
    let sixteenths = sizes.map(|mm| (mm / 1.5875 * 1e6).round() / 1e6);
    assert_eq!(sixteenths.collect::<Vec<_>>(), [3.0, 2.0]);
    let days = later_gift(&plan, now, 0);
    let given = days.iter().map(|way| made(way, &plan).ornaments[0].give);
    let day = |d| NaiveDate::from_ymd_opt(2026, 12, d).unwrap();
    // A day on which one of the groups meets, with all of them in the week before it:
    // Monday to Wednesday, and Monday the 14th is closed.
    let later = [15, 16, 21, 22, 23, 28, 29, 30].map(day);
    let january = [4, 5, 6].map(|d| NaiveDate::from_ymd_opt(2027, 1, d).unwrap());
    assert_eq!(given.collect::<Vec<_>>(), [&later[..], &january].concat());
}

#[test]
fn drying_of_a_gift_becomes_what_it_is_to() {
    let plan = plan();
    let home = plan.places.iter().position(|place| place.name == "home").unwrap();
    let baked = other_method(&plan, 0);
    let baked = made(&baked[0], &plan);
    assert_eq!(baked.ornaments[0].method, Method::Oven((0, celsius(95.0))));
    let no_oven = Plan { ovens: Vec::new(), ..plan.clone() };
    let borrowed = other_method(&no_oven, 0);
    let borrowed = made(&borrowed[0], &no_oven);
    assert_eq!(borrowed.ornaments[0].method, Method::Oven((0, celsius(95.0))));
    assert_eq!(borrowed.ovens[0].place, home);
    let humid = drier(&plan);
    let humid = humid.iter().map(|way| in_fraction(made(way, &plan).room.humidity));
    assert_eq!(humid.map(|h| (100.0 * h).round()).collect::<Vec<_>>(), [55.0, 40.0]);

    // Saturated salt water boils near 108 to 109 °C at sea level (CRC Handbook of
    // Chemistry and Physics, boiling point of saturated NaCl solution 108.7 °C), and
    // three kelvins are kept from it.
    let settings = hotter(&baked, 0);
    let settings: Vec<f64> = settings
        .iter()
        .map(|way| match made(way, &baked).ornaments[0].method {
            Method::Oven((0, at)) => in_celsius(at),
            other => panic!("{other:?}"),
        })
        .collect();
    assert!((settings[1] - 105.7).abs() < 0.6, "{settings:?}");
    assert!((settings[0] - 0.5 * (95.0 + settings[1])).abs() < 1e-9, "{settings:?}");
    assert!(hotter(&plan, 0).is_empty(), "no oven, no setting");
    let mut hot = baked.clone();
    hot.ornaments[0].method = Method::Oven((0, celsius(settings[1] - 0.5)));
    assert!(hotter(&hot, 0).is_empty(), "half a kelvin more is no way out");
}

#[test]
fn finishes_and_spares_of_a_gift_become_what_they_are_to() {
    let plan = plan();
    let fewer = fewer_finishes(&plan, 0);
    assert_eq!(fewer.len(), 3);
    let left = made(&fewer[0], &plan).ornaments.remove(0).finish;
    assert_eq!(left, [Finish::Paint, Finish::Seal, Finish::Wrap]);
    assert_eq!(made(&bare(&plan, 0)[0], &plan).ornaments[0].finish, [Finish::Wrap]);
    let mut painted = plan.clone();
    painted.ornaments[0].finish = vec![Finish::Paint, Finish::Wrap];
    assert!(bare(&painted, 0).is_empty(), "that is the same as without paint");
    assert_eq!(made(&Change::NoSpares { ornament: 0 }, &plan).ornaments[0].spare, Spare::Number(0));
}

#[test]
fn two_changes_are_made_together() {
    let plan = plan();
    let moulds = Suggestion::from(Change::Moulds { mould: 0, more: 1 });
    let changed = moulds.and(&Change::Hands { place: 0 }.into()).changed(&plan);
    assert_eq!(changed.moulds[0].own, 5);
    assert_ne!(changed.places[0].hands, plan.places[0].hands);
}

/// What a suggestion writes into the file is read as the plan that it was tried with; numbers
/// may differ as far as their words do.
#[test]
fn a_change_of_the_file_is_the_change_of_the_plan() {
    let plan = plan();
    let now = "2026-11-27T08:00:00Z".parse().unwrap();
    let gift = Serves::Gift { ornament: 0 };
    let kinds = [
        candidates(&plan, now, Serves::Session { ice: 0, session: 0 }),
        candidates(&plan, now, gift),
    ];
    let (mut written, mut left) = (0, Vec::new());
    for one in kinds.into_iter().flatten().flatten() {
        let Some(changes) = one.in_file(&plan) else {
            left.push(format!("{one:?}"));
            continue;
        };
        let text = edit::edit(PLAN, &changes).unwrap();
        let read = planfile::read(&text).unwrap_or_else(|faults| panic!("{one:?}: {faults:#?}"));
        assert_eq!(rounded(&read), rounded(&one.changed(&plan)), "{one:?}");
        written += 1;
    }
    println!("{written} written, {} left: {left:#?}", left.len());
    assert!(written >= 59 && left.len() <= 3, "{written} written, left {left:#?}");
}

/// A plan as text, its numbers to four digits; what it had of a method that is no longer its
/// own is not read.
fn rounded(plan: &Plan) -> String {
    let text = format!("{plan:#?}");
    let lines = text.lines().map(|line| {
        let number: Result<f64, _> = line.trim().trim_end_matches(',').parse();
        number.map_or_else(|_| line.to_owned(), |number| format!("{number:.3e}"))
    });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn what_letting_go_of_a_fact_does_is_no_more_than_it() {
    let moulds = Suggestion::from(Change::Moulds { mould: 1, more: 4 });
    assert!(moulds.does_no_more(&Blame::Moulds(1)));
    assert!(!moulds.does_no_more(&Blame::Moulds(0)) && !moulds.does_no_more(&Blame::Room(1)));
    let hours = |more| Suggestion::from(Change::Hours { place: 0, more });
    assert!(hours(MoreHours::Evenings).does_no_more(&Blame::Hours(0)));
    assert!(!hours(MoreHours::Mornings).does_no_more(&Blame::Hours(0)), "they begin before six");
    assert!(!moulds.and(&hours(MoreHours::Evenings)).does_no_more(&Blame::Moulds(1)));
}

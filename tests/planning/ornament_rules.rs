//! The rules of baking and drying on a laid-out plan: who watches an oven and for how long, what
//! is firm when it leaves home, which pieces are spare.

use chrono::Duration;
use solidby::{
    prep::{
        Physics,
        schedule::{Attention, Step},
    },
    tables::Step as Kind,
};

use super::plan_rules::{DECEMBER, FOREST, MONSOON, NOW, forest, laid, step};
use crate::support::Fixed;

#[test]
fn an_oven_is_not_left_alone_by_the_only_pair_of_hands() {
    // Home hours that overlap those of class: who is in class cannot watch.
    let text = FOREST.replace(
        "home   = [\"daily 06:15-07:15\", \"daily 18:30-21:30\", \"Sat-Sun 09:00-21:30\"]",
        "home   = [\"daily 06:00-22:00\"]",
    );
    let schedule = laid(&text, NOW, &Fixed::default());
    assert!(schedule.feasible);
    let watched: Vec<&Step> =
        schedule.steps.iter().filter(|step| step.attention == Attention::Watch).collect();
    assert!(!watched.is_empty());
    for step in schedule.steps.iter().filter(|step| step.attention == Attention::Hands) {
        for oven in watched.iter().filter(|_| step.place != "home") {
            assert!(
                step.end <= oven.start || oven.end <= step.start,
                "{} and {}",
                step.id,
                oven.id
            );
        }
    }
}

/// Eleven and nine children, a tenth of their pieces more: the spare ones take the place of what
/// breaks before it is painted, and stay plain.
#[test]
fn spare_pieces_stay_plain() {
    let schedule = forest();
    let of = |id: &str| step(&schedule, id).what.clone();
    assert!(of("photo-ornaments-photo").contains(" 20 pieces"));
    assert!(of("photo-ornaments-bake").contains(" 22 pieces"));
    assert!(of("photo-ornaments-seal").contains(" 20 pieces"));
    assert!(of("photo-ornaments-wrap").contains(" 20 pieces"));
}

/// However long pieces take: nobody is beside the oven for more than four hours at a
/// stretch, and what they lack then they dry on the rack. Painting waits until they are firm.
/// A batch that is only just firm while class is on was not firm when she left home with it.
#[test]
fn pieces_are_firm_as_they_leave_home() {
    let mut seen = 0;
    for (text, now) in [FOREST, MONSOON, DECEMBER].into_iter().flat_map(|text| {
        ["2026-11-26T15:00:00Z", NOW, "2026-11-28T01:00:00Z"].map(|now| (text, now))
    }) {
        let schedule = laid(text, now, &Physics::default());
        let firm = |step: &&Step| [Kind::AirDry, Kind::Cool].contains(&step.kind);
        let firm = schedule.steps.iter().filter(firm).map(|step| step.end).min().unwrap();
        for list in &schedule.carry {
            if list.items.iter().any(|item| item.contains("firm and cool")) {
                seen += 1;
                assert!(firm <= list.leave, "{now}: {firm}, {list:?}");
            }
        }
    }
    assert!(seen >= 9, "{seen}");
}

#[test]
fn an_oven_is_left_after_four_hours_at_most() {
    for dry_h in [1.0, 5.0, 12.6, 25.0, 100.0] {
        let later = FOREST.replace("give = 2026-12-18", "give = 2027-01-22");
        let schedule = laid(&later, NOW, &Fixed { dry_h, ..Fixed::default() });
        let bake = step(&schedule, "photo-ornaments-bake");
        assert_eq!(bake.attention, Attention::Watch);
        assert!((2..=4).contains(&(bake.end - bake.start).num_hours()), "{dry_h} h");
        assert_eq!(step(&schedule, "photo-ornaments-put-in").end, bake.start);
        assert_eq!(step(&schedule, "photo-ornaments-take-out").start, bake.end);
        let firm = bake.start + Duration::minutes((60.0 * dry_h) as i64);
        for paint in ["photo-ornaments-paint-otters", "photo-ornaments-paint-wrens"] {
            assert!(step(&schedule, paint).start >= firm, "{dry_h} h");
        }
    }
}

/// Mixing and cutting take an hour of the only three that there are at home on a day: two
/// hours beside the oven do not fit any more, and one and a half do.
#[test]
fn an_oven_is_watched_for_what_the_day_leaves() {
    let home = r#"["daily 06:15-07:15", "daily 18:30-21:30", "Sat-Sun 09:00-21:30"]"#;
    assert!(FOREST.contains(home));
    let text = FOREST
        .replace(home, r#"["Sat 09:00-12:00", "Mon Wed 20:00-22:00"]"#)
        .replace("give = 2026-12-18", "give = 2027-01-22");
    let schedule = laid(&text, NOW, &Fixed { dry_h: 30.0, ..Fixed::default() });
    let [mix, bake] =
        ["mix", "bake"].map(|name| step(&schedule, &format!("photo-ornaments-{name}")));
    assert_eq!(mix.start.date_naive(), bake.end.date_naive());
    assert_eq!((bake.end - bake.start).num_minutes(), 90);
}

/// Tuesday morning is the only time for baking and for class. As late as can be, the second
/// batch would be baked while the first is painted in class; nobody can do both.
#[test]
fn no_batch_is_baked_while_another_is_painted_in_class() {
    let start = FOREST.find("[[ornament]]").unwrap();
    let batch = |name: &str, finish: &str| {
        FOREST[start..]
            .replace("Photo ornaments", name)
            .replace("[\"Otters\", \"Wrens\"]", "[\"Wrens\"]")
            .replace("[\"paint\", \"photo\", \"seal\", \"wrap\"]", finish)
            .replace("2026-12-18", "2027-02-09")
    };
    let kitchen = FOREST[..FOREST.find("[[mould]]").unwrap()]
        .replace("Tue Thu", "Tue")
        .replace("\"Sat-Sun 09:00-21:30\"", "\"Tue 08:00-12:30\"");
    let text = format!("{kitchen}{}{}", batch("Stars", "[\"paint\"]"), batch("Moons", "[]"));
    let schedule = laid(&text, NOW, &Fixed { dry_h: 4.5, ..Fixed::default() });
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let bakes = [step(&schedule, "stars-bake"), step(&schedule, "moons-bake")];
    let in_class = |step: &&Step| step.place == "class" && step.attention == Attention::Hands;
    for class in schedule.steps.iter().filter(in_class) {
        for bake in bakes {
            let apart = class.end <= bake.start || bake.end <= class.start;
            assert!(apart, "{} during {}", class.id, bake.id);
        }
    }
}

/// Invented: pieces that nobody wraps, asked for three weeks before they are given.
const UNWRAPPED: &str = r#"
title = "Prints of paws"
timezone = "America/Los_Angeles"
units = "us"
[hours]
home = ["Mon-Fri 18:00-21:00", "Sat-Sun 10:00-18:00"]
class = ["Mon-Fri 08:00-12:00"]
[room]
temperature = "20 C"
humidity = "50 %"
[[group]]
name = "Sparrows"
days = "Mon-Fri"
children = 9
youngest = "2 years"
[[oven]]
name = "kitchen"
kind = "fan"
trays = 2
tray = "13 x 18 in"
[[ornament]]
name = "Paw prints"
shape = "round 3 1/2 in"
thickness = "3/16 in"
recipe = "two-one-one"
groups = ["Sparrows"]
each = 1
method = "oven"
oven = "kitchen"
at = "200 F"
finish = ["paint", "seal"]
give = 2026-12-18
"#;

/// What nothing ties to its giving is made no sooner than needed, with the class days to spare
/// that have a price.
#[test]
fn what_is_not_wrapped_does_not_wait_for_weeks() {
    let schedule = laid(UNWRAPPED, "2026-11-27T12:00:00Z", &Physics::default());
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let on = |kind: Kind| {
        let steps = schedule.steps.iter().filter(|step| step.kind == kind);
        steps.map(|step| step.start.date_naive()).max().unwrap()
    };
    let (mixed, sealed, given) = (on(Kind::Mix), on(Kind::Seal), on(Kind::Give));
    let waits = (given - sealed).num_days();
    // Three class days to spare, two for the sealer, and a weekend.
    assert!((5..=9).contains(&waits), "sealed on {sealed}");
    assert!((given - mixed).num_days() <= 16, "mixed on {mixed}");
    assert!(!schedule.notes.iter().any(|note| note.contains("(buffer)")), "{:#?}", schedule.notes);
}

/// What is wrapped may lie for some weeks, and for no months, however early it is planned.
#[test]
fn what_is_wrapped_does_not_wait_for_months() {
    let wrapped = UNWRAPPED.replace(r#"["paint", "seal"]"#, r#"["paint", "seal", "wrap"]"#);
    let schedule = laid(&wrapped, "2026-10-01T12:00:00Z", &Physics::default());
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let on = |kind: Kind| {
        let steps = schedule.steps.iter().filter(|step| step.kind == kind);
        steps.map(|step| step.start.date_naive()).max().unwrap()
    };
    let waits = (on(Kind::Give) - on(Kind::Wrap)).num_days();
    // Three weeks, and some days where an evening is as good as another.
    assert!((3..=28).contains(&waits), "wrapped on {}", on(Kind::Wrap));
}

//! The rules of the trade on a laid-out plan: hours, order, counts, shared
//! things, clock changes, conflicts.

use crate::support;

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Datelike, Duration, NaiveTime, Timelike, Weekday};
use chrono_tz::Tz;
use solidby::prep::{
    Durations, Physics,
    schedule::{Attention, Schedule, Step},
};
use solidby::report::{plan::lay_out, words};
use solidby::tables::Step as Kind;
use support::Fixed;

pub const FOREST: &str = include_str!("../../demo/forest-fortnight.toml");
pub const MONSOON: &str = include_str!("../../demo/monsoon-stars.toml");
pub const NOW: &str = "2026-11-27T15:00:00Z";

/// Lays a plan out.
pub fn laid(text: &str, now: &str, durations: &dyn Durations) -> Schedule {
    lay_out(&support::plan(text), now.parse().unwrap(), durations).unwrap()
}

pub fn forest() -> Schedule {
    laid(FOREST, NOW, &Fixed::default())
}

pub fn step<'a>(schedule: &'a Schedule, id: &str) -> &'a Step {
    schedule.steps.iter().find(|step| step.id == id).unwrap_or_else(|| {
        let ids: Vec<&str> = schedule.steps.iter().map(|step| step.id.as_str()).collect();
        panic!("no step {id} among {ids:#?}")
    })
}

fn time(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).unwrap()
}

/// The home hours of the demo, written again.
fn home_is_open(from: DateTime<Tz>, until: DateTime<Tz>) -> bool {
    let weekend = matches!(from.weekday(), Weekday::Sat | Weekday::Sun);
    let inside = |a: NaiveTime, b: NaiveTime| {
        from.date_naive() == until.date_naive() && from.time() >= a && until.time() <= b
    };
    inside(time(6, 15), time(7, 15))
        || inside(time(18, 30), time(21, 30))
        || (weekend && inside(time(9, 0), time(21, 30)))
}

#[test]
fn work_at_home_is_inside_the_home_hours() {
    let schedule = forest();
    assert!(schedule.feasible);
    let at_home = schedule.steps.iter().filter(|step| step.place == "home");
    let mut seen = 0;
    for step in at_home.filter(|step| step.attention != Attention::None) {
        // Packing is bound to no hours but to her leaving.
        if step.id.ends_with("-pack") {
            let leave = self::step(&schedule, &step.id.replace("-pack", "-carry")).start;
            assert!(step.start <= leave && leave - step.start <= Duration::hours(1), "{}", step.id);
            continue;
        }
        assert!(home_is_open(step.start, step.end), "{}: {} to {}", step.id, step.start, step.end);
        seen += 1;
    }
    assert!(seen > 20, "{seen} steps at home");
}

#[test]
fn groups_work_only_on_their_days() {
    for step in forest().steps.iter().filter(|step| step.place == "class") {
        let day = step.start.weekday();
        let own = match step.group.as_deref() {
            Some("Otters") => matches!(day, Weekday::Mon | Weekday::Wed | Weekday::Fri),
            _ => matches!(day, Weekday::Tue | Weekday::Thu),
        };
        assert!(own, "{} on {day}", step.id);
    }
}

#[test]
fn hands_are_never_doubled() {
    let schedule = forest();
    let hands: Vec<&Step> =
        schedule.steps.iter().filter(|step| step.attention == Attention::Hands).collect();
    for (n, a) in hands.iter().enumerate() {
        for b in &hands[n + 1..] {
            assert!(a.end <= b.start || b.end <= a.start, "{} and {}", a.id, b.id);
        }
    }
}

#[test]
fn every_block_freezes_long_enough_and_moulds_are_never_short() {
    let schedule = forest();
    let mut made: Vec<(DateTime<Tz>, u32)> = Vec::new();
    let mut in_moulds: Vec<(DateTime<Tz>, i64)> = Vec::new();
    for fill in schedule.steps.iter().filter(|step| step.id.contains("-fill")) {
        let turn_out = step(&schedule, &fill.id.replace("-fill", "-turn-out"));
        let frozen = turn_out.start - fill.end;
        assert!(frozen >= Duration::hours(9), "{}: {frozen}", fill.id);
        let count = fill.amounts[0].count.unwrap();
        made.push((turn_out.end, count));
        in_moulds.extend([(fill.start, i64::from(count)), (turn_out.end, -i64::from(count))]);
    }
    // 11 children and one spare, 9 children and one spare: blocks of one mould are
    // alike, so what counts is how many are out when so many have been packed.
    let packed = ["otters", "wrens"].map(|group| {
        let pack = step(&schedule, &format!("paint-on-ice-{group}-1-pack"));
        (pack.start, if group == "otters" { 12 } else { 10 })
    });
    let out_by = |at| -> u32 { made.iter().filter(|out| out.0 <= at).map(|out| out.1).sum() };
    assert!(out_by(packed[0].0) >= packed[0].1);
    assert_eq!(out_by(packed[1].0), packed[0].1 + packed[1].1);
    // A mould that is being washed holds no block.
    for wash in schedule.steps.iter().filter(|step| step.id.contains("-wash")) {
        let moulds: i64 = wash.what.split(' ').nth(1).unwrap().parse().unwrap();
        in_moulds.extend([(wash.start, moulds), (wash.end, -moulds)]);
    }
    in_moulds.sort_by_key(|(at, change)| (*at, *change));
    let mut used = 0;
    for (at, change) in in_moulds {
        used += change;
        assert!(used <= 4, "{used} moulds in use at {at}");
    }
}

#[test]
fn steps_follow_one_another() {
    let schedule = forest();
    let order = [
        "paint-on-ice-otters-1-turn-out-3",
        "paint-on-ice-otters-1-pack",
        "paint-on-ice-otters-1-carry",
        "paint-on-ice-otters-1-temper",
        "paint-on-ice-otters-1-use",
        "paint-on-ice-otters-1-drain",
    ];
    for pair in order.windows(2) {
        let (a, b) = (step(&schedule, pair[0]), step(&schedule, pair[1]));
        assert!(a.end <= b.start, "{} before {}", a.id, b.id);
    }
    let order =
        ["mix", "roll", "bake", "cool", "paint-otters", "photo", "seal", "wrap", "give-otters"];
    for pair in order.windows(2) {
        let id = |name| format!("photo-ornaments-{name}");
        let (a, b) = (step(&schedule, &id(pair[0])), step(&schedule, &id(pair[1])));
        assert!(a.end <= b.start, "{} before {}", a.id, b.id);
    }
    let asked = step(&schedule, "photo-ornaments-ask-photos-wrens");
    let gathered = step(&schedule, "photo-ornaments-gather-photos-wrens");
    // A week ahead, at whatever hour of the day.
    assert!(gathered.start - asked.end >= Duration::hours(156));
}

#[test]
fn sessions_begin_when_the_file_says() {
    let schedule = forest();
    let used = step(&schedule, "paint-on-ice-otters-1-use");
    assert_eq!(used.start.to_rfc3339(), "2026-12-09T09:30:00-07:00");
    let give = step(&schedule, "photo-ornaments-give-wrens");
    assert_eq!(give.start.day(), 17, "the last Thursday before the 18th");
}

/// What comes home on a day, for all goals, and when.
fn home_again(schedule: &Schedule, day: u32) -> (BTreeSet<NaiveTime>, Vec<String>) {
    let lists = schedule.back.iter().filter(|list| list.leave.day() == day);
    let (times, items): (BTreeSet<NaiveTime>, Vec<Vec<String>>) =
        lists.map(|list| (list.leave.time(), list.items.clone())).unzip();
    (times, items.concat())
}

#[test]
fn what_went_to_class_comes_home_before_it_is_needed_there() {
    let schedule = forest();
    let set = "paint, brushes, trays".to_owned();
    for (group, pieces) in [("otters", 11), ("wrens", 9)] {
        let paint = step(&schedule, &format!("photo-ornaments-paint-{group}"));
        let (times, items) = home_again(&schedule, paint.start.day());
        assert!(items.contains(&format!("{pieces} painted pieces, lying flat")), "{items:?}");
        assert!(items.contains(&set), "{items:?}");
        assert_eq!(times, BTreeSet::from([time(12, 30)]), "as class ends");
        let gather = step(&schedule, &format!("photo-ornaments-gather-photos-{group}"));
        let (_, items) = home_again(&schedule, gather.start.day());
        assert!(items.contains(&format!("{pieces} photos")), "{items:?}");
        assert!(gather.end < step(&schedule, "photo-ornaments-photo").start);
    }
    for used in schedule.steps.iter().filter(|step| step.kind == Kind::Use) {
        let (_, items) = home_again(&schedule, used.start.day());
        assert!(items.contains(&"cool box, trays and towels".to_owned()), "{items:?}");
        assert!(items.contains(&"paint and brushes".to_owned()), "{items:?}");
    }
}

#[test]
fn she_leaves_home_once_a_morning_and_takes_a_thing_once() {
    let december = include_str!("../../demo/whole-december.toml");
    for schedule in [forest(), laid(december, "2026-11-23T15:00:00Z", &Fixed::default())] {
        let mut left = BTreeMap::new();
        for list in &schedule.carry {
            let leave = left.entry(list.leave.date_naive()).or_insert(list.leave);
            assert_eq!(*leave, list.leave, "{:?}", list.items);
            let once: BTreeSet<&String> = list.items.iter().collect();
            assert_eq!(once.len(), list.items.len(), "{:?}", list.items);
        }
        assert!(!left.is_empty());
    }
}

#[test]
fn the_frozen_things_are_carried_first() {
    let schedule = forest();
    let wednesday = schedule.carry.iter().find(|carry| carry.leave.day() == 9).unwrap();
    assert!(wednesday.items[0].contains("frozen"), "{:?}", wednesday.items);
    assert_eq!(wednesday.leave.hour(), 7);
}

#[test]
fn ids_are_unique_and_stay_when_a_session_moves() {
    let schedule = forest();
    // How many rounds there are goes by the days that are free before the session.
    let of_a_round =
        |id: &&str| ["-wash", "-fill", "-freeze", "-turn-out"].iter().any(|part| id.contains(part));
    let mut ids: Vec<&str> = schedule.steps.iter().map(|step| step.id.as_str()).collect();
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count);
    let moved = FOREST.replace("2026-12-09T09:30:00", "2026-12-11T10:00:00");
    let moved = laid(&moved, NOW, &Fixed::default());
    let mut moved: Vec<&str> = moved.steps.iter().map(|step| step.id.as_str()).collect();
    moved.sort_unstable();
    ids.retain(|id| !of_a_round(id));
    moved.retain(|id| !of_a_round(id));
    assert_eq!(ids, moved);
}

#[test]
fn a_night_with_a_clock_change_is_counted_in_elapsed_hours() {
    // IANA: Europe/Vienna skips 02:00-03:00 on 2027-03-28.
    let text = r#"
title = "Short night"
timezone = "Europe/Vienna"
[hours]
home = ["Sat 20:00-21:00", "Sun 06:00-07:00", "Sun 19:00-21:00"]
class = ["Sun 09:00-12:00"]
[[group]]
name = "Newts"
days = "Sun"
children = 2
[[freezer]]
name = "chest"
kind = "chest"
[[mould]]
name = "ring"
volume = "200 mL"
depth = "30 mm"
own = 2
[[ice]]
name = "Rings"
mould = "ring"
freezer = "chest"
travel = "10 min"
session = [{ group = "Newts", at = 2027-03-28T10:00:00 }]
"#;
    let first_fill = |session: &str, freeze_h| {
        let text = text.replace("2027-03-28", session);
        let now = if session < "2027" { "2026-10-10T08:00:00Z" } else { "2027-03-10T08:00:00Z" };
        let schedule = laid(&text, now, &Fixed { freeze_h, ..Fixed::default() });
        if !schedule.feasible {
            return None;
        }
        let fill = step(&schedule, "rings-newts-1-fill").clone();
        let frozen = step(&schedule, "rings-newts-1-turn-out").start - fill.end;
        assert!(frozen >= Duration::minutes((freeze_h * 60.0) as i64));
        Some(fill.start.date_naive().to_string())
    };
    // From 20:10 to 06:40 is ten and a half hours, but nine and a half that night.
    let saturday = |day: &str| Some(day.to_owned());
    assert_eq!(first_fill("2027-03-21", 10.25), saturday("2027-03-20"));
    assert_eq!(first_fill("2027-03-28", 9.25), saturday("2027-03-27"));
    // The short night is too short, and ice of a week before is too old.
    assert_eq!(first_fill("2027-03-28", 10.25), None);
    // And eleven and a half on 2026-10-25, when 02:00-03:00 comes twice.
    assert_eq!(first_fill("2026-10-25", 11.25), saturday("2026-10-24"));
    assert_eq!(first_fill("2026-10-18", 11.25), None, "not a usual night");
}

#[test]
fn what_cannot_be_done_names_the_facts_and_ways_out() {
    let text =
        FOREST.replace("own = 4", "own = 1").replace("2026-12-10T09:30:00", "2026-12-01T09:30:00");
    let schedule = laid(&text, NOW, &Fixed::default());
    assert!(!schedule.feasible);
    let problem = schedule.problems.iter().find(|p| p.what.contains("Wrens")).unwrap();
    assert!(
        problem.because.iter().any(|fact| fact.contains("there is 1 fox mould")),
        "{problem:#?}"
    );
    assert!(
        problem.ways.words.iter().any(|way| way.trim_end_matches('s').ends_with("more fox mould")),
        "{problem:#?}"
    );
    let rest = schedule.steps.iter().filter(|step| step.goal.contains("Photo ornaments")).count();
    assert!(rest > 0, "the rest is still planned");
}

pub const DECEMBER: &str = include_str!("../../demo/whole-december.toml");

#[test]
fn a_whole_december_of_several_rooms_and_freezers() {
    let schedule = laid(DECEMBER, "2026-11-23T15:00:00Z", &Fixed::default());
    assert!(schedule.feasible, "{:#?}", schedule.problems);
    let sessions = schedule.steps.iter().filter(|step| step.id.ends_with("-use")).count();
    assert_eq!(sessions, 6);
    let count = |prefix: &str| -> u32 {
        let fills = schedule.steps.iter().filter(|step| step.id.starts_with(prefix));
        fills.filter_map(|step| step.amounts.first()?.count).sum()
    };
    // Eleven children and none to spare, as that session says; nine and one.
    // A round may serve both.
    assert_eq!(count("paint-on-ice-otters-1-fill") + count("paint-on-ice-wrens-1-fill"), 21);
    for step in schedule.steps.iter().filter(|step| step.id.starts_with("stars-that-melt")) {
        let place = step.place.as_str();
        assert!(["centre", "blue room", "green room"].contains(&place), "{}: {place}", step.id);
    }
    let days: Vec<u32> = ["otters", "wrens"]
        .map(|g| step(&schedule, &format!("photo-ornaments-give-{g}")).start.day())
        .to_vec();
    assert_eq!(days, [18, 17], "each group on its own last day");
    let sealed = step(&schedule, "photo-ornaments-seal").start;
    let glued = step(&schedule, "photo-ornaments-photo").end;
    assert!(sealed - glued <= Duration::days(7));
}

#[test]
fn two_pairs_of_hands_serve_two_rooms_at_once() {
    let text = include_str!("../infeasible/one-pair-of-hands.toml");
    assert!(!laid(text, NOW, &Fixed::default()).feasible);
    let text = text.replace("[room]", "[hands]\ngarden = 1\n\n[room]");
    assert!(laid(&text, NOW, &Fixed::default()).feasible);
}

/// Sixty-one children: hand work in several parts, an oven in several loads. No two steps have
/// the same name.
#[test]
fn every_step_has_a_name_of_its_own() {
    let many = FOREST
        .replace("children = 11", "children = 61")
        .replace("give = 2026-12-18", "give = 2027-01-22");
    let schedule = laid(&many, NOW, &Fixed { dry_h: 20.0, ..Fixed::default() });
    let mut ids: Vec<&str> = schedule.steps.iter().map(|step| step.id.as_str()).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
    for id in ["photo-ornaments-wrap-1", "photo-ornaments-wrap-2"] {
        let step = step(&schedule, id);
        assert!(step.what.contains("(part "), "{}", step.what);
    }
    let load = step(&schedule, "photo-ornaments-bake-load-2");
    assert!(load.what.contains("load 2 of "), "{}", load.what);
    // Parts of the work on 70 pieces, and on a tenth more that are spare until children paint,
    // add up to it.
    let pieces = |what: &str| {
        let words = what.split(" piece").next().unwrap_or_default();
        words.rsplit(' ').next().unwrap_or_default().parse::<u32>().unwrap_or(0)
    };
    let wrapped = schedule.steps.iter().filter(|step| step.id.starts_with("photo-ornaments-wrap"));
    assert_eq!(wrapped.map(|step| pieces(&step.what)).sum::<u32>(), 70);
    let sealed = schedule.steps.iter().filter(|step| step.id.starts_with("photo-ornaments-seal"));
    let sealed = sealed.filter(|step| step.what.contains("piece"));
    assert_eq!(sealed.map(|step| pieces(&step.what)).sum::<u32>(), 70);
    let ribbons = schedule.shopping.iter().find(|bought| bought.amount.what == "ribbons");
    assert_eq!(ribbons.and_then(|ribbons| ribbons.amount.count), Some(70));
    let baked = schedule.steps.iter().filter(|step| step.id.contains("bake-load-"));
    assert_eq!(baked.map(|step| pieces(&step.what)).sum::<u32>(), 77);
}

#[test]
fn hands_are_counted_in_words() {
    for (hands, fact) in
        [(1, "there is 1 pair of hands at home"), (2, "there are 2 pairs of hands at home")]
    {
        let text = FOREST.replace("[room]", &format!("[hands]\nhome = {hands}\n\n[room]"));
        let plan = support::plan(&text);
        let now = NOW.parse().unwrap();
        let facts = solidby::prep::solve(&plan, now, &Fixed::default()).unwrap().draft.facts;
        assert!(
            facts.iter().any(|known| words::fact(&plan, *known) == fact),
            "no “{fact}” in {facts:#?}"
        );
    }
}

/// The cautions that each kind of step shows in the demos: one batch of them is baked,
/// the other dries in the room, and a child of two is in one group.
const CAUTIONS: &str = "\
Wash: clean-moulds
Fill: clean-moulds food-warms glass-moulds small-ice
Freeze: food-warms glass-moulds
TurnOut: sharp-ice sticky-cold
Pack: lifting
Carry: lifting
Temper: sticky-cold
Use: glitter-paint sharp-ice slips small-ice sticky-cold
Rinse: slips
Gather: families-photos
Mix: raw-flour raw-flour-under-3 salt-children wheat-allergy
Roll: cutters-apart raw-flour raw-flour-under-3 salt-children salt-pets small-parts wheat-allergy
Load: oven-plastics
Bake: burn-tray not-food oven-attended oven-plastics oven-steam
TakeOut: burn-piece burn-tray oven-steam
Cool: burn-piece burn-tray
AirDry: air-dried-raw salt-pets
Paint: air-dried-raw glitter-paint oven-plastics salt-children wheat-allergy
Photo: oven-plastics photo-ink
Seal: oven-plastics sealer-fumes
Dry: salt-pets
Wrap: ribbon
Give: air-dried-raw heat-sealed not-food ribbon salt-children salt-pets small-parts
";

#[test]
fn every_kind_of_step_shows_its_cautions_in_the_demos() {
    let mut shown: BTreeMap<Kind, BTreeSet<String>> = BTreeMap::new();
    for demo in [FOREST, MONSOON] {
        for step in laid(demo, NOW, &Physics::default()).steps {
            let ids = step.cautions.into_iter().map(|caution| caution.id);
            shown.entry(step.kind).or_default().extend(ids);
        }
    }
    for kind in Kind::ALL {
        assert!(shown.get(kind).is_some_and(|ids| !ids.is_empty()), "{kind:?} shows none");
    }
    let lines = shown.iter().map(|(kind, ids)| {
        format!("{kind:?}: {}\n", ids.iter().map(String::as_str).collect::<Vec<_>>().join(" "))
    });
    assert_eq!(lines.collect::<String>(), CAUTIONS);
}

/// Ice that has to be wet as class opens is set out before: she has to be let in.
#[test]
fn ice_set_out_before_class_opens_is_said() {
    let said = |text: &str| {
        let notes = laid(text, NOW, &Fixed::default()).notes;
        notes.iter().any(|note| note.starts_with("Set out before class opens: Wed Dec 9"))
    };
    assert!(!said(FOREST));
    assert!(said(&FOREST.replace("Mon-Fri 08:00-12:30", "Mon-Fri 09:25-12:30")));
}

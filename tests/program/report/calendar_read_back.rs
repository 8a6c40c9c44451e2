//! What we write is read back the same: by our own reader's inverse and by `ical-rs`, which we did not write.

use std::collections::BTreeMap;

use chrono::{Days, NaiveTime, TimeDelta, TimeZone};
use ical::component::{valarm::VALARM, vevent::VEVENT, vtodo::VTODO};
use ical::prop::{
    description::DESCRIPTION, dtend::DTEND, dtstart::DTSTART, due::DUE, summary::SUMMARY,
    trigger::TRIGGER, uid::UID,
};
use ical::tree::cst::IcalCst;
use proptest::prelude::*;
use solidby::prep::schedule::{Attention, Schedule};
use solidby::report::calendar::text::{escape, fold_into, unescape, unfold};
use solidby::report::calendar::{Options, write};
use solidby::report::clean::{clean, shorten};
use uuid::Uuid;

use crate::report::{random, scenario};

/// What one event says: start, end, summary, trigger.
type Said = (String, String, String, Option<String>);

/// The events a schedule must give, worked out from the schedule alone.
fn expected(schedule: &Schedule) -> BTreeMap<String, Said> {
    let mut seen = BTreeMap::<String, usize>::new();
    let mut events = BTreeMap::new();
    let mut add = |key: String, start: i64, end: i64, summary: &str, alarm: Option<&str>| {
        let times = seen.entry(key.clone()).or_default();
        *times += 1;
        let key = if *times == 1 { key } else { format!("{key}#{times}") };
        let name = format!("{}:{}{key}", schedule.title.len(), schedule.title);
        let space = Uuid::from_u128(0x8d3f5a0e_47c1_4b7e_9a52_61f0c3de2b94);
        let uid = Uuid::new_v5(&space, name.as_bytes()).to_string();
        let utc = |seconds| {
            let at = chrono::DateTime::from_timestamp(seconds, 0).unwrap();
            at.format("%Y%m%dT%H%M%SZ").to_string()
        };
        let said = (utc(start), utc(end), shorten(summary, 60), alarm.map(str::to_owned));
        assert!(events.insert(uid, said).is_none());
    };
    for step in &schedule.steps {
        if step.attention == Attention::None {
            continue;
        }
        let start = step.start.timestamp();
        let end = if step.end > step.start { step.end.timestamp() } else { start + 300 };
        let alarm = (!step.follow.reserve).then_some("-PT30M");
        add(step.id.clone(), start, end, &schedule.locale.spelled(&step.what), alarm);
        for look in &step.follow.looks {
            if look.at < step.start && look.chance < 0.98 {
                let at = look.at.timestamp();
                let words = schedule.locale.spelled(&format!("Look before: {}", step.what));
                add(format!("{}#look", step.id), at, at + 300, &words, Some("PT0M"));
            }
        }
    }
    for carry in &schedule.carry {
        let day = carry.leave.date_naive();
        let evening = (day - Days::new(1)).and_time(NaiveTime::from_hms_opt(20, 0, 0).unwrap());
        let start = schedule.timezone.from_local_datetime(&evening).earliest().unwrap().timestamp();
        let key = format!("carry#{}", carry.goal);
        add(
            key,
            start,
            start + 900,
            &format!("Set out for tomorrow: {}", carry.goal),
            Some("PT0M"),
        );
    }
    events
}

/// The events `ical-rs` finds in a file.
fn read(file: &str) -> BTreeMap<String, Said> {
    let calendar = IcalCst::parse(file).expect("ical-rs reads it");
    if let Err(problems) = calendar.decode().validate() {
        panic!("ical-rs: {problems:?}\n{file}");
    }
    let events = calendar.components::<VEVENT>().map(|event| {
        let said = (
            event.prop::<DTSTART>().unwrap().0.into_owned(),
            event.prop::<DTEND>().unwrap().0.into_owned(),
            event.prop::<SUMMARY>().unwrap().0.into_owned(),
            event
                .component::<VALARM>()
                .map(|alarm| alarm.prop::<TRIGGER>().unwrap().0.into_owned()),
        );
        (event.prop::<UID>().unwrap().0.into_owned(), said)
    });
    events.collect()
}

#[test]
fn the_class_is_read_back() {
    let schedule = scenario::class();
    assert_eq!(read(&write(&schedule, &Options::default()).unwrap()), expected(&schedule));
}

#[test]
fn five_hundred_random_plans_are_read_back() {
    let mut events = 0;
    for seed in 0..500 {
        let schedule = random::schedule(seed);
        let found = write(&schedule, &Options::default()).map(|file| read(&file));
        let found = found.unwrap_or_default();
        assert_eq!(found, expected(&schedule), "seed {seed}");
        events += found.len();
    }
    assert!(events > 2000, "only {events} events");
}

/// A plan file laid out by the physics itself.
fn laid(text: &str, now: &str) -> Schedule {
    let plan = solidby::planfile::read(text).unwrap();
    let physics = solidby::prep::physics::Physics::default();
    solidby::report::plan::lay_out(&plan, now.parse().unwrap(), &physics).unwrap()
}

#[test]
fn both_demos_are_read_back() {
    for (text, now) in [
        (include_str!("../../../demo/forest-fortnight.toml"), "2026-11-27T15:00:00Z"),
        (include_str!("../../../demo/monsoon-stars.toml"), "2026-11-27T00:00:00Z"),
    ] {
        let schedule = laid(text, now);
        assert!(schedule.feasible, "{}", schedule.title);
        let found = read(&write(&schedule, &Options::default()).unwrap());
        assert_eq!(found, expected(&schedule));
    }
}

/// IANA: Denver goes to summer time on 2027-03-14 at 02:00.
#[test]
fn a_plan_across_a_clock_change_keeps_its_wall_clock() {
    let text = include_str!("../../../demo/forest-fortnight.toml")
        .replace("2026-12-09T09:30:00", "2027-03-15T09:30:00")
        .replace("2026-12-10T09:30:00", "2027-03-16T09:30:00")
        .replace("give = 2026-12-18", "give = 2027-03-26");
    let schedule = laid(&text, "2027-02-26T15:00:00Z");
    assert!(schedule.feasible);
    let offset = |step: &solidby::prep::schedule::Step| step.start.format("%z").to_string();
    let offsets: std::collections::BTreeSet<String> = schedule.steps.iter().map(offset).collect();
    assert_eq!(offsets.into_iter().collect::<Vec<_>>(), ["-0600", "-0700"], "spans the change");
    let found = read(&write(&schedule, &Options::default()).unwrap());
    assert_eq!(found, expected(&schedule));
    // 09:30 on the wall is 15:30 UTC in summer time.
    assert!(found.values().any(|said| said.0 == "20270315T153000Z" && said.2 == "Paint on ice"));
}

#[test]
fn without_reminders_nothing_rings() {
    let silent = Options { reminder_min: None, ..Options::default() };
    let file = write(&scenario::class(), &silent).unwrap();
    assert!(!file.contains("VALARM"));
}

/// One task for each step that somebody must do, due when it is done.
#[test]
fn tasks_are_read_back() {
    let schedule = scenario::class();
    let file = write(&schedule, &scenario::tasks()).unwrap();
    let calendar = IcalCst::parse(&file).unwrap();
    calendar.decode().validate().unwrap();
    assert_eq!(calendar.components::<VEVENT>().count(), 0);
    let due = calendar.components::<VTODO>().map(|task| task.prop::<DUE>().unwrap().0.into_owned());
    let steps = schedule.steps.iter().filter(|step| step.attention != Attention::None);
    let ends = steps.map(|step| step.end.to_utc().format("%Y%m%dT%H%M%SZ").to_string());
    assert_eq!(due.collect::<Vec<_>>(), ends.collect::<Vec<_>>());
}

/// The wall clock of the plan is the wall clock of the file, whatever the zone.
#[test]
fn a_night_with_a_clock_change_is_as_long_as_it_is() {
    let zone = chrono_tz::America::Denver;
    let evening = zone.with_ymd_and_hms(2026, 10, 31, 19, 0, 0).unwrap();
    let mut schedule = scenario::class();
    schedule.carry.clear();
    schedule.steps.truncate(1);
    schedule.steps[0].start = evening;
    schedule.steps[0].end = evening + TimeDelta::hours(12);
    let file = write(&schedule, &Options::default()).unwrap();
    // 19:00 in summer time is 01:00 UTC; twelve hours later the clock shows 06:00.
    assert!(file.contains("DTSTART:20261101T010000Z\r\nDTEND:20261101T130000Z\r\n"), "{file}");
}

#[test]
fn a_plan_without_steps_gives_no_file() {
    let mut schedule = scenario::class();
    schedule.steps.clear();
    schedule.carry.clear();
    assert_eq!(write(&schedule, &Options::default()), None);
}

#[test]
fn ten_thousand_characters_pass_through() {
    let mut schedule = scenario::class();
    let long = "snow, ice; 🧊 and\\or שלג\n".repeat(420);
    schedule.steps[0].because = long.clone();
    let file = write(&schedule, &Options::default()).unwrap();
    let calendar = IcalCst::parse(&file).unwrap();
    let found = calendar.components::<VEVENT>().any(|event| {
        let text = event.prop::<DESCRIPTION>().unwrap().0.into_owned();
        text.contains(&long)
    });
    assert!(found);
}

proptest! {
    #[test]
    fn any_text_comes_back(text in any::<String>()) {
        prop_assert_eq!(unescape(&escape(&text)), clean(&text));
    }

    #[test]
    fn any_line_comes_back_folded(text in "\\PC{0,400}") {
        let line = format!("SUMMARY:{}", escape(&text));
        let mut file = String::new();
        fold_into(&mut file, &line);
        prop_assert!(file.split("\r\n").all(|physical| physical.len() <= 75));
        prop_assert_eq!(unfold(&file), vec![(1, line)]);
    }
}

/// Files for `tests/oracles/run.sh`, which reads them with parsers in other languages.
#[test]
#[ignore = "writes into the directory ORACLE_FILES; run by tests/oracles/run.sh"]
fn files_for_the_oracles() {
    let directory = std::path::PathBuf::from(std::env::var("ORACLE_FILES").unwrap());
    let plans = (0..500).map(random::schedule).chain([scenario::class()]);
    for (n, schedule) in plans.enumerate() {
        // A plan in which nobody has anything to do has no calendar.
        let Some(file) = write(&schedule, &Options::default()) else { continue };
        std::fs::write(directory.join(format!("{n:03}.ics")), file).unwrap();
        let json = serde_json::to_string(&schedule).unwrap();
        std::fs::write(directory.join(format!("{n:03}.json")), json).unwrap();
    }
}

//! Plan, change something, plan again: what the new file says about the old one.

use chrono::TimeDelta;
use proptest::prelude::*;
use solidby::prep::schedule::Schedule;
use solidby::report::calendar::{Options, ReviseError, revise, write};

use crate::report::lint::lint;
use crate::report::random;
use crate::report::scenario::{class, tasks};

/// UID, SEQUENCE, DTSTAMP and whether it is cancelled, of each event.
fn events(file: &str) -> Vec<(String, u32, String, bool)> {
    let blocks = file.split("BEGIN:VEVENT\r\n").skip(1);
    let blocks = blocks.map(|block| {
        let value = |name: &str| {
            let line = block.lines().find_map(|line| line.strip_prefix(name));
            line.unwrap().to_owned()
        };
        (
            value("UID:"),
            value("SEQUENCE:").parse().unwrap(),
            value("DTSTAMP:"),
            block.contains("STATUS:CANCELLED"),
        )
    });
    blocks.collect()
}

fn revised(old: &str, schedule: &Schedule) -> String {
    let file = revise(old, schedule, &Options::default()).unwrap().unwrap();
    assert_eq!(lint(file.as_bytes()), Vec::<String>::new(), "{file}");
    file
}

fn an_hour_later(mut schedule: Schedule) -> Schedule {
    schedule.computed += TimeDelta::hours(1);
    schedule
}

#[test]
fn nothing_changed_is_no_news() {
    let old = write(&class(), &Options::default()).unwrap();
    assert_eq!(revised(&old, &an_hour_later(class())), old);
}

#[test]
fn only_the_moved_step_counts_up() {
    let old = write(&class(), &Options::default()).unwrap();
    let mut moved = an_hour_later(class());
    let bake = moved.steps.iter_mut().find(|step| step.id == "ornament-1-bake-1").unwrap();
    bake.start += TimeDelta::minutes(15);
    bake.end += TimeDelta::minutes(15);

    let (before, after) = (events(&old), events(&revised(&old, &moved)));
    let uids =
        |all: &[(String, u32, String, bool)]| all.iter().map(|e| e.0.clone()).collect::<Vec<_>>();
    assert_eq!(uids(&before), uids(&after));
    let changed: Vec<_> = after.iter().filter(|event| !before.contains(event)).collect();
    assert_eq!(changed.len(), 1, "{changed:?}");
    assert_eq!((changed[0].1, changed[0].2.as_str()), (1, "20261207T160000Z"));
}

#[test]
fn what_vanished_is_cancelled_and_can_come_back() {
    let old = write(&class(), &Options::default()).unwrap();
    let mut fewer = an_hour_later(class());
    fewer.steps.retain(|step| step.id != "ornament-1-bake-1");
    let second = revised(&old, &fewer);
    assert_eq!(events(&second).iter().filter(|event| event.3).count(), 1);
    assert!(
        second.contains("SUMMARY:Cancelled: Bake 13 ornaments\\, tray 1 of 2\r\nD"),
        "{second}"
    );
    assert!(second.contains("SEQUENCE:1\r\nDTSTART:20261212T013000Z\r\n"));
    // Said once; then it stands as it is.
    assert_eq!(revised(&second, &an_hour_later(fewer.clone())), second);

    let third = revised(&second, &an_hour_later(class()));
    assert_eq!(events(&third).iter().map(|event| event.1).max(), Some(2));
    assert!(events(&third).iter().all(|event| !event.3));
}

#[test]
fn what_has_happened_is_not_cancelled() {
    let old = write(&class(), &Options::default()).unwrap();
    let mut later = class();
    later.computed += TimeDelta::days(2);
    later.steps.retain(|step| step.start > later.computed);
    assert!(events(&revised(&old, &later)).iter().all(|event| !event.3));
}

#[test]
fn an_emptied_plan_cancels_everything() {
    let old = write(&class(), &Options::default()).unwrap();
    let mut empty = an_hour_later(class());
    empty.steps.clear();
    empty.carry.clear();
    assert!(events(&revised(&old, &empty)).iter().all(|event| event.3 && event.1 == 1));
}

#[test]
fn tasks_are_revised_apart_from_events() {
    let options = tasks();
    let old = write(&class(), &options).unwrap();
    assert_eq!(revise(&old, &an_hour_later(class()), &options).unwrap().unwrap(), old);
    assert_eq!(revise(&old, &class(), &Options::default()), Err(ReviseError::OtherKind));
    let mut fewer = class();
    fewer.steps.pop();
    let next = revise(&old, &fewer, &options).unwrap().unwrap();
    assert_eq!(lint(next.as_bytes()), Vec::<String>::new());
    assert_eq!(next.matches("STATUS:CANCELLED").count(), 1);
}

#[test]
fn random_plans_replace_each_other() {
    for seed in 0..200 {
        // A plan in which everything happens by itself makes no event.
        let Some(old) = write(&random::schedule(seed), &Options::default()) else { continue };
        let mut next = random::schedule(seed);
        assert_eq!(revised(&old, &an_hour_later(next.clone())), old, "seed {seed}");
        next.steps.remove(0);
        revised(&old, &next);
    }
}

#[test]
fn a_file_of_another_program_is_refused() {
    let old = write(&class(), &Options::default()).unwrap();
    let foreign = old.replacen("-//solidby//Prep calendar//EN", "-//Example//Other//EN", 1);
    for file in ["", "hello", "BEGIN:VCALENDAR\r\n", foreign.as_str()] {
        assert_eq!(
            revise(file, &class(), &Options::default()),
            Err(ReviseError::Foreign),
            "{file}"
        );
    }
}

#[test]
fn a_damaged_file_is_refused_with_its_line() {
    let old = write(&class(), &Options::default()).unwrap();
    let cases = [
        ("END:VCALENDAR\r\n", "", "ends too early"),
        ("SEQUENCE:0\r\n", "", "without UID, SEQUENCE"),
        ("SEQUENCE:0\r\n", "SEQUENCE:x\r\n", "no number"),
        ("END:VEVENT\r\n", "", "never ends"),
        ("BEGIN:VEVENT\r\n", "BEGIN:VJOURNAL\r\n", "unknown part"),
        ("BEGIN:VEVENT\r\n", "END:VEVENT\r\nBEGIN:VEVENT\r\n", "without a beginning"),
        ("END:VCALENDAR\r\n", "END:VCALENDAR\r\nX:y\r\n", "without a beginning"),
    ];
    for (find, put, says) in cases {
        let error = revise(&old.replacen(find, put, 1), &class(), &Options::default()).unwrap_err();
        assert!(error.to_string().contains(says), "{says}: {error}");
        assert!(matches!(error, ReviseError::Broken { line: 1.., .. }), "{error:?}");
    }
}

/// Found by the fuzzer: such an entry was cancelled without its UID, and the next
/// revision was refused.
#[test]
fn what_the_alarm_says_is_not_the_entrys_own() {
    let old = write(&class(), &Options::default()).unwrap();
    let (before, after) = old.split_once("SEQUENCE:0\r\n").unwrap();
    let moved = after.replacen("BEGIN:VALARM\r\n", "BEGIN:VALARM\r\nSEQUENCE:0\r\n", 1);
    let error = revise(&format!("{before}{moved}"), &class(), &Options::default()).unwrap_err();
    assert!(error.to_string().contains("without UID, SEQUENCE"), "{error}");
}

#[test]
fn line_ends_of_another_system_are_read() {
    let old = write(&class(), &Options::default()).unwrap();
    assert_eq!(revised(&old.replace('\r', ""), &class()), old);
}

proptest! {
    /// Our file with any piece cut out or any text put in: an error or a file, never a panic.
    #[test]
    fn no_damage_panics(at in 0usize..4000, cut in 0usize..300, put in any::<String>()) {
        let old = write(&class(), &Options::default()).unwrap();
        let chars: Vec<char> = old.chars().collect();
        let at = at.min(chars.len());
        let rest = (at + cut).min(chars.len());
        let hurt: String = chars[..at].iter().copied().chain(put.chars()).chain(chars[rest..].iter().copied()).collect();
        let _ = revise(&hurt, &class(), &Options::default());
    }
}

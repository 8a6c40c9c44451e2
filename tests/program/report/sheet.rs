//! The sheet: well-formed, alone, inert under hostile text, and as it was.

use std::collections::HashSet;

use solidby::prep::schedule::{Problem, Schedule, Status, Ways};
use solidby::report::sheet::{NARROW, is_ours, write};

use crate::report::random::{self, HOSTILE};
use crate::report::scenario::class;

fn sheet(schedule: &Schedule) -> String {
    write(schedule, true).unwrap()
}

/// The class when one session cannot be served.
pub fn class_in_trouble() -> Schedule {
    let mut schedule = class();
    schedule.feasible = false;
    schedule.problems.push(Problem {
        what: "Paint on ice for Wrens on Thu 10 Dec: 10 blocks are not frozen in time".into(),
        because: vec![
            "There are 4 fox moulds.".into(),
            "Hands are free at home from 18:30 to 21:30.".into(),
            "Freezing takes up to 10 h 40 min.".into(),
        ],
        ways: Ways {
            words: vec!["8 fox moulds instead of 4".into(), "start on Sun 6 Dec".into()],
            ..Ways::default()
        },
        ..Problem::of(Status::Impossible)
    });
    schedule
}

/// Faults of an HTML file that holds to XML's rules apart from void elements.
fn faults(html: &str) -> Vec<String> {
    const VOID: [&str; 3] = ["meta", "input", "!DOCTYPE"];
    let mut faults = Vec::new();
    let mut open: Vec<String> = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        let Some(end) = rest[at..].find('>') else {
            faults.push("a tag that never ends".into());
            break;
        };
        let tag = &rest[at + 1..at + end];
        let name: String =
            tag.trim_start_matches('/').chars().take_while(|c| !c.is_whitespace()).collect();
        let name = name.trim_end_matches('/').to_owned();
        if tag.starts_with('/') {
            if open.pop().as_deref() != Some(&name) {
                faults.push(format!("</{name}> closes nothing"));
            }
        } else if !tag.ends_with('/') && !VOID.contains(&name.as_str()) {
            open.push(name);
        }
        if tag.matches('"').count() % 2 == 1 {
            faults.push(format!("an open quote in <{tag}>"));
        }
        rest = &rest[at + end + 1..];
    }
    faults.extend(open.iter().map(|name| format!("<{name}> is never closed")));
    faults
}

fn values<'a>(html: &'a str, name: &str) -> Vec<&'a str> {
    let opening = format!(" {name}=\"");
    html.split(opening.as_str()).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

fn check(html: &str) {
    assert_eq!(faults(html), Vec::<String>::new());
    let ids = values(html, "id");
    let unique: HashSet<_> = ids.iter().collect();
    assert_eq!(ids.len(), unique.len(), "an id is used twice");
    let labels = values(html, "aria-labelledby").into_iter().flat_map(str::split_whitespace);
    let links = values(html, "href").into_iter().filter_map(|link| link.strip_prefix('#'));
    for target in labels.chain(links).chain(values(html, "for")) {
        assert!(unique.contains(&target), "nothing has the id {target}");
    }
    assert_eq!(values(html, "href").iter().filter(|link| !link.starts_with('#')).count(), 0);
    for outside in ["<script", " src=", "url(h", "@import", "<link", "<iframe", "<img", " on"] {
        let tags = html.split('<').skip(1).map(|t| format!("<{}", t.split('>').next().unwrap()));
        let found = tags.filter(|tag| tag.to_lowercase().contains(outside)).count();
        assert_eq!(found, 0, "{outside} in a tag");
    }
}

#[test]
fn the_class_as_it_was() {
    let html = sheet(&class());
    check(&html);
    assert!(!html.contains("http:") && !html.contains("https:"));
    insta::assert_snapshot!(html.replace(NARROW, ""));
}

#[test]
fn a_step_with_a_curve_shows_it() {
    let html = sheet(&class());
    assert_eq!(html.matches("class=\"curve\"").count(), 2);
    assert!(html.contains("most likely done Tue 8 Dec 03:00; planned until Tue 8 Dec 05:40."));
    assert!(html.contains("Not done within this step, which ends Fri 11 Dec 21:30."));
}

#[test]
fn a_sheet_is_known_again() {
    assert!(is_ours(&sheet(&class())));
    let quoted = "<html><head></head><meta name=\"generator\" content=\"solidby prep sheet\">";
    assert!(!is_ours(quoted) && !is_ours(""));
}

#[test]
fn trouble_stands_above_today() {
    let html = sheet(&class_in_trouble());
    check(&html);
    let (trouble, today) =
        (html.find("id=\"problems\"").unwrap(), html.find("id=\"today\"").unwrap());
    assert!(trouble < today);
    assert!(html.contains("8 fox moulds instead of 4"));
    assert!(!html.contains("Everything fits"));
}

#[test]
fn today_stands_first_and_once() {
    let html = sheet(&class());
    let (_, html) = html.split_once("class=\"appendix\"").unwrap();
    let fill = html.matches("Fill 4 fox moulds, 1 1&#x2f;4 inch deep</label>").count();
    assert_eq!(fill, 1);
    assert!(html.find("id=\"today\"") < html.find("id=\"day-2026-12-08\""));
    assert!(!html.contains("id=\"day-2026-12-07\""));
}

#[test]
fn an_empty_plan_has_a_sheet() {
    let mut schedule = class();
    schedule.steps.clear();
    schedule.carry.clear();
    schedule.shopping.clear();
    schedule.notes.clear();
    let html = sheet(&schedule);
    check(&html);
    assert!(html.contains("Nothing to do today."));
}

#[test]
fn each_step_says_why_it_is_there() {
    assert!(sheet(&class()).contains("Why now"));
}

#[test]
fn hostile_text_is_inert() {
    for seed in 0..300 {
        check(&sheet(&random::schedule(seed)));
    }
}

/// Each hostile text in each string of the class at once, and ten thousand characters.
#[test]
fn hostile_text_is_inert_everywhere() {
    let long = "<b onclick=\"x\">&'ש".repeat(600);
    for text in HOSTILE.into_iter().chain([long.as_str()]) {
        let mut schedule = class_in_trouble();
        schedule.title = text.into();
        schedule.notes = vec![text.into()];
        for step in &mut schedule.steps {
            (step.what, step.goal, step.place) = (text.into(), text.into(), text.into());
            (step.because, step.group) = (text.into(), Some(text.into()));
            (step.bring, step.uses) = (vec![text.into()], vec![text.into()]);
            step.amounts.iter_mut().for_each(|a| (a.what, a.text) = (text.into(), text.into()));
            step.cautions.iter_mut().for_each(|c| {
                c.title = text.into();
                (c.text, c.source) = (text.into(), text.into())
            });
        }
        for carry in &mut schedule.carry {
            (carry.goal, carry.items) = (text.into(), vec![text.into()]);
        }
        for buy in &mut schedule.shopping {
            (buy.amount.what, buy.amount.text) = (text.into(), text.into());
        }
        for problem in &mut schedule.problems {
            problem.what = text.into();
            (problem.because, problem.ways.words) = (vec![text.into()], vec![text.into()]);
        }
        let html = sheet(&schedule);
        check(&html);
        assert!(!html.chars().any(|c| c.is_control() && c != '\n'));
        assert!(
            !html.chars().any(|c| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
        );
    }
}

/// The class's steps once more on each of ten days: many pages.
fn long() -> Schedule {
    let mut schedule = class();
    let once = schedule.steps.clone();
    for day in 1..10 {
        let later = chrono::TimeDelta::days(day);
        schedule.steps.extend(once.iter().cloned().map(|mut step| {
            step.start += later;
            step.end += later;
            step
        }));
    }
    schedule.steps.sort_by_key(|step| step.start);
    schedule
}

/// Pages for `tests/oracles/run.sh`, which looks at them in a browser.
#[test]
#[ignore = "writes into the directory ORACLE_FILES; run by tests/oracles/run.sh"]
fn files_for_the_oracles() {
    let directory = std::path::PathBuf::from(std::env::var("ORACLE_FILES").unwrap());
    let pages = [
        ("class", class()),
        ("trouble", class_in_trouble()),
        ("hostile", random::schedule(7)),
        ("long", long()),
    ];
    for (name, schedule) in pages {
        std::fs::write(directory.join(format!("{name}.html")), sheet(&schedule)).unwrap();
    }
}

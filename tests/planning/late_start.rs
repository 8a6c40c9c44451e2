//! Planning again in the middle: steps done, sessions over, what changed since,
//! and the chain of reasons.

use crate::support;

use std::collections::BTreeSet;

use chrono::{DateTime, Duration, Utc};
use solidby::report::plan::lay_out;
use solidby::{
    explanation::changes::changes,
    planfile::Plan,
    prep::{
        DoneError, LayError,
        schedule::{Attention, Schedule},
    },
};
use support::Fixed;

const FOREST: &str = include_str!("../../demo/forest-fortnight.toml");
const NOW: &str = "2026-11-27T15:00:00Z";

fn at(now: &str) -> DateTime<Utc> {
    now.parse().unwrap()
}

fn forest(done: &[String]) -> Plan {
    let mut plan = support::plan(FOREST);
    plan.done = done.to_vec();
    plan
}

fn again(now: &str, done: &[&str]) -> Result<Schedule, LayError> {
    let done: Vec<String> = done.iter().map(|id| (*id).to_owned()).collect();
    lay_out(&forest(&done), at(now), &Fixed::default())
}

#[test]
fn a_plan_that_is_followed_stays_a_plan() {
    let fixed = Fixed::default();
    let first = lay_out(&forest(&[]), at(NOW), &fixed).unwrap();
    assert!(first.feasible);
    // Every evening at 23:00 in Denver.
    for day in 0..21 {
        let now = at("2026-11-28T06:00:00Z") + Duration::days(day);
        let past = first.steps.iter().filter(|step| step.end <= now);
        let done: Vec<String> =
            past.map(|step| format!("{}@{}", step.id, step.end.to_rfc3339())).collect();
        let rest = lay_out(&forest(&done), now, &fixed).unwrap();
        assert!(rest.feasible, "{now}: {:#?}", rest.problems);
        for step in rest.steps.iter().filter(|step| step.attention != Attention::None) {
            assert!(step.start >= now, "{now}: {} is past", step.id);
        }
        let ids: BTreeSet<&str> = rest.steps.iter().map(|step| step.id.as_str()).collect();
        let open = first.steps.iter().filter(|step| step.start >= now);
        for step in open {
            assert!(ids.contains(step.id.as_str()), "{now}: {} is missing", step.id);
        }
    }
}

#[test]
fn what_is_in_the_freezer_needs_its_time_and_its_mould() {
    // Filled at 20:00 on Monday 7 December, planned again at 21:00.
    let now = "2026-12-08T04:00:00Z";
    let filled = ["paint-on-ice-otters-1-fill-1@2026-12-07T20:00"];
    let schedule = again(now, &filled).unwrap();
    let out = schedule.steps.iter().find(|s| s.id == "paint-on-ice-otters-1-turn-out").unwrap();
    assert!(out.start.to_utc() >= at("2026-12-08T12:00:00Z"), "{}", out.start);
    assert!(schedule.steps.iter().all(|step| !step.id.ends_with("otters-1-wash")));
    assert!(schedule.steps.iter().any(|step| step.id == "paint-on-ice-otters-1-freeze"));
    // Turned out means filled, and the moulds are free.
    let turned_out = ["paint-on-ice-otters-1-turn-out-2"];
    let schedule = again("2026-12-08T01:30:00Z", &turned_out).unwrap();
    assert!(schedule.steps.iter().all(|step| !step.id.ends_with("otters-1-fill")));
    let fill = schedule.steps.iter().find(|s| s.id == "paint-on-ice-otters-1-fill-3").unwrap();
    assert!(fill.start.to_utc() >= at("2026-12-08T01:30:00Z"));
}

#[test]
fn a_thing_that_happened_by_itself_can_be_done_too() {
    let now = "2026-12-08T02:00:00Z";
    let waiting = again(now, &["paint-on-ice-otters-1-fill-1"]).unwrap();
    let firm = again(now, &["paint-on-ice-otters-1-freeze-1"]).unwrap();
    let first = |schedule: &Schedule| {
        let out = schedule.steps.iter().find(|s| s.id == "paint-on-ice-otters-1-turn-out");
        out.map(|step| step.start)
    };
    assert!(waiting.notes.iter().any(|note| note.contains("only just now")), "{:?}", waiting.notes);
    // Knowing more never harms.
    let (sooner, later) = (first(&firm).unwrap(), first(&waiting).unwrap());
    assert!(sooner <= later, "{sooner} and {later}");
    assert!(firm.problems.len() <= waiting.problems.len(), "{:?}", firm.problems);
}

/// The clock is asked for only where something waits for what was done: for frozen blocks,
/// not for washed moulds, and not where the time was said.
#[test]
fn a_time_is_asked_for_only_where_it_matters() {
    let asked = |done: &str| {
        let schedule = again("2026-12-08T02:00:00Z", &[done]).unwrap();
        schedule.notes.iter().any(|note| note.contains("counts as done only just now"))
    };
    assert!(asked("paint-on-ice-otters-1-fill-1"));
    assert!(!asked("paint-on-ice-otters-1-fill-1@2026-12-07T18:45"));
    assert!(!asked("paint-on-ice-otters-1-wash"));
}

/// Six in the morning of the session, the last blocks filled: were they filled only now,
/// nine hours of freezing would come too late; said to be frozen, they are turned out.
#[test]
fn nothing_waits_for_what_is_said_to_be_over() {
    let served = |last: &str| {
        let done = ["paint-on-ice-otters-1-turn-out-3", last];
        let schedule = again("2026-12-09T13:00:00Z", &done).unwrap();
        schedule.steps.iter().any(|step| step.id == "paint-on-ice-otters-1-use")
    };
    assert!(!served("paint-on-ice-otters-1-fill-4"));
    assert!(served("paint-on-ice-otters-1-freeze-4"));
}

#[test]
fn the_file_may_list_what_is_done() {
    let text = FOREST.replacen("title", "done = [\"paint-on-ice-otters-1-fill-1\"]\ntitle", 1);
    assert_eq!(support::plan(&text).done, ["paint-on-ice-otters-1-fill-1"]);
    let schedule = lay_out(&support::plan(&text), at(NOW), &Fixed::default()).unwrap();
    assert!(schedule.steps.iter().all(|step| step.id != "paint-on-ice-otters-1-fill"));
}

#[test]
fn wrong_entries_are_refused_with_the_nearest_step() {
    let wrong = again(NOW, &["paint-on-ice-otter-1-fill"]).unwrap_err();
    let LayError::Done(DoneError::Unknown { near, .. }) = wrong else { panic!("{wrong}") };
    assert_eq!(near.as_deref(), Some("paint-on-ice-otters-1-fill"));
    let later = again(NOW, &["photo-ornaments-mix@2026-12-24T20:00"]).unwrap_err();
    assert!(matches!(later, LayError::Done(DoneError::Later(_))), "{later}");
    let no_time = again(NOW, &["photo-ornaments-mix@noon"]).unwrap_err();
    assert!(matches!(no_time, LayError::Done(DoneError::NotATime(_))), "{no_time}");
}

#[test]
fn a_session_that_is_over_is_left_out() {
    let schedule = again(
        "2026-12-09T20:00:00Z",
        &[
            "photo-ornaments-gather-photos-otters",
            "photo-ornaments-gather-photos-wrens",
            "photo-ornaments-paint-otters",
            "photo-ornaments-paint-wrens@2026-12-08T12:00",
        ],
    )
    .unwrap();
    assert!(schedule.notes.iter().any(|n| n == "Paint on ice for Otters on Wed Dec 9 is over."));
    assert!(schedule.steps.iter().all(|step| step.goal != "Paint on ice for Otters"));
    assert!(schedule.steps.iter().any(|step| step.id == "photo-ornaments-photo"));
    assert!(schedule.steps.iter().all(|step| step.id != "photo-ornaments-mix"));
    assert!(schedule.shopping.iter().all(|line| line.amount.what != "flour"));
}

#[test]
fn what_changed_is_told() {
    let fixed = Fixed::default();
    let first = lay_out(&forest(&[]), at(NOW), &fixed).unwrap();
    let json = serde_json::to_string(&first).unwrap();
    assert!(changes(&json, &first, &[]).unwrap().is_empty());
    let moved = FOREST.replace("2026-12-10T09:30:00", "2026-12-10T10:00:00");
    let second = lay_out(&support::plan(&moved), at(NOW), &fixed).unwrap();
    let told = changes(&json, &second, &[]).unwrap();
    let session = told.moved.iter().find(|step| step.id == "paint-on-ice-wrens-1-use").unwrap();
    assert_eq!(session.to - session.from, Duration::minutes(30));
    assert!(told.new.is_empty() && told.gone.is_empty() && !told.is_empty());
    let fewer = FOREST.replace("  { group = \"Wrens\", at = 2026-12-10T09:30:00 },\n", "");
    let third = lay_out(&support::plan(&fewer), at(NOW), &fixed).unwrap();
    let told = changes(&json, &third, &[]).unwrap();
    assert!(told.gone.iter().any(|step| step.id == "paint-on-ice-wrens-1-use"));
    assert!(!told.is_empty());
    let back = changes(&serde_json::to_string(&third).unwrap(), &first, &[]).unwrap();
    assert!(back.new.iter().any(|step| step.id == "paint-on-ice-wrens-1-use"));
    assert!(changes("{}", &first, &[]).is_err());
}

#[test]
fn the_chain_of_reasons_has_no_circles() {
    let (plan, fixed) = (forest(&[]), Fixed::default());
    let schedule = lay_out(&plan, at(NOW), &fixed).unwrap();
    let mut longest = 0;
    for step in &schedule.steps {
        let chain = solidby::report::why::why(&plan, at(NOW), &fixed, &step.id).unwrap().why;
        assert_eq!(chain[0].id, step.id);
        assert!(chain.iter().all(|why| !why.because.is_empty()), "{chain:#?}");
        let ids: BTreeSet<&str> = chain.iter().map(|why| why.id.as_str()).collect();
        assert_eq!(ids.len(), chain.len(), "{chain:#?}");
        longest = longest.max(chain.len());
    }
    assert!(longest >= 3, "{longest} links");
    assert!(solidby::report::why::why(&plan, at(NOW), &fixed, "paint").is_err());
}

//! Children who are with her at home: in the hours of `class`, while hands are free at home in
//! others too.

use chrono::{NaiveTime, Weekday};
use solidby::prep::schedule::{Attention, Schedule, Step};
use solidby::report::plan::lay_out;

use crate::support::{self, Fixed};

const NOW: &str = "2026-12-01T14:00:00Z";
const DAYCARE: &str = include_str!("../data/family-daycare.toml");

fn laid(text: &str) -> Schedule {
    let schedule = lay_out(&support::plan(text), NOW.parse().unwrap(), &Fixed::default()).unwrap();
    assert!(schedule.feasible);
    schedule
}

/// They were painting at eight in the evening, since she is at home then.
#[test]
fn children_at_home_are_there_in_the_hours_of_class() {
    let schedule = laid(DAYCARE);
    let time = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0).unwrap();
    let mut seen = 0;
    let kinds = ["use", "set-out", "drain", "paint", "ask-photos", "gather-photos", "give"];
    let with_children = |step: &&Step| kinds.iter().any(|kind| step.id.contains(kind));
    let hands = schedule.steps.iter().filter(|step| step.attention != Attention::None);
    for step in hands.filter(with_children) {
        let day = chrono::Datelike::weekday(&step.start);
        assert!(!matches!(day, Weekday::Sat | Weekday::Sun), "{} on {day}", step.id);
        let within = step.start.time() >= time(7, 30) && step.end.time() <= time(17, 30);
        assert!(within, "{} from {} to {}", step.id, step.start, step.end);
        seen += 1;
    }
    assert!(seen >= 6, "{seen} steps with children");
    // Nothing leaves the house, and nothing comes back.
    assert!(schedule.steps.iter().all(|step| !step.id.contains("carry")));
    assert!(schedule.carry.is_empty() && schedule.back.is_empty(), "{:#?}", schedule.carry);
}

/// A day without class is no day without hands at home: the second round of three is filled then.
#[test]
fn on_a_day_without_class_hands_are_free_at_home() {
    let closed = DAYCARE.replace("[room]", "closed = [\"2026-12-08\"]\n\n[room]");
    let schedule = laid(&closed);
    let on_closed = |id: &str| {
        let step = schedule.steps.iter().find(|step| step.id.contains(id)).unwrap();
        step.start.date_naive().to_string() == "2026-12-08"
    };
    assert!(on_closed("fill-2"), "{:#?}", schedule.steps);
}

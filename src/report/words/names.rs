//! What things, waits and moments are called.

use chrono::{DateTime, NaiveDate, Timelike};
use chrono_tz::Tz;

use crate::{
    planfile::Plan,
    prep::draft::Serves,
    units::{self, Locale, in_fraction, show_wait},
};

/// `1 piece`, `3 pieces`; `1 fox mould`, `4 fox moulds`.
pub fn pieces(count: u32, noun: &str) -> String {
    match count {
        // What somebody has named may be several already: `muffin tins`.
        _ if count == 1 || noun.ends_with('s') => format!("{count} {noun}"),
        _ => format!("{count} {noun}s"),
    }
}

/// The name of a thing with its kind, once: `kitchen freezer`, `chest freezer`.
pub fn named(name: &str, kind: &str) -> String {
    let called = name.to_lowercase();
    let says = called.split(|letter: char| !letter.is_alphanumeric()).any(|word| {
        let one = word.strip_suffix('s').unwrap_or(word);
        // As Americans spell it.
        one.ends_with(kind) || kind == "mould" && one.ends_with("mold")
    });
    if says { name.to_owned() } else { format!("{name} {kind}") }
}

/// `kitchen freezer`.
pub fn freezer(plan: &Plan, freezer: usize) -> String {
    named(&plan.freezers[freezer].name, "freezer")
}

/// `kitchen oven`.
pub fn oven(plan: &Plan, oven: usize) -> String {
    named(&plan.ovens[oven].name, "oven")
}

/// What a session or a gift is: `Paint on ice for Otters on Wed 9 Dec`.
pub fn goal(plan: &Plan, serves: Serves) -> String {
    match serves {
        Serves::Session { ice, session } => {
            let day = plan.locale().day(&plan.ice[ice].sessions[session].at);
            format!("{} on {day}", served(plan, serves))
        }
        Serves::Gift { ornament } => {
            let groups = plan.ornaments[ornament].groups.iter();
            let names: Vec<&str> = groups.map(|n| plan.groups[*n].name.as_str()).collect();
            format!("{} for {}", served(plan, serves), names.join(" and "))
        }
    }
}

/// What the steps of a session or a gift are for: `Paint on ice for Otters`.
pub fn served(plan: &Plan, serves: Serves) -> String {
    match serves {
        Serves::Session { ice, session } => {
            let ice = &plan.ice[ice];
            format!("{} for {}", ice.name, plan.groups[ice.sessions[session].group].name)
        }
        Serves::Gift { ornament } => plan.ornaments[ornament].name.clone(),
    }
}

/// `in a room at 60 % humidity`.
pub fn humid(plan: &Plan) -> String {
    format!("in a room at {:.0} % humidity", 100.0 * in_fraction(plan.room.humidity))
}

/// A wait as it is planned.
pub fn wait_words(hours: f64) -> String {
    show_wait(units::hours(hours))
}

/// `Thursday`, or `Thu 17 Dec` where that would not say which.
fn weekday(from: NaiveDate, day: NaiveDate, locale: Locale) -> String {
    let days = (day - from).num_days();
    if (-6..=6).contains(&days) { day.format("%A").to_string() } else { locale.day(&day) }
}

/// A moment as it is said from another: `at 21:10`, `on Thursday at 06:45`.
pub fn moment_words(from: DateTime<Tz>, at: DateTime<Tz>, locale: Locale) -> String {
    let time = locale.time(&at);
    if from.date_naive() == at.date_naive() {
        return format!("at {time}");
    }
    format!("on {} at {time}", weekday(from.date_naive(), at.date_naive(), locale))
}

/// Some hours as they are said from another moment: `that evening`, `Monday evening`.
pub fn day_part(from: DateTime<Tz>, at: DateTime<Tz>, locale: Locale) -> String {
    let part = match at.hour() {
        0..12 => "morning",
        12..17 => "afternoon",
        _ => "evening",
    };
    if from.date_naive() == at.date_naive() {
        return format!("that {part}");
    }
    match (at.date_naive() - from.date_naive()).num_days() {
        ..=3 => format!("{} {part}", at.format("%A")),
        _ => format!("the {part} of {}", locale.day(&at)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_is_called_by_its_name_and_its_kind() {
        for (name, kind, said) in [
            ("kitchen", "freezer", "2 kitchen freezers"),
            ("chest freezer", "freezer", "2 chest freezers"),
            ("tiny cubes", "tin", "2 tiny cubes tins"),
            ("muffin tins", "tin", "2 muffin tins"),
            ("Muffintin", "tin", "2 Muffintins"),
            ("fox mold", "mould", "2 fox molds"),
        ] {
            assert_eq!(pieces(2, &named(name, kind)), said);
        }
        assert_eq!(pieces(1, "muffin tin"), "1 muffin tin");
    }

    /// From Monday 7 December 2026, 18:30 in Vienna.
    #[test]
    fn moments_are_said_from_another() {
        let at = |day: u32, hour: u32, minute: u32| {
            let day = NaiveDate::from_ymd_opt(2026, 12, day).unwrap();
            crate::units::zone::resolve(
                chrono_tz::Europe::Vienna,
                day.and_hms_opt(hour, minute, 0).unwrap(),
            )
        };
        let now = at(7, 18, 30);
        for (then, moment, part) in [
            (at(7, 21, 10), "at 21:10", "that evening"),
            (at(8, 6, 45), "on Tuesday at 06:45", "Tuesday morning"),
            (at(9, 11, 59), "on Wednesday at 11:59", "Wednesday morning"),
            (at(10, 12, 0), "on Thursday at 12:00", "Thursday afternoon"),
            (at(10, 16, 59), "on Thursday at 16:59", "Thursday afternoon"),
            (at(10, 17, 0), "on Thursday at 17:00", "Thursday evening"),
            (at(11, 17, 0), "on Friday at 17:00", "the evening of Fri 11 Dec"),
            (at(13, 9, 0), "on Sunday at 09:00", "the morning of Sun 13 Dec"),
            // A week on, the name of the day no longer says which.
            (at(14, 9, 0), "on Mon 14 Dec at 09:00", "the morning of Mon 14 Dec"),
        ] {
            assert_eq!(moment_words(now, then, Locale::default()), moment);
            assert_eq!(day_part(now, then, Locale::default()), part);
        }
        assert_eq!(moment_words(at(14, 9, 0), now, Locale::default()), "on Mon 7 Dec at 18:30");
        assert_eq!(moment_words(at(13, 9, 0), now, Locale::default()), "on Monday at 18:30");
    }
}

//! Ice activities with their sessions, ornament batches and themes.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime, TimeZone};
use toml::value::Datetime;

use super::{
    Blocks, Finish, Ice, Method, Ornament, Plan, Session, Spare, Theme,
    reader::{Found, Limits, Reader},
    things::{oven_setting, required, spare_share},
};
use crate::{
    tables,
    units::{self, Length, hours, millimetres, minutes, zone::instant},
};

/// Most sessions of one activity: every class day of two years.
const SESSIONS: usize = 400;

/// Most groups of a batch, and most activities of a theme.
const SHARERS: usize = 100;

/// Most steps that finish a batch.
const FINISHES: usize = 10;

/// Reads one `[[ice]]`; `plan` holds the things read before it.
pub fn ice(reader: &Reader<'_>, plan: &Plan) -> Option<Ice> {
    let name = reader.text("name", "\"Paint on ice\"");
    let mould = named(reader, "mould", plan.moulds.iter().map(|mould| &*mould.name));
    let freezer = named(reader, "freezer", plan.freezers.iter().map(|freezer| &*freezer.name));
    let blocks = match reader.optional("blocks") {
        Some(found) => blocks(reader, found),
        None => Some(Blocks::Each),
    };
    let spare = match reader.optional("spare") {
        Some(found) => reader.count("spare", found, 0..=100),
        None => Some(0),
    };
    let travel = match reader.optional("travel") {
        Some(found) => reader.quantity(
            "travel",
            found,
            Limits {
                parse: units::duration,
                low: minutes(0.0),
                high: hours(12.0),
                range: "a way to class takes between 0 min and 12 h",
                example: "25 min",
            },
        ),
        None => Some(minutes(0.0)),
    };
    let sessions: Vec<Option<Session>> = reader
        .tables("session", SESSIONS, "[{ group = \"Otters\", at = 2026-12-09T09:30:00 }]")
        .iter()
        .map(|session| read_session(session, plan))
        .collect();
    if sessions.is_empty() {
        reader.fault(
            reader.header(),
            "this `ice` has no session",
            "add `session = [{ group = \"Otters\", at = 2026-12-09T09:30:00 }]`",
        );
    }
    reader.finish();
    Some(Ice {
        name: name?.to_owned(),
        mould: mould?,
        freezer: freezer?,
        blocks: blocks?,
        spare: spare?,
        travel: travel?,
        sessions: sessions.into_iter().collect::<Option<_>>()?,
    })
}

/// `"each"` or a number.
fn blocks(reader: &Reader<'_>, found: Found<'_>) -> Option<Blocks> {
    if found.get_ref().as_str() == Some("each") {
        return Some(Blocks::Each);
    }
    if found.get_ref().is_str() {
        reader.fault(
            found.span(),
            "`blocks` is not known",
            "write `blocks = \"each\"` or a number",
        );
        return None;
    }
    reader.count("blocks", found, 1..=200).map(Blocks::Number)
}

fn read_session(reader: &Reader<'_>, plan: &Plan) -> Option<Session> {
    let group = named(reader, "group", plan.groups.iter().map(|group| &*group.name));
    let found = reader.required("at", "2026-12-09T09:30:00");
    let at = found.and_then(|found| {
        let at = reader.datetime("at", found, "2026-12-09T09:30:00")?;
        Some((found, at))
    });
    let spare = reader.optional("spare").and_then(|found| reader.count("spare", found, 0..=100));
    reader.finish();
    let ((found, at), group) = (at?, group?);
    let Some(local) = local(at) else {
        reader.fault(
            found.span(),
            "`at` needs a day and a time",
            "for example `at = 2026-12-09T09:30:00`",
        );
        return None;
    };
    let who = plan.groups.get(group)?;
    let day = local.date();
    if plan.is_closed(day) {
        reader.fault(found.span(), format!("class is closed on {day}"), "choose another day");
    } else if !plan.meets(who, day) {
        reader.fault(
            found.span(),
            format!("{} does not meet on {}", who.name, day.format("%A %Y-%m-%d")),
            format!("its days are {}", who.day_words()),
        );
    } else if !in_hours(plan, who.place, local) {
        reader.fault(
            found.span(),
            format!(
                "{} is outside the hours of {}",
                local.format("%H:%M"),
                place_name(plan, who.place)
            ),
            "move the session, or widen [hours]",
        );
    }
    let at = match at.offset {
        None => match instant(&plan.zone, local) {
            Ok(at) => at,
            Err(skipped) => {
                reader.fault(found.span(), skipped.to_string(), "move the session");
                return None;
            }
        },
        Some(toml::value::Offset::Z) => plan.zone.from_utc_datetime(&local),
        Some(toml::value::Offset::Custom { minutes }) => {
            plan.zone.from_utc_datetime(&(local - chrono::Duration::minutes(i64::from(minutes))))
        }
    };
    Some(Session { group, at, spare })
}

fn place_name(plan: &Plan, place: usize) -> &str {
    plan.places.get(place).map_or("class", |place| place.name.as_str())
}

fn in_hours(plan: &Plan, place: usize, at: NaiveDateTime) -> bool {
    plan.places.get(place).is_some_and(|place| {
        place
            .hours
            .iter()
            .any(|open| open.on(at.date()) && open.from <= at.time() && at.time() < open.until)
    })
}

/// The wall-clock time of a TOML date-time that has both parts.
fn local(at: Datetime) -> Option<NaiveDateTime> {
    let (date, time) = (at.date?, at.time?);
    let date = NaiveDate::from_ymd_opt(date.year.into(), date.month.into(), date.day.into())?;
    let second = time.second.unwrap_or(0);
    let time = NaiveTime::from_hms_opt(time.hour.into(), time.minute.into(), second.into())?;
    Some(date.and_time(time))
}

/// Reads one `[[ornament]]`.
pub fn ornament(reader: &Reader<'_>, plan: &Plan) -> Option<Ornament> {
    let name = reader.text("name", "\"Photo ornaments\"");
    let across =
        reader.required("shape", "\"round 75 mm\"").and_then(|found| across(reader, found));
    let thickness = required(
        reader,
        "thickness",
        Limits {
            parse: units::length,
            low: millimetres(1.0),
            high: millimetres(50.0),
            range: "dough is rolled between 1 mm and 50 mm",
            example: "1/4 in",
        },
    );
    let recipe = reader
        .required("recipe", "\"two-one-one\"")
        .and_then(|found| reader.row("recipe", found, tables::recipes()));
    let groups = groups(reader, plan);
    let each = match reader.optional("each") {
        Some(found) => reader.count("each", found, 1..=50),
        None => Some(1),
    };
    let spare = match reader.optional("spare") {
        Some(found) if found.get_ref().is_str() => {
            reader.quantity("spare", found, spare_share()).map(Spare::Share)
        }
        Some(found) => reader.count("spare", found, 0..=200).map(Spare::Number),
        None => Some(Spare::Number(0)),
    };
    let method = method(reader, plan);
    let finish = finish(reader);
    let give = give(reader, plan);
    if let (Some(groups), Some(day)) = (&groups, give) {
        in_class_before(reader, plan, groups, day);
    }
    reader.finish();
    Some(Ornament {
        name: name?.to_owned(),
        across: across?,
        thickness: thickness?,
        recipe: recipe?,
        groups: groups?,
        each: each?,
        spare: spare?,
        method: method?,
        finish: finish?,
        give: give?,
    })
}

/// Each group must meet in the week up to the day of giving.
fn in_class_before(reader: &Reader<'_>, plan: &Plan, groups: &[usize], day: NaiveDate) {
    let week = || (0..7).filter_map(|back| day.checked_sub_days(Days::new(back)));
    for group in groups.iter().filter_map(|group| plan.groups.get(*group)) {
        if !week().any(|day| plan.meets(group, day)) {
            let span = reader.optional("give").map_or(reader.header(), toml::Spanned::span);
            reader.fault(
                span,
                format!("{} has no class in the week up to {day}", group.name),
                "choose a day in a week in which the group meets",
            );
        }
    }
}

/// `round 75 mm`, or any outline's name with its size across.
fn across(reader: &Reader<'_>, found: Found<'_>) -> Option<Length> {
    let text = reader.as_text("shape", found, "\"round 75 mm\"")?;
    let size = text.trim().split_once(' ').map(|(_, size)| units::length(size));
    match size {
        Some(Ok(across)) if (millimetres(10.0)..=millimetres(400.0)).contains(&across) => {
            Some(across)
        }
        _ => {
            reader.fault(
                found.span(),
                format!("`shape`: “{text}” is not a shape and its size across"),
                "for example `shape = \"round 75 mm\"`, between 10 mm and 400 mm",
            );
            None
        }
    }
}

fn groups(reader: &Reader<'_>, plan: &Plan) -> Option<Vec<usize>> {
    let example = "[\"Otters\"]";
    let found = reader.required("groups", example)?;
    let names: Vec<&str> = plan.groups.iter().map(|group| &*group.name).collect();
    let entries = reader.list("groups", found, SHARERS, example);
    if entries.is_empty() && found.get_ref().is_array() {
        reader.fault(found.span(), "`groups` is empty", format!("write `groups = {example}`"));
        return None;
    }
    entries.into_iter().map(|entry| reader.choice("groups", entry, &names)).collect()
}

fn method(reader: &Reader<'_>, plan: &Plan) -> Option<Method> {
    let found = reader.required("method", "\"oven\"")?;
    if reader.choice("method", found, &["oven", "air"])? == 1 {
        for key in ["oven", "at"] {
            if let Some(extra) = reader.optional(key) {
                reader.fault(
                    extra.span(),
                    format!("`{key}` belongs to method “oven”"),
                    "remove it",
                );
            }
        }
        return Some(Method::Air);
    }
    let oven = named(reader, "oven", plan.ovens.iter().map(|oven| &*oven.name));
    let at = required(reader, "at", oven_setting());
    Some(Method::Oven { oven: oven?, at: at? })
}

fn finish(reader: &Reader<'_>) -> Option<Vec<Finish>> {
    const NAMES: [(&str, Finish); 4] = [
        ("paint", Finish::Paint),
        ("photo", Finish::Photo),
        ("seal", Finish::Seal),
        ("wrap", Finish::Wrap),
    ];
    let Some(found) = reader.optional("finish") else { return Some(Vec::new()) };
    let names = NAMES.map(|(name, _)| name);
    reader
        .list("finish", found, FINISHES, "[\"paint\", \"photo\", \"seal\", \"wrap\"]")
        .into_iter()
        .map(|entry| {
            let position = reader.choice("finish", entry, &names)?;
            NAMES.get(position).map(|(_, finish)| *finish)
        })
        .collect()
}

fn give(reader: &Reader<'_>, plan: &Plan) -> Option<NaiveDate> {
    let example = "2026-12-18";
    let found = reader.required("give", example)?;
    let date = reader.datetime("give", found, example)?.date;
    let day = date.and_then(|date| {
        NaiveDate::from_ymd_opt(date.year.into(), date.month.into(), date.day.into())
    });
    match day {
        None => {
            reader.fault(found.span(), "`give` is not a day", format!("write `give = {example}`"))
        }
        Some(day) if plan.is_closed(day) => reader.fault(
            found.span(),
            format!("class is closed on {day}"),
            "choose the last day before it closes",
        ),
        Some(_) => {}
    }
    day.filter(|day| !plan.is_closed(*day))
}

/// Reads one `[[theme]]`.
pub fn theme(reader: &Reader<'_>, plan: &Plan) -> Option<Theme> {
    let name = reader.text("name", "\"Winter animals\"");
    let known: Vec<&str> = (plan.ice.iter().map(|ice| &*ice.name))
        .chain(plan.ornaments.iter().map(|ornament| &*ornament.name))
        .collect();
    let example = "[\"Paint on ice\"]";
    let activities = reader.required("activities", example).map(|found| {
        let entries = reader.list("activities", found, SHARERS, example);
        entries
            .into_iter()
            .filter_map(|entry| reader.choice("activities", entry, &known))
            .filter_map(|n| known.get(n).map(|name| (*name).to_owned()))
            .collect()
    });
    reader.finish();
    Some(Theme { name: name?.to_owned(), activities: activities? })
}

/// The position of the thing a key names.
fn named<'n>(
    reader: &Reader<'_>,
    key: &'static str,
    names: impl Iterator<Item = &'n str>,
) -> Option<usize> {
    let names: Vec<&str> = names.collect();
    let example = format!("\"{}\"", names.first().unwrap_or(&"kitchen"));
    reader.required(key, &example).and_then(|found| reader.choice(key, found, &names))
}

//! The whole plan file, in the order its parts refer to one another.

use std::{collections::BTreeSet, ops::RangeInclusive};

use chrono::NaiveDate;
use chrono_tz::{TZ_VARIANTS, Tz};

use super::{
    Fault, Place, Plan, hours,
    reader::{Reader, document},
    sessions, things,
};
use crate::{tables::nearest, units::System};

/// Most groups, freezers, ovens, moulds, places and themes of a plan.
const THINGS: usize = 100;

/// Most ice activities, and most batches of ornaments.
const ACTIVITIES: usize = 400;

/// Most entries of one place's hours, and most closed times.
const OPENINGS: usize = 100;

/// Most steps done.
const DONE: usize = 5_000;

/// Reads a plan file.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn read(text: &str) -> Result<Plan, Vec<Fault>> {
    document(text, "the plan file", whole)
}

fn whole(reader: &Reader<'_>) -> Option<Plan> {
    let title = reader.text("title", "\"Forest fortnight\"");
    let zone = zone(reader);
    let units = match reader.optional("units") {
        Some(found) => reader.choice("units", found, &["us", "metric"]),
        None => Some(1),
    };
    let (mut places, closed) = hours_and_closed(reader);
    hands(reader, &mut places);
    let room = reader.optional("room").and_then(|found| reader.inner("room", found));
    let mut plan = Plan {
        title: title.unwrap_or_default().to_owned(),
        zone: zone.unwrap_or(Tz::UTC),
        units: if units == Some(0) { System::Us } else { System::Metric },
        places,
        closed,
        room: things::room(room.as_ref()),
        groups: Vec::new(),
        freezers: Vec::new(),
        ovens: Vec::new(),
        moulds: Vec::new(),
        ice: Vec::new(),
        ornaments: Vec::new(),
        themes: Vec::new(),
        done: Vec::new(),
    };
    plan.groups = each(reader, "group", THINGS, |entry| things::group(entry, &plan.places));
    plan.freezers = each(reader, "freezer", THINGS, |entry| things::freezer(entry, &plan.places));
    plan.ovens = each(reader, "oven", THINGS, |entry| things::oven(entry, &plan.places));
    plan.moulds = each(reader, "mould", THINGS, things::mould);
    plan.ice = each(reader, "ice", ACTIVITIES, |entry| sessions::ice(entry, &plan));
    plan.ornaments = each(reader, "ornament", ACTIVITIES, |entry| sessions::ornament(entry, &plan));
    plan.themes = each(reader, "theme", THINGS, |entry| sessions::theme(entry, &plan));
    plan.done = done(reader);
    names_once(reader);
    if reader.optional("ice").is_none() && reader.optional("ornament").is_none() {
        reader.fault(
            reader.header(),
            "the plan has nothing to prepare",
            "add an [[ice]] or an [[ornament]]",
        );
    }
    reader.finish();
    title.and(zone).map(|_| plan)
}

/// Reads each `[[key]]`; what cannot be read has left its fault.
fn each<T>(
    reader: &Reader<'_>,
    key: &'static str,
    most: usize,
    read: impl Fn(&Reader<'_>) -> Option<T>,
) -> Vec<T> {
    reader
        .tables(key, most, &format!("… (begin a line with [[{key}]])"))
        .iter()
        .filter_map(read)
        .collect()
}

fn zone(reader: &Reader<'_>) -> Option<Tz> {
    let name = reader.text("timezone", "\"America/Denver\"")?;
    let found = reader.optional("timezone")?;
    name.parse()
        .map_err(|_| {
            let help = match nearest(name, TZ_VARIANTS.iter().map(|zone| zone.name())) {
                Some(near) => format!("did you mean “{near}”?"),
                None => "use an IANA name such as “America/Denver” or “Europe/Vienna”".to_owned(),
            };
            reader.fault(found.span(), format!("`timezone`: there is no zone “{name}”"), help);
        })
        .ok()
}

fn hours_and_closed(reader: &Reader<'_>) -> (Vec<Place>, Vec<RangeInclusive<NaiveDate>>) {
    let (mut places, mut closed) = (Vec::new(), Vec::new());
    let example = "{ home = [\"daily 18:30-21:30\"] }";
    let Some(hours) =
        reader.required("hours", example).and_then(|found| reader.inner("hours", found))
    else {
        return (places, closed);
    };
    let named = hours.all().count();
    if named > THINGS {
        reader.too_many(hours.header(), "hours", named, THINGS);
        return (places, closed);
    }
    for (key, _, found) in hours.all() {
        let example = if key == "closed" {
            "[\"2026-12-21 to 2027-01-01\"]"
        } else {
            "[\"daily 18:30-21:30\"]"
        };
        let entries = hours.list(key, found, OPENINGS, example);
        let texts = entries.into_iter().filter_map(|entry| {
            hours.as_text(key, entry, example).map(|text| (text, entry.span()))
        });
        if key == "closed" {
            closed.extend(texts.filter_map(|(text, span)| {
                hours::dates(text).map_err(|error| wrong_hours(&hours, key, &span, &error)).ok()
            }));
        } else {
            let hours = texts.filter_map(|(text, span)| {
                text.parse().map_err(|error| wrong_hours(&hours, key, &span, &error)).ok()
            });
            places.push(Place { name: key.to_owned(), hours: hours.collect(), hands: None });
        }
    }
    (places, closed)
}

/// `[hands]`: pairs of hands that belong to a place.
fn hands(reader: &Reader<'_>, places: &mut [Place]) {
    let table = reader.optional("hands").and_then(|found| reader.inner("hands", found));
    let Some(hands) = table else { return };
    for (key, span, found) in hands.all() {
        match places.iter_mut().find(|place| place.name == key) {
            Some(place) => place.hands = hands.count("hands", found, 1..=20),
            None => {
                let names: Vec<&str> = places.iter().map(|place| place.name.as_str()).collect();
                hands.unknown_name(span, "hands", key, &names);
            }
        }
    }
}

fn wrong_hours(
    reader: &Reader<'_>,
    key: &str,
    span: &std::ops::Range<usize>,
    error: &hours::HoursError,
) {
    let example = if key == "closed" { "2026-12-21 to 2027-01-01" } else { "daily 18:30-21:30" };
    reader.fault(span.clone(), format!("`{key}`: {error}"), format!("for example \"{example}\""));
}

fn done(reader: &Reader<'_>) -> Vec<String> {
    let Some(found) = reader.optional("done") else { return Vec::new() };
    let example = "[\"ice-1-2026-12-09-fill-1\"]";
    reader
        .list("done", found, DONE, example)
        .into_iter()
        .filter_map(|entry| reader.as_text("done", entry, example).map(str::to_owned))
        .collect()
}

/// Two things of a kind with one name cannot be told apart.
fn names_once(reader: &Reader<'_>) {
    for kind in ["group", "freezer", "oven", "mould", "ice", "ornament"] {
        let entries = reader.optional(kind).and_then(|found| found.get_ref().as_array());
        let names = entries.into_iter().flatten().filter_map(|entry| {
            let name = entry.get_ref().as_table()?.get("name")?;
            Some((name.get_ref().as_str()?, name.span()))
        });
        let mut known = BTreeSet::new();
        for (name, span) in names.filter(|(name, _)| !name.trim().is_empty()) {
            if !known.insert(name) {
                reader.fault(
                    span,
                    format!("two [[{kind}]] are called “{name}”"),
                    "give each its own name",
                );
            }
        }
    }
}

//! Places, groups, freezers and ovens of a plan file.

use std::ops::RangeInclusive;

use chrono::{NaiveDate, NaiveTime};

use super::{
    Absence, Freezer, Group, Opening, Oven, Place, Plan, Room, Span, Wishes, dates,
    fault::{Fault, Wrong},
    hours::UNTIL_MIDNIGHT,
    key::Table,
    reader::Reader,
    rule::Rule,
    schema::{THINGS, hours_example},
    values::{dated, unknown},
};
use crate::tables;

/// `[hours]`: where hands work and when, and the days without class.
pub fn hours(reader: &Reader<'_>) -> (Vec<Place>, Vec<RangeInclusive<NaiveDate>>) {
    if reader.found("hours").is_none() {
        let example = "{ home = [\"daily 18:30-21:30\"] }";
        let wrong = Wrong::Missing { table: "the plan file".to_owned(), example };
        reader.keep(Fault::of(reader.header(), "hours", wrong));
    }
    let hours = reader.section(Table::Hours);
    let found = hours.all().count();
    if found > THINGS {
        hours.keep(Fault::of(hours.header(), "hours", Wrong::TooMany { found, most: THINGS }));
        return Default::default();
    }
    let own = hours.all().filter(|(key, span, value)| {
        // A key of another table is no place, but for one that is given hours.
        let elsewhere = Table::with_key(key).filter(|_| !value.get_ref().is_array());
        let Some(table) = elsewhere.filter(|_| Table::is_place(key)) else { return true };
        let (of, known) = ("[hours]".to_owned(), Vec::new());
        let wrong = Wrong::NoSuchKey { table: of, near: None, known, elsewhere: Some(table) };
        hours.keep(Fault::of(span.clone(), key, wrong));
        false
    });
    let places = own.filter(|(key, ..)| Table::is_place(key)).map(|(key, ..)| Place {
        name: key.to_owned(),
        // Of hours that are wrong, nothing more is told.
        hours: openings(&hours, key).unwrap_or_else(|| vec![ALWAYS]),
        hands: None,
    });
    (places.collect(), days_without_class(&hours))
}

fn days_without_class(hours: &Reader<'_>) -> Vec<RangeInclusive<NaiveDate>> {
    let near = hours.first_day();
    let read = hours.entries("closed", |row, value| {
        dated(row, value, "2026-12-21 to 2027-01-01", |text| dates(text, near))
    });
    read.unwrap_or_default()
}

/// When she is away.
pub fn away(hours: &Reader<'_>) -> Vec<Absence> {
    let near = hours.first_day();
    let read = hours.entries("away", |row, value| {
        dated(row, value, "2026-12-11 morning", |text| Absence::near(text, near))
    });
    read.unwrap_or_default()
}

/// All hours of all days.
const ALWAYS: Opening =
    Opening { on: Span::Weekly(super::Days::DAILY), from: NaiveTime::MIN, until: UNTIL_MIDNIGHT };

/// The hours of a place. One `pm` for two times is asked about, and a bare morning hour where
/// another entry of the place is an evening's.
fn openings(hours: &Reader<'_>, key: &str) -> Option<Vec<Opening>> {
    let near = hours.first_day();
    let read: Vec<Opening> = hours.entries(key, |row, value| {
        dated(row, value, hours_example(key), |text| Opening::near(text, near))
    })?;
    let evening = chrono::NaiveTime::MIN + chrono::TimeDelta::hours(17);
    let beside_evenings = read.iter().any(|opening| opening.from >= evening);
    let entries = hours.items(key)?;
    let told = read.iter().zip(entries).map(|(opening, entry)| {
        let text = entry.get_ref().as_str().unwrap_or_default();
        let wrong = |error| Wrong::Hours { error, example: hours_example(key) };
        let told = opening.told(text, beside_evenings).map_err(wrong);
        hours.noted(key, entry.span(), told)
    });
    let told: Vec<Option<()>> = told.collect();
    told.iter().all(Option::is_some).then_some(read)
}

/// `[wishes]`; the schema says what each is where the file does not.
pub fn wishes(reader: &Reader<'_>) -> Option<Wishes> {
    let clock = reader.word("clock");
    let (ahead, buffer) = (reader.get("ahead"), reader.get("buffer"));
    let (earliest, latest) = (reader.get("earliest"), reader.get("latest"));
    let sureness = reader.get("sureness");
    let (earliest, latest) = (earliest?, latest?);
    if latest <= earliest {
        reader.broken(reader.span("latest"), "latest", Rule::NoHours { first: "earliest" });
    }
    Some(Wishes {
        twelve_hours: clock.map(|clock| clock == "12"),
        ahead: ahead?,
        buffer: buffer?,
        earliest,
        latest,
        sureness: sureness?,
    })
}

/// `[hands]`: pairs of hands that belong to a place.
pub fn hands(reader: &Reader<'_>, places: &mut [Place]) {
    let hands = reader.section(Table::Hands);
    for (key, span, _) in hands.all() {
        match places.iter_mut().find(|place| place.name == key) {
            Some(place) => place.hands = hands.get(key),
            None => hands.keep(Fault::of(span, "hands", unknown(key, &reader.places()))),
        }
    }
}

/// The air at home; the schema says what it is where the file does not.
pub fn room(reader: &Reader<'_>) -> Option<Room> {
    // All are read before any is missed, so that all faults are told.
    let (temperature, humidity) = (reader.get("temperature"), reader.get("humidity"));
    let altitude = reader.get("altitude");
    Some(Room { temperature: temperature?, humidity: humidity?, altitude: altitude? })
}

/// A group of children. One with a name is returned whatever else is wrong with it, so
/// that its sessions are looked at; a plan with faults is never used, and `plan` holds the places.
pub fn group(reader: &Reader<'_>, plan: &Plan) -> Option<Group> {
    let (days, children) = (reader.get("days"), reader.get("children"));
    let (youngest, place) = (reader.get("youngest"), reader.place("room"));
    let (from, until) = (reader.get("from"), reader.get("until"));
    if from.zip(until).is_some_and(|(from, until)| until <= from) {
        reader.broken(reader.span("until"), "until", Rule::NoHours { first: "from" });
    }
    let class = place.and_then(|place| plan.class_at(place)).filter(|it| !it.hours.is_empty());
    for (key, time) in [("from", from), ("until", until)] {
        let Some((class, time)) = class.zip(time) else { continue };
        if !class.hours.iter().any(|open| open.from <= time && time <= open.until) {
            let place = class.name.clone();
            reader.broken(reader.span(key), key, Rule::PartOutside { time, place });
        }
    }
    Some(Group {
        name: reader.get("name")?,
        days: days.unwrap_or(super::Days::DAILY),
        children: children.unwrap_or(1),
        youngest,
        place: place.unwrap_or(0),
        from,
        until,
    })
}

pub fn freezer(reader: &Reader<'_>) -> Option<Freezer> {
    let (name, kind) = (reader.get("name"), reader.row("kind", tables::freezers()));
    let (air, rated) = (reader.get("air"), reader.get("rated"));
    let (holds, place) = (reader.get("holds"), reader.place("place"));
    let usual = reader.found("holds").is_none();
    // What its kind has room for is known when the moulds are.
    let holds = if usual { Some(1) } else { holds };
    let (name, kind, holds, place) = (name?, kind?, holds?, place?);
    Some(Freezer { name, kind, air, rated, holds, usual, bags: 0, place })
}

pub fn oven(reader: &Reader<'_>) -> Option<Oven> {
    let (name, kind) = (reader.get("name"), reader.row("kind", tables::ovens()));
    let (trays, tray, place) = (reader.get("trays"), reader.get("tray"), reader.place("place"));
    Some(Oven { name: name?, kind: kind?, trays: trays?, tray: tray?, place: place? })
}

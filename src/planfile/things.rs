//! Places, groups, freezers, ovens and moulds of a plan file.

use std::ops::RangeInclusive;

use chrono::NaiveDate;

use super::{
    Freezer, Group, Mould, MouldForm, Oven, Place, Room,
    fault::{Fault, Rule, Wrong},
    key::Table,
    pan,
    reader::Reader,
    schema::THINGS,
    values::{text, unknown},
};
use crate::{
    tables,
    units::{self, Length, Volume},
};

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
    let places = hours.all().filter(|(key, ..)| Table::is_place(key)).map(|(key, ..)| Place {
        name: key.to_owned(),
        hours: hours.list(key).unwrap_or_default(),
        hands: None,
    });
    (places.collect(), hours.list("closed").unwrap_or_default())
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
    Some(Room {
        temperature: reader.get("temperature")?,
        humidity: reader.get("humidity")?,
        altitude: reader.get("altitude")?,
    })
}

/// A group of children. One with a name is returned whatever else is wrong with it, so
/// that its sessions are looked at; a plan with faults is never used.
pub fn group(reader: &Reader<'_>) -> Option<Group> {
    let (days, children) = (reader.get("days"), reader.get("children"));
    let (youngest, place) = (reader.get("youngest"), reader.place("room"));
    Some(Group {
        name: reader.get("name")?,
        days: days.unwrap_or(super::Days::DAILY),
        children: children.unwrap_or(1),
        youngest,
        place: place.unwrap_or(0),
    })
}

/// A freezer.
pub fn freezer(reader: &Reader<'_>) -> Option<Freezer> {
    let (name, kind) = (reader.get("name"), reader.row("kind", tables::freezers()));
    let (air, rated) = (reader.get("air"), reader.get("rated"));
    let (holds, place) = (reader.get("holds"), reader.place("place"));
    Some(Freezer { name: name?, kind: kind?, air, rated, holds: holds?, place: place? })
}

/// An oven.
pub fn oven(reader: &Reader<'_>) -> Option<Oven> {
    let (name, kind) = (reader.get("name"), reader.row("kind", tables::ovens()));
    let (trays, tray, place) = (reader.get("trays"), reader.get("tray"), reader.place("place"));
    Some(Oven { name: name?, kind: kind?, trays: trays?, tray: tray?, place: place? })
}

/// A mould.
pub fn mould(reader: &Reader<'_>) -> Option<Mould> {
    let name: Option<String> = reader.get("name");
    let (volume, depth, fill) = (reader.get("volume"), reader.get("depth"), reader.get("fill"));
    let (wall, own) = (reader.row("wall", tables::walls()), reader.get("own"));
    let form = form(reader, name.as_deref().unwrap_or_default());
    let (depth, volume) = filled(reader, depth?, volume?, fill)?;
    Some(Mould { name: name?, form: form?, volume, depth, wall: wall?, own: own? })
}

/// A mould filled less than full holds less, in proportion to the depth.
fn filled(
    reader: &Reader<'_>,
    depth: Length,
    volume: Volume,
    fill: Option<Length>,
) -> Option<(Length, Volume)> {
    let Some(fill) = fill else { return Some((depth, volume)) };
    if fill > depth {
        reader.broken(reader.span("fill"), "fill", Rule::FillTooDeep);
        return None;
    }
    Some((fill, volume * (fill / depth)))
}

/// `outline` or `shape`, or the built-in mould of the same name, or unknown.
fn form(reader: &Reader<'_>, name: &str) -> Option<MouldForm> {
    let built_in: Vec<&str> = tables::moulds().iter().map(|mould| mould.name()).collect();
    if reader.found("outline").is_some() {
        if reader.found("shape").is_some() {
            reader.broken(reader.span("shape"), "shape", Rule::ShapeAndOutline);
        }
        return pan::points(reader, "outline").map(MouldForm::Outline);
    }
    if reader.found("shape").is_none() {
        let known = built_in.contains(&name);
        return Some(if known { MouldForm::BuiltIn(name.to_owned()) } else { MouldForm::Unknown });
    }
    reader.value("shape", |row, value| {
        let text = text(row, value)?;
        let (word, size) = text.split_once(' ').unwrap_or((text, ""));
        let sizes = units::lengths(size);
        match (word, sizes.as_deref()) {
            ("box", Ok([length, width])) => Ok(MouldForm::Box(*length, *width)),
            ("round", Ok([diameter])) => Ok(MouldForm::Round(*diameter)),
            _ if built_in.contains(&text) => Ok(MouldForm::BuiltIn(text.to_owned())),
            ("box" | "round", _) => Err(Wrong::NoSize { text: text.to_owned() }),
            _ => Err(unknown(text, &built_in)),
        }
    })
}

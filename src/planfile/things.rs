//! Groups, freezers, ovens and moulds of a plan file.
//!
//! A thing with a fault is still returned when it has a name, with any value in
//! place of the faulty one, so that what refers to it is not called unknown; a
//! plan with faults is never used.

use super::{
    Days, Freezer, Group, Mould, MouldForm, Oven, Place, Room, pan,
    reader::{Found, Limits, Reader},
};
use crate::{
    tables,
    units::{
        self, Length, ThermodynamicTemperature, celsius, fraction, kilograms_per_day, metres,
        millilitres, millimetres, percents,
    },
};

/// The air at home: a middling room where the file does not say.
pub fn room(reader: Option<&Reader<'_>>) -> Room {
    let default =
        Room { temperature: celsius(20.0), humidity: percents(50.0), altitude: metres(0.0) };
    let Some(reader) = reader else { return default };
    let temperature = Limits {
        parse: units::temperature,
        low: celsius(0.0),
        high: celsius(45.0),
        range: "a room is between 0 °C and 45 °C",
        example: "68 F",
    };
    let humidity = Limits {
        parse: units::share,
        low: percents(1.0),
        high: percents(100.0),
        range: "relative humidity is between 1 % and 100 %",
        example: "45 %",
    };
    let altitude = Limits {
        parse: units::length,
        low: metres(-430.0),
        high: metres(6000.0),
        range: "people live between −430 m and 6000 m",
        example: "5200 ft",
    };
    let room = Room {
        temperature: or(reader, "temperature", temperature, default.temperature),
        humidity: or(reader, "humidity", humidity, default.humidity),
        altitude: or(reader, "altitude", altitude, default.altitude),
    };
    reader.finish();
    room
}

/// An optional quantity with the value it has when it is not given.
fn or<Q: PartialOrd>(reader: &Reader<'_>, key: &'static str, limits: Limits<Q>, default: Q) -> Q {
    optional(reader, key, limits).unwrap_or(default)
}

/// An optional quantity.
pub fn optional<Q: PartialOrd>(
    reader: &Reader<'_>,
    key: &'static str,
    limits: Limits<Q>,
) -> Option<Q> {
    reader.optional(key).and_then(|found| reader.quantity(key, found, limits))
}

/// A quantity that must be there.
pub fn required<Q: PartialOrd>(
    reader: &Reader<'_>,
    key: &'static str,
    limits: Limits<Q>,
) -> Option<Q> {
    let example = format!("\"{}\"", limits.example);
    reader.required(key, &example).and_then(|found| reader.quantity(key, found, limits))
}

/// The position of the named place, `standard` where none is named.
fn place(
    reader: &Reader<'_>,
    key: &'static str,
    places: &[Place],
    standard: &str,
) -> Option<usize> {
    let names: Vec<&str> = places.iter().map(|place| place.name.as_str()).collect();
    match reader.optional(key) {
        Some(found) => reader.choice(key, found, &names),
        None => {
            let position = names.iter().position(|name| *name == standard);
            if position.is_none() {
                reader.fault(
                    reader.header(),
                    format!("[hours] has no `{standard}`, where this belongs"),
                    format!("add `{standard} = [\"daily 18:30-21:30\"]` under [hours]"),
                );
            }
            position
        }
    }
}

/// A group of children.
pub fn group(reader: &Reader<'_>, places: &[Place]) -> Option<Group> {
    let name = reader.text("name", "\"Otters\"");
    let days = reader.text("days", "\"Mon Wed Fri\"").and_then(|text| match text.parse() {
        Ok(days) => Some(days),
        Err(error) => {
            let span = reader.optional("days").map_or(reader.header(), toml::Spanned::span);
            reader.fault(span, format!("`days`: {error}"), "for example `days = \"Mon Wed Fri\"`");
            None
        }
    });
    let children = reader
        .required("children", "11")
        .and_then(|found| reader.count("children", found, 1..=100));
    let youngest = reader.optional("youngest").and_then(|found| age(reader, found));
    let place = place(reader, "room", places, "class");
    reader.finish();
    Some(Group {
        name: name?.to_owned(),
        days: days.unwrap_or(Days::DAILY),
        children: children.unwrap_or(1),
        youngest,
        place: place.unwrap_or(0),
    })
}

/// `"2 years"`, or a bare number of years.
fn age(reader: &Reader<'_>, found: Found<'_>) -> Option<u32> {
    let years = found.get_ref().as_str().and_then(|text| {
        let number = text.trim().trim_end_matches("years").trim_end_matches("year").trim();
        number.parse().ok().filter(|years| (0..=18).contains(years))
    });
    if years.is_none() {
        reader.fault(
            found.span(),
            "`youngest` is not an age in whole years",
            "for example `youngest = \"2 years\"`",
        );
    }
    years
}

/// A freezer.
pub fn freezer(reader: &Reader<'_>, places: &[Place]) -> Option<Freezer> {
    let name = reader.text("name", "\"kitchen\"");
    let kind = reader
        .required("kind", "\"fridge-freezer\"")
        .and_then(|found| reader.row("kind", found, tables::freezers()));
    let air = optional(
        reader,
        "air",
        Limits {
            parse: units::temperature,
            low: celsius(-45.0),
            high: celsius(-3.0),
            range: "water freezes to a firm block in air between −45 °C and −3 °C",
            example: "0 F",
        },
    );
    let rated = optional(
        reader,
        "rated",
        Limits {
            parse: units::mass_rate,
            low: kilograms_per_day(0.1),
            high: kilograms_per_day(200.0),
            range: "a household freezer's plate says between 0.1 and 200 kg/day",
            example: "3 kg/day",
        },
    );
    let holds = match reader.optional("holds") {
        Some(found) => reader.count("holds", found, 1..=500),
        None => Some(6),
    };
    let place = place(reader, "place", places, "home");
    reader.finish();
    Some(Freezer {
        name: name?.to_owned(),
        kind: kind.unwrap_or_else(tables::Freezer::fridge_freezer),
        air,
        rated,
        holds: holds.unwrap_or(1),
        place: place.unwrap_or(0),
    })
}

/// An oven.
pub fn oven(reader: &Reader<'_>, places: &[Place]) -> Option<Oven> {
    let name = reader.text("name", "\"kitchen\"");
    let kind = reader.optional("kind").and_then(|found| reader.row("kind", found, tables::ovens()));
    let trays = match reader.optional("trays") {
        Some(found) => reader.count("trays", found, 1..=20),
        None => Some(1),
    };
    let tray = reader
        .required("tray", "\"13 x 18 in\"")
        .and_then(|found| Some((found, reader.as_text("tray", found, "\"13 x 18 in\"")?)))
        .and_then(|(found, text)| tray_size(reader, found, text));
    let place = place(reader, "place", places, "home");
    reader.finish();
    Some(Oven {
        name: name?.to_owned(),
        kind: kind.unwrap_or_else(tables::Oven::still),
        trays: trays.unwrap_or(1),
        tray: tray.unwrap_or((millimetres(100.0), millimetres(100.0))),
        place: place.unwrap_or(0),
    })
}

fn tray_size(reader: &Reader<'_>, found: Found<'_>, text: &str) -> Option<(Length, Length)> {
    let sides = units::lengths(text);
    match sides.as_deref() {
        Ok([width, depth]) if small_side(*width) && small_side(*depth) => Some((*width, *depth)),
        _ => {
            reader.fault(
                found.span(),
                format!("`tray`: “{text}” is not the two sides of a tray"),
                "for example `tray = \"13 x 18 in\"`",
            );
            None
        }
    }
}

fn small_side(side: Length) -> bool {
    (millimetres(30.0)..=metres(2.0)).contains(&side)
}

/// A mould.
pub fn mould(reader: &Reader<'_>) -> Option<Mould> {
    let name = reader.text("name", "\"fox\"");
    let volume = required(reader, "volume", mould_volume());
    let depth = required(reader, "depth", mould_depth());
    let fill = optional(reader, "fill", mould_depth());
    let wall = reader.optional("wall").and_then(|found| reader.row("wall", found, tables::walls()));
    let own = reader.required("own", "4").and_then(|found| reader.count("own", found, 1..=200));
    let form = form(reader, name.unwrap_or_default());
    reader.finish();
    let full = (depth.unwrap_or(millimetres(10.0)), volume.unwrap_or(millilitres(10.0)));
    let (depth, volume) = filled(reader, full.0, full.1, fill).unwrap_or(full);
    Some(Mould {
        name: name?.to_owned(),
        form: form.unwrap_or(MouldForm::Unknown),
        volume,
        depth,
        wall: wall.unwrap_or_else(tables::Wall::plastic),
        own: own.unwrap_or(1),
    })
}

/// The volume of a mould.
pub fn mould_volume() -> Limits<units::Volume> {
    Limits {
        parse: units::volume,
        low: millilitres(1.0),
        high: millilitres(20_000.0),
        range: "a mould takes between 1 mL and 20 L",
        example: "310 mL",
    }
}

/// The depth of a mould.
pub fn mould_depth() -> Limits<Length> {
    Limits {
        parse: units::length,
        low: millimetres(3.0),
        high: millimetres(400.0),
        range: "a mould is between 3 mm and 400 mm deep",
        example: "35 mm",
    }
}

/// A mould filled less than full holds less, in proportion to the depth.
fn filled(
    reader: &Reader<'_>,
    depth: Length,
    volume: units::Volume,
    fill: Option<Length>,
) -> Option<(Length, units::Volume)> {
    let Some(fill) = fill else { return Some((depth, volume)) };
    if fill > depth {
        let span = reader.optional("fill").map_or(reader.header(), toml::Spanned::span);
        reader.fault(
            span,
            "`fill` is deeper than the mould",
            "fill to at most nine tenths of `depth`: ice takes a tenth more room than water",
        );
        return None;
    }
    Some((fill, volume * (fill / depth)))
}

/// `outline` or `shape`, or the built-in mould of the same name, or unknown.
fn form(reader: &Reader<'_>, name: &str) -> Option<MouldForm> {
    let built_in: Vec<&str> = tables::moulds().iter().map(|mould| mould.name()).collect();
    let (outline, shape) = (reader.optional("outline"), reader.optional("shape"));
    if let Some(found) = outline {
        if let Some(shape) = shape {
            reader.fault(
                shape.span(),
                "a mould has `shape` or `outline`, not both",
                "leave one of them out",
            );
        }
        return pan::points(reader, "outline", found).map(MouldForm::Outline);
    }
    let Some(found) = shape else {
        let known = built_in.contains(&name);
        return Some(if known { MouldForm::BuiltIn(name.to_owned()) } else { MouldForm::Unknown });
    };
    let text = reader.as_text("shape", found, "\"round 75 mm\"")?;
    let (word, size) = text.split_once(' ').unwrap_or((text, ""));
    let sizes = units::lengths(size);
    match (word, sizes.as_deref()) {
        ("box", Ok([length, width])) => Some(MouldForm::Box(*length, *width)),
        ("round", Ok([diameter])) => Some(MouldForm::Round(*diameter)),
        _ if built_in.contains(&text) => Some(MouldForm::BuiltIn(text.to_owned())),
        ("box" | "round", _) => {
            reader.fault(
                found.span(),
                format!("`shape`: “{text}” has no size that fits"),
                "for example `shape = \"box 10 x 8 cm\"` or `shape = \"round 75 mm\"`",
            );
            None
        }
        _ => {
            reader.unknown_name(found.span(), "shape", text, &built_in);
            None
        }
    }
}

/// An oven setting.
pub fn oven_setting() -> Limits<ThermodynamicTemperature> {
    Limits {
        parse: units::temperature,
        low: celsius(40.0),
        high: celsius(260.0),
        range: "an oven is set between 40 °C and 260 °C",
        example: "200 F",
    }
}

/// The share of a spare.
pub fn spare_share() -> Limits<units::Ratio> {
    Limits {
        parse: units::share,
        low: fraction(0.0),
        high: fraction(1.0),
        range: "a spare is between 0 % and 100 %",
        example: "10 %",
    }
}

//! A `[[mould]]`: its shape in any of the words that the commands take, how much it
//! holds and how deep the water stands.

use toml::de::DeValue;

use super::{
    Mould,
    fault::Wrong,
    key::Key,
    pan,
    reader::Reader,
    rule::{MouldRule, Rule},
    values::text,
};
use crate::{
    shape::{Body, KINDS, Kind, Shape, ShapeError, USUAL_FILL},
    tables,
    units::{self, Length, Volume, in_millilitres, in_millimetres, metres, millimetres},
};

/// What the file says of the sizes of a mould and of the water in it.
struct Told {
    measured: Option<Volume>,
    depth: Option<Length>,
    fill: Option<Length>,
}

/// What the file says of a mould's inside, as the physics takes it.
struct Inside {
    shape: Option<Shape>,
    measured: Option<Volume>,
    fill: Option<Length>,
    water: Volume,
}

pub fn mould(reader: &Reader<'_>) -> Option<Mould> {
    let name: Option<String> = reader.get("name");
    let (wall, own) = (reader.row("wall", tables::walls()), reader.get::<u32>("own"));
    let (stand, covered) = (reader.row("stand", tables::stands()), reader.get("covered"));
    let cups: Option<u32> = reader.get("cups");
    let inside = inside(reader, name.as_deref().unwrap_or_default());
    let Inside { shape, measured, fill, water: volume } = inside?;
    let cups = cups?;
    let own = own? * cups;
    Some(Mould {
        name: name?,
        shape,
        measured,
        fill,
        volume,
        wall: wall?,
        stand,
        covered: covered?,
        own,
        cups,
        to_a_place: 1,
    })
}

/// None where the file has a fault there.
fn inside(reader: &Reader<'_>, name: &str) -> Option<Inside> {
    let told = Told {
        measured: reader.get("volume"),
        depth: reader.get("depth"),
        fill: reader.get("fill"),
    };
    let given = |key| reader.found(key).is_some();
    let read = [told.measured.is_some(), told.depth.is_some(), told.fill.is_some()];
    if read != ["volume", "depth", "fill"].map(given) {
        return None;
    }
    if !given("shape") {
        told.measured?;
    }
    let shape = if given("outline") {
        Some(drawn(reader, told.measured, told.depth)?)
    } else if given("shape") {
        let shape = reader.value("shape", |key, value| written(key, value, told.depth))?;
        Some(same_depth(reader, shape, told.depth)?)
    } else {
        let built_in = tables::moulds().iter().find(|mould| mould.name() == name);
        built_in.map(|mould| deep(mould.shape(), told.depth))
    };
    match shape {
        Some(shape) => filled(reader, shape, &told),
        None => unshaped(reader, &told),
    }
}

/// The same shape of that depth, where it has one of its own.
fn deep(shape: &Shape, depth: Option<Length>) -> Shape {
    shape.resized(None, depth).unwrap_or_else(|_| shape.clone())
}

fn broken(reader: &Reader<'_>, key: &str, rule: MouldRule) {
    reader.broken(reader.span(key), key, Rule::Mould(rule));
}

/// The user's own, drawn from above, of the size at which it holds what was measured.
fn drawn(reader: &Reader<'_>, measured: Option<Volume>, depth: Option<Length>) -> Option<Shape> {
    if reader.found("shape").is_some() {
        broken(reader, "shape", MouldRule::ShapeAndOutline);
    }
    let points = pan::points(reader, "outline")?;
    let shape =
        Shape::Outline { points, across: metres(0.1), depth: depth? }.holding(Some(measured?));
    shape.map_err(|error| broken(reader, "volume", MouldRule::Shape(error))).ok()
}

/// How shapes of the tables are told where none was named.
const BUILT_IN: &str = "a mould of `solidby tables moulds` such as star or heart";

/// `box 10 x 8 x 4 cm`, `round 75 mm` with `depth` apart, `bird 8 in`, `ring`: a kind with
/// its sizes, or a mould of the tables with a size across or without.
fn written(key: &Key, value: &DeValue<'_>, depth: Option<Length>) -> Result<Shape, Wrong> {
    let (word, sizes) = word_and_sizes(key, value)?;
    let kind = Kind::named(word);
    if let Some(kind) = kind {
        let whole: Vec<Length> = sizes.iter().copied().chain(depth).collect();
        if let Some(shape) = kind.of(&sizes).or_else(|| kind.of(&whole)) {
            return Ok(shape);
        }
    }
    // A kind that lacks its depth alone is not the mould of the tables of that name.
    let lacks_depth = kind.is_some_and(|kind| kind.fields.len() == sizes.len() + 1);
    match tables::mould(word) {
        Ok(mould) if sizes.len() <= 1 && (sizes.is_empty() || !lacks_depth) => {
            let sized = mould.shape().resized(sizes.first().copied(), None);
            sized
                .map(|shape| deep(&shape, depth))
                .map_err(|error| Wrong::Rule(Rule::Mould(MouldRule::Shape(error))))
        }
        Err(_) if kind.is_none() => {
            let moulds = tables::moulds().iter().map(tables::Mould::name);
            let names = moulds.chain(KINDS.iter().map(|kind| kind.name));
            Err(Wrong::Name {
                text: word.to_owned(),
                near: tables::nearest(word, names).map(str::to_owned),
                known: KINDS.iter().map(Kind::spoken).chain([BUILT_IN.to_owned()]).collect(),
            })
        }
        _ => Err(Wrong::NoSize {
            text: text(key, value)?.trim().to_owned(),
            kind: kind.map(|kind| kind.name),
        }),
    }
}

/// The word of a shape and the sizes behind it.
///
/// # Errors
/// When it is no text, or the sizes are none.
pub fn word_and_sizes<'v>(
    key: &Key,
    value: &'v DeValue<'_>,
) -> Result<(&'v str, Vec<Length>), Wrong> {
    let text = text(key, value)?.trim();
    let (word, sizes) = text.split_at(text.find(char::is_numeric).unwrap_or(text.len()));
    let sizes = match sizes {
        "" => Ok(Vec::new()),
        sizes => units::lengths(sizes),
    };
    let wrong = |error| Wrong::Quantity { error, example: key.example };
    Ok((word.trim(), sizes.map_err(wrong)?))
}

/// A depth that is said twice is the same.
fn same_depth(reader: &Reader<'_>, shape: Shape, depth: Option<Length>) -> Option<Shape> {
    let apart = depth.filter(|_| shape.has_depth()).map(|depth| (shape.depth() - depth).abs());
    if apart.is_some_and(|apart| apart > millimetres(0.1)) {
        let millimetres = in_millimetres(shape.depth());
        broken(reader, "depth", MouldRule::DepthTwice { millimetres });
        return None;
    }
    Some(shape)
}

/// The shape as large as was measured, with the water in it.
fn filled(reader: &Reader<'_>, shape: Shape, told: &Told) -> Option<Inside> {
    let Told { measured, depth, fill } = *told;
    let from = if measured.is_some() { "volume" } else { "shape" };
    let refused = |error: ShapeError| broken(reader, from, MouldRule::Shape(error));
    let held = shape.holding(measured).map_err(refused).ok()?;
    let full = Body::of(&held).map_err(refused).ok()?;
    // What is as deep as its other sizes say has its water's depth in `depth`.
    let level = depth.filter(|_| !held.has_depth());
    let said = fill.or(level).or(measured.map(|_| held.depth()));
    let said = said.filter(|said| !held.is_closed() || *said != held.depth());
    let usual = if held.is_closed() { 1.0 } else { USUAL_FILL };
    let body = full.filled_to(said.unwrap_or(held.depth() * usual)).map_err(|error| match error {
        ShapeError::TooDeep { .. } if fill.is_some() => {
            broken(reader, "fill", MouldRule::FillTooDeep)
        }
        ShapeError::TooDeep { depth: millimetres, .. } => {
            broken(reader, "depth", MouldRule::DepthBeyond { words: held.words(), millimetres });
        }
        other => refused(other),
    });
    let body = body.ok()?;
    let (deep_mm, holds_ml) = (in_millimetres(held.depth()), in_millilitres(full.capacity()));
    if !((3.0..=400.0).contains(&deep_mm) && (1.0..=20_000.0).contains(&holds_ml)) {
        broken(reader, from, MouldRule::MouldBounds { deep_mm, holds_ml });
        return None;
    }
    let water = measured.filter(|_| body == full).unwrap_or(body.volume());
    Some(Inside { shape: Some(shape), measured, fill: said, water })
}

/// Only how much water is known, and maybe how deep it stands.
fn unshaped(reader: &Reader<'_>, told: &Told) -> Option<Inside> {
    let measured = told.measured?;
    let (fill, water) = match (told.depth, told.fill) {
        (None, Some(_)) => {
            broken(reader, "fill", MouldRule::FillAlone);
            return None;
        }
        (Some(depth), Some(fill)) if fill > depth => {
            broken(reader, "fill", MouldRule::FillTooDeep);
            return None;
        }
        (Some(depth), Some(fill)) => (Some(fill), measured * (fill / depth)),
        (depth, None) => (depth, measured),
    };
    Some(Inside { shape: None, measured: None, fill, water })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile::{Fault, read};

    const PLAN: &str = include_str!("../../demo/forest-fortnight.toml");
    const MOULD: &str = "name = \"fox\"\nvolume = \"310 mL\"\ndepth = \"35 mm\"\n";

    #[test]
    fn a_shape_goes_by_what_people_call_it() {
        let shape = |lines: &str| mould(lines).unwrap().shape.unwrap();
        assert_eq!(shape("shape = \"cylinder 8 x 9 cm\""), shape("shape = \"round 8 x 9 cm\""));
        assert_eq!(shape("shape = \"sphere 6 cm\""), shape("shape = \"ball 6 cm\""));
        let also = || KINDS.iter().flat_map(|kind| kind.also.iter().map(move |it| (kind, *it)));
        for (kind, name) in also() {
            // No other kind is called so, and a mould of the tables that is, is of this kind.
            assert_eq!(Kind::named(name).unwrap().name, kind.name);
            assert_eq!(also().filter(|(_, other)| *other == name).count(), 1, "{name}");
            let same = |mould: &tables::Mould| mould.shape().words() == kind.words;
            assert!(tables::mould(name).map_or(true, same), "{name}");
        }
    }

    /// The mould of these lines and of the name `pan`, or the first fault with its line.
    fn mould(lines: &str) -> Result<Mould, Box<(isize, Fault)>> {
        let text = PLAN.replace("mould = \"fox\"", "mould = \"pan\"");
        let text = text.replace(MOULD, &format!("name = \"pan\"\n{}\n", lines.replace("; ", "\n")));
        match read(&text) {
            Ok(plan) => Ok(plan.moulds[0].clone()),
            Err(faults) => {
                let lines_to = |at: usize| text[..at].matches('\n').count() as isize;
                let name = text.find("name = \"pan\"").unwrap();
                Err(Box::new((lines_to(faults[0].span.start) - lines_to(name), faults[0].clone())))
            }
        }
    }

    /// What one takes, mL, and how deep it stands, mm, where that is known.
    fn holds(lines: &str) -> (f64, Option<f64>) {
        let mould = mould(lines).unwrap_or_else(|fault| panic!("{lines}: {fault:?}"));
        (in_millilitres(mould.volume).round(), mould.fill.map(|fill| in_millimetres(fill).round()))
    }

    #[test]
    fn every_shape_of_the_commands_is_taken() {
        let pi = std::f64::consts::PI;
        for (lines, millilitres, deep) in [
            // Nine tenths full where nobody says.
            ("shape = \"box 10 x 8 x 4 cm\"", 288.0, None),
            ("shape = \"box 10 x 8 cm\"; depth = \"4 cm\"", 288.0, None),
            ("shape = \"box 10 x 8 x 4 cm\"; fill = \"20 mm\"", 160.0, Some(20.0)),
            ("shape = \"round 80 mm\"; depth = \"50 mm\"", 0.9 * 80.0 * pi, None),
            ("shape = \"ring 20 x 8 x 5 cm\"", 0.9 * pi * 84.0 * 5.0, None),
            ("shape = \"ring 20 x 8 cm\"; depth = \"5 cm\"", 0.9 * pi * 84.0 * 5.0, None),
            (
                "shape = \"cup 80 x 60 x 40 mm\"; fill = \"40 mm\"",
                pi * 37.0 * 4.0 / 3.0,
                Some(40.0),
            ),
            // A closed ball is full.
            ("shape = \"ball 60 mm\"", 36.0 * pi, None),
            ("shape = \"half ball 80 mm\"; fill = \"40 mm\"", 128.0 / 3.0 * pi, Some(40.0)),
            ("shape = \"half-ball 80 mm\"; depth = \"40 mm\"", 128.0 / 3.0 * pi, Some(40.0)),
            // A mould of the tables: as it usually is, at another size, another depth.
            ("shape = \"cube tray\"", 23.0, None),
            ("shape = \"square 10 cm\"; fill = \"1 cm\"", 100.0, Some(10.0)),
            ("shape = \"square 10 cm\"; depth = \"2 cm\"; fill = \"2 cm\"", 200.0, Some(20.0)),
            // Measured: it stands as deep as the mould where nobody says.
            ("shape = \"half ball\"; volume = \"85 mL\"; depth = \"34 mm\"", 84.0, Some(34.0)),
            ("shape = \"star\"; volume = \"310 mL\"; depth = \"35 mm\"", 310.0, Some(35.0)),
            ("volume = \"310 mL\"; depth = \"35 mm\"; fill = \"7 mm\"", 62.0, Some(7.0)),
            ("volume = \"310 mL\"", 310.0, None),
        ] {
            assert_eq!(holds(lines), (millilitres.round(), deep), "{lines}");
        }
    }

    #[test]
    fn what_cannot_be_is_refused_at_its_line() {
        for (lines, line, says) in [
            // 34.4 mm deep where it holds 85 mL.
            ("shape = \"half ball\"; volume = \"85 mL\"; depth = \"35 mm\"", 3, "34.4 mm"),
            ("shape = \"half ball 70 mm\"; fill = \"36 mm\"", 2, "deeper than the mould"),
            ("shape = \"box 10 x 8 x 4 cm\"; depth = \"5 cm\"", 2, "40.0 mm that `shape` says"),
            ("shape = \"round 75 mm\"", 1, "no size that fits"),
            ("shape = \"box 10 cm\"", 1, "no size that fits"),
            ("shape = \"ring 8 x 20 x 5 cm\"", 1, "narrower than the ring"),
            ("shape = \"rnig 20 x 8 x 5 cm\"", 1, "not known"),
            ("shape = \"star 9 x 8 cm\"", 1, "no size that fits"),
            ("shape = \"star 9\"", 1, "unit"),
            ("shape = \"star 0 mm\"", 1, "more than nothing"),
            ("shape = \"ball 2 m\"", 1, "holds"),
            ("volume = \"310 mL\"; fill = \"7 mm\"", 2, "not known"),
            ("depth = \"35 mm\"", -1, "has no `volume`"),
        ] {
            let (at, fault) = *mould(lines).expect_err(lines);
            assert!(fault.message().contains(says), "{lines}: {fault:?}");
            assert_eq!(at, line, "{lines}: {fault:?}");
        }
    }
}

//! A user's own pan as drawn from above: in a file of its own, or as the
//! `outline` of a `[[mould]]`.

use super::{
    Fault,
    reader::{Found, Limits, Reader, document},
    things::{mould_depth, mould_volume, optional, required},
};
use crate::{
    freezing::{OutlineError, unit_outline},
    tables::Form,
    units::{self, Length, Volume, in_millilitres, metres, millimetres},
};

/// Points of an outline, repeated ones not counted: nobody traces more by hand.
const POINTS: std::ops::RangeInclusive<usize> = 3..=500;

/// The largest coordinate in any unit.
const FARTHEST: f64 = 1e6;

/// A measured volume this many times more or less than that of the drawing is
/// another pan, or another unit: a tapered pan holds about half of its upright one.
const MOST_OFF: f64 = 4.0;

/// A valid list of points.
const EXAMPLE: &str = "[[0, 0], [9, 0], [9, 6], [0, 6]]";

/// A pan of the user's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Pan {
    /// Its outline and sizes; where its volume was measured, of that volume.
    pub form: Form,
    /// Its volume as measured, full to the rim.
    pub measured: Option<Volume>,
}

/// Reads the file of a pan: `points`, `size`, `depth` and maybe `volume`.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn read_pan(text: &str) -> Result<Pan, Vec<Fault>> {
    document(text, "the outline file", whole)
}

fn whole(reader: &Reader<'_>) -> Option<Pan> {
    let points =
        reader.required("points", EXAMPLE).and_then(|found| points(reader, "points", found));
    let size = required(
        reader,
        "size",
        Limits {
            parse: units::length,
            low: millimetres(5.0),
            high: metres(2.0),
            range: "a pan is between 5 mm and 2 m across",
            example: "9 cm",
        },
    );
    let depth = required(reader, "depth", mould_depth());
    let volume = optional(reader, "volume", mould_volume());
    reader.finish();
    let (points, across, depth) = (points?, size?, depth?);
    let Some(volume) = volume else {
        return Some(Pan { form: Form::Outline { points, across, depth }, measured: None });
    };
    let drawn = Form::Outline { points: points.clone(), across, depth }.volume();
    let off = in_millilitres(volume) / in_millilitres(drawn);
    if !(1.0 / MOST_OFF..=MOST_OFF).contains(&off) {
        reader.fault(
            reader.optional("volume").map_or(reader.header(), toml::Spanned::span),
            "`volume` does not fit `size` and `depth`",
            format!(
                "drawn at this size and depth it holds {:.0} mL; measure all three again",
                in_millilitres(drawn)
            ),
        );
    }
    Some(Pan { form: outlined(points, depth, volume), measured: Some(volume) })
}

/// The form with this outline and depth that holds a volume.
pub fn outlined(points: Vec<[f64; 2]>, depth: Length, volume: Volume) -> Form {
    let across = metres(1.0);
    let unit = Form::Outline { points: points.clone(), across, depth };
    let scale = (in_millilitres(volume) / in_millilitres(unit.volume())).sqrt();
    Form::Outline { points, across: across * scale, depth }
}

/// The points of a key, counter-clockwise, the longest side of their box 1.
pub fn points(reader: &Reader<'_>, key: &str, found: Found<'_>) -> Option<Vec<[f64; 2]>> {
    let entries = reader.list(key, found, usize::MAX, EXAMPLE);
    // One more may close the outline.
    let read = if entries.len() > POINTS.end() + 1 {
        Vec::new()
    } else {
        let read: Vec<_> = entries.iter().map(|entry| point(reader, key, entry)).collect();
        read.into_iter().collect::<Option<Vec<_>>>()?
    };
    let mut corners: Vec<_> = read.into_iter().zip(&entries).collect();
    corners.dedup_by_key(|(point, _)| *point);
    if corners.len() > 1 && corners.first().map(|c| c.0) == corners.last().map(|c| c.0) {
        corners.pop();
    }
    if !POINTS.contains(&corners.len()) {
        if found.get_ref().is_array() {
            reader.fault(
                found.span(),
                format!(
                    "`{key}` has {} different points in a row",
                    entries.len().max(corners.len())
                ),
                format!("an outline has 3 to 500 points; for example `{key} = {EXAMPLE}`"),
            );
        }
        return None;
    }
    let plain: Vec<[f64; 2]> = corners.iter().map(|(point, _)| *point).collect();
    unit_outline(&plain)
        .map_err(|error| {
            let span = match error {
                OutlineError::Crossing(side, _) => corners.get(side - 1).map(|(_, at)| at.span()),
                _ => None,
            };
            reader.fault(
                span.unwrap_or(found.span()),
                format!("`{key}`: {}", words(error, &plain)),
                format!("list the points in order round the pan; for example `{key} = {EXAMPLE}`"),
            );
        })
        .ok()
}

fn point(reader: &Reader<'_>, key: &str, entry: Found<'_>) -> Option<[f64; 2]> {
    let values: Vec<Found<'_>> = entry.get_ref().as_array().into_iter().flatten().collect();
    let [x, y] = values[..] else {
        reader.fault(
            entry.span(),
            format!("`{key}`: this is not a point"),
            "a point is two numbers in square brackets, for example `[4.5, 0]`",
        );
        return None;
    };
    let (x, y) = (reader.number(key, x, FARTHEST), reader.number(key, y, FARTHEST));
    Some([x?, y?])
}

fn words(error: OutlineError, points: &[[f64; 2]]) -> String {
    let side = |number: usize| {
        let at = |n: usize| points.get(n % points.len()).map_or([f64::NAN; 2], |point| *point);
        format!("{:?} to {:?}", at(number - 1), at(number))
    };
    match error {
        OutlineError::Crossing(a, b) => format!(
            "the outline crosses or touches itself: the side from {} meets the side from {}",
            side(a),
            side(b)
        ),
        other => other.to_string(),
    }
}

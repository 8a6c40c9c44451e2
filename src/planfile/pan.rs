//! A user's own pan as drawn from above: in a file of its own, or as the
//! `outline` of a `[[mould]]`.

use std::ops::Range;

use super::{
    fault::{Fault, Wrong},
    key::Table,
    reader::{Found, Reader, document},
    rule::{MouldRule, Rule},
    schema::OUTLINE,
    values::number,
};
use crate::{
    shape::{Body, OutlineError, Shape, unit_outline},
    units::{Volume, in_millilitres},
};

/// Points of an outline, repeated ones not counted: nobody traces more by hand.
const POINTS: std::ops::RangeInclusive<usize> = 3..=500;

/// The largest coordinate in any unit.
const FARTHEST: f64 = 1e6;

/// A measured volume this many times more or less than that of the drawing is
/// another pan, or another unit: a tapered pan holds about half of its upright one.
const MOST_OFF: f64 = 4.0;

/// A pan of the user's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Pan {
    /// Its outline and sizes; where its volume was measured, of that volume.
    pub shape: Shape,
    /// Its volume as measured, full to the rim.
    pub measured: Option<Volume>,
}

/// Reads the file of a pan: `points`, `size`, `depth` and maybe `volume`.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn read_pan(text: &str) -> Result<Pan, Vec<Fault>> {
    document(text, Table::Pan, whole)
}

fn whole(reader: &Reader<'_>) -> Option<Pan> {
    let points = points(reader, "points");
    let (size, depth, volume) = (reader.get("size"), reader.get("depth"), reader.get("volume"));
    let shape = Shape::Outline { points: points?, across: size?, depth: depth? };
    let Some(volume) = volume else { return Some(Pan { shape, measured: None }) };
    let drawn_ml = in_millilitres(Body::of(&shape).ok()?.capacity());
    if !(1.0 / MOST_OFF..=MOST_OFF).contains(&(in_millilitres(volume) / drawn_ml)) {
        reader.broken(reader.span("volume"), "volume", Rule::Mould(MouldRule::Volume { drawn_ml }));
    }
    Some(Pan { shape: shape.holding(Some(volume)).ok()?, measured: Some(volume) })
}

/// The points of a key, counter-clockwise, the longest side of their box 1.
pub fn points(reader: &Reader<'_>, key: &str) -> Option<Vec<[f64; 2]>> {
    let found = reader.found(key)?;
    let entries = reader.items(key)?;
    // One more may close the outline.
    let read = if entries.len() > POINTS.end() + 1 { &[][..] } else { &entries };
    let read: Vec<_> = read.iter().map(|entry| point(reader, key, entry)).collect();
    let mut corners = read.into_iter().collect::<Option<Vec<_>>>()?;
    corners.dedup_by_key(|(point, _)| *point);
    if corners.len() > 1 && corners.first().map(|c| c.0) == corners.last().map(|c| c.0) {
        corners.pop();
    }
    if !POINTS.contains(&corners.len()) {
        let found = entries.len().max(corners.len());
        let wrong = Wrong::Points { found, example: OUTLINE };
        reader.keep(Fault::of(reader.span(key), key, wrong));
        return None;
    }
    let points: Vec<[f64; 2]> = corners.iter().map(|(point, _)| *point).collect();
    let unit = unit_outline(&points).map_err(|error| {
        let side = match error {
            OutlineError::Crossing(side, _) => corners.get(side - 1).map(|(_, at)| at.clone()),
            _ => None,
        };
        (side.unwrap_or(found.span()), Wrong::Outline { error, points, example: OUTLINE })
    });
    match unit {
        Ok(unit) => Some(unit),
        Err((span, wrong)) => {
            reader.keep(Fault::of(span, key, wrong));
            None
        }
    }
}

/// A point with its bytes.
fn point(reader: &Reader<'_>, key: &str, entry: Found<'_>) -> Option<([f64; 2], Range<usize>)> {
    let values: Vec<Found<'_>> = entry.get_ref().as_array().into_iter().flatten().collect();
    let [x, y] = values[..] else { return reader.noted(key, entry.span(), Err(Wrong::Point)) };
    let [x, y] = [x, y].map(|at| reader.noted(key, at.span(), number(at.get_ref(), FARTHEST)));
    Some(([x?, y?], entry.span()))
}

#[cfg(test)]
mod tests {
    use crate::planfile::read;

    #[test]
    fn the_side_that_crosses_another_is_shown() {
        let plan = include_str!("../../demo/forest-fortnight.toml");
        let bow_tie = "outline = [[9, 5], [0, 0], [10, 10], [10, 0], [0, 10], [5, 9]]";
        let plan = plan.replacen("wall = \"silicone\"", bow_tie, 1);
        let faults = read(&plan).unwrap_err();
        let shown = |text: &str| faults.iter().any(|fault| &plan[fault.span.clone()] == text);
        assert!(shown("[9, 5]"), "{faults:?}");
    }
}

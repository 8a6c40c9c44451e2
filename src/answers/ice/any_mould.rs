//! What a volume of water may be poured into when nothing else is known: any mould of the
//! table, made larger or smaller to hold it.

use std::sync::LazyLock;

use crate::answers::AskError;
use crate::freezing::mesh::{Mesh, Resolution};
use crate::properties::ice;
use crate::shape::{Body, Shape};
use crate::tables::{self, TableError};
use crate::units::{Volume, in_cubic_metres};

/// An open mould is filled to this share of its depth; a closed one leaves its ice room.
const FILLED: f64 = 0.9;

/// Forms of the table by the water to a square metre of its surface, each holding a litre:
/// at one volume the first freezes quickest, and times rise smoothly along them.
static QUICKEST_FIRST: LazyLock<Vec<Shape>> = LazyLock::new(|| {
    let litre = 1e-3;
    let measured = |shape: &Shape| {
        let shape = grown(shape, (litre / held(&filled(shape).ok()?)).cbrt())?;
        let mesh = Mesh::of(&filled(&shape).ok()?, Resolution::Coarse, 1.0);
        let area: f64 = mesh.areas().iter().sum();
        Some((mesh.total_volume() / area, shape))
    };
    let mut shapes: Vec<(f64, Shape)> =
        tables::moulds().iter().filter_map(|mould| measured(mould.shape())).collect();
    shapes.sort_by(|a, b| a.0.total_cmp(&b.0));
    shapes.into_iter().map(|(_, shape)| shape).collect()
});

/// The mould at a place among them, 0 the quickest to freeze and 1 the slowest, with this
/// volume of water in it.
pub(in crate::answers) fn any_mould(water: Volume, place: f64) -> Result<Body, AskError> {
    let shapes = &*QUICKEST_FIRST;
    let rank = (place.clamp(0.0, 1.0) * shapes.len() as f64) as usize;
    let shape = shapes.get(rank.min(shapes.len().saturating_sub(1)));
    let by = (1e3 * in_cubic_metres(water)).cbrt();
    let none = || TableError::Unreadable { topic: "moulds", reason: "no mould".to_owned() };
    filled(&shape.and_then(|shape| grown(shape, by)).ok_or_else(none)?)
}

/// The water that turns to the ice of a block, m³.
fn held(body: &Body) -> f64 {
    let all = in_cubic_metres(body.volume());
    if body.is_closed() { all / ice::EXPANSION } else { all }
}

/// As full as moulds usually are.
fn filled(shape: &Shape) -> Result<Body, AskError> {
    let body = Body::of(shape)?;
    if body.is_closed() {
        return Ok(body);
    }
    let depth = body.depth();
    Ok(body.filled_to(FILLED * depth)?)
}

/// A form of the same proportions, `by` times as large.
fn grown(shape: &Shape, by: f64) -> Option<Shape> {
    let depth = shape.has_depth().then(|| by * shape.depth());
    shape.resized(Some(by * shape.across()), depth).ok()
}

//! Freezers, ovens and moulds as a plan file has them.

use crate::{
    shape::{Body, Shape, USUAL_FILL},
    tables,
    units::{Length, MassRate, ThermodynamicTemperature, Volume, in_millilitres},
};

/// Room of a filled mould beside that of a bagged block: a mould must stand
/// level with air around it, a bag lies anywhere (common practice, no source).
pub const MOULD_ROOM: u32 = 3;

/// A freezer.
#[derive(Debug, Clone, PartialEq)]
pub struct Freezer {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static tables::Freezer,
    /// Air temperature, where known.
    pub air: Option<ThermodynamicTemperature>,
    /// Rated freezing capacity, where known.
    pub rated: Option<MassRate>,
    /// Places for the largest mould that the plan puts into it; a tin takes one.
    pub holds: u32,
    /// Whether the file does not say so, and its kind does.
    pub usual: bool,
    /// Bags of what one place freezes that find room beside those places, fewer than make a place.
    pub bags: u32,
    /// The place it stands in.
    pub place: usize,
}

impl Freezer {
    /// Its room, of which a filled place takes [`MOULD_ROOM`] and a bag of what it froze one.
    pub fn room(&self) -> u32 {
        MOULD_ROOM * self.holds + self.bags
    }
}

/// An oven.
#[derive(Debug, Clone, PartialEq)]
pub struct Oven {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static tables::Oven,
    /// Trays it takes at once.
    pub trays: u32,
    /// Width and depth of one tray.
    pub tray: (Length, Length),
    /// The place it stands in.
    pub place: usize,
}

/// Most ovens take two trays or three (common practice, no source).
const MOST_TRAYS: u32 = 3;

impl Oven {
    /// The same with one tray more in it at once; none where it has as many as ovens take.
    pub fn with_a_tray_more(&self) -> Option<Self> {
        let trays = self.trays + 1;
        (trays <= MOST_TRAYS).then(|| Self { trays, ..self.clone() })
    }
}

/// A mould.
#[derive(Debug, Clone, PartialEq)]
pub struct Mould {
    /// Its name.
    pub name: String,
    /// What it looks like inside; none where only its volume is known.
    pub shape: Option<Shape>,
    /// How much one holds, where it was measured: the shape is then resized to it.
    pub measured: Option<Volume>,
    /// How deep the water stands, where that is known.
    pub fill: Option<Length>,
    /// How much water one takes.
    pub volume: Volume,
    /// Its wall.
    pub wall: &'static tables::Wall,
    /// What it stands on, where that is known.
    pub stand: Option<&'static tables::Stand>,
    /// Whether a lid lies on it.
    pub covered: bool,
    /// How many are owned, each cup of a tin for itself.
    pub own: u32,
    /// Moulds in one tin; one where each stands by itself.
    pub cups: u32,
    /// Of these, or of their tins, as many stand on one place of their freezer: more than one
    /// where its places are those of a larger mould, and nobody has counted them.
    pub to_a_place: u32,
}

impl Mould {
    /// Water in one of them, in milligrams.
    pub fn milligrams(&self) -> u64 {
        (1e3 * in_millilitres(self.volume)).round().max(1.0) as u64
    }

    /// How many of them would hold so many milligrams of water, rounded up: a thousandth of one
    /// more is the rounding of volumes.
    pub fn holding(&self, milligrams: u64) -> u32 {
        let one = self.milligrams();
        let moulds = milligrams.saturating_sub(one / 1_000).div_ceil(one);
        u32::try_from(moulds).unwrap_or(u32::MAX).max(1)
    }

    /// Tins of so many, each mould for itself where it is none.
    pub fn tins(&self, count: u32) -> u32 {
        count.div_ceil(self.cups)
    }

    /// How many stand on one place of a freezer.
    pub fn on_a_place(&self) -> u32 {
        self.cups.saturating_mul(self.to_a_place)
    }

    /// Places in a freezer that so many take: a tin with any of its cups takes as much as full.
    pub fn places(&self, count: u32) -> u32 {
        count.div_ceil(self.on_a_place().max(1))
    }

    /// How many moulds so many are worth to the hands that fill and empty them: a cup of a
    /// tin is half a mould (common practice, no source).
    pub fn worth(&self, count: u32) -> f64 {
        f64::from(count) * if self.cups > 1 { 0.5 } else { 1.0 }
    }

    /// How many find room on so many places.
    pub fn on_places(&self, places: u32) -> u32 {
        self.on_a_place().saturating_mul(places)
    }

    /// The same with a share of its water's depth.
    pub fn lowered(&self, share: f64) -> Self {
        let usual = self.shape.as_ref().map(|shape| USUAL_FILL * shape.depth());
        let fill = self.fill.or(usual).map(|fill| fill * share);
        let body = self.shape.as_ref().zip(fill).and_then(|(shape, fill)| {
            Body::of(&shape.holding(self.measured).ok()?).ok()?.filled_to(fill).ok()
        });
        let volume = body.map_or(self.volume * share, |body| body.volume());
        Self { fill, volume, ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use crate::planfile::read;

    #[test]
    fn a_tin_is_one_place() {
        let plan = read(include_str!("../../../tests/data/one-tin.toml")).unwrap();
        let tin = &plan.moulds[0];
        let a_place = tin.on_a_place();
        assert!(a_place > 1);
        for (count, places) in [(1, 1), (a_place, 1), (a_place + 1, 2), (2 * a_place, 2)] {
            assert_eq!(tin.places(count), places, "{count}");
        }
    }

    /// Whole grams would make four of a little more than four.
    #[test]
    fn water_beside_is_counted_in_moulds_that_would_hold_it() {
        let plan = read(include_str!("../../../tests/data/one-tin.toml")).unwrap();
        let mould = &plan.moulds[0];
        let one = mould.milligrams();
        for (water, moulds) in [(0, 1), (one, 1), (4 * one, 4), (4 * one + one / 150, 5)] {
            assert_eq!(mould.holding(water), moulds, "{water} of {one} mg");
        }
        assert_eq!(mould.holding(u64::MAX), u32::MAX);
    }
}

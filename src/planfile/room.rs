//! How many moulds find room in a freezer of which the file does not say it: as many as
//! the shelves of its kind usually have the area and the room for.

use super::{MOULD_ROOM, Mould, Plan};
use crate::{
    shape::Body,
    units::{
        Area, Volume, cubic_metres, in_cubic_metres, in_litres, in_metres, in_square_metres,
        square_metres,
    },
};

/// Air that a mould needs round it, on each side (common practice, no source).
const MARGIN_M: f64 = 0.01;

/// Share of a freezer's room that is free for moulds: the rest holds food (common
/// practice, no source).
const FREE: f64 = 0.25;

/// How many times as wide as deep a mould is of which only the volume is known: as the middle one
/// of the table of moulds.
const WIDE: f64 = 2.5;

/// Nobody freezes more at a time.
const MOST: f64 = 500.0;

/// Lays down the room of the freezers of which the file says nothing.
pub fn usual(plan: &mut Plan) {
    for n in 0..plan.freezers.len() {
        let ice = plan.ice.iter().filter(|ice| ice.freezer == n);
        let moulds = ice.filter_map(|ice| plan.moulds.get(ice.mould));
        let most = moulds.map(|mould| places(plan, n, mould)).reduce(f64::min).unwrap_or(1.0);
        if let Some(freezer) = plan.freezers.get_mut(n).filter(|freezer| freezer.usual) {
            freezer.holds = most as u32;
            freezer.bags = (most.fract() * f64::from(MOULD_ROOM)) as u32;
        }
    }
    let each = |(n, mould): (usize, &Mould)| {
        let freezers = plan.ice.iter().filter(|ice| ice.mould == n).map(|ice| ice.freezer);
        freezers.map(|own| to_a_place(plan, own, mould)).min().unwrap_or(1)
    };
    let all: Vec<u32> = plan.moulds.iter().enumerate().map(each).collect();
    for (mould, own) in plan.moulds.iter_mut().zip(all) {
        mould.to_a_place = own;
    }
}

/// As many of a mould stand on one of the places of a freezer, which are those of its largest.
fn to_a_place(plan: &Plan, freezer: usize, mould: &Mould) -> u32 {
    match plan.freezers.get(freezer) {
        Some(own) if own.usual && own.holds > 0 => {
            (places(plan, freezer, mould) as u32 / own.holds).max(1)
        }
        _ => 1,
    }
}

/// Places for such moulds, or their tins, in a freezer, and what is left beside: at least one.
fn places(plan: &Plan, freezer: usize, mould: &Mould) -> f64 {
    let Some(freezer) = plan.freezers.get(freezer) else { return 1.0 };
    let (area, room) = stands_on(mould);
    let on_shelves = in_square_metres(freezer.kind.shelf().typical) / in_square_metres(area);
    let free = FREE * in_litres(freezer.kind.volume().typical);
    on_shelves.min(free / in_litres(room)).clamp(1.0, MOST)
}

/// The area that a mould or a tin needs and the room: of each mould a square round the
/// disc of its own area, with the air round it. Of unknown shape and depth it is a disc that is
/// [`WIDE`].
fn stands_on(mould: &Mould) -> (Area, Volume) {
    let shape = mould.shape.as_ref().and_then(|shape| shape.holding(mould.measured).ok());
    let body = shape.and_then(|shape| Body::of(&shape).ok());
    let (holds, deep) = match body {
        Some(body) => (in_cubic_metres(body.capacity()), in_metres(body.depth())),
        None => {
            let holds = in_cubic_metres(mould.volume);
            // V = π/4 (w h)² h.
            let deep = (4.0 / std::f64::consts::PI * holds / WIDE.powi(2)).cbrt();
            (holds, mould.fill.map_or(deep, in_metres))
        }
    };
    let side = (4.0 / std::f64::consts::PI * holds / deep).sqrt() + 2.0 * MARGIN_M;
    let area = side * side * f64::from(mould.cups);
    (square_metres(area), cubic_metres(area * (deep + 2.0 * MARGIN_M)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        planfile::{Freezer, read},
        tables,
    };

    /// Places in the freezer of this kind for a mould of these lines.
    fn places(kind: &str, mould: &str) -> u32 {
        freezer(kind, mould).holds
    }

    fn freezer(kind: &str, mould: &str) -> Freezer {
        let text = include_str!("../../demo/forest-fortnight.toml")
            .replace("holds = 8", "")
            .replace("\"fox\"", "\"pan\"")
            .replace("kind = \"fridge-freezer\"", &format!("kind = \"{kind}\""))
            .replace("volume = \"310 mL\"\ndepth = \"35 mm\"\n", mould);
        let plan = read(&text).unwrap_or_else(|faults| panic!("{mould}: {faults:?}"));
        plan.freezers[0].clone()
    }

    /// 774 cm² of 1500 for a tin of twelve: another does not fit, what came out of two does.
    #[test]
    fn beside_the_last_mould_bags_find_room() {
        let tin = "shape = \"cup 7 x 5 x 3.5 cm\"\ncups = 12\n";
        let kitchen = freezer("fridge-freezer", tin);
        assert_eq!((kitchen.holds, kitchen.bags), (1, 2));
    }

    #[test]
    fn small_moulds_stand_together_on_the_place_of_a_large_one() {
        let text = include_str!("../../demo/forest-fortnight.toml").replace("holds = 8", "");
        let large = "[[mould]]\nname = \"tub\"\nvolume = \"4 L\"\nown = 1\n\n";
        let ice = "[[ice]]\nname = \"Tubs\"\nmould = \"tub\"\nfreezer = \"kitchen\"\nblocks = 1\n\
                   session = [{ group = \"Otters\", at = 2026-12-11T09:30:00 }]\n\n";
        let both = text.replacen("[[mould]]", &format!("{large}[[mould]]"), 1);
        let plan = read(&both.replacen("[[ice]]", &format!("{ice}[[ice]]"), 1)).unwrap();
        // A tub of 4 L is 23.4 cm across, 25.4 cm with its air: 1500 cm² has room for 2.
        assert_eq!(plan.freezers[0].holds, 2);
        let each = |name: &str| plan.moulds.iter().find(|it| it.name == name).unwrap().to_a_place;
        // Of the foxes 9 find room by themselves.
        assert_eq!((each("tub"), each("fox")), (1, 4));
    }

    #[test]
    fn a_mould_of_unknown_shape_is_as_wide_as_the_middle_one_of_the_table() {
        let mut wide: Vec<f64> = tables::moulds()
            .iter()
            .filter_map(|mould| Body::of(mould.shape()).ok())
            .map(|body| {
                let (holds, deep) = (in_cubic_metres(body.capacity()), in_metres(body.depth()));
                (4.0 / std::f64::consts::PI * holds / deep).sqrt() / deep
            })
            .collect();
        wide.sort_by(f64::total_cmp);
        let middle = wide[wide.len() / 2];
        assert!((middle / WIDE - 1.0).abs() < 0.1, "{middle}");
    }

    #[test]
    fn the_shelf_of_the_kind_and_its_room_limit_how_many_stand_in_it() {
        // 1500 cm² on squares of 13.3 cm: a disc of 100 cm² is 11.3 cm across.
        assert_eq!(places("fridge-freezer", "shape = \"box 10 x 10 x 3 cm\"\n"), 8);
        // Two cups of 5 cm need 2 x 49 cm².
        let tin = "shape = \"round 5 cm\"\ndepth = \"3 cm\"\ncups = 2\n";
        assert_eq!(places("fridge-freezer", tin), 15);
        // A quarter of 15 L, and 11.0 cm by 11.0 cm by 12 cm: 1.46 L each.
        assert_eq!(places("ice-box", "shape = \"box 8 x 8 x 10 cm\"\n"), 2);
        // One always finds room.
        assert_eq!(places("ice-box", "shape = \"box 30 x 30 x 5 cm\"\n"), 1);
        // Of unknown shape: 88.6 cm², 12.6 cm with the air.
        assert_eq!(places("fridge-freezer", "volume = \"310 mL\"\ndepth = \"35 mm\"\n"), 9);
    }
}

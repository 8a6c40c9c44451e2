//! What is made, as typed: the questions on it, and what is said of its freezer or oven.

use super::{
    args::{DoughMade, IceMade},
    context::Context,
    failure::Failure,
    shape::{Typed, block},
};
use crate::{
    answers::{
        AskError,
        dough::{Dough, DoughQuestion, Method, OvenTold},
        ice::{FreezerTold, IceQuestion},
    },
    drying::recipe::Recipe,
    report::faults::Wrong,
    tables::{self, Wall},
    units::{Amount, Length, Ratio, fraction, in_fraction, length, temperature},
};

/// The question on ice, as typed.
///
/// # Errors
/// An input failure for names no table knows, sizes that cannot be, or a wrong file.
pub fn ice(args: &IceMade, context: Context) -> Result<IceQuestion, Failure> {
    let Typed { block, mould, measured } = block(&args.shape, &args.filled, context.host())?;
    let base = IceQuestion::of(block)?;
    let (wall, thickness) = match &args.wall {
        Some(typed) => wall(typed)?,
        None => (mould.map_or(base.wall, tables::Mould::wall), None),
    };
    let freezer = match &args.freezer {
        Some(kind) => freezer(kind)?,
        None => base.freezer,
    };
    let stand = args.stand.as_deref().map(tables::stand).transpose()?;
    Ok(IceQuestion {
        measured,
        fill: args.filled.fill,
        count: args.count,
        cells: mould.map_or(1, tables::Mould::cavities),
        wall,
        thickness,
        covered: args.covered,
        start: args.start,
        freezer,
        air: args.air,
        rated: args.rated,
        stand,
        salt: args.salt.map_or(Ok(base.salt), salt)?,
        locale: context.locale(),
        ..base
    })
}

/// Salt by the water's mass, as a share of the solution.
fn salt(by_water: Ratio) -> Result<Ratio, Failure> {
    let by_water = in_fraction(by_water);
    if !(0.0..=0.2).contains(&by_water) {
        let range = "0 % and 20 % of the water's mass";
        return Err(Failure::of("salt", Wrong::Outside { range, example: "3 %" }));
    }
    Ok(fraction(by_water / (1.0 + by_water)))
}

/// `silicone` or `silicone:2mm`.
fn wall(text: &str) -> Result<(&'static Wall, Option<Length>), Failure> {
    let (name, thickness) = match text.split_once(':') {
        Some((name, thickness)) => {
            let thickness = length(thickness);
            let thickness =
                thickness.map_err(|error| Failure::of("wall", Wrong::NoQuantity(error)))?;
            (name, Some(thickness))
        }
        None => (text, None),
    };
    let wall =
        tables::wall(name).map_err(|error| Failure::of("wall", Wrong::Typed(error.to_string())))?;
    Ok((wall, thickness))
}

/// The question on dough, as typed.
///
/// # Errors
/// A recipe that cannot be.
pub fn dough(args: &DoughMade, context: Context) -> Result<DoughQuestion, AskError> {
    let dough = match (args.flour, args.salt, args.water) {
        (Some(flour), Some(salt), Some(water)) => {
            let amounts = [flour, salt, water];
            let weighed = amounts.map(|amount| matches!(amount, Amount::Mass(_)));
            Dough::Measured(Recipe::measured(amounts)?, weighed)
        }
        _ => Dough::Named(match &args.recipe {
            Some(name) => tables::recipe(name)?,
            None => tables::Recipe::two_one_one(),
        }),
    };
    let method = match args.oven {
        Some(at) => Method::Oven(at, oven_kind(args).unwrap_or_else(tables::Oven::still)),
        None => Method::Air,
    };
    let mut coats = args.paint_after.clone();
    coats.sort_by(|a, b| a.value.total_cmp(&b.value));
    Ok(DoughQuestion {
        size: args.size,
        opening: args.opening,
        count: args.count,
        room: args.room,
        humidity: args.humidity,
        altitude: args.altitude.unwrap_or_default(),
        faces: args.faces,
        pre_dry: args.pre_dry,
        bake_for: args.bake_for,
        door: args.door.unwrap_or_default(),
        coats,
        units: context.common.units.unwrap_or_default(),
        ..DoughQuestion::of(args.thickness, dough, method)
    })
}

/// Whether oven or air is said. Only who asks what would be dry by some time may leave it open.
///
/// # Errors
/// When neither is.
pub fn oven_or_air(args: &DoughMade) -> Result<(), Failure> {
    match args.oven.is_some() || args.air_dry {
        true => Ok(()),
        false => Err(Failure::of("oven", Wrong::NeitherOvenNorRoom)),
    }
}

/// The kind of a freezer, where many first say how cold it is.
fn freezer(typed: &str) -> Result<&'static tables::Freezer, Failure> {
    tables::freezer(typed).map_err(|unknown| match temperature(typed) {
        Ok(_) => Failure::of("freezer", Wrong::Warmth(typed.to_owned())),
        Err(_) => unknown.into(),
    })
}

/// What was said of the freezer.
pub fn freezer_told(made: &IceMade) -> Result<FreezerTold, Failure> {
    let kind = made.freezer.as_deref().map(freezer).transpose()?;
    Ok(FreezerTold { kind, air: made.air, rated: made.rated })
}

/// What was said of the oven.
pub fn oven_told(made: &DoughMade) -> OvenTold {
    OvenTold { kind: oven_kind(made) }
}

fn oven_kind(made: &DoughMade) -> Option<&'static tables::Oven> {
    made.oven_kind.map(|row| row())
}

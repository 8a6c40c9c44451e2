//! How long does a block last on the table, in a bag, in a cool box?

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::caution::CautionText;
use super::ice::{Block, any_mould, box_of};
use super::{AskError, Field, OutOfRange, room};
use crate::freezing::melt::{Melted, Melting};
use crate::freezing::mesh::{Mesh, Resolution};
use crate::properties::air::DryAir;
use crate::properties::moist_air::STANDARD_ATMOSPHERE;
use crate::shape::Body;
use crate::surroundings::cool_box::{FILLED, USUAL_LITRES, box_conductance};
use crate::surroundings::standing::{AIR_GAP, WATER_EMISSIVITY};
use crate::tables::{Caution, Question, Unknown};
use crate::transfer::convection::{Facing, natural_si};
use crate::transfer::evaporation::{evaporative_k, over_ice_pa, sublimation_k};
use crate::transfer::psychrometrics::vapour_pressure;
use crate::transfer::radiation::radiative_si;
use crate::uncertainty::{Band, Draw, Posterior, RUNS, Unknowns};
use crate::units::{
    Length, Locale, Ratio, ThermalConductivity, ThermodynamicTemperature, celsius, conductivity,
    fraction, in_celsius, in_conductivity, in_metres, in_millimetres, in_pascals, in_percents,
    litres, millimetres, seconds, show_duration, show_length, show_temperature, show_volume,
};

/// Where the block is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Keeping {
    /// On a table or a tray.
    Open,
    /// In a closed plastic bag.
    Bag,
    /// In a cool box, with all the other blocks.
    CoolBox {
        /// Conductivity of its wall.
        wall: ThermalConductivity,
        /// Thickness of its wall.
        thickness: Length,
    },
}

impl Keeping {
    /// A box of expanded polystyrene, 30 mm. Source: the ice chest of Çengel's textbook of heat
    /// transfer (0.033 W/m K), from memory.
    pub fn foam_box() -> Self {
        Self::foam(millimetres(30.0))
    }

    /// A box of expanded polystyrene with a wall of its own thickness.
    pub fn foam(thickness: Length) -> Self {
        Self::CoolBox { wall: conductivity(0.033), thickness }
    }
}

/// One question about thawing. `None` is "the user did not say".
#[derive(Debug, Clone, PartialEq)]
pub struct ThawQuestion {
    /// The block.
    pub block: Block,
    /// Depth of the ice, where its mould was not full.
    pub fill: Option<Length>,
    /// How many together (matters in a cool box).
    pub count: u32,
    /// The ice when it leaves the freezer.
    pub start: ThermodynamicTemperature,
    /// The room.
    pub room: Option<ThermodynamicTemperature>,
    /// Its humidity.
    pub humidity: Option<Ratio>,
    /// Where it is kept.
    pub keeping: Keeping,
    /// How the answer says degrees.
    pub locale: Locale,
}

/// How long a block lasts; bands in hours.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ThawAnswer {
    /// The surface is wet and no longer sticky-cold.
    pub wet_h: Band,
    /// The core has warmed to 0 °C.
    pub soft_h: Band,
    /// Half the ice is gone.
    pub half_h: Band,
    /// All the ice is gone.
    pub gone_h: Band,
    /// Words of care.
    pub cautions: Vec<CautionText>,
    /// In what it is kept, where the answer hangs on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kept_in: Option<String>,
    /// What else is good to know.
    pub notes: Vec<String>,
}

/// Answers how long a block lasts.
///
/// # Errors
/// [`AskError`] for a shape, a size or a number that cannot be.
pub fn answer(question: &ThawQuestion) -> Result<ThawAnswer, AskError> {
    check(question)?;
    let unknowns = Unknowns::new(Question::Thaw, &open(question), &Posterior::default())?;
    let runs = runs(question, &unknowns, Inside::Filled)?;
    let band = |of: fn(&Melted) -> f64| {
        let hours: Vec<f64> = runs.iter().map(|run| of(run) / 3600.0).collect();
        Band::of(&hours).unwrap_or(Band::NEVER)
    };
    Ok(ThawAnswer {
        wet_h: band(|m| m.wet),
        soft_h: band(|m| m.soft),
        half_h: band(|m| m.half),
        gone_h: band(|m| m.gone),
        cautions: [Caution::sticky_cold(), Caution::slips(), Caution::sharp_ice()]
            .map(CautionText::of)
            .to_vec(),
        kept_in: kept_in(question, &unknowns)?,
        notes: notes(question),
    })
}

/// What comes of the block in many rooms.
fn runs(
    question: &ThawQuestion,
    unknowns: &Unknowns,
    inside: Inside,
) -> Result<Vec<Melted>, AskError> {
    unknowns.draws(RUNS).par_iter().map(|draw| melt(question, draw, inside)).collect()
}

/// What a question leaves open, in the order of the sequence.
fn open(question: &ThawQuestion) -> Vec<Unknown> {
    use Unknown::*;
    let mut open = vec![ThawFilmMultiplier, IceConductivity];
    open.extend(room::open(question.room, question.humidity));
    match question.block {
        Block::Volume(_) => open.push(MouldShape),
        Block::Upright(..) => open.push(ShapeLength),
        Block::Shape(_) => open.push(SizeError),
    }
    open
}

fn check(question: &ThawQuestion) -> Result<(), AskError> {
    let within = OutOfRange::check(Question::Thaw);
    within(Field::Start, Some(in_celsius(question.start)), [-40.0, 0.0], "°C")?;
    within(Field::Room, question.room.map(in_celsius), [1.0, 50.0], "°C")?;
    within(Field::Humidity, question.humidity.map(in_percents), [0.0, 100.0], "%")?;
    within(Field::Count, Some(f64::from(question.count)), [1.0, 1000.0], "")?;
    if let Keeping::CoolBox { wall, thickness } = question.keeping {
        within(Field::BoxConductivity, Some(in_conductivity(wall)), [1e-3, 10.0], "W/m K")?;
        within(Field::BoxWall, Some(in_millimetres(thickness)), [1.0, 300.0], "mm")?;
    }
    if let (Block::Shape(shape), Some(fill)) = (&question.block, question.fill) {
        Body::of(shape)?.filled_to(fill)?;
    }
    Ok(())
}

fn body(question: &ThawQuestion, draw: &Draw) -> Result<Body, AskError> {
    let length = draw[Unknown::ShapeLength];
    Ok(match &question.block {
        Block::Volume(volume) => any_mould(*volume, draw[Unknown::MouldShape])?,
        Block::Upright(volume, depth) => box_of(*volume, *depth, length)?,
        Block::Shape(shape) => {
            let size = shape.across() * draw[Unknown::SizeError];
            let full = Body::of(&shape.resized(Some(size), None)?)?;
            full.filled_to(question.fill.map_or(full.depth(), |fill| fill.min(full.depth())))?
        }
    })
}

/// How large a cool box is for its ice.
#[derive(Debug, Clone, Copy)]
enum Inside {
    /// No larger than the ice needs.
    Filled,
    /// Of usual size.
    Roomy,
}

fn melt(question: &ThawQuestion, draw: &Draw, inside: Inside) -> Result<Melted, AskError> {
    let body = body(question, draw)?;
    let mesh = Mesh::of(&body, Resolution::Coarse, 1.0);
    let areas = mesh.areas();
    let area: f64 = areas.iter().sum();
    let (depth, across) = (in_metres(body.fill()), body.across());
    let melting = Melting {
        volume: mesh.total_volume(),
        area,
        // Never thicker than the volume allows with three equal extents.
        half_thickness: (0.5 * depth.min(across)).min(3.0 * mesh.total_volume() / area),
        start_c: in_celsius(question.start),
        conductivity_multiplier: draw[Unknown::IceConductivity],
    };
    let room = room::air(draw, question.room);
    let humidity = room::humidity(draw, question.humidity);
    let vapour = in_pascals(vapour_pressure(celsius(room), fraction(humidity.clamp(0.0, 1.0))));
    let multiplier = draw[Unknown::ThawFilmMultiplier];
    let shares = areas.map(|a| a / area);
    let count = f64::from(question.count);
    Ok(melting.run(|surface, size| {
        let sizes = [depth * size, across * size];
        let flux = |from_vapour: f64| room_flux(surface, room, from_vapour, shares, sizes);
        let from_vapour = vapour_difference(surface, vapour);
        match question.keeping {
            Keeping::Open => multiplier * flux(from_vapour),
            Keeping::Bag => {
                // Vapour of the room settles on a bag, but none of the ice gets out. The bag's
                // air in series with the room's film, taken by its overall value.
                let open = multiplier * flux(from_vapour.max(0.0));
                let film = (open / (room - surface)).max(0.1);
                (room - surface) / (1.0 / film + AIR_GAP)
            }
            Keeping::CoolBox { wall, thickness } => {
                let (k, t) = (in_conductivity(wall), in_metres(thickness));
                let left = size.powf(melting.exponent() - 1.0).max(1e-3);
                let through =
                    |litres: f64| box_conductance(1e-3 * litres, k, t) / (count * area * left);
                multiplier
                    * (room - surface)
                    * match inside {
                        Inside::Filled => through(1e3 * FILLED * count * melting.volume),
                        // From the box's air to the ice too: little ice in a large box takes up less
                        // than its wall would let in.
                        Inside::Roomy => {
                            let film = (flux(0.0) / (room - surface)).max(0.1);
                            1.0 / (1.0 / through(USUAL_LITRES) + 1.0 / film)
                        }
                    }
            }
        }
    }))
}

/// Kelvins by which the room's vapour widens the difference that warms an open face: it
/// settles on cold ice as frost and on a wet face as water. Negative in air so dry that the
/// ice or its water goes off into it.
fn vapour_difference(surface: f64, vapour: f64) -> f64 {
    if surface < 0.0 {
        sublimation_k(vapour - over_ice_pa(surface), STANDARD_ATMOSPHERE)
    } else {
        -evaporative_k(surface, vapour, STANDARD_ATMOSPHERE)
    }
}

/// Heat flux from a room into the faces of a cold block, W/m²: convection,
/// vapour on the top and the side, radiation. A cold body looks upwards
/// with its stable side; its base, on a tray, cools the tray's lower face.
fn room_flux(
    surface: f64,
    room: f64,
    from_vapour: f64,
    shares: [f64; 3],
    [height, across]: [f64; 2],
) -> f64 {
    let gas = DryAir::at_si(0.5 * (surface + room) + 273.15, STANDARD_ATMOSPHERE);
    let difference = room - surface;
    let film = |facing, size: f64| natural_si(facing, size.max(5e-3), difference, &gas);
    let [top, side, base] = shares;
    let wetted = top * film(Facing::Stable, 0.25 * across) + side * film(Facing::Vertical, height);
    let below = base * film(Facing::Unstable, 0.25 * across);
    let radiative = radiative_si(WATER_EMISSIVITY, surface + 273.15, room + 273.15);
    (wetted + below + radiative) * difference + wetted * from_vapour
}

/// The box that ice in a cool box is taken to be in, and how long it lasts in a usual one where
/// that is larger.
fn kept_in(question: &ThawQuestion, unknowns: &Unknowns) -> Result<Option<String>, AskError> {
    let Keeping::CoolBox { thickness, .. } = question.keeping else { return Ok(None) };
    let Locale { units, .. } = question.locale;
    let foam = show_length(thickness, units);
    let filled = format!(
        "In a closed cool box that the ice fills, {FILLED} times as large as it is, with {foam} of foam"
    );
    let ice = f64::from(question.count) * body(question, unknowns.centre())?.volume();
    if FILLED * ice >= litres(USUAL_LITRES) {
        return Ok(Some(format!("{filled}.")));
    }
    let mut gone: Vec<f64> =
        runs(question, unknowns, Inside::Roomy)?.iter().map(|run| run.gone).collect();
    gone.sort_by(f64::total_cmp);
    Ok(Some(format!(
        "{filled}; alone in one of {} all of it is gone after {}.",
        show_volume(litres(USUAL_LITRES), units),
        show_duration(seconds(gone[gone.len() / 2]))
    )))
}

fn notes(question: &ThawQuestion) -> Vec<String> {
    let mut notes = vec![format!(
        "Let it stand until it is wet and shiny; ice at {} sticks to damp skin.",
        show_temperature(question.start, question.locale.units)
    )];
    if question.keeping == Keeping::Open {
        notes.push(
            "On a tray with a rim: a block gives its whole volume of water, less a tenth."
                .to_owned(),
        );
    }
    notes
}

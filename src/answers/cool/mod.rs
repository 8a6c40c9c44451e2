//! When a baked piece and its tray are cool enough for a child and for an adult.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::{CautionText, cautions_at};
use super::{AskError, Field, OutOfRange, USUAL_SIZE_MM, room};
use crate::drying::cooling::{Cooled, Plate, layer};
use crate::properties::moist_air::STANDARD_ATMOSPHERE;
use crate::tables::{Question, Step, Threshold, Unknown};
use crate::uncertainty::{Band, Draw, Posterior, RUNS, Unknowns};
use crate::units::{
    Length, ThermodynamicTemperature, celsius, fraction, in_celsius, in_metres, in_millimetres,
    in_minutes, in_seconds, joules_per_kilogram_kelvin, kilograms_per_cubic_metre, metres,
    millimetres, pascals,
};

/// Where it cools.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoolOn {
    /// Pieces lifted onto a wire rack, the tray apart.
    Rack,
    /// Pieces left on the tray.
    Tray,
}

/// What the tray is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TrayMetal {
    /// Aluminium.
    Aluminium,
    /// Steel.
    Steel,
}

/// A question about cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolQuestion {
    /// Thickness of the piece.
    pub thickness: Length,
    /// Size across; 75 mm where not said.
    pub size: Option<Length>,
    /// Temperature of piece and tray as they leave the oven.
    pub from: ThermodynamicTemperature,
    /// The room; unknown widens the band.
    pub room: Option<ThermodynamicTemperature>,
    /// Rack or tray.
    pub on: CoolOn,
    /// The tray.
    pub tray: TrayMetal,
}

/// A limit for touching, with its contact time.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TouchLimit {
    /// Who touches what.
    pub what: &'static str,
    /// The limit, °C.
    pub at_c: f64,
    /// Longest contact it is for, s, where its source states one.
    pub contact_s: Option<f64>,
    /// Name of its source.
    pub source: &'static str,
}

/// The bands behind the four times, minutes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CoolBands {
    /// Piece, child.
    pub piece_child_min: Band,
    /// Piece whose middle is still damp, child.
    pub damp_piece_child_min: Band,
    /// Tray, child.
    pub tray_child_min: Band,
    /// Piece, adult.
    pub piece_adult_min: Band,
    /// Tray, adult.
    pub tray_adult_min: Band,
}

/// The answer, as `solidby cool --json` prints it. The four times are the 95 % points:
/// nineteen times in twenty it is cool by then.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CoolAnswer {
    /// Minutes until a child may hold the piece, dry through.
    pub piece_child_min: f64,
    /// Minutes until a child may hold a piece whose middle is still damp.
    pub damp_piece_child_min: f64,
    /// Minutes until the tray may be within a child's reach.
    pub tray_child_min: f64,
    /// Minutes until an adult may handle the piece.
    pub piece_adult_min: f64,
    /// Minutes until an adult may lift the tray bare-handed.
    pub tray_adult_min: f64,
    /// The same with their bands.
    pub bands: CoolBands,
    /// The limits used.
    pub limits: Vec<TouchLimit>,
    /// Words of care.
    pub cautions: Vec<CautionText>,
    /// What was assumed.
    pub notes: Vec<String>,
}

/// Heat capacity of dry dough, J/kg K. A working value, no source; the parts of Choi & Okos
/// (1986) with salt at 860 give 1330 for a dry dough of 2:1:1.
const DRY_DOUGH_HEAT: f64 = 1250.0;
/// Heat that a piece with a damp middle holds, over that of a dry one. A dough of 2:1:1 gives
/// off 0.45 kg of water for each kg of dry piece, so that it holds (1250 + 0.45 × 4186)/1250 =
/// 2.5 times the heat as it is rolled, and twice with two thirds of that water still in it.
/// Computed here; firm pieces have a tenth of it, 1.15 times the heat.
const DAMP_HEAT: f64 = 2.0;
const DOUGH_EMISSIVITY: f64 = 0.9;
/// Emissivity of a used, slightly oxidised tray, by metal. Source: from memory, handbook
/// values for commercial sheet between polished and heavily oxidised.
const ALUMINIUM_EMISSIVITY: f64 = 0.15;
const STEEL_EMISSIVITY: f64 = 0.4;
/// Tray sheet: density, heat capacity, thickness. Source: handbook values from memory;
/// thickness of ordinary trays, common practice, no source.
const ALUMINIUM: (f64, f64, f64) = (2700.0, 900.0, 1.5);
const STEEL: (f64, f64, f64) = (7850.0, 480.0, 1.0);
/// Half of a 0.33 x 0.46 m tray's area over its perimeter, m.
const TRAY_SIZE: f64 = 0.096;

/// Answers with natural convection and radiation on every open face.
///
/// A tray and the pieces left on it cool as one body (the contact passes more heat than
/// the air takes). On a rack the piece loses heat by both faces and the tray cools alone.
///
/// # Errors
/// [`AskError`] for values outside the model's range.
pub fn answer(question: &CoolQuestion) -> Result<CoolAnswer, AskError> {
    check(question)?;
    let unknowns = Unknowns::new(Question::Cool, &open(question), &Posterior::default())?;
    let draws = unknowns.draws(RUNS);
    let band = |what, heat_times, limit: &TouchLimit| {
        let minutes = |draw| minutes_to(question, draw, what, heat_times, limit);
        let minutes: Vec<f64> = draws.iter().map(minutes).collect();
        Band::of(&minutes).unwrap_or(Band::NEVER)
    };
    let [child_piece, child_tray] = [Threshold::child_piece(), Threshold::child_tray()].map(limit);
    let [adult_piece, adult_tray] = [Threshold::adult_piece(), Threshold::adult_tray()].map(limit);
    let bands = CoolBands {
        piece_child_min: band(Touched::Piece, 1.0, &child_piece),
        damp_piece_child_min: band(Touched::Piece, DAMP_HEAT, &child_piece),
        tray_child_min: band(Touched::Tray, 1.0, &child_tray),
        piece_adult_min: band(Touched::Piece, 1.0, &adult_piece),
        tray_adult_min: band(Touched::Tray, 1.0, &adult_tray),
    };
    Ok(CoolAnswer {
        piece_child_min: bands.piece_child_min.p95,
        damp_piece_child_min: bands.damp_piece_child_min.p95,
        tray_child_min: bands.tray_child_min.p95,
        piece_adult_min: bands.piece_adult_min.p95,
        tray_adult_min: bands.tray_adult_min.p95,
        bands,
        limits: vec![child_piece, child_tray, adult_piece, adult_tray],
        cautions: cautions_at(&[Step::Cool], 2.0),
        notes: notes(question),
    })
}

/// What a question leaves open, in the order of the sequence.
fn open(question: &CoolQuestion) -> [Unknown; 4] {
    let [room, _] = room::open(question.room, None);
    [room, Unknown::ThicknessError, Unknown::DryDoughDensity, Unknown::CoolFilmMultiplier]
}

fn check(question: &CoolQuestion) -> Result<(), OutOfRange> {
    let within = OutOfRange::check(Question::Cool);
    within(Field::Thickness, Some(in_millimetres(question.thickness)), [1.0, 50.0], "mm")?;
    within(Field::Start, Some(in_celsius(question.from)), [20.0, 250.0], "°C")?;
    within(Field::Room, question.room.map(in_celsius), [0.0, 38.0], "°C")
}

fn limit(row: &'static Threshold) -> TouchLimit {
    TouchLimit {
        what: row.what(),
        at_c: in_celsius(row.temperature()),
        contact_s: row.contact().map(in_seconds),
        source: row.source_of("temperature_c"),
    }
}

/// What is touched.
#[derive(Debug, Clone, Copy)]
enum Touched {
    Piece,
    Tray,
}

/// Minutes of one draw until a limit, of a piece that holds so many times the heat of a dry one.
fn minutes_to(
    question: &CoolQuestion,
    draw: &Draw,
    what: Touched,
    heat_times: f64,
    limit: &TouchLimit,
) -> f64 {
    let room = celsius(room::air(draw, question.room));
    let piece_heat = layer(
        kilograms_per_cubic_metre(draw[Unknown::DryDoughDensity]),
        joules_per_kilogram_kelvin(heat_times * DRY_DOUGH_HEAT),
        question.thickness * draw[Unknown::ThicknessError],
    );
    let (density, heat, millimetre) = sheet(question.tray);
    let tray_heat = layer(
        kilograms_per_cubic_metre(density),
        joules_per_kilogram_kelvin(heat),
        millimetres(millimetre),
    );
    let face = |size: f64, emissivity: f64| {
        Some(Cooled::InRoom {
            size: metres(size),
            emissivity: fraction(emissivity),
            factor: draw[Unknown::CoolFilmMultiplier],
            pressure: pascals(STANDARD_ATMOSPHERE),
        })
    };
    // Area over perimeter of a disc is a quarter of its diameter.
    let size = question.size.map_or(USUAL_SIZE_MM / 1e3, in_metres) / 4.0;
    let dough = face(size, DOUGH_EMISSIVITY);
    let metal = face(TRAY_SIZE, tray_emissivity(question.tray));
    let plate = match (question.on, what) {
        (CoolOn::Rack, Touched::Piece) => Plate { heat: piece_heat, upper: dough, lower: dough },
        (CoolOn::Rack, Touched::Tray) => Plate { heat: tray_heat, upper: metal, lower: metal },
        (CoolOn::Tray, _) => Plate { heat: piece_heat + tray_heat, upper: dough, lower: metal },
    };
    in_minutes(plate.time_to(question.from, celsius(limit.at_c), room))
}

fn sheet(metal: TrayMetal) -> (f64, f64, f64) {
    match metal {
        TrayMetal::Aluminium => ALUMINIUM,
        TrayMetal::Steel => STEEL,
    }
}

fn tray_emissivity(metal: TrayMetal) -> f64 {
    match metal {
        TrayMetal::Aluminium => ALUMINIUM_EMISSIVITY,
        TrayMetal::Steel => STEEL_EMISSIVITY,
    }
}

fn notes(question: &CoolQuestion) -> Vec<String> {
    let mut notes = vec![
        "A piece whose middle is still damp holds about twice the heat of a dry one.".to_owned(),
        "Test with the back of your own hand before a child touches anything.".to_owned(),
    ];
    if question.on == CoolOn::Tray {
        notes.push("Left on the tray, piece and tray cool together; a rack is quicker.".to_owned());
    }
    notes
}

//! The answer, as it is printed and as JSON.

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::band::bands;
use super::counts::{AtOnce, Beside, counts};
use super::helps::helps;
use super::note::LEARNT;
use super::question::{HOT_C, IceQuestion};
use super::scenario::{Outcome, Scenario, food_warms};
use super::wet::still_wet;
use crate::answers::AskError;
use crate::answers::advice::{Help, Note, Unsure, unsure};
use crate::answers::caution::CautionText;
use crate::answers::looks::{Look, Teaching};
use crate::freezing::conditions::Constant;
use crate::freezing::freeze::{Moment, Run, freeze};
use crate::freezing::mesh::{Mesh, Resolution};
use crate::properties::{
    medium::{ConstantProperties, Medium},
    water,
};
use crate::surroundings::freezer::Freezer;
use crate::tables::{Caution, Wall};
use crate::uncertainty::{Band, Verdict, chance, finite_or_null};
use crate::units::{
    Area, HeatTransfer, Time, Volume, celsius, hours, in_celsius, in_fraction, in_hours,
    in_kelvins_apart, in_kilograms, in_metres, in_millilitres, show_duration, show_temperature,
    show_volume,
};

/// The freezer sets the time when its cooling runs without a pause for more
/// than this share of it; every load does while it is warm.
const LIMITED: f64 = 0.25;

/// What makes it likelier by less than this is no help where a time is to be kept (common
/// practice, no source).
const LEAST_RISE: f64 = 0.05;

/// Said where hardly any kitchen is so slow.
const TOO_LONG: &str = "Hardly any kitchen like yours takes so long: look whether the door was \
                        ajar, the freezer is much warmer than said or is defrosting. What is \
                        left is a rough guess.";

/// A block that fits this is a choking hazard, m: 57.1 mm. Source: 16 CFR 1501.4.
const SMALL_PART: f64 = 0.0571;

/// The time at the central inputs; infinite (`null`) when never.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct Nominal {
    /// Hours until solid.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub solid_h: f64,
    /// Hours until the core is at −5 °C.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub ready_h: f64,
}

/// A time at which a look teaches much.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LookAt {
    /// The instant.
    pub at: String,
    /// Hours after filling, and how much it teaches.
    #[serde(flatten)]
    pub look: Look,
}

/// When the blocks are solid, and how sure that is.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct IceAnswer {
    /// Hours from filling until no liquid is left; none with prescribed films.
    pub solid_h: Option<Band>,
    /// Hours from filling until the core is at −5 °C; none with prescribed films.
    pub ready_h: Option<Band>,
    /// At the central inputs.
    pub nominal: Nominal,
    /// Chance of being ready in time: firm to turn out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chance: Option<f64>,
    /// The chance in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// Latest instant to fill for a chance of 0.95; the caller, who has a clock, writes it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fill_by: Option<String>,
    /// Whether the freezer, not the block, sets the time.
    pub freezer_limited: bool,
    /// Mass of one block.
    pub mass_kg: f64,
    /// What would help, the best first.
    pub helps: Vec<Help>,
    /// How many at once are ready in time, the fewest first; only with a time to be ready by.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub counts: Vec<AtOnce>,
    /// What widens the band, the most first.
    pub unsure: Vec<Unsure>,
    /// When to open the door so that the look teaches the diary most; the caller,
    /// who has a clock and a diary, writes them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub looks: Vec<LookAt>,
    /// Words of care.
    pub cautions: Vec<CautionText>,
    /// What else is good to know.
    #[schemars(with = "Vec<String>")]
    pub notes: Vec<Note>,
    /// Whether it is a rough guess: it was still wet when hardly any kitchen's would be, or the
    /// notes of a diary say what none of them does.
    #[serde(skip)]
    pub rough: bool,
    /// Core and air over time at the central inputs, for a chart.
    #[serde(skip)]
    pub history: Vec<Moment>,
    /// The question changed by each of `helps`, without what a diary learnt.
    #[serde(skip)]
    pub remedies: Vec<IceQuestion>,
    /// When to open the door so that the look teaches a diary most.
    #[serde(skip)]
    pub teaching: Teaching,
}

impl IceAnswer {
    /// How long before the blocks are turned out the moulds are filled for a chance of
    /// 0.95: the 95 % point of being ready. None when they may never be.
    pub fn lead(&self) -> Option<Time> {
        self.ready_h.map(|band| band.p95).filter(|h| h.is_finite()).map(hours)
    }
}

/// Answers a question with its band, what would help and what is unsure.
///
/// ```
/// use solidby::{answers::ice::{Block, IceQuestion, answer}, tables, units::hours};
///
/// let mould = tables::mould("fox")?;
/// let block = Block::Shape(mould.shape().clone());
/// let question = IceQuestion { count: 4, by: Some(hours(11.0)), ..IceQuestion::of(block)? };
/// let answer = answer(&question)?;
/// let band = answer.solid_h.unwrap();
/// assert!(band.p05 < band.p50 && band.p50 < band.p95);
/// assert!(answer.chance.unwrap() > 0.5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`AskError`] for a shape, a size, a liquid or a number that cannot be.
pub fn answer(question: &IceQuestion) -> Result<IceAnswer, AskError> {
    question.check()?;
    let unknowns = question.unknowns()?;
    let scenario = question.scenario(unknowns.centre())?;
    let (bands, helps) = rayon::join(|| bands(question, &unknowns), || helps(question));
    let (mut bands, mut helps, mut enough) = (bands?, helps?, true);
    if let Some(wet) = question.wet_for {
        // Nothing of what is filled already can be changed.
        helps.clear();
        (bands, enough) = still_wet(bands, in_hours(wet));
    }
    let central = &bands.central;
    let freezer_limited = central.limited > LIMITED;
    let chance = question.by.map(|by| chance(&bands.ready_h, in_hours(by)));
    let mut notes = notes(question, &scenario, central, freezer_limited)?;
    if !enough {
        notes.insert(0, Note::first(TOO_LONG.to_owned()));
    }
    let beside = question.by.map(|by| Beside::of(&bands.ready_h, &bands.correction, by));
    let (helps, remedies) = chances(question, beside.as_ref(), chance, helps)?;
    let counts = match (&beside, chance, question.wet_for) {
        (Some(beside), Some(chance), None) => counts(question, chance, beside)?,
        _ => Vec::new(),
    };
    Ok(IceAnswer {
        solid_h: Band::of(&bands.solid_h),
        ready_h: Band::of(&bands.ready_h),
        nominal: Nominal { solid_h: central.solid_h, ready_h: central.ready_h },
        chance,
        verdict: chance.map(Verdict::from),
        freezer_limited,
        mass_kg: in_kilograms(scenario.mass()),
        helps,
        counts,
        rough: !enough || question.posterior.trouble().is_some(),
        unsure: unsure(&unknowns, &bands.draws, &bands.solid_h),
        cautions: cautions(question, &scenario, central),
        notes,
        history: central.history.clone(),
        remedies,
        teaching: Teaching::of(&question.axes(&unknowns), &bands.draws, &LEARNT, &bands.solid_h),
        ..IceAnswer::default()
    })
}

/// Each help with the chance that it gives, where that is asked and not sure already, and
/// the question changed by it.
fn chances(
    question: &IceQuestion,
    beside: Option<&Beside<'_>>,
    now: Option<f64>,
    helps: Vec<(String, f64, IceQuestion)>,
) -> Result<(Vec<Help>, Vec<IceQuestion>), AskError> {
    let beside = beside.filter(|_| now.is_some_and(|now| Verdict::from(now) != Verdict::Sure));
    let told = helps.into_par_iter().map(|(change, saves_h, changed)| {
        let as_learnt = IceQuestion { posterior: question.posterior.clone(), ..changed.clone() };
        let chance = beside.map(|beside| beside.chance(&as_learnt)).transpose()?;
        Ok((Help { change, saves_h, chance }, changed))
    });
    let told: Vec<(Help, IceQuestion)> = told.collect::<Result<_, AskError>>()?;
    let worth_it = |chance: f64| now.is_none_or(|now| chance - now >= LEAST_RISE);
    Ok(told.into_iter().filter(|(help, _)| help.chance.is_none_or(worth_it)).unzip())
}

fn cautions(question: &IceQuestion, scenario: &Scenario, central: &Outcome) -> Vec<CautionText> {
    let longest = in_metres(scenario.body.depth()).max(scenario.body.across());
    let mut cautions = Vec::new();
    if in_celsius(scenario.start) >= HOT_C {
        cautions.push(Caution::hot_water());
    } else if food_warms(scenario, central) {
        cautions.push(Caution::food_warms());
    }
    if question.wall == Wall::glass() {
        cautions.push(Caution::glass_moulds());
    }
    if longest < SMALL_PART {
        cautions.push(Caution::small_ice());
    }
    cautions.extend([Caution::sticky_cold(), Caution::clean_moulds()]);
    cautions.into_iter().map(CautionText::of).collect()
}

fn notes(
    question: &IceQuestion,
    scenario: &Scenario,
    central: &Outcome,
    limited: bool,
) -> Result<Vec<Note>, AskError> {
    let mut first: Vec<String> = no_room(question, scenario).into_iter().collect();
    let mut notes: Vec<String> = Vec::new();
    let degrees = |c: f64| show_temperature(celsius(c), question.locale.units);
    if !central.solid_h.is_finite() {
        first.push(too_salty(question, scenario)?.unwrap_or_else(|| {
            "At the likeliest inputs it is not solid within ten days.".to_owned()
        }));
    }
    if limited {
        let freezer = Freezer { power: None, ..scenario.freezer };
        let free = Scenario { freezer, ..scenario.clone() }.run(Resolution::Coarse, false)?;
        let later = central.solid_h - free.solid_h;
        notes.push(if later.is_finite() {
            format!("The freezer, not the block, sets the time: with power to spare it would be {} sooner.", show_duration(hours(later)))
        } else {
            "The freezer has not the power for so much water at once.".to_owned()
        });
    }
    if food_warms(scenario, central) {
        let warm = degrees(central.warmest_food_c);
        let cool =
            if in_celsius(scenario.start) >= HOT_C { "let it cool" } else { "chill the water" };
        notes.push(format!("Food already there may warm to {warm}: freeze fewer at once, {cool} first, or take two evenings."));
    }
    if scenario.body.is_closed() {
        notes.push("A closed ball is filled to nine tenths, so that the ice has room.".to_owned());
    } else if scenario.body.fill() > 0.92 * scenario.body.depth() {
        notes.push(
            "Filled so high, the ice will stand above the rim: it grows by a tenth of its depth."
                .to_owned(),
        );
    }
    if in_fraction(question.salt) > 0.0 {
        notes.push(format!("Salted or coloured water freezes over a range and stays soft in the middle: solid here means a core at {} and four fifths ice.", degrees(-10.0)));
    }
    if in_celsius(scenario.freezer.air) > -8.0 {
        notes.push(format!(
            "In air warmer than {} the core is slow to reach {}, and blocks turn out badly.",
            degrees(-8.0),
            degrees(-5.0)
        ));
    }
    Ok(first.into_iter().map(Note::first).chain(notes.into_iter().map(Note::from)).collect())
}

/// That such a freezer has no room for so many at once, on its shelves or at all.
fn no_room(question: &IceQuestion, scenario: &Scenario) -> Option<String> {
    let (freezer, body) = (question.freezer, &scenario.body);
    let area = body.volume() / body.fill();
    let room = |shelf: Area, volume: Volume| {
        (shelf / area).value.min((volume / body.volume()).value).floor().max(1.0)
    };
    let (shelf, volume) = (freezer.shelf(), freezer.volume());
    let [usual, most] =
        [room(shelf.typical, volume.typical), room(shelf.high, volume.high)].map(|n| n as u32);
    (question.count > most).then(|| {
        let water = show_volume(f64::from(question.count) * body.volume(), question.locale.units);
        format!("{} blocks, {water} of water, do not go in at once: such a freezer usually has room for {usual} side by side, hardly for more than {most}.", question.count)
    })
}

/// That salted water gets hard only in colder air, where that is why it is never solid.
fn too_salty(question: &IceQuestion, scenario: &Scenario) -> Result<Option<String>, AskError> {
    let solid_c =
        Medium::solution(water::density(scenario.start), in_kelvins_apart(scenario.lowering))?
            .core_solid_c();
    let show = |c: f64| show_temperature(celsius(c), question.locale.units);
    let warmer = in_fraction(question.salt) > 0.0 && solid_c <= in_celsius(scenario.freezer.air);
    Ok(warmer.then(|| {
        format!("Water with so much salt is hard at {} only, and this freezer is at {}: leave salt out, or take a colder freezer.", show(solid_c), show(in_celsius(scenario.freezer.air)))
    }))
}

/// Answers with prescribed constant films and air: no wall, radiation,
/// evaporation or limit of the freezer, and no band.
///
/// The block is exactly as given, full unless a fill is given, of the constant
/// properties and density of [`ConstantProperties::reference`]: this mode is
/// there to check the solver against published rows.
///
/// # Errors
/// [`AskError`] for a shape or size that cannot be.
pub fn answer_in_constant_films(
    question: &IceQuestion,
    films: [HeatTransfer; 3],
    resolution: Resolution,
) -> Result<IceAnswer, AskError> {
    question.check()?;
    let scenario = question.exact()?;
    let mesh = Mesh::of(&scenario.body, resolution, 1.0);
    let properties = ConstantProperties::reference();
    let medium = Medium::constant(&properties)?;
    let mut around = Constant::new(films, scenario.freezer.air);
    let run = Run { history: Some(0), ..Run::thorough() };
    let frozen = freeze(&mesh, &medium, scenario.start, &mut around, &run);
    let h = |time: Option<Time>| time.map_or(f64::INFINITY, in_hours);
    let volume = in_millilitres(scenario.body.volume());
    Ok(IceAnswer {
        nominal: Nominal { solid_h: h(frozen.solid), ready_h: h(frozen.ready) },
        mass_kg: in_kilograms(properties.density * scenario.body.volume()),
        notes: vec![format!(
            "Prescribed conditions: {volume:.0} mL of the reference medium (917 kg/m³ throughout), constant films and air; walls, radiation, evaporation and the freezer's limits are off."
        ).into()],
        history: frozen.history,
        ..IceAnswer::default()
    })
}

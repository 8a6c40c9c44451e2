//! The planner's durations from the physics of this crate.

use std::{
    cell::{Cell, RefCell},
    collections::{HashMap, hash_map::Entry},
    ops::Range,
    rc::Rc,
};

use super::{
    curves::{drying_curve, freezing_curve},
    durations::{
        Coats, Drying, DurationError, Durations, FirmDry, Heat, KITCHENS, Keeping, Loaded,
        Outcomes, Process, REST_H,
    },
    schedule::Curve,
};
use crate::planfile::{Finish, Freezer, Mould, Ornament, Plan, Room};
use crate::{
    answers::{
        cool::{self, CoolOn, CoolQuestion, TrayMetal},
        dough::{
            self, Dough, DoughQuestion, Method, Risk, Stretches, WeighGrams, coat,
            firm_and_dry_hours,
        },
        ice::{Block, FreezerTold, IceQuestion, Numbers, Outcome, likeliest, together},
        thaw::{self, ThawQuestion},
    },
    drying::{
        recipe::{Amounts, Recipe},
        solver::{self, Faces},
    },
    surroundings::cool_box::{FILLED, USUAL_LITRES},
    tables::{self, Named},
    uncertainty::{Posterior, walk},
    units::{
        Length, Locale, ThermodynamicTemperature, Time, Volume, celsius, cubic_metres, fraction,
        hours, in_fraction, in_grams, in_hours, in_metres, litres,
    },
};

/// Dough that stays on the board, dries out or is spoilt, as a share of what is
/// cut (common practice, no source).
const OFFCUTS: f64 = 0.15;

/// Blocks come out of the freezer as cold as its usual air, °C.
/// Source: Commission Delegated Regulation (EU) 2019/2016, four-star compartments.
const FREEZER_C: f64 = -18.0;

/// The work of an answer; that of a freezing grows by one with each hour until it is over.
const USUAL_WORK: u64 = 10;

/// A freezing that is never over counts as one of so many hours.
const LONGEST_H: f64 = 240.0;

/// The work of a freezing.
fn work_of(outcomes: &Outcomes) -> u64 {
    USUAL_WORK + outcomes.point(0.5).min(LONGEST_H) as u64
}

/// The physics, with a memory: a plan asks the same question many times while
/// ways out are tried.
pub struct Physics {
    /// In which kitchens of the sequence a plan is tried.
    kitchens: Range<usize>,
    dried: RefCell<HashMap<String, Rc<Vec<[f64; 2]>>>>,
    together: RefCell<HashMap<String, Vec<Vec<f64>>>>,
    frozen: RefCell<HashMap<String, Numbers>>,
    kept: RefCell<HashMap<String, Keeping>>,
    cooled: RefCell<HashMap<String, f64>>,
    drawn: RefCell<HashMap<String, Curve>>,
    worked_out: Cell<u64>,
    taught: Taught,
}

/// What a diary has learnt of a plan's freezers, ovens and doughs.
#[derive(Default)]
pub struct Taught {
    freezers: HashMap<String, (Posterior, FreezerTold)>,
    doughs: HashMap<(usize, &'static str), Posterior>,
}

impl Taught {
    /// What is known of a freezer of the plan, and of its setting.
    pub fn freezer(&mut self, name: &str, posterior: Posterior, told: FreezerTold) {
        self.freezers.insert(name.to_owned(), (posterior, told));
    }

    /// What is known of a dough in an oven of the plan, by its position, and in its room.
    pub fn dough(&mut self, oven: usize, recipe: &'static tables::Recipe, posterior: Posterior) {
        self.doughs.insert((oven, recipe.name()), posterior);
    }

    fn ice(&self, freezer: &Freezer, question: IceQuestion) -> IceQuestion {
        let Some((posterior, told)) = self.freezers.get(&freezer.name) else { return question };
        IceQuestion { posterior: posterior.clone(), ..told.set(&question) }
    }

    /// Of the ornament's own oven; a dough dried in the room is known from the first.
    fn drying(&self, drying: &Drying<'_>, question: DoughQuestion) -> DoughQuestion {
        let oven = drying.ornament.method.oven().map_or(0, |(oven, _)| oven);
        let known = self.doughs.get(&(oven, drying.ornament.recipe.name()));
        DoughQuestion { posterior: known.cloned().unwrap_or_default(), ..question }
    }
}

impl Default for Physics {
    fn default() -> Self {
        Self::taught(Taught::default())
    }
}

impl Physics {
    /// With what a diary has learnt.
    pub fn taught(taught: Taught) -> Self {
        Self {
            kitchens: 0..KITCHENS,
            dried: RefCell::default(),
            together: RefCell::default(),
            frozen: RefCell::default(),
            kept: RefCell::default(),
            cooled: RefCell::default(),
            drawn: RefCell::default(),
            worked_out: Cell::default(),
            taught,
        }
    }

    /// The same with other kitchens of the sequence to try a plan in.
    pub fn in_kitchens(self, kitchens: Range<usize>) -> Self {
        Self { kitchens, ..self }
    }

    /// All that matters to blocks in a freezer: not how many are owned or held, nor where. A name
    /// matters where a diary knows it.
    fn freezing_of(&self, mould: &Mould, freezer: &Freezer) -> String {
        let Freezer { name, kind, air, rated, .. } = freezer;
        let known = self.taught.freezers.get_key_value(name).map(|(name, _)| name);
        format!("{} {known:?} {} {air:?} {rated:?}", of_mould(mould), kind.name())
    }
}

impl Physics {
    /// The answer to a question asked before, or `compute`'s.
    fn recall<T: Clone>(
        &self,
        memory: &RefCell<HashMap<String, T>>,
        question: String,
        compute: impl FnOnce() -> Result<T, DurationError>,
    ) -> Result<T, DurationError> {
        if let Some(known) = memory.borrow().get(&question) {
            return Ok(known.clone());
        }
        let answer = compute()?;
        self.worked(USUAL_WORK);
        memory.borrow_mut().insert(question, answer.clone());
        Ok(answer)
    }

    fn worked(&self, work: u64) {
        self.worked_out.set(self.worked_out.get() + work);
    }

    /// When pieces are firm and dry, in hours, in each run.
    fn drying(&self, drying: &Drying<'_>) -> Result<Rc<Vec<[f64; 2]>>, DurationError> {
        // Not when it is given, to whom nor how finished: that changes nothing here. An oven
        // matters where a diary knows it.
        let question = question_of(drying);
        let oven = drying.ornament.method.oven().map(|(oven, _)| oven);
        self.recall(&self.dried, format!("{oven:?} {question:?}"), || {
            let question = self.taught.drying(drying, question);
            let runs = firm_and_dry_hours(&question, self.kitchens.end.next_multiple_of(KITCHENS))?;
            Ok(Rc::new(runs.into_iter().map(|(firm, dry)| [firm, dry]).collect()))
        })
    }
}

impl Durations for Physics {
    fn freeze(
        &self,
        mould: &Mould,
        freezer: &Freezer,
        count: u32,
    ) -> Result<Outcomes, DurationError> {
        let mut frozen = self.frozen.borrow_mut();
        let numbers = match frozen.entry(self.freezing_of(mould, freezer)) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => {
                let question = self.taught.ice(freezer, ice_question(mould, freezer, count)?);
                self.worked(USUAL_WORK);
                new.insert(Numbers::of(&question)?)
            }
        };
        let known = numbers.knows(count);
        let outcomes = Outcomes::new(numbers.ready_h(count)?.to_vec());
        if !known {
            self.worked(work_of(&outcomes));
        }
        Ok(outcomes)
    }

    fn freeze_together(
        &self,
        freezer: &Freezer,
        loads: &[Loaded<'_>],
    ) -> Result<Vec<Vec<f64>>, DurationError> {
        let first = loads.first().map_or(0.0, |load| load.at_h);
        let questions: Vec<(IceQuestion, Time)> = loads
            .iter()
            .map(|load| {
                let question = ice_question(load.mould, freezer, load.count)?;
                Ok((self.taught.ice(freezer, question), hours(load.at_h - first)))
            })
            .collect::<Result<_, DurationError>>()?;
        let Freezer { name, kind, air, rated, .. } = freezer;
        let asked: Vec<String> = loads
            .iter()
            .map(|load| format!("{} {} {:.4}", of_mould(load.mould), load.count, load.at_h - first))
            .collect();
        let asked = format!("{name} {} {air:?} {rated:?} {}", kind.name(), asked.join(" "));
        self.recall(&self.together, asked, || {
            let outcomes = together(&questions, self.kitchens.clone())?;
            let ready = |load: Vec<Outcome>| load.into_iter().map(|one| one.ready_h).collect();
            let loads: Vec<Vec<f64>> = outcomes.into_iter().map(ready).collect();
            let work = loads.iter().map(|hours| work_of(&Outcomes::new(hours.clone())));
            self.worked(work.sum());
            Ok(loads)
        })
    }

    fn keeping(&self, mould: &Mould, count: u32, room: Room) -> Result<Keeping, DurationError> {
        let count = in_one_box(mould, count);
        self.recall(&self.kept, format!("{} {count} {room:?}", of_mould(mould)), || {
            let mut question = ThawQuestion {
                locale: Locale::default(),
                block: block(mould),
                fill: mould.fill.filter(|_| mould.shape.is_some()),
                count,
                start: celsius(FREEZER_C),
                room: Some(room.temperature),
                humidity: Some(room.humidity),
                keeping: thaw::Keeping::Open,
            };
            let open = thaw::answer(&question)?;
            question.keeping = thaw::Keeping::foam_box();
            let boxed = thaw::answer(&question)?;
            // Half the time to half is about a quarter melted: still a block to paint on.
            let [table_h, cool_box_h] = [&open, &boxed].map(|it| 0.5 * it.half_h.p05);
            Ok(Keeping { temper_h: open.wet_h.p95, table_h, cool_box_h })
        })
    }

    fn dry(&self, drying: &Drying<'_>) -> Result<FirmDry, DurationError> {
        let runs = self.drying(drying)?;
        let of = |state: usize| Outcomes::new(runs.iter().map(|run| run[state]).collect());
        Ok(FirmDry { firm: of(0), dry: of(1) })
    }

    fn dry_in_kitchens(&self, drying: &Drying<'_>) -> Result<Vec<[f64; 2]>, DurationError> {
        let runs = self.drying(drying)?;
        // A dough has nothing to do with a freezer: another walk through the sequence.
        let own = |kitchen: usize| walk(kitchen, 101, 37);
        Ok(self.kitchens.clone().filter_map(|kitchen| runs.get(own(kitchen)).copied()).collect())
    }

    fn weights(&self, drying: &Drying<'_>) -> Option<WeighGrams> {
        dough::weights(&self.taught.drying(drying, question_of(drying))).ok()
    }

    fn risks(&self, plan: &Plan, drying: &Drying<'_>) -> Vec<Risk> {
        let question = DoughQuestion { units: plan.units, ..question_of(drying) };
        dough::oven_risks(&self.taught.drying(drying, question)).unwrap_or_default()
    }

    fn course(&self, plan: &Plan, process: &Process) -> Option<Curve> {
        match process {
            Process::Freezing { mould, freezer, count, .. } => {
                let asked = self.freezing_of(mould, freezer);
                let curve = || {
                    let question = ice_question(mould, freezer, *count)?;
                    let likeliest = likeliest(&self.taught.ice(freezer, question))?;
                    Ok(freezing_curve(&likeliest, plan.units))
                };
                self.recall(&self.drawn, format!("{asked} {count} {:?}", plan.units), curve).ok()
            }
            Process::Drying { ornament, pieces, heat, part } => {
                let question = format!("{process:?} {:?} {:?}", plan.room, plan.units);
                let drying = Drying { ornament, pieces: *pieces, room: plan.room, heat: *heat };
                let curve = || {
                    let question = self.taught.drying(&drying, question_of(&drying));
                    drying_curve(&question, *part, plan.units)
                };
                self.recall(&self.drawn, question, curve).ok()
            }
        }
    }

    fn worked_out(&self) -> u64 {
        self.worked_out.get()
    }

    fn cool(
        &self,
        ornament: &Ornament,
        from: ThermodynamicTemperature,
        room: Room,
    ) -> Result<f64, DurationError> {
        let question = CoolQuestion {
            thickness: ornament.thickness,
            size: Some(ornament.across),
            from,
            room: Some(room.temperature),
            on: CoolOn::Rack,
            tray: TrayMetal::Aluminium,
        };
        self.recall(&self.cooled, format!("{question:?}"), || {
            let answer = cool::answer(&question)?;
            // What comes out of the oven is firm at best, and its middle may be damp.
            Ok(answer.damp_piece_child_min.max(answer.tray_child_min) / 60.0)
        })
    }

    fn coats(&self, finish: Finish, room: Room) -> Coats {
        let finish = match finish {
            Finish::Paint => tables::Finish::paint(),
            Finish::Photo => tables::Finish::photo(),
            Finish::Seal => tables::Finish::seal(),
            Finish::Wrap => return Coats::DRY,
        };
        let air = solver::Room { air: room.temperature, humidity: room.humidity };
        let time = coat(finish, &air, room.altitude);
        Coats {
            count: finish.usual_coats(),
            again_h: in_hours(time.until_again()),
            next_h: in_hours(time.until_next()),
        }
    }

    fn dough(&self, ornament: &Ornament, count: u32) -> Option<Amounts> {
        Some(amounts(ornament, count))
    }

    fn batches(&self, ornament: &Ornament, count: u32) -> u32 {
        let flour = amounts(ornament, count).flour;
        let batches = in_grams(flour) / in_grams(ornament.recipe.flour());
        (batches - 1e-9).ceil().max(1.0) as u32
    }
}

/// All of a mould that the physics knows.
fn of_mould(mould: &Mould) -> String {
    let Mould { shape, measured, fill, volume, wall, stand, covered, .. } = mould;
    let stand = stand.map(Named::name);
    format!("{shape:?} {measured:?} {fill:?} {volume:?} {} {stand:?} {covered}", wall.name())
}

/// How many of so many blocks surely share a cool box: what does not fit one of usual size goes
/// into several, none of them less than half full.
fn in_one_box(mould: &Mould, count: u32) -> u32 {
    let half = litres(0.5 * USUAL_LITRES / FILLED);
    let fit = in_fraction(half / mould.volume).floor().max(1.0) as u32;
    count.min(fit)
}

/// The block of a mould of the plan, as the ice room asks for it.
fn block(mould: &Mould) -> Block {
    match (&mould.shape, mould.fill) {
        (Some(shape), _) => Block::Shape(shape.clone()),
        (None, Some(depth)) => Block::Upright(mould.volume, depth),
        (None, None) => Block::Volume(mould.volume),
    }
}

/// The question of the ice room for a mould of the plan.
pub(super) fn ice_question(
    mould: &Mould,
    freezer: &Freezer,
    count: u32,
) -> Result<IceQuestion, DurationError> {
    Ok(IceQuestion {
        measured: mould.measured,
        fill: mould.fill.filter(|_| mould.shape.is_some()),
        count,
        wall: mould.wall,
        stand: mould.stand,
        covered: mould.covered,
        freezer: freezer.kind,
        air: freezer.air,
        rated: freezer.rated,
        ..IceQuestion::of(block(mould))?
    })
}

/// The question of the dough room for a piece of the plan.
pub fn question_of(drying: &Drying<'_>) -> DoughQuestion {
    let (method, stretches) = match drying.heat {
        Heat::Air => (Method::Air, None),
        Heat::Oven { kind, at, lasts, times } => {
            let stretches = Stretches { lasts, rest: hours(REST_H), number: times };
            (Method::Oven(at, kind), Some(stretches))
        }
    };
    let Ornament { thickness, recipe, across, opening, .. } = drying.ornament;
    DoughQuestion {
        size: Some(*across),
        opening: *opening,
        count: drying.pieces,
        room: Some(drying.room.temperature),
        humidity: Some(drying.room.humidity),
        altitude: drying.room.altitude,
        // The plan's pieces lie on a wire rack, in the oven and out of it.
        faces: Some(Faces::Two),
        stretches,
        ..DoughQuestion::of(*thickness, Dough::Named(recipe), method)
    }
}

fn amounts(ornament: &Ornament, count: u32) -> Amounts {
    let each = disc(ornament.across, ornament.thickness);
    Recipe::from(ornament.recipe).amounts(each, count, fraction(OFFCUTS))
}

fn disc(across: Length, thickness: Length) -> Volume {
    let area = std::f64::consts::PI / 4.0 * in_metres(across).powi(2);
    cubic_metres(area * in_metres(thickness))
}

#[cfg(test)]
#[path = "physics_tests.rs"]
mod tests;

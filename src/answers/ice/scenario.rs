//! One kitchen in which everything is fixed, and what comes of it.

use std::borrow::Cow;

use rayon::prelude::*;

use crate::answers::AskError;
use crate::freezing::freeze::{Frozen, Load, Moment, Run, freeze, freeze_each, freeze_together};
use crate::freezing::mesh::{Mesh, Resolution};
use crate::freezing::pattern::Pattern;
use crate::properties::{ice, medium::Medium, water};
use crate::shape::Body;
use crate::surroundings::freezer::{FOOD_LIMIT_C, Freezer};
use crate::surroundings::standing::{InFreezer, Standing};
use crate::units::{
    Mass, MassDensity, TemperatureInterval, ThermodynamicTemperature, Time, hours, in_celsius,
    in_cubic_metres, in_hours, in_kelvins_apart, kilograms, kilograms_per_cubic_metre, minutes,
};

/// A block still not solid after this long never is, for an answer.
const LIMIT_DAYS: f64 = 10.0;

/// Hours as an answer has them: infinite beyond the limit.
pub(super) fn within_limit(hours: f64) -> f64 {
    if hours <= 24.0 * LIMIT_DAYS { hours } else { f64::INFINITY }
}

/// A run is given up after so many cells times stages: 256 coarse runs and the
/// finer ones then take some ten seconds. A block ordinarily takes a hundredth of
/// it; 500 at once, for days in a household's freezer, up to half.
fn most_work(resolution: Resolution) -> f64 {
    match resolution {
        Resolution::Coarse => 5e6,
        Resolution::Working | Resolution::Converged => 4e8,
    }
}

/// Everything that decides when a block is solid.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// The mould, filled.
    pub body: Body,
    /// How it stands.
    pub standing: Standing,
    /// The freezer.
    pub freezer: Freezer,
    /// Water as poured.
    pub start: ThermodynamicTemperature,
    /// How far it cools below its freezing point before the first ice.
    pub supercooling: TemperatureInterval,
    /// Conductivity of ice, times the formula used.
    pub conductivity_multiplier: f64,
    /// How far solutes lower the freezing point.
    pub lowering: TemperatureInterval,
    /// How many times as long everything takes, by what nothing of this tells.
    pub slower: f64,
}

/// What comes of a scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Hours until solid; infinite when never.
    pub solid_h: f64,
    /// Hours until firm to turn out; infinite when never.
    pub ready_h: f64,
    /// Share of the time to solid in which the cooling ran without a pause.
    pub limited: f64,
    /// Warmest that the food already there became, °C.
    pub warmest_food_c: f64,
    /// Heat balance, relative.
    pub residual: f64,
    /// Core and air over time, empty unless asked for.
    pub history: Vec<Moment>,
}

impl Scenario {
    /// Mass of the water: an open mould holds its volume of water as poured, a
    /// closed one no more than its ice will fill.
    pub fn mass(&self) -> Mass {
        let density = if self.body.is_closed() {
            ice::DENSITY_AT_FREEZING
        } else {
            water::density_si(in_celsius(self.start))
        };
        kilograms(density * in_cubic_metres(self.body.volume()))
    }

    /// Freezes it.
    ///
    /// # Errors
    /// [`AskError::Medium`] for a solution that never gets firm,
    /// [`AskError::TooMuchWork`] for a block too thin for its width.
    pub fn run(&self, resolution: Resolution, history: bool) -> Result<Outcome, AskError> {
        let pattern = Pattern::of(&self.body, resolution);
        let period = match resolution {
            Resolution::Coarse => minutes(6.0),
            Resolution::Working | Resolution::Converged => minutes(2.0),
        };
        self.run_on(&pattern, period, history)
    }

    /// Freezes it on the grid of a family of shapes, renewing the films every `period`.
    ///
    /// # Errors
    /// As [`Scenario::run`].
    pub fn run_on(
        &self,
        pattern: &Pattern,
        period: Time,
        history: bool,
    ) -> Result<Outcome, AskError> {
        let block = self.block(pattern)?;
        let mut around = InFreezer::new(&self.freezer, [(&self.body, &self.standing)]);
        let most_work = most_work(pattern.resolution());
        let history = history.then_some(0);
        let run = Run { limit: hours(24.0 * LIMIT_DAYS), period, history, most_work };
        let frozen = freeze(&block.mesh, &block.medium, self.start, &mut around, &run);
        self.outcome(frozen, &block, &around, most_work)
    }

    /// The water in its mould, cut up.
    fn block(&self, pattern: &Pattern) -> Result<Block, AskError> {
        // Ice takes 9 % more room; on average over the freezing half of it has risen.
        let closed = self.body.is_closed();
        let stretch = if closed { 1.0 } else { 0.5 * (1.0 + ice::EXPANSION) };
        let mesh = pattern.mesh(&self.body, stretch);
        let density: MassDensity =
            kilograms_per_cubic_metre(self.mass().value / mesh.total_volume());
        let medium = Medium::solution(density, in_kelvins_apart(self.lowering))?
            .frozen_conductivity_times(self.conductivity_multiplier)?;
        Ok(Block { mesh, medium })
    }

    fn outcome(
        &self,
        frozen: Frozen,
        block: &Block,
        around: &InFreezer,
        most_work: f64,
    ) -> Result<Outcome, AskError> {
        if frozen.work > most_work {
            return Err(AskError::TooMuchWork { cells: block.mesh.cells(), most: most_work });
        }
        let medium = &block.medium;
        let delay = self.wait_for_first_ice(medium) * self.slower;
        // Nothing gets colder than the mean air, where the kernel's surface, which takes
        // brine for ice, might.
        let reached = medium.core_solid_c() > in_celsius(self.freezer.air);
        let after = |time: Option<Time>| {
            time.filter(|_| reached).map_or(f64::INFINITY, |t| within_limit(in_hours(t) * delay))
        };
        let solid_h = after(frozen.solid);
        let without_trouble_h = solid_h / self.slower;
        Ok(Outcome {
            solid_h,
            ready_h: after(frozen.ready),
            limited: around.air.limited / 3600.0 / without_trouble_h.min(around.air.followed_h()),
            warmest_food_c: around.air.warmest_food_c,
            residual: frozen.residual,
            history: frozen.history.iter().map(|m| Moment { time: m.time * delay, ..*m }).collect(),
        })
    }

    /// Factor on the time for water that cools d kelvins below its freezing
    /// point first: the heat c d goes at a smaller difference to the air.
    ///
    /// With lumped cooling at the same conductance the share of heat c d/(c ΔT + L)
    /// takes ln(D/(D − d)) D/d times as long, D = T_f − T_air. The first ice
    /// comes at the latest 1 K above the air.
    fn wait_for_first_ice(&self, medium: &Medium) -> f64 {
        let below = (medium.freezing_c() - in_celsius(self.freezer.air)).max(0.1);
        let supercooled = in_kelvins_apart(self.supercooling).clamp(0.0, (below - 1.0).max(0.0));
        if supercooled < 1e-6 {
            return 1.0;
        }
        let heat = ice::LATENT_HEAT + water::enthalpy_si(in_celsius(self.start));
        let share = 4220.0 * supercooled / heat;
        let slower = (below / (below - supercooled)).ln() * below / supercooled;
        1.0 + share * (slower - 1.0)
    }
}

/// A block as the solver sees it.
struct Block {
    mesh: Mesh,
    medium: Medium,
}

impl Block {
    fn load(&self, start: ThermodynamicTemperature, since: Time) -> Load<'_> {
        Load { mesh: &self.mesh, medium: &self.medium, start, since }
    }
}

/// Freezes `share` of some at a time on each thread, those of one shape beside each other, since
/// they go side by side: what comes of each, in the order of their shapes as given.
///
/// # Errors
/// That of the first share that has one.
pub(super) fn in_shares<T: Send>(
    shapes: &[f64],
    share: usize,
    freeze: impl Fn(&[usize]) -> Result<Vec<T>, AskError> + Sync + Send,
) -> Result<Vec<T>, AskError> {
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by(|a, b| shapes[*a].total_cmp(&shapes[*b]));
    let shares: Vec<Vec<T>> =
        order.par_chunks(share).map(freeze).collect::<Result<_, AskError>>()?;
    let mut all: Vec<(usize, T)> = order.into_iter().zip(shares.into_iter().flatten()).collect();
    all.sort_by_key(|(number, _)| *number);
    Ok(all.into_iter().map(|(_, one)| one).collect())
}

/// Freezes many scenarios, each on its grid and in a freezer of its own: as
/// [`Scenario::run_on`] does one after the other, but side by side. The history of one of them is
/// kept.
///
/// # Errors
/// As [`Scenario::run`].
pub fn run_each(
    scenarios: &[(Scenario, Cow<'_, Pattern>)],
    period: Time,
    history: Option<usize>,
) -> Result<Vec<Outcome>, AskError> {
    let Some((_, pattern)) = scenarios.first() else { return Ok(Vec::new()) };
    let blocks: Vec<Block> = scenarios
        .iter()
        .map(|(scenario, pattern)| scenario.block(pattern))
        .collect::<Result<_, AskError>>()?;
    let mut around: Vec<InFreezer> = scenarios
        .iter()
        .map(|(of, _)| InFreezer::new(&of.freezer, [(&of.body, &of.standing)]))
        .collect();
    let loads: Vec<Load<'_>> = blocks
        .iter()
        .zip(scenarios)
        .map(|(block, (scenario, _))| block.load(scenario.start, hours(0.0)))
        .collect();
    let most_work = most_work(pattern.resolution());
    let run = Run { limit: hours(24.0 * LIMIT_DAYS), period, history, most_work };
    let frozen = freeze_each(&loads, &mut around, &run);
    let all = frozen.into_iter().zip(&blocks).zip(&around).zip(scenarios);
    all.map(|(((frozen, block), around), (scenario, _))| {
        scenario.outcome(frozen, block, around, most_work)
    })
    .collect()
}

/// A load of a plan: its blocks, their grid, and when it goes in.
pub(super) type Filled<'a> = (Scenario, Cow<'a, Pattern>, Time);

/// Freezes several loads in one freezer, in each of some kitchens, on a coarse grid; each goes in
/// at its time, the same in all of them, and its hours count from there. They share the
/// freezer's air and its power, so a warm load keeps its neighbours waiting; a load is as many
/// blocks as its standing counts. The films are renewed every `period`.
///
/// # Errors
/// As [`Scenario::run`].
pub(super) fn run_together(
    kitchens: &[(Freezer, Vec<Filled<'_>>)],
    period: Time,
) -> Result<Vec<Vec<Outcome>>, AskError> {
    let cut = |(_, loads): &(Freezer, Vec<Filled<'_>>)| {
        loads.iter().map(|(scenario, grid, _)| scenario.block(grid)).collect()
    };
    let blocks: Vec<Vec<Block>> = kitchens.iter().map(cut).collect::<Result<_, AskError>>()?;
    let around = |(freezer, loads): &(Freezer, Vec<Filled<'_>>)| {
        let places = loads.iter().map(|(scenario, ..)| (&scenario.body, &scenario.standing));
        InFreezer::new(freezer, places)
    };
    let mut around: Vec<InFreezer> = kitchens.iter().map(around).collect();
    let most_work = most_work(Resolution::Coarse);
    let run = Run { limit: hours(24.0 * LIMIT_DAYS), period, history: None, most_work };
    let into = blocks.iter().zip(kitchens).map(|(blocks, (_, loads))| {
        let each = blocks.iter().zip(loads);
        each.map(|(block, (scenario, _, since))| block.load(scenario.start, *since)).collect()
    });
    let into: Vec<Vec<Load<'_>>> = into.collect();
    let frozen = freeze_together(&into, &mut around, &run);
    let all = frozen.into_iter().zip(&blocks).zip(&around).zip(kitchens);
    all.map(|(((frozen, blocks), around), (_, loads))| {
        let each = frozen.into_iter().zip(blocks).zip(loads);
        each.map(|((frozen, block), (of, ..))| of.outcome(frozen, block, around, most_work))
            .collect()
    })
    .collect()
}

/// Whether food that was cold enough has warmed above −12 °C.
pub(super) fn food_warms(scenario: &Scenario, outcome: &Outcome) -> bool {
    in_celsius(scenario.freezer.air) < FOOD_LIMIT_C && outcome.warmest_food_c > FOOD_LIMIT_C
}

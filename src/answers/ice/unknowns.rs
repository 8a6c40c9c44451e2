//! What a question leaves open, and how a draw of it makes a scenario.

use std::borrow::Cow;

use super::any_mould::any_mould;
use super::question::{Block, IceQuestion, box_of};
use super::scenario::{Outcome, Scenario};
use crate::answers::AskError;
use crate::freezing::pattern::Pattern;
use crate::properties::medium::salt_lowering;
use crate::shape::{Body, Shape};
use crate::surroundings::freezer::{Defrosting, Freezer, power_of_capacity};
use crate::surroundings::standing::{Neighbours, Standing, Under};
use crate::tables::{self, AirMoved, Behind, Question, TableError, Unknown};
use crate::uncertainty::{Axis, Draw, Posterior, Unknowns};
use crate::units::{Ratio, Time, celsius, fraction, in_celsius, kelvins_apart};

impl IceQuestion {
    /// What it leaves open, by what a diary has learnt where it has.
    ///
    /// # Errors
    /// [`TableError`] when the embedded priors do not load.
    pub fn unknowns(&self) -> Result<Unknowns, TableError> {
        Unknowns::new(Question::Ice, &self.open(), &self.posterior)
    }

    /// In the order of the sequence: another order is another answer.
    fn open(&self) -> Vec<Unknown> {
        use Unknown::*;
        let either = |given: bool, error, unknown| if given { error } else { unknown };
        let fill = either(self.fill.is_some(), FillError, FillUnknown);
        let mut open = vec![
            FilmMultiplier,
            Supercooling,
            IceConductivity,
            either(self.air.is_some(), FreezerAirError, FreezerAirOffset),
            either(self.rated.is_some(), FreezerCapacityRated, FreezerCapacityUnknown),
            either(self.start.is_some(), WaterStartError, WaterStartUnknown),
        ];
        match &self.block {
            Block::Volume(_) => open.extend([MouldShape, FillError]),
            Block::Upright(..) => open.extend([ShapeLength, FillError]),
            // What is closed is as full as it may be.
            Block::Shape(shape) if shape.is_closed() && self.fill.is_none() => {}
            Block::Shape(_) => open.push(fill),
        }
        let sized = matches!(self.block, Block::Shape(_)) && self.measured.is_none();
        open.extend(sized.then_some(SizeError));
        open.extend(self.thickness.is_none().then_some(WallThickness));
        open.extend((!self.covered).then_some(FreezerHumidity));
        match self.stand.map(tables::Stand::behind) {
            None => open.extend([StandOpenness, StandContact]),
            Some(Behind::Air) => {}
            Some(Behind::Shelf | Behind::Plate) => open.push(StandContact),
        }
        open
    }

    /// What comes of one draw, on the grid of the central shape's family.
    pub(super) fn outcome(
        &self,
        draw: &Draw,
        family: &Pattern,
        period: Time,
        history: bool,
    ) -> Result<Outcome, AskError> {
        let scenario = self.scenario(draw)?;
        scenario.run_on(&self.grid(&scenario, family), period, history)
    }

    /// How a scenario of this question is cut: as the family of its central shape, but of a
    /// volume alone every draw may be another family.
    pub(super) fn grid<'p>(&self, scenario: &Scenario, family: &'p Pattern) -> Cow<'p, Pattern> {
        match self.block {
            Block::Shape(_) | Block::Upright(..) => Cow::Borrowed(family),
            Block::Volume(_) => Cow::Owned(Pattern::of(&scenario.body, family.resolution())),
        }
    }

    /// Each unknown with the coordinate in which times are smooth.
    pub(super) fn axes(&self, unknowns: &Unknowns) -> Vec<Axis> {
        let air = in_celsius(self.air.unwrap_or(self.freezer.air().typical));
        unknowns.axes(|unknown| {
            let warmer = [Unknown::FreezerAirError, Unknown::FreezerAirOffset].contains(&unknown);
            (warmer && air < -0.5).then_some(-air)
        })
    }

    /// The scenario of one draw.
    ///
    /// # Errors
    /// [`AskError`] when the question's shape or liquid cannot be.
    pub fn scenario(&self, draw: &Draw) -> Result<Scenario, AskError> {
        let told = self.start.map(in_celsius);
        let start = draw.told_or(told, Unknown::WaterStartError, Unknown::WaterStartUnknown);
        Ok(Scenario {
            body: self.body(draw)?,
            standing: self.standing(draw),
            freezer: self.freezer(draw),
            start: celsius(start.max(0.1)),
            supercooling: kelvins_apart(draw[Unknown::Supercooling]),
            conductivity_multiplier: draw[Unknown::IceConductivity],
            lowering: kelvins_apart(salt_lowering(self.salt)),
            slower: draw.slower(),
        })
    }

    /// The scenario of a question taken at its word: full unless a fill is given,
    /// no error in anything.
    pub(super) fn exact(&self) -> Result<Scenario, AskError> {
        let mut draw = Unknowns::new(Question::Ice, &[], &Posterior::default())?.centre().clone();
        draw[Unknown::FillUnknown] = 1.0;
        draw[Unknown::Supercooling] = 0.0;
        self.scenario(&draw)
    }

    fn freezer(&self, draw: &Draw) -> Freezer {
        let kind = self.freezer;
        let air = match self.air {
            Some(given) => in_celsius(given) + draw[Unknown::FreezerAirError],
            None => in_celsius(kind.air().typical) + draw[Unknown::FreezerAirOffset],
        };
        let capacity = match self.rated {
            Some(rated) => rated * draw[Unknown::FreezerCapacityRated],
            None => kind.freezing_capacity().typical * draw[Unknown::FreezerCapacityUnknown],
        };
        Freezer {
            air: celsius(air),
            power: Some(power_of_capacity(capacity)),
            volume: kind.volume().typical,
            defrosting: kind.defrost().map(|d| Defrosting {
                every: d.every.typical,
                lasts: d.lasts.typical,
                rise: d.rise.typical,
            }),
        }
    }

    fn body(&self, draw: &Draw) -> Result<Body, AskError> {
        let poured = draw[Unknown::FillError];
        let shape = match &self.block {
            Block::Volume(volume) => {
                return any_mould(*volume * poured, draw[Unknown::MouldShape]);
            }
            Block::Upright(volume, depth) => {
                let (volume, depth) = (*volume * poured, *depth * poured);
                return Ok(box_of(volume, depth, draw[Unknown::ShapeLength])?);
            }
            Block::Shape(shape) => shape,
        };
        let size = shape.across() * draw[Unknown::SizeError];
        let shape = shape.resized(Some(size), None)?.holding(self.measured)?;
        let (body, depth) = (Body::of(&shape)?, shape.depth());
        match self.fill {
            Some(fill) => {
                body.filled_to(fill)?;
                Ok(body.filled_to((fill * poured).min(depth))?)
            }
            None if shape.is_closed() => Ok(body),
            None => Ok(body.filled_to(depth * draw[Unknown::FillUnknown])?),
        }
    }

    fn standing(&self, draw: &Draw) -> Standing {
        let wall = self.wall;
        let contact =
            |stand: &tables::Stand| stand.contact_m2k_w().typical * draw[Unknown::StandContact];
        let under = match self.stand {
            Some(stand) => match stand.behind() {
                Behind::Air => Under::Air,
                Behind::Shelf => Under::Shelf(contact(stand)),
                Behind::Plate => Under::Plate(contact(stand)),
            },
            None => {
                let shelf = contact(tables::Stand::shelf());
                Under::Between(fraction(draw[Unknown::StandOpenness]), shelf)
            }
        };
        let still = self.freezer.air_moved() == AirMoved::Still;
        let speed = self.freezer.air_speed().typical;
        let usual = || wall.thickness().typical * draw[Unknown::WallThickness];
        Standing {
            wall_conductivity: wall.conductivity().typical,
            wall_thickness: self.thickness.unwrap_or_else(usual),
            wall_emissivity: wall.emissivity().typical,
            under,
            neighbours: neighbours(self),
            covered: self.covered,
            air_speed: if still { 0.0 * speed } else { speed },
            humidity: fraction(draw[Unknown::FreezerHumidity]),
            film_multiplier: draw[Unknown::FilmMultiplier],
            count: f64::from(self.count),
        }
    }
}

/// In a tray of n cells, near square, the inner walls see or touch each other.
fn neighbours(question: &IceQuestion) -> Neighbours {
    let cells = f64::from(question.cells);
    if question.cells <= 1 {
        return Neighbours::Apart;
    }
    let rows = cells.sqrt().floor().max(1.0);
    let columns = (cells / rows).ceil();
    let hidden: Ratio = fraction(1.0 - (rows + columns) / (2.0 * rows * columns));
    match &question.block {
        Block::Shape(Shape::Box { .. }) => Neighbours::Touching(hidden),
        _ => Neighbours::Near(hidden),
    }
}

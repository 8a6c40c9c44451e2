//! What the user did not say, as distributions, and how a draw of them makes a scenario.

use super::question::{Block, IceError, IceQuestion, box_of, shape_of};
use super::scenario::Scenario;
use crate::freezing::shape::Shape;
use crate::properties::medium::salt_lowering;
use crate::surroundings::freezer::{Defrosting, Freezer, power_of_capacity};
use crate::surroundings::standing::{Neighbours, Standing, Under};
use crate::tables::{self, AirMoved, Behind, Unknown};
use crate::uncertainty::{Axis, Learned, sequence};
use crate::units::{
    Ratio, celsius, fraction, in_celsius, in_kelvins_apart, in_metres, kelvins_apart, metres,
};

/// The unknown inputs of one question, in a fixed order.
#[derive(Debug, Clone)]
pub struct Unknowns {
    rows: Vec<&'static Unknown>,
    learned: Learned,
}

impl Unknowns {
    /// The unknowns that bear on a question.
    ///
    /// # Errors
    /// [`IceError::Table`] when the embedded tables lack one.
    pub fn of(question: &IceQuestion) -> Result<Self, IceError> {
        let mut names =
            vec!["film-multiplier", "freezer-swing", "supercooling", "ice-conductivity"];
        let mut either = |given: bool, known: &'static str, unknown: &'static str| {
            names.push(if given { known } else { unknown });
        };
        either(question.air.is_some(), "freezer-air-error", "freezer-air-offset");
        either(question.rated.is_some(), "freezer-capacity-rated", "freezer-capacity-unknown");
        either(question.start.is_some(), "water-start-error", "water-start-unknown");
        match &question.block {
            Block::Volume(_) => names.extend(["shape-depth", "shape-length", "fill-error"]),
            Block::Form(form) => {
                let closed = matches!(form, tables::Form::Ball { .. }) && question.fill.is_none();
                if !closed {
                    names.push(if question.fill.is_some() { "fill-error" } else { "fill-unknown" });
                }
                if question.measured.is_none() {
                    names.push("size-error");
                }
            }
        }
        if question.thickness.is_none() {
            names.push("wall-thickness");
        }
        if !question.covered {
            names.push("freezer-humidity");
        }
        match question.stand.map(tables::Stand::behind) {
            None => names.extend(["stand-openness", "stand-contact"]),
            Some(Behind::Air) => {}
            Some(Behind::Shelf | Behind::Plate) => names.push("stand-contact"),
        }
        Ok(Self { learned: question.learned.clone(), ..Self::named(&names)? })
    }

    /// These rows of the table.
    ///
    /// # Errors
    /// [`IceError::Table`] when the embedded tables lack one.
    pub(in crate::answers) fn named(names: &[&'static str]) -> Result<Self, IceError> {
        let find = |name: &&'static str| tables::prior(name).map_err(|_| IceError::Table(name));
        let rows = names.iter().map(find).collect::<Result<_, _>>()?;
        Ok(Self { rows, learned: Learned::default() })
    }

    /// The value of an unknown in a draw, or what holds when it is not one.
    pub(in crate::answers) fn value(&self, draw: &[f64], name: &str, otherwise: f64) -> f64 {
        Drawn { rows: &self.rows, draw }.value(name, otherwise)
    }

    /// Their rows in the table, in the order of a draw.
    pub fn rows(&self) -> &[&'static Unknown] {
        &self.rows
    }

    /// A fixed sequence of draws, one value for each unknown; what a diary has
    /// learnt takes the place of the prior.
    pub fn draws(&self, runs: usize) -> Vec<Vec<f64>> {
        let names = || self.rows.iter().map(|row| row.name());
        // One more coordinate chooses among what was learnt.
        let draw = |point: Vec<f64>| {
            let mut draw: Vec<f64> = self
                .rows
                .iter()
                .zip(&point)
                .map(|(row, p)| row.distribution().quantile(*p))
                .collect();
            self.learned.put(point[self.rows.len()], names(), &mut draw);
            self.bound(&mut draw);
            draw
        };
        sequence(self.rows.len() + 1, runs).into_iter().map(draw).collect()
    }

    /// The central value of each unknown.
    pub fn central(&self) -> Vec<f64> {
        let mut central: Vec<f64> = self.rows.iter().map(|row| self.quantile(row, 0.5)).collect();
        self.bound(&mut central);
        central
    }

    fn quantile(&self, row: &Unknown, p: f64) -> f64 {
        self.learned.quantile(row.name(), p).unwrap_or_else(|| row.distribution().quantile(p))
    }

    /// Each unknown with the coordinate in which times are smooth.
    pub(super) fn axes(&self, question: &IceQuestion) -> Vec<Axis> {
        let axis = |row: &&'static Unknown| {
            let warmer = ["freezer-air-error", "freezer-air-offset"].contains(&row.name());
            let air = question.air.map_or(in_celsius(question.freezer.air().typical), in_celsius);
            Axis {
                name: row.name(),
                prior: row.distribution(),
                bounds: row.bounds(),
                vanishes_at: (warmer && air < -0.5).then_some(-air),
            }
        };
        self.rows.iter().map(axis).collect()
    }

    /// A draw with one unknown at a quantile of its belief; None when it is not
    /// unknown here.
    pub(super) fn with_quantile(&self, draw: &[f64], name: &str, p: f64) -> Option<Vec<f64>> {
        let at = self.rows.iter().position(|row| row.name() == name)?;
        let mut moved = draw.to_vec();
        moved[at] = self.quantile(self.rows[at], p);
        self.bound(&mut moved);
        Some(moved)
    }

    fn bound(&self, draw: &mut [f64]) {
        for (value, row) in draw.iter_mut().zip(&self.rows) {
            let (least, most) = row.bounds();
            *value = value.clamp(least, most);
        }
    }

    /// The scenario of one draw.
    ///
    /// # Errors
    /// [`IceError`] when the question's shape or liquid cannot be.
    pub fn scenario(&self, question: &IceQuestion, draw: &[f64]) -> Result<Scenario, IceError> {
        let drawn = Drawn { rows: &self.rows, draw };
        let start = match question.start {
            Some(given) => in_celsius(given) + drawn.value("water-start-error", 0.0),
            None => drawn.value("water-start-unknown", 15.0),
        };
        let freezer = drawn.freezer(question);
        Ok(Scenario {
            shape: drawn.shape(question)?,
            standing: drawn.standing(question),
            freezer,
            start: celsius(start.max(0.1)),
            supercooling: kelvins_apart(drawn.value("supercooling", 0.0)),
            conductivity_multiplier: drawn.value("ice-conductivity", 1.0),
            lowering: kelvins_apart(salt_lowering(question.salt)),
        })
    }

    /// The scenario of a question taken at its word: full unless a fill is given,
    /// no error in anything.
    pub(super) fn exact(&self, question: &IceQuestion) -> Result<Scenario, IceError> {
        let rows = &self.rows;
        let values = rows.iter().map(|row| match row.name() {
            "fill-unknown" => 1.0,
            "supercooling" => 0.0,
            _ => row.distribution().median(),
        });
        self.scenario(question, &values.collect::<Vec<f64>>())
    }
}

/// One draw with the names of its values.
struct Drawn<'a> {
    rows: &'a [&'static Unknown],
    draw: &'a [f64],
}

impl Drawn<'_> {
    /// The drawn value of an unknown, or what holds when it is not one.
    fn value(&self, name: &str, otherwise: f64) -> f64 {
        let at = self.rows.iter().position(|row| row.name() == name);
        at.map_or(otherwise, |at| self.draw[at])
    }

    fn freezer(&self, question: &IceQuestion) -> Freezer {
        let kind = question.freezer;
        let air = match question.air {
            Some(given) => in_celsius(given) + self.value("freezer-air-error", 0.0),
            None => in_celsius(kind.air().typical) + self.value("freezer-air-offset", 0.0),
        };
        let capacity = match question.rated {
            Some(rated) => rated * self.value("freezer-capacity-rated", 1.0),
            None => kind.freezing_capacity().typical * self.value("freezer-capacity-unknown", 1.0),
        };
        Freezer {
            air: celsius(air),
            swing: kelvins_apart(
                self.value("freezer-swing", in_kelvins_apart(kind.swing().typical)),
            ),
            power: Some(power_of_capacity(capacity)),
            volume: kind.volume().typical,
            defrosting: kind.defrost().map(|d| Defrosting {
                every: d.every.typical,
                lasts: d.lasts.typical,
                rise: d.rise.typical,
            }),
        }
    }

    fn shape(&self, question: &IceQuestion) -> Result<Shape, IceError> {
        let poured = self.value("fill-error", 1.0);
        let form = match &question.block {
            Block::Volume(volume) => {
                let (depth, length) =
                    (self.value("shape-depth", 0.6), self.value("shape-length", 1.1));
                return Ok(box_of(*volume * poured, depth, length)?);
            }
            Block::Form(form) => form,
        };
        let size = self.value("size-error", 1.0);
        let mut shape = shape_of(&form.resized(Some(form.across() * size), None)?)?;
        if let Some(volume) = question.measured {
            shape = shape.scaled_to_hold(volume)?;
        }
        let depth = in_metres(shape.depth());
        match question.fill {
            Some(fill) => {
                shape.filled_to(fill)?;
                Ok(shape.filled_to(metres((in_metres(fill) * poured).min(depth)))?)
            }
            None if shape.is_closed() => Ok(shape),
            None => Ok(shape.filled_to(metres(depth * self.value("fill-unknown", 0.9)))?),
        }
    }

    fn standing(&self, question: &IceQuestion) -> Standing {
        let wall = question.wall;
        let contact = |stand: &tables::Stand| {
            stand.contact_m2k_w().typical * self.value("stand-contact", 1.0)
        };
        let under = match question.stand {
            Some(stand) => match stand.behind() {
                Behind::Air => Under::Air,
                Behind::Shelf => Under::Shelf(contact(stand)),
                Behind::Plate => Under::Plate(contact(stand)),
            },
            None => {
                let shelf = tables::stand("shelf").map_or(0.037, contact);
                Under::Between(fraction(self.value("stand-openness", 0.5)), shelf)
            }
        };
        let still = question.freezer.air_moved() == AirMoved::Still;
        let speed = question.freezer.air_speed().typical;
        let thickness = question
            .thickness
            .unwrap_or(wall.thickness().typical * self.value("wall-thickness", 1.0));
        Standing {
            wall_conductivity: wall.conductivity().typical,
            wall_thickness: thickness,
            wall_emissivity: wall.emissivity().typical,
            under,
            neighbours: neighbours(question),
            covered: question.covered,
            air_speed: if still { 0.0 * speed } else { speed },
            humidity: fraction(self.value("freezer-humidity", 0.8)),
            film_multiplier: self.value("film-multiplier", 1.0),
            count: f64::from(question.count),
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
        Block::Form(tables::Form::Box { .. }) => Neighbours::Touching(hidden),
        _ => Neighbours::Near(hidden),
    }
}

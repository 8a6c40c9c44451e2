//! One draw of every unknown, and the drying it makes.

use super::question::{Checked, Door, Dough, DoughQuestion, Method};
use crate::answers::room;
use crate::drying::recipe::Recipe;
use crate::drying::solver::{
    CELLS, Coat, Diffusion, Drying, Edge, Faces, Outcome, Piece, Point, Room, Stage,
};
use crate::surroundings::oven::Oven;
use crate::surroundings::room::{in_room, room_film};
use crate::tables::{Question, TableError, Unknown};
use crate::transfer::mass_transfer::Surroundings;
use crate::uncertainty::{Draw, Unknowns};
use crate::units::{
    Area, Length, Mass, ThermodynamicTemperature, Time, celsius, cubic_metres, film, fraction,
    in_celsius, in_film, in_metres, seconds, square_metres,
};

impl DoughQuestion {
    /// What it leaves open, by what a diary has learnt where it has.
    ///
    /// # Errors
    /// [`TableError`] when the embedded priors do not load.
    pub fn unknowns(&self) -> Result<Unknowns, TableError> {
        Unknowns::new(Question::Dough, &self.open(), &self.posterior)
    }

    /// In the order of the sequence: another order is another answer.
    fn open(&self) -> [Unknown; 13] {
        use Unknown::*;
        let [room, humidity] = room::open(self.room, self.humidity);
        let [flour, salt, water] = amounts(&self.dough);
        [
            room,
            humidity,
            DiffusivityMultiplier,
            IsothermMultiplier,
            ThicknessError,
            flour,
            salt,
            water,
            OvenOffset,
            OvenFilmMultiplier,
            OvenVapour,
            RoomFilmMultiplier,
            TrayUnderside,
        ]
    }
}

/// How far off flour, salt and water are.
fn amounts(dough: &Dough) -> [Unknown; 3] {
    let weighed = match dough {
        Dough::Measured(_, weighed) => *weighed,
        Dough::Named(_) => [false; 3],
    };
    let either = |n: usize, weight, cup| if weighed[n] { weight } else { cup };
    [
        either(0, Unknown::FlourWeighed, Unknown::FlourByCup),
        either(1, Unknown::SaltWeighed, Unknown::SaltByCup),
        either(2, Unknown::WaterWeighed, Unknown::WaterByCup),
    ]
}

/// When a piece is turned that is baked for a given time: half-way in the oven.
fn half_of_the_baking(asked: &DoughQuestion) -> Option<Time> {
    let before = asked.pre_dry.into_iter().chain(asked.oven_steps.iter().map(|step| step.1));
    asked.bake_for.map(|bake_for| before.fold(0.5 * bake_for, |sum, time| sum + time))
}

/// Everything that varies between runs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inputs {
    pub(super) room: Room,
    pub(super) recipe: Recipe,
    diffusion: f64,
    thickness: Length,
    oven_air: Option<ThermodynamicTemperature>,
    oven_offset: f64,
    oven_film: f64,
    oven_vapour: f64,
    room_film: f64,
    underside: f64,
    /// How many times as long everything takes, by what nothing of this tells.
    slower: f64,
}

impl Inputs {
    pub(super) fn of(checked: &Checked<'_>, draw: &Draw) -> Self {
        let asked = checked.asked;
        if asked.exact.is_some() {
            return Self::exact(checked, draw);
        }
        let humidity = room::humidity(draw, asked.humidity);
        let amounts = amounts(&asked.dough).map(|unknown| draw[unknown]);
        let oven_offset = draw[Unknown::OvenOffset];
        Self {
            room: Room {
                air: celsius(room::air(draw, asked.room)),
                humidity: fraction(humidity.clamp(0.05, 0.99)),
            },
            recipe: checked.recipe.scattered(amounts, draw[Unknown::IsothermMultiplier]),
            diffusion: draw[Unknown::DiffusivityMultiplier],
            thickness: asked.thickness * draw[Unknown::ThicknessError],
            oven_air: checked.oven.map(|(at, _)| celsius(in_celsius(at) + oven_offset)),
            oven_offset,
            oven_film: draw[Unknown::OvenFilmMultiplier],
            oven_vapour: draw[Unknown::OvenVapour],
            room_film: draw[Unknown::RoomFilmMultiplier],
            underside: draw[Unknown::TrayUnderside],
            slower: draw.slower(),
        }
    }

    /// What was asked, without scatter; the unknown at the centre of their beliefs.
    fn exact(checked: &Checked<'_>, draw: &Draw) -> Self {
        let asked = checked.asked;
        Self {
            room: Room {
                air: asked.room.unwrap_or_else(|| celsius(draw[Unknown::RoomTemperatureUnknown])),
                humidity: asked
                    .humidity
                    .unwrap_or_else(|| fraction(draw[Unknown::RoomHumidityUnknown])),
            },
            recipe: checked.recipe,
            diffusion: 1.0,
            thickness: asked.thickness,
            oven_air: checked.oven.map(|(at, _)| at),
            oven_offset: 0.0,
            oven_film: 1.0,
            oven_vapour: 0.0,
            room_film: 1.0,
            underside: 0.0,
            slower: 1.0,
        }
    }

    /// Mass of one piece as shaped.
    pub(super) fn wet_mass(&self, checked: &Checked<'_>) -> Mass {
        let volume = checked.area() * in_metres(self.thickness);
        self.recipe.density() * cubic_metres(volume)
    }

    /// What comes of this draw.
    pub(super) fn run(&self, checked: &Checked<'_>, turn_at: Option<Time>) -> Outcome {
        self.in_hours_of_the_clock(self.drying(checked, turn_at, CELLS).run())
    }

    /// The course of this draw.
    pub(super) fn traced(&self, checked: &Checked<'_>) -> Vec<Point> {
        let course = self.drying(checked, None, CELLS).run_traced(true);
        self.in_hours_of_the_clock(course).trace
    }

    /// Where everything takes so many times as long, what the clock says is so many times what
    /// the drying knows.
    fn in_hours_of_the_clock(&self, outcome: Outcome) -> Outcome {
        let slower = self.slower;
        let point = |point: Point| Point { time: slower * point.time, ..point };
        Outcome {
            firm: outcome.firm.map(|time| slower * time),
            dry: outcome.dry.map(|time| slower * time),
            turned: outcome.turned.map(|time| slower * time),
            browning: slower * outcome.browning,
            trace: outcome.trace.into_iter().map(point).collect(),
            ..outcome
        }
    }

    /// The drying of this draw, by a clock that goes so many times slower.
    pub(super) fn drying(
        &self,
        checked: &Checked<'_>,
        turn_at: Option<Time>,
        cells: usize,
    ) -> Drying {
        Drying {
            piece: self.piece(checked),
            start: self.room.air,
            stages: self.stages(checked).into_iter().map(|it| self.slowed(it)).collect(),
            room: self.room,
            diffusion: match checked.asked.exact.and_then(|exact| exact.diffusivity) {
                Some(constant) => Diffusion::Constant(constant),
                None => Diffusion::SaltDough(self.diffusion),
            },
            turn_at: turn_at
                .or_else(|| half_of_the_baking(checked.asked))
                .map(|at| at / self.slower),
            coats: self.coats(checked),
            cells,
        }
    }

    fn piece(&self, checked: &Checked<'_>) -> Piece {
        let half = |across: Length| 0.5 * across;
        let edge = match (checked.asked.size, checked.asked.opening) {
            (None, None) => Edge::Broad,
            (_, None) => Edge::Round(half(checked.size)),
            (_, Some(opening)) => Edge::Ring(half(checked.size), half(opening)),
        };
        // Prescribed conditions are one-dimensional.
        let edge = if checked.asked.exact.is_some() { Edge::Broad } else { edge };
        Piece { recipe: self.recipe, thickness: self.thickness, faces: checked.faces, edge }
    }

    fn stages(&self, checked: &Checked<'_>) -> Vec<Stage> {
        let air = |lasts: Time| self.air_stage(checked, lasts);
        let stages = match (self.oven_air, &checked.asked.method) {
            (Some(last), Method::Oven(..)) => {
                let pre_dry = checked.asked.pre_dry.filter(|time| *time > seconds(0.0));
                pre_dry.map(air).into_iter().chain(self.oven_stages(checked, last)).collect()
            }
            _ => vec![air(seconds(0.0))],
        };
        let underside = fraction(self.underside);
        let mut stages: Vec<Stage> =
            stages.into_iter().map(|stage| Stage { underside, ..stage }).collect();
        if let (Some(_), Some(last)) = (checked.asked.bake_for, stages.last_mut()) {
            // After the oven it lies on a rack.
            last.underside = fraction(1.0);
        }
        stages
    }

    /// Coats of paint, from a time at which somebody paints to the water in them.
    fn coats(&self, checked: &Checked<'_>) -> Vec<Coat> {
        let water = checked.paint;
        checked.asked.coats.iter().map(|at| Coat { at: *at / self.slower, water }).collect()
    }

    fn slowed(&self, stage: Stage) -> Stage {
        Stage { lasts: stage.lasts / self.slower, ..stage }
    }

    fn air_stage(&self, checked: &Checked<'_>, lasts: Time) -> Stage {
        let given = checked.asked.exact.and_then(|exact| exact.film);
        let modelled = || self.room_film * room_film(&self.room, checked.size, checked.pressure);
        in_room(&self.room, given.unwrap_or_else(modelled), checked.pressure, lasts)
    }

    /// The steps and the last setting, each warming up from the one before; or
    /// the last setting in stretches, the pieces in the room between.
    fn oven_stages(&self, checked: &Checked<'_>, last: ThermodynamicTemperature) -> Vec<Stage> {
        let steps = checked.asked.oven_steps.iter().map(|(at, lasts)| {
            // The dial is as far off in every step as in the last.
            (celsius(in_celsius(*at) + self.oven_offset), *lasts)
        });
        if let Some(stretches) = checked.asked.stretches {
            let oven = Stage { lasts: stretches.lasts, ..self.oven_stage(checked, last) };
            let one = [oven, self.air_stage(checked, stretches.rest)];
            let all = std::iter::repeat_n(one, stretches.number as usize).flatten();
            return all.chain([self.air_stage(checked, seconds(0.0))]).collect();
        }
        let bake_for = checked.asked.bake_for;
        let mut before = self.room.air;
        let oven = steps.chain([(last, bake_for.unwrap_or_default())]).map(|(at, lasts)| {
            let stage = self.oven_stage(checked, at);
            let warm_up = stage.warm_up.map(|(_, constant)| (before, constant));
            before = at;
            Stage { warm_up, lasts, ..stage }
        });
        let after = bake_for.map(|_| self.air_stage(checked, seconds(0.0)));
        oven.chain(after).collect()
    }

    fn oven_stage(&self, checked: &Checked<'_>, at: ThermodynamicTemperature) -> Stage {
        let Some((_, kind)) = checked.oven else { return self.air_stage(checked, seconds(0.0)) };
        let typical = in_film(kind.convective_film().typical);
        let oven = Oven {
            air: at,
            film: film(typical * self.oven_film),
            warm_up: kind.warm_up().typical,
            full_tray_moisture: fraction(self.oven_vapour),
        };
        let stage = oven.stage(&self.room, self.exposed(checked), checked.pressure);
        let stage = match checked.asked.door {
            Door::Shut => stage,
            Door::Ajar => Stage { own_vapour: 0.0, ..stage },
        };
        let Some(exact) = checked.asked.exact else { return stage };
        let film = exact.film.unwrap_or(stage.around.film);
        let around = Surroundings { film, ..stage.around };
        Stage { around, warm_up: None, own_vapour: 0.0, ..stage }
    }

    /// Exposed faces of all pieces in the oven.
    fn exposed(&self, checked: &Checked<'_>) -> Area {
        let faces = if checked.faces == Faces::Two { 2.0 } else { 1.0 };
        let across = in_metres(checked.size);
        let edge = std::f64::consts::PI * across * in_metres(self.thickness);
        square_metres(f64::from(checked.asked.count) * (faces * checked.area() + edge))
    }
}

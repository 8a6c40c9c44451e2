//! A run of the solver: what is frozen, how, and what came of it.

use super::mesh::Mesh;
use crate::properties::medium::Medium;
use crate::units::{ThermodynamicTemperature, Time, seconds};

/// One block of a load of equal ones.
#[derive(Debug, Clone, Copy)]
pub struct Load<'a> {
    /// The block.
    pub mesh: &'a Mesh,
    /// What it is filled with.
    pub medium: &'a Medium,
    /// Temperature of the water when filled.
    pub start: ThermodynamicTemperature,
    /// When it went in.
    pub since: Time,
}

/// A point of the history of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since filling, s.
    pub time: f64,
    /// Warmest point of the block, °C.
    pub core_c: f64,
    /// Temperature of the block if its heat were spread evenly, °C.
    pub mixed_c: f64,
    /// Mean temperature of the sinks, by conductance, °C.
    pub air_c: f64,
    /// Share of the block that is frozen, 0 to 1.
    pub frozen: f64,
}

/// What came of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Frozen {
    /// Time until no liquid is left (core at −10 °C for a solution); None if not within the limit.
    pub solid: Option<Time>,
    /// Time until the core is at −5 °C; None if not within the limit.
    pub ready: Option<Time>,
    /// Heat given off by the whole block, J.
    pub heat_removed: f64,
    /// Enthalpy lost minus heat through the faces, over the heat removed.
    pub residual: f64,
    /// Work done, in cells times stages.
    pub work: f64,
    /// History, one point about every call to the surroundings; empty unless asked for.
    pub history: Vec<Moment>,
}

/// How a run is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// The run of a load ends so long after it went in at the latest; sooner where it could
    /// not get ready by then.
    pub limit: Time,
    /// Time between questions to the surroundings.
    pub period: Time,
    /// The block whose history is kept, by its number, 0 where there is one; none is kept by
    /// [`super::freeze::freeze_together`].
    pub history: Option<usize>,
    /// The run is given up after so much work, in cells times stages: a wide
    /// and very thin block takes millions of short steps.
    pub most_work: f64,
}

impl Run {
    /// At most 30 days, asking every two minutes, no history, however much work it is.
    pub fn thorough() -> Self {
        Self {
            limit: seconds(30.0 * 86_400.0),
            period: seconds(120.0),
            history: None,
            most_work: f64::INFINITY,
        }
    }
}

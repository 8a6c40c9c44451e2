//! What surrounds a block that freezes, and what its surroundings see of it.

use crate::units::{HeatTransfer, ThermodynamicTemperature, in_celsius, in_film};

/// What surrounds the block for the next while, per kind of face (top, side,
/// base), in plain SI and °C for use inside the kernel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Film coefficient from the surface of the water or ice to the sink, wall
    /// and stand in series, W/m²K.
    pub film: [f64; 3],
    /// Temperature the film leads to, °C.
    pub sink_c: [f64; 3],
    /// Heat taken besides (evaporation), W/m².
    pub extra: [f64; 3],
}

/// What the surroundings can see of one block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Mean heat flow out of the block since last asked, W: top, side, base.
    pub heat: [f64; 3],
    /// Mean surface temperature of the water or ice, °C: top, side, base.
    pub surface_c: [f64; 3],
    /// Whether ice covers the top.
    pub skin: bool,
}

/// Where blocks stand: asked for conditions about once a minute.
pub trait Surroundings {
    /// Conditions of each load until the next call, from what is seen of one block of each;
    /// None of a load that is not in yet.
    fn next(&mut self, seen: &[Option<Seen>], lapse: f64, conditions: &mut [Conditions]);
}

/// Constant films and one constant air temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant(Conditions);

impl Constant {
    /// Films of top, side and base, and the air.
    pub fn new(films: [HeatTransfer; 3], air: ThermodynamicTemperature) -> Self {
        let film = films.map(in_film);
        Self(Conditions { film, sink_c: [in_celsius(air); 3], extra: [0.0; 3] })
    }
}

impl Surroundings for Constant {
    fn next(&mut self, _: &[Option<Seen>], _: f64, conditions: &mut [Conditions]) {
        conditions.fill(self.0);
    }
}

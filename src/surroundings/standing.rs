//! How a block stands in the freezer: the films of its top, side and base.
//!
//! Each face: free and forced convection together with radiation, the wall of
//! the mould, the contact and the stand in series; evaporation from an open
//! top until ice covers it.

use super::freezer::{Freezer, FreezerAir};
use crate::freezing::freeze::{Conditions, Seen, Surroundings};
use crate::properties::air::DryAir;
use crate::shape::Body;
use crate::transfer::convection::{Facing, Past, forced_si, natural_si};
use crate::transfer::evaporation::{evaporative_k, over_ice_pa};
use crate::transfer::radiation::radiative_si;
use crate::units::{
    self, HeatTransfer, Length, Ratio, ThermalConductivity, Velocity, in_conductivity, in_film,
    in_fraction, in_metres,
};
use uom::si::velocity::meter_per_second;

/// Emissivity of water and ice. Source: heat-transfer textbooks, from memory.
const WATER_EMISSIVITY: f64 = 0.95;

/// Resistance of the air under a lid, m²K/W: a gap of 2 mm, computed here from conduction
/// 0.0235 W/m K beside radiation 3.6 W/m²K.
const LID_GAP: f64 = 0.065;

/// Standard pressure; altitude moves a film by a few percent only, Pa.
const PRESSURE: f64 = 101_325.0;

/// What lies under the base, beyond the wall of the mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Under {
    /// The freezer's air, as on wire.
    Air,
    /// A contact, m²K/W, then a shelf with the freezer's air below it.
    Shelf(f64),
    /// A contact, m²K/W, then a plate at the temperature of the air.
    Plate(f64),
    /// Not known: the share of the base that is in free air, the rest on a
    /// shelf with this contact, m²K/W.
    Between(Ratio, f64),
}

/// What the side of the mould looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Neighbours {
    /// The walls of the freezer.
    Apart,
    /// This share of it sees other moulds as cold as itself: no radiation there.
    Near(Ratio),
    /// This share of it touches other cells of a tray: no heat there at all.
    Touching(Ratio),
}

/// The mould and its surroundings, the freezer's air aside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Conductivity of the mould's wall.
    pub wall_conductivity: ThermalConductivity,
    /// Thickness of the mould's wall.
    pub wall_thickness: Length,
    /// Emissivity of the mould's outer face.
    pub wall_emissivity: Ratio,
    /// What lies under the base.
    pub under: Under,
    /// What the side looks at.
    pub neighbours: Neighbours,
    /// Whether a lid keeps the top from evaporating.
    pub covered: bool,
    /// Speed of the air past the mould.
    pub air_speed: Velocity,
    /// Humidity of the freezer's air, over ice.
    pub humidity: Ratio,
    /// Multiplier on every film to the air.
    pub film_multiplier: f64,
    /// How many such blocks are in the freezer at once.
    pub count: f64,
}

/// Sizes for the correlations, m.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    /// Area over perimeter of the top; none where there is none.
    top: Option<f64>,
    side: f64,
    across: f64,
    /// A ball takes the correlations of a sphere.
    ball: bool,
}

/// A block in a freezer, asked by the solver.
#[derive(Debug, Clone)]
pub(crate) struct InFreezer {
    standing: Standing,
    sizes: Sizes,
    wall: f64,
    pub(crate) air: FreezerAir,
    /// Conductance from water to sink over the outer film, of the last call: how
    /// much of the difference is left outside the wall.
    outside: [f64; 3],
}

impl InFreezer {
    pub(crate) fn new(body: &Body, standing: &Standing, freezer: &Freezer) -> Self {
        let top = body.top_length();
        let depth = in_metres(body.fill());
        let across = top.map_or(depth, |ratio| 4.0 * ratio);
        let sizes = Sizes { top, side: depth, across, ball: body.is_closed() };
        let wall = in_metres(standing.wall_thickness) / in_conductivity(standing.wall_conductivity);
        let air = FreezerAir::new(freezer);
        Self { standing: *standing, sizes, wall, air, outside: [1.0; 3] }
    }

    /// Lets the freezer take up the heat of all blocks; returns its air, °C.
    fn warmed_by(&mut self, seen: &Seen) -> f64 {
        let met = self.air.met_c();
        let mut given = 0.0;
        let mut through = [[0.0; 2]; 3];
        for (kind, heat) in seen.heat.into_iter().enumerate() {
            let (all, surface) = (self.standing.count * heat, seen.surface_c[kind]);
            if surface - met > 0.1 && all > 0.0 {
                through[kind] = [all / (surface - met), surface];
            } else {
                given += all;
            }
        }
        self.air.pass(seen.lapse, given, &through)
    }

    /// Film from an outer surface to the air: convective, radiative; W/m²K.
    fn film(&self, facing: Facing, surface_c: f64, air_c: f64, emissivity: f64) -> [f64; 2] {
        let (surface, air) = (surface_c + 273.15, air_c + 273.15);
        let gas = DryAir::at_si(0.5 * (surface + air), PRESSURE);
        let size = match facing {
            Facing::Vertical | Facing::Sphere | Facing::Cylinder => self.sizes.side,
            Facing::Unstable | Facing::Stable => self.sizes.top.unwrap_or(self.sizes.side),
        };
        let free = natural_si(facing, size, surface - air, &gas);
        let speed = self.standing.air_speed.get::<meter_per_second>();
        let past = if self.sizes.ball { Past::Sphere } else { Past::Plate };
        let blown = if speed > 0.0 { forced_si(past, self.sizes.across, speed, &gas) } else { 0.0 };
        let multiplier = self.standing.film_multiplier;
        let radiative = radiative_si(emissivity, surface, air);
        [multiplier * mixed(free, blown), multiplier * radiative]
    }

    /// Conductance of the side, and its share outside the wall.
    fn side(&self, outer_c: f64, air_c: f64) -> [f64; 2] {
        let emissivity = in_fraction(self.standing.wall_emissivity);
        let facing = if self.sizes.ball { Facing::Sphere } else { Facing::Vertical };
        let [convective, radiative] = self.film(facing, outer_c, air_c, emissivity);
        let (convective, radiative) = match self.standing.neighbours {
            Neighbours::Apart => (convective, radiative),
            Neighbours::Near(share) => (convective, radiative * (1.0 - in_fraction(share))),
            Neighbours::Touching(share) => {
                let free = 1.0 - in_fraction(share);
                (convective * free, radiative * free)
            }
        };
        in_series(convective + radiative, self.wall)
    }

    /// Conductance of the base, and its share outside the wall.
    fn base(&self, outer_c: f64, air_c: f64) -> [f64; 2] {
        let emissivity = in_fraction(self.standing.wall_emissivity);
        let [convective, radiative] = self.film(Facing::Stable, outer_c, air_c, emissivity);
        // The lower face of a shelf is not a metal mould: it radiates like most things.
        let [below, glow] = self.film(Facing::Stable, outer_c, air_c, WATER_EMISSIVITY);
        let free = in_series(convective + radiative, self.wall);
        let shelf = |contact: f64| in_series(below + glow, self.wall + contact);
        match self.standing.under {
            Under::Air => free,
            Under::Shelf(contact) => shelf(contact),
            Under::Plate(contact) => [1.0 / (self.wall + contact).max(1e-4), 0.0],
            Under::Between(open, contact) => {
                let (open, closed) = (in_fraction(open), shelf(contact));
                [0, 1].map(|i| open * free[i] + (1.0 - open) * closed[i])
            }
        }
    }

    /// Conductance of the top, its share outside the lid, and heat of evaporation, W/m².
    fn top(&self, outer_c: f64, air_c: f64, skin: bool) -> [f64; 3] {
        let [convective, radiative] = self.film(Facing::Unstable, outer_c, air_c, WATER_EMISSIVITY);
        if self.standing.covered {
            let [through, outside] = in_series(convective + radiative, LID_GAP);
            return [through, outside, 0.0];
        }
        if skin {
            return [convective + radiative, 1.0, 0.0];
        }
        let vapour = in_fraction(self.standing.humidity) * over_ice_pa(air_c.min(0.0));
        let extra = convective * evaporative_k(outer_c, vapour, PRESSURE);
        [convective + radiative, 1.0, extra.max(0.0)]
    }
}

/// Film coefficient of an outer film with a layer (the wall of a mould) behind it.
pub fn film_through(
    film: HeatTransfer,
    thickness: Length,
    conductivity: ThermalConductivity,
) -> HeatTransfer {
    let resistance = in_metres(thickness) / in_conductivity(conductivity);
    units::film(in_series(in_film(film), resistance)[0])
}

/// Film and a resistance in series: the conductance, and its share of the film.
fn in_series(film: f64, resistance: f64) -> [f64; 2] {
    let share = 1.0 / (1.0 + film * resistance);
    [film * share, share]
}

/// Free and forced convection together: (h_n³ + h_f³)^(1/3).
/// Source: Churchill (1977), AIChE J. 23, 10.
fn mixed(free: f64, forced: f64) -> f64 {
    if forced == 0.0 { free } else { (free.powi(3) + forced.powi(3)).cbrt() }
}

impl Surroundings for InFreezer {
    fn next(&mut self, seen: &Seen) -> Conditions {
        let air_c = self.warmed_by(seen);
        let outer = |kind: usize| air_c + (seen.surface_c[kind] - air_c) * self.outside[kind];
        let [top, above, extra] = self.top(outer(0), air_c, seen.skin);
        let [side, around] = self.side(outer(1), air_c);
        let [base, below] = self.base(outer(2), air_c);
        self.outside = [above, around, below];
        Conditions { film: [top, side, base], sink_c: [air_c; 3], extra: [extra, 0.0, 0.0] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Shape;
    use crate::tables;
    use crate::units::{celsius, hours, kelvins_apart, litres, millimetres};

    /// The films of a 10 cm plastic box of ice at 0 °C in air at −18 °C.
    fn films(air_speed: f64) -> [f64; 3] {
        let plastic = tables::wall("plastic").unwrap();
        let standing = Standing {
            wall_conductivity: plastic.conductivity().typical,
            wall_thickness: millimetres(0.05),
            wall_emissivity: plastic.emissivity().typical,
            under: Under::Air,
            neighbours: Neighbours::Apart,
            covered: false,
            air_speed: Velocity::new::<meter_per_second>(air_speed),
            humidity: units::fraction(0.8),
            film_multiplier: 1.0,
            count: 1.0,
        };
        let freezer = Freezer {
            air: celsius(-18.0),
            swing: kelvins_apart(3.0),
            power: None,
            volume: litres(100.0),
            defrosting: None,
        };
        let side = millimetres(100.0);
        let shape = Body::of(&Shape::Box { length: side, width: side, depth: side }).unwrap();
        let mut around = InFreezer::new(&shape, &standing, &freezer);
        let time = units::in_seconds(hours(2.0));
        let seen = Seen { time, lapse: 60.0, heat: [0.0; 3], surface_c: [0.0; 3], skin: true };
        around.next(&seen);
        around.next(&seen).film
    }

    #[test]
    fn still_air_gives_the_build_up_of_a_cube() {
        // A cube of 10 cm at 0 °C in air at −18 °C, computed apart from this code (sides by
        // Churchill & Chu, top and base by McAdams, air of CoolProp, radiation 4.0):
        // (4 × 5.24 + 7.54 + 3.77)/6 + 4.0 = 9.4 W/m²K; here the mould's emissivity is 0.90,
        // not 0.95, on five faces.
        let [top, side, base] = films(0.0);
        let mean = (4.0 * side + top + base) / 6.0;
        assert!((mean / 9.4 - 1.0).abs() < 0.03, "{mean}");
    }

    #[test]
    fn moved_air_gives_what_was_measured_in_appliances() {
        // Anderson et al. (2004): 8 to 15 W/m²K in five household freezers.
        for speed in [0.1, 0.2, 0.5] {
            let [top, side, base] = films(speed);
            let mean = (4.0 * side + top + base) / 6.0;
            assert!((8.0..15.0).contains(&mean), "{speed} m/s: {mean}");
        }
    }
}

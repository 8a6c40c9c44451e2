//! How a block stands in the freezer: the films of its top, side and base.
//!
//! Each face: free and forced convection together with radiation, the wall of
//! the mould, the contact and the stand in series; evaporation from an open
//! top, and sublimation from the ice on it for as long as it freezes.

use super::freezer::{Freezer, FreezerAir};
use crate::freezing::conditions::{Conditions, Seen, Surroundings};
use crate::properties::air::DryAir;
use crate::properties::moist_air::STANDARD_ATMOSPHERE;
use crate::shape::Body;
use crate::transfer::convection::{Facing, Past, forced_si, natural_si};
use crate::transfer::evaporation::{evaporative_k, over_ice_pa, sublimation_k};
use crate::transfer::radiation::radiative_si;
use crate::units::{
    Length, Ratio, ThermalConductivity, Velocity, in_conductivity, in_fraction, in_metres,
};
use uom::si::velocity::meter_per_second;

/// Emissivity of water and ice. Source: heat-transfer textbooks, from memory.
pub(crate) const WATER_EMISSIVITY: f64 = 0.95;

/// Resistance of the air under a lid or in a bag, m²K/W: a gap of 2 mm, computed here from conduction
/// 0.0235 W/m K beside radiation 3.6 W/m²K.
pub(crate) const AIR_GAP: f64 = 0.065;

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
    /// Whether a lid keeps the top's vapour in.
    pub covered: bool,
    /// Speed of the air past the mould.
    pub air_speed: Velocity,
    /// Humidity of the freezer's air, over ice.
    pub humidity: Ratio,
    /// Multiplier on convection to the air; radiation is not in doubt.
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

/// The place of one load in a freezer.
#[derive(Debug, Clone)]
struct Place {
    standing: Standing,
    sizes: Sizes,
    wall: f64,
    /// Conductance from water to sink over the outer film, of the last call: how
    /// much of the difference is left outside the wall.
    outside: [f64; 3],
    /// Heat that a kelvin between a surface and the air carried last, of all blocks, W/K.
    conductance: [f64; 3],
}

/// Loads of blocks in one freezer, asked by the solver: they share its air and its power.
#[derive(Debug, Clone)]
pub(crate) struct InFreezer {
    places: Vec<Place>,
    pub(crate) air: FreezerAir,
    /// Scratch space: conductances to the surfaces, W/K, and how warm those are, °C.
    through: Vec<[f64; 2]>,
}

impl InFreezer {
    /// Loads in the order of the solver.
    pub(crate) fn new<'a>(
        freezer: &Freezer,
        loads: impl IntoIterator<Item = (&'a Body, &'a Standing)>,
    ) -> Self {
        let places = loads.into_iter().map(|(body, standing)| Place::new(body, standing));
        Self { places: places.collect(), air: FreezerAir::new(freezer), through: Vec::new() }
    }

    /// Lets the freezer take up the heat of all blocks; returns its air, °C.
    ///
    /// Where air and surface nearly meet, as they do among very many blocks, their difference
    /// says no conductance: the last that was seen is taken, and what it does not carry is given.
    fn warmed_by(&mut self, seen: &[Option<Seen>], lapse: f64) -> f64 {
        let met = self.air.met_c();
        let mut given = 0.0;
        self.through.clear();
        for (place, seen) in self.places.iter_mut().zip(seen) {
            let Some(seen) = seen else { continue };
            let faces = seen.heat.into_iter().zip(seen.surface_c).zip(&mut place.conductance);
            for ((heat, surface), conductance) in faces {
                let (all, above) = (place.standing.count * heat, surface - met);
                if above > 0.1 && all > 0.0 {
                    *conductance = all / above;
                    self.through.push([*conductance, surface]);
                } else {
                    given += all - *conductance * above;
                    self.through.push([*conductance, self.air.mean_c() + above]);
                }
            }
        }
        self.air.pass(lapse, given, &self.through)
    }
}

impl Place {
    fn new(body: &Body, standing: &Standing) -> Self {
        let top = body.top_length();
        let depth = in_metres(body.fill());
        let across = top.map_or(depth, |ratio| 4.0 * ratio);
        let sizes = Sizes { top, side: depth, across, ball: body.is_closed() };
        let wall = in_metres(standing.wall_thickness) / in_conductivity(standing.wall_conductivity);
        Self { standing: *standing, sizes, wall, outside: [1.0; 3], conductance: [0.0; 3] }
    }

    /// Film from an outer surface to the air: convective, radiative; W/m²K.
    fn film(&self, facing: Facing, surface_c: f64, air_c: f64, emissivity: f64) -> [f64; 2] {
        let (surface, air) = (surface_c + 273.15, air_c + 273.15);
        let gas = DryAir::at_si(0.5 * (surface + air), STANDARD_ATMOSPHERE);
        let size = match facing {
            Facing::Vertical | Facing::Sphere => self.sizes.side,
            Facing::Unstable | Facing::Stable => self.sizes.top.unwrap_or(self.sizes.side),
        };
        let free = natural_si(facing, size, surface - air, &gas);
        let speed = self.standing.air_speed.get::<meter_per_second>();
        let past = if self.sizes.ball { Past::Sphere } else { Past::Plate };
        let blown = if speed > 0.0 { forced_si(past, self.sizes.across, speed, &gas) } else { 0.0 };
        let multiplier = self.standing.film_multiplier;
        let radiative = radiative_si(emissivity, surface, air);
        [multiplier * mixed(free, blown), radiative]
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
        let glow = radiative_si(WATER_EMISSIVITY, outer_c + 273.15, air_c + 273.15);
        let free = in_series(convective + radiative, self.wall);
        let shelf = |contact: f64| in_series(convective + glow, self.wall + contact);
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

    /// Conductance of the top, its share outside the lid, and heat that vapour carries off
    /// beside it, W/m².
    ///
    /// From ice the pressure p(T_s) − RH p(T_a) is split at the air: the chord from p(T_a) to
    /// p(T_s) works as a film, which follows the surface within a step, the rest is given.
    fn top(&self, outer_c: f64, air_c: f64, skin: bool) -> [f64; 3] {
        let [convective, radiative] = self.film(Facing::Unstable, outer_c, air_c, WATER_EMISSIVITY);
        if self.standing.covered {
            let [through, outside] = in_series(convective + radiative, AIR_GAP);
            return [through, outside, 0.0];
        }
        let over_air = over_ice_pa(air_c.min(0.0));
        let vapour = in_fraction(self.standing.humidity) * over_air;
        if !skin {
            let extra = convective * evaporative_k(outer_c, vapour, STANDARD_ATMOSPHERE);
            return [convective + radiative, 1.0, extra.max(0.0)];
        }
        let above = (outer_c.min(0.0) - air_c).max(0.1);
        let chord = (over_ice_pa(air_c.min(0.0) + above) - over_air) / above;
        let following = convective * sublimation_k(chord, STANDARD_ATMOSPHERE);
        let given = convective * sublimation_k(over_air - vapour, STANDARD_ATMOSPHERE);
        [convective + radiative + following, 1.0, given]
    }

    /// Conditions of the block here, from what is seen of it.
    fn conditions(&mut self, seen: &Seen, air_c: f64) -> Conditions {
        let outer = |kind: usize| air_c + (seen.surface_c[kind] - air_c) * self.outside[kind];
        let [top, above, extra] = self.top(outer(0), air_c, seen.skin);
        let [side, around] = self.side(outer(1), air_c);
        let [base, below] = self.base(outer(2), air_c);
        self.outside = [above, around, below];
        Conditions { film: [top, side, base], sink_c: [air_c; 3], extra: [extra, 0.0, 0.0] }
    }
}

/// Film and a resistance in series: the conductance, and its share of the film.
fn in_series(film: f64, resistance: f64) -> [f64; 2] {
    let share = 1.0 / (1.0 + film * resistance);
    [film * share, share]
}

/// Free and forced convection together: (h_n³ + h_f³)^(1/3), by two steps of Halley's rule from
/// the larger, since a power took one part in twenty of a whole answer.
/// Source: Churchill (1977), AIChE J. 23, 10.
fn mixed(free: f64, forced: f64) -> f64 {
    let (less, more) = if free < forced { (free, forced) } else { (forced, free) };
    if less == 0.0 {
        return more;
    }
    let cube = 1.0 + (less / more).powi(3);
    let halley = |root: f64| {
        let own = root.powi(3);
        root * (own + 2.0 * cube) / (2.0 * own + cube)
    };
    // The chord of the root from 1 to 2, whose rise is 2^(1/3) - 1.
    more * halley(halley(1.0 + 0.26 * (cube - 1.0)))
}

impl Surroundings for InFreezer {
    fn next(&mut self, seen: &[Option<Seen>], lapse: f64, conditions: &mut [Conditions]) {
        let air_c = self.warmed_by(seen, lapse);
        for ((place, seen), conditions) in self.places.iter_mut().zip(seen).zip(conditions) {
            if let Some(seen) = seen {
                *conditions = place.conditions(seen, air_c);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Shape;
    use crate::tables;
    use crate::units::{celsius, fraction, litres, millimetres};

    /// A thin plastic mould that stands apart in air that moves so fast.
    fn standing(air_speed: Velocity) -> Standing {
        let plastic = tables::wall("plastic").unwrap();
        Standing {
            wall_conductivity: plastic.conductivity().typical,
            wall_thickness: millimetres(0.05),
            wall_emissivity: plastic.emissivity().typical,
            under: Under::Air,
            neighbours: Neighbours::Apart,
            covered: false,
            air_speed,
            humidity: fraction(0.8),
            film_multiplier: 1.0,
            count: 1.0,
        }
    }

    /// A cube of so many millimetres in air at −18 °C.
    fn in_freezer(size_mm: f64, standing: &Standing) -> InFreezer {
        let freezer =
            Freezer { air: celsius(-18.0), power: None, volume: litres(100.0), defrosting: None };
        let side = millimetres(size_mm);
        let shape = Body::of(&Shape::Box { length: side, width: side, depth: side }).unwrap();
        InFreezer::new(&freezer, [(&shape, standing)])
    }

    /// The mean film of a cube of ice in a thin plastic mould, covered by nothing but ice, at
    /// 0 °C in air at −18 °C.
    fn mean_film(size_mm: f64, air_speed: Velocity) -> f64 {
        let mut around = in_freezer(size_mm, &standing(air_speed));
        let seen = [Some(Seen { heat: [0.0; 3], surface_c: [0.0; 3], skin: true })];
        let mut found = [Conditions { film: [0.0; 3], sink_c: [0.0; 3], extra: [0.0; 3] }];
        for _ in 0..2 {
            around.next(&seen, 60.0, &mut found);
        }
        // Convection and radiation of the top without what sublimes.
        let place = &around.places[0];
        let [convective, radiative] = place.film(Facing::Unstable, 0.0, -18.0, WATER_EMISSIVITY);
        let [_, side, base] = found[0].film;
        (4.0 * side + convective + radiative + base) / 6.0
    }

    fn speed(metres_a_second: f64) -> Velocity {
        Velocity::new::<meter_per_second>(metres_a_second)
    }

    #[test]
    fn still_air_gives_the_build_up_of_a_cube() {
        // A cube of 10 cm at 0 °C in air at −18 °C, computed apart from this code (sides by
        // Churchill & Chu, top and base by McAdams, air of CoolProp, radiation 4.0):
        // (4 × 5.24 + 7.54 + 3.77)/6 + 4.0 = 9.4 W/m²K; here the mould's emissivity is 0.90,
        // not 0.95, on five faces.
        let mean = mean_film(100.0, speed(0.0));
        assert!((mean / 9.4 - 1.0).abs() < 0.03, "{mean}");
    }

    #[test]
    fn free_and_forced_are_mixed_as_the_cube_root_of_their_cubes() {
        for (free, forced) in [(0.0, 3.0), (4.0, 0.0), (0.1, 9.0), (5.0, 4.0), (6.0, 6.0)] {
            let cubes: f64 = f64::powi(free, 3) + f64::powi(forced, 3);
            assert!((mixed(free, forced) / cubes.cbrt() - 1.0).abs() < 1e-14, "{free}, {forced}");
        }
    }

    /// A quarter of the side that sees other moulds as cold as itself loses its radiation there,
    /// and one that touches them all of its heat.
    #[test]
    fn neighbours_take_away_what_they_cover() {
        let quarter = fraction(0.25);
        let side = |neighbours| {
            let standing = Standing { neighbours, ..standing(speed(0.0)) };
            let around = in_freezer(80.0, &standing);
            let place = &around.places[0];
            // Without the wall, which is in series with the film.
            let [through, share] = place.side(0.0, -18.0);
            (
                through / share,
                place.film(Facing::Vertical, 0.0, -18.0, in_fraction(standing.wall_emissivity)),
            )
        };
        let (apart, [convective, radiative]) = side(Neighbours::Apart);
        assert!((apart - convective - radiative).abs() < 1e-9 && radiative > 3.0);
        let (near, _) = side(Neighbours::Near(quarter));
        assert!((near - convective - 0.75 * radiative).abs() < 1e-9, "{near} of {apart}");
        let (touching, _) = side(Neighbours::Touching(quarter));
        assert!((touching - 0.75 * apart).abs() < 1e-9, "{touching} of {apart}");
    }

    #[test]
    fn moved_air_gives_what_was_measured_in_appliances() {
        // Anderson et al. (2004): 8 to 15 W/m²K in five household freezers.
        for moved in [0.1, 0.2, 0.5] {
            let mean = mean_film(100.0, speed(moved));
            assert!((8.0..15.0).contains(&mean), "{moved} m/s: {mean}");
        }
    }

    /// From the measured range to the belief in `tables/priors.toml`, which scales convection
    /// only. Anderson et al. (2004) measured 8 to 15 W/m²K in five household freezers. The
    /// range of five draws of a normal is 2.326 σ on average (statistics of quality control,
    /// d₂ of five), so the whole film scatters by σ = ln(15/8)/2.326 = 0.27. What the model
    /// tells apart, still or fan and size, is no scatter; radiation is not in doubt, so all
    /// the rest falls on the convective part of the film.
    #[test]
    fn what_is_left_of_the_measured_scatter() {
        let measured = (15.0_f64 / 8.0).ln() / 2.326;
        let speeds = ["chest", "fridge-freezer"].map(|kind| {
            let kind = tables::freezer(kind).unwrap();
            let still = kind.air_moved() == tables::AirMoved::Still;
            if still { speed(0.0) } else { kind.air_speed().typical }
        });
        let logs: Vec<f64> = speeds
            .into_iter()
            .flat_map(|speed| [50.0, 100.0, 150.0].map(|mm| mean_film(mm, speed).ln()))
            .collect();
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        let variance = logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / logs.len() as f64;
        let convective = 1.0 - radiative_si(0.9, 273.15, 255.15) / mean.exp();
        let left = (measured * measured - variance).sqrt() / convective;
        println!(
            "measured {measured:.3}, explained {:.3}, convective share {convective:.3}, left {left:.3}: factor {:.3}",
            variance.sqrt(),
            left.exp()
        );
        let stated = tables::prior(tables::Unknown::FilmMultiplier).unwrap().quantile(0.841_345);
        assert!((stated / left.exp() - 1.0).abs() < 0.01, "{stated}, not {}", left.exp());
    }

    #[test]
    fn walls_of_moulds_in_series_with_a_film() {
        // Conductivities: EN ISO 10077-2 and public tables, the board from memory
        // (tables/walls.toml). The overall coefficient with a film of 10 W/m²K, evaluated apart;
        // printed to 2 decimals.
        for (wall, millimetres, conductivity, expected) in [
            ("silicone 2 mm", 2.0, 0.2, 9.09),
            ("silicone 3 mm", 3.0, 0.2, 8.70),
            ("polypropylene 1.5 mm", 1.5, 0.22, 9.36),
            ("dense polyethylene 1.5 mm", 1.5, 0.50, 9.71),
            ("light polyethylene 1.5 mm", 1.5, 0.33, 9.57),
            ("polystyrene 1.5 mm", 1.5, 0.12, 8.89),
            ("glass 4 mm", 4.0, 1.0, 9.62),
            ("corrugated board 3 mm", 3.0, 0.06, 6.7),
        ] {
            let [found, _] = in_series(10.0, millimetres / 1e3 / conductivity);
            assert!((found / expected - 1.0_f64).abs() <= 6e-3, "{wall}: {found}");
        }
    }
}

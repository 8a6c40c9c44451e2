//! The kernel on a layer of 16 cells with constant properties, where all is closed form.

use super::*;
use crate::freezing::conditions::Constant;
use crate::freezing::freeze::{Run, freeze};
use crate::freezing::mesh::Resolution;
use crate::properties::medium::ConstantProperties;
use crate::shape::{Body, Shape};
use crate::units::{Area, celsius, film, millimetres};
use uom::si::area::square_meter;

/// Density, heats and conductivities of the reference set (tests/data/README.md).
const DENSITY: f64 = 917.0;
const LATENT: f64 = 333_430.0;
const HEAT: [f64; 2] = [2050.0, 4200.0];
const K: [f64; 2] = [2.22, 0.57];
/// The freezing point is not 0 °C here, so that none is taken for the other.
const FREEZING: f64 = -2.0;
const AREA: f64 = 0.04;
const THICKNESS: f64 = 0.032;
const CELLS: f64 = 16.0;

fn medium() -> Medium {
    let freezing = celsius(FREEZING);
    Medium::constant(&ConstantProperties { freezing, ..ConstantProperties::reference() }).unwrap()
}

fn layer() -> Mesh {
    let area = Area::new::<square_meter>(AREA);
    let shape = Body::slab(millimetres(1e3 * THICKNESS), area).unwrap();
    Mesh::of(&shape, Resolution::Working, 1.0)
}

const AROUND: Conditions =
    Conditions { film: [20.0, 0.0, 8.0], sink_c: [-18.0, -11.0, -6.0], extra: [30.0, 0.0, 0.0] };

fn seen() -> Seen {
    Seen { heat: [0.0; 3], surface_c: [99.0; 3], skin: false }
}

fn close(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() <= 1e-9 * wanted.abs(), "{what}: {found}, not {wanted}");
}

#[test]
fn heat_and_ice_in_an_even_block() {
    let (mesh, medium) = (layer(), medium());
    let mass = DENSITY * AREA * THICKNESS;
    let warm = Kernel::<1>::new([(&mesh, &medium, 10.0)]);
    close(warm.enthalpy(0), mass * (LATENT + HEAT[1] * (10.0 - FREEZING)), "J at 10 °C");
    close(warm.core_c(0), 10.0, "core");
    assert_eq!(warm.frozen_share(0), 0.0);
    let cold = Kernel::<1>::new([(&mesh, &medium, -12.0)]);
    close(cold.enthalpy(0), mass * HEAT[0] * (-12.0 - FREEZING), "J at -12 °C");
    close(cold.core_c(0), -12.0, "core");
    assert_eq!(cold.frozen_share(0), 1.0);
}

/// An explicit step is stable up to 1/max(Σ g/V · dΦ/dH): inside 2/Δx² by the diffusivity
/// of ice, 1/Δx² and the film over half a cell at a face.
#[test]
fn longest_stable_step() {
    let (mesh, medium) = (layer(), medium());
    let mut kernel = Kernel::<1>::new([(&mesh, &medium, 10.0)]);
    let cell = THICKNESS / CELLS;
    let diffusivity = K[0] / (DENSITY * HEAT[0]);
    close(kernel.set(&[AROUND])[0], cell * cell / 2.0 / diffusivity, "inside rules");
    let strong = Conditions { film: [1e5, 0.0, 8.0], ..AROUND };
    let to_film = 2.0 / cell * 1e5 / (K[1] * 2.0 / cell + 1e5);
    let rate = (1.0 / cell + to_film) / cell * diffusivity;
    close(kernel.set(&[strong])[0], 1.0 / rate, "the face rules");
}

/// k (T − T_w)/d = h (T_w − T_s) + e, half a cell below the face.
#[test]
fn surfaces_by_series_resistance() {
    let (mesh, medium) = (layer(), medium());
    for (start, k) in [(-12.0, K[0]), (10.0, K[1])] {
        let mut kernel = Kernel::<1>::new([(&mesh, &medium, start)]);
        kernel.set(&[AROUND]);
        let mut seen = [seen()];
        kernel.look([true], &mut seen);
        let [seen] = seen;
        let conduct = k / (0.5 * THICKNESS / CELLS);
        for face in [0, 2] {
            let (h, sink, extra) = (AROUND.film[face], AROUND.sink_c[face], AROUND.extra[face]);
            let wanted = (conduct * start + h * sink - extra) / (conduct + h);
            close(seen.surface_c[face], wanted, "surface");
        }
        assert_eq!(seen.surface_c[1], 99.0, "a layer has no side to look at");
        assert_eq!(seen.skin, start < FREEZING);
        // One plain step takes out what the films take meanwhile, and that is what is gone.
        let (before, mut heat) = (kernel.enthalpy(0), [Lanes::<1>::ZERO; 3]);
        kernel.step(Lanes([0.1]), 1, &mut heat);
        for face in [0, 2] {
            let (h, sink, extra) = (AROUND.film[face], AROUND.sink_c[face], AROUND.extra[face]);
            let flux = h * (seen.surface_c[face] - sink) + extra;
            close(heat[face][0], flux * AREA * 0.1, "J through a face");
        }
        let gone = before - kernel.enthalpy(0);
        assert!((gone - heat[0][0] - heat[2][0]).abs() < 1e-6, "{gone} J and {heat:?}");
    }
}

#[test]
fn mean_sink_by_film_and_area() {
    let (mesh, medium) = (layer(), medium());
    let kernel = Kernel::<1>::new([(&mesh, &medium, 10.0)]);
    let wanted = (20.0 * -18.0 + 8.0 * -6.0) / 28.0;
    close(kernel.mean_sink(0, &AROUND), wanted, "top and base");
    close(kernel.mean_sink(0, &Conditions { film: [0.0; 3], ..AROUND }), -18.0, "no film at all");
}

/// Water at its freezing point turns to ice by the latent heat that is taken from it, as
/// long as no cell is frozen through.
#[test]
fn ice_by_the_heat_taken() {
    let (mesh, medium) = (layer(), medium());
    let mut kernel = Kernel::<1>::new([(&mesh, &medium, FREEZING)]);
    let before = kernel.enthalpy(0);
    assert_eq!(kernel.frozen_share(0), 0.0);
    let longest = kernel.set(&[Conditions { extra: [0.0; 3], ..AROUND }])[0];
    let mut heat = [Lanes::<1>::ZERO; 3];
    for _ in 0..50 {
        kernel.step(Lanes([0.5 * longest]), 1, &mut heat);
    }
    let share = (before - kernel.enthalpy(0)) / (DENSITY * AREA * THICKNESS * LATENT);
    close(kernel.frozen_share(0), share, "frozen share");
    assert!(share > 1e-3 && share < 1.0 / CELLS, "{share}");
}

/// All heat down to the freezing point, the latent heat, and between the 5 K that the
/// warmest cell and the 18 K that the coldest can have gone below 0 °C.
#[test]
fn heat_removed_from_a_block() {
    let reference = Medium::constant(&ConstantProperties::reference()).unwrap();
    // A box is computed as a quarter; a layer as a whole.
    let mm = millimetres;
    let quarter =
        Body::of(&Shape::Box { length: mm(100.0), width: mm(80.0), depth: mm(40.0) }).unwrap();
    for (mesh, volume) in
        [(layer(), AREA * THICKNESS), (Mesh::of(&quarter, Resolution::Coarse, 1.0), 320e-6)]
    {
        let mut around = Constant::new([film(20.0); 3], celsius(-18.0));
        let frozen = freeze(&mesh, &reference, celsius(15.0), &mut around, &Run::thorough());
        let to_ice = DENSITY * volume * (LATENT + HEAT[1] * 15.0);
        let below = (frozen.heat_removed - to_ice) / (DENSITY * volume * HEAT[0]);
        assert!((5.0..18.0).contains(&below), "{below} K below 0 °C on average");
        assert!(frozen.residual.abs() < 1e-9, "{}", frozen.residual);
    }
}

/// What happens in a lane is what happens to its block alone, whatever its neighbours are.
#[test]
fn lanes_do_not_touch_each_other() {
    let (mesh, medium) = (layer(), medium());
    let water = Medium::constant(&ConstantProperties::reference()).unwrap();
    let thin = {
        let area = Area::new::<square_meter>(AREA);
        let body = Body::slab(millimetres(500.0 * THICKNESS), area).unwrap();
        Mesh::of(&body, Resolution::Working, 1.0)
    };
    let blocks = [(&mesh, &medium, 10.0), (&thin, &water, -3.0), (&mesh, &water, 20.0)];
    let mild = Conditions { film: [5.0, 0.0, 30.0], ..AROUND };
    let around = [AROUND, mild, mild];
    let mut together = Kernel::<3>::new([blocks[2]; 3]);
    (0..3).for_each(|lane| together.put(lane, blocks[lane]));
    let longest = together.set(&around);
    let step = longest * Lanes::all(4.0);
    let mut heat = [Lanes::<3>::ZERO; 3];
    (0..100).for_each(|_| {
        together.step(Lanes([step[0], step[1], 0.0]), 3, &mut heat);
    });
    for lane in 0..3 {
        let mut alone = Kernel::<1>::new([blocks[lane]]);
        assert_eq!(alone.set(&[around[lane]])[0], longest[lane]);
        let mut own = [Lanes::<1>::ZERO; 3];
        (0..if lane < 2 { 100 } else { 0 }).for_each(|_| {
            alone.step(Lanes([step[lane]]), 3, &mut own);
        });
        match lane {
            2 => close(together.enthalpy(lane), alone.enthalpy(0), "a lane that stands still"),
            _ => assert_eq!(alone.enthalpy(0), together.enthalpy(lane), "lane {lane}"),
        }
        assert_eq!(own.map(|own| own[0]), heat.map(|heat| heat[lane]), "lane {lane}");
    }
}

//! The freezing solver against an independent numerical reference set (what it is:
//! tests/data/README.md) and against analytic solutions.

use solidby::freezing::conditions::Constant;
use solidby::freezing::freeze::{Frozen, Moment, Run, freeze};
use solidby::freezing::mesh::{Mesh, Resolution};
use solidby::properties::medium::{ConstantProperties, Medium};
use solidby::shape::{Body, Shape};
use solidby::units::{
    Area, AvailableEnergy, MassDensity, SpecificHeatCapacity, celsius, conductivity, film,
    in_hours, in_seconds, metres, millimetres, seconds,
};
use uom::si::area::square_meter;
use uom::si::{
    available_energy::joule_per_kilogram, mass_density::kilogram_per_cubic_meter,
    specific_heat_capacity::joule_per_kilogram_kelvin,
};

/// The constant properties of the reference set; Neumann's rows take a liquid heat of 4217 J/kg K.
fn reference_medium(liquid_heat: f64, latent: f64) -> Medium {
    Medium::constant(&ConstantProperties {
        density: MassDensity::new::<kilogram_per_cubic_meter>(917.0),
        frozen_conductivity: conductivity(2.22),
        liquid_conductivity: conductivity(0.57),
        frozen_heat: SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(2050.0),
        liquid_heat: SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(liquid_heat),
        latent_heat: AvailableEnergy::new::<joule_per_kilogram>(latent),
        freezing: celsius(0.0),
    })
    .unwrap()
}

fn slab(thickness_m: f64) -> Body {
    Body::slab(metres(thickness_m), Area::new::<square_meter>(0.01)).unwrap()
}

fn run(shape: &Body, films: [f64; 3], air: f64, start: f64, resolution: Resolution) -> Frozen {
    let medium = reference_medium(4200.0, 333_430.0);
    let mesh = Mesh::of(shape, resolution, 1.0);
    let mut around = Constant::new(films.map(film), celsius(air));
    let frozen = freeze(&mesh, &medium, celsius(start), &mut around, &Run::thorough());
    assert!(frozen.residual.abs() < 1e-9, "energy residual {:e}", frozen.residual);
    frozen
}

/// Rows of the reference set: shape, d1, d2, d3 [m], h, T_air, T_init, t_frozen,
/// t_centre_minus5 [s].
const ROWS: &str = include_str!("../data/freezing-reference.csv");

fn shape_of(name: &str, d: [f64; 3]) -> Body {
    let [d1, d2, d3] = d.map(metres);
    match name {
        "slab" => slab(d[0]),
        "cyl" => Body::long_cylinder(d1, metres(0.1)).unwrap(),
        "sph" => Body::of(&Shape::Ball { across: d1 }).unwrap(),
        "brick" => Body::of(&Shape::Box { length: d1, width: d2, depth: d3 }).unwrap(),
        "fcyl" => Body::of(&Shape::Round { across: d1, depth: d2 }).unwrap(),
        other => panic!("unknown shape {other}"),
    }
}

/// One comparison: what, found and reference seconds.
type Compared = (String, f64, f64);

/// The rows of the csv: time until frozen and until the centre is at −5 °C.
fn csv_rows(resolution: Resolution) -> Vec<Compared> {
    let mut rows = Vec::new();
    for row in ROWS.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |i: usize| cells[i].parse().unwrap_or(0.0);
        let shape = shape_of(cells[0], [number(1), number(2), number(3)]);
        let frozen = run(&shape, [number(4); 3], number(5), number(6), resolution);
        let name = cells[..7].join(" ");
        rows.push((format!("{name}, frozen"), in_seconds(frozen.solid.unwrap()), number(7)));
        rows.push((format!("{name}, −5 °C"), in_seconds(frozen.ready.unwrap()), number(8)));
    }
    rows
}

/// The extra cases of the same computation, T_air −18 °C, T_init 20 °C unless said: hours to
/// fully frozen.
fn extra_cases(resolution: Resolution) -> Vec<Compared> {
    let mm = millimetres;
    let half_litre = Body::of(&Shape::Round { across: mm(80.0), depth: mm(100.0) }).unwrap();
    let cube =
        Body::of(&Shape::Box { length: mm(30.0), width: mm(30.0), depth: mm(30.0) }).unwrap();
    let brick =
        Body::of(&Shape::Box { length: mm(200.0), width: mm(150.0), depth: mm(100.0) }).unwrap();
    [
        ("0.5 L, all 10", half_litre.clone(), [10.0; 3], 20.0, 9.42),
        ("0.5 L, base adiabatic", half_litre.clone(), [10.0, 10.0, 0.0], 20.0, 11.34),
        ("0.5 L, metal shelf", half_litre.clone(), [10.0, 10.0, 50.0], 20.0, 7.54),
        ("0.5 L, thick silicone", half_litre.clone(), [10.0, 8.0, 8.0], 20.0, 11.15),
        ("0.5 L, top only", half_litre, [10.0, 0.0, 0.0], 20.0, 70.1),
        (
            "muffin",
            Body::of(&Shape::Round { across: mm(60.0), depth: mm(40.0) }).unwrap(),
            [10.0; 3],
            20.0,
            5.34,
        ),
        ("tray 30, base 10", slab(0.03), [10.0, 0.0, 10.0], 20.0, 8.70),
        ("tray 30, base 5", slab(0.03), [10.0, 0.0, 5.0], 20.0, 11.58),
        ("tray 30, base 0", slab(0.03), [10.0, 0.0, 0.0], 20.0, 18.09),
        ("tray 30, base 50", slab(0.03), [10.0, 0.0, 50.0], 20.0, 3.47),
        ("tray 20, 15", slab(0.02), [15.0, 0.0, 15.0], 20.0, 3.87),
        ("ball 50", Body::of(&Shape::Ball { across: mm(50.0) }).unwrap(), [8.0; 3], 20.0, 6.21),
        ("ball 100", Body::of(&Shape::Ball { across: mm(100.0) }).unwrap(), [8.0; 3], 20.0, 13.11),
        ("brick 3 L", brick, [10.0; 3], 20.0, 17.06),
        ("cube 30", cube, [10.0; 3], 15.0, 2.94),
    ]
    .into_iter()
    .map(|(name, shape, films, start, hours)| {
        let frozen = run(&shape, films, -18.0, start, resolution);
        (name.to_owned(), in_seconds(frozen.solid.unwrap()), 3600.0 * hours)
    })
    .collect()
}

/// Mean error below 0.7 %, none above 2 %: limits set beforehand.
#[test]
fn every_numerical_row_of_the_reference_set() {
    for resolution in [Resolution::Working, Resolution::Converged] {
        let mut rows = csv_rows(resolution);
        rows.extend(extra_cases(resolution));
        let mut errors = Vec::new();
        for (name, found, reference) in &rows {
            let error = 100.0 * (found / reference - 1.0);
            println!(
                "{resolution:?} {name}: {found:.0} s, reference {reference:.0} s, {error:+.2} %"
            );
            errors.push(error.abs());
        }
        let mean = errors.iter().sum::<f64>() / errors.len() as f64;
        let worst = errors.iter().copied().fold(0.0, f64::max);
        println!("{resolution:?}: {} rows, mean {mean:.2} %, worst {worst:.2} %", errors.len());
        assert!(mean < 0.7 && worst < 2.0, "{resolution:?}: mean {mean} %, worst {worst} %");
    }
}

/// Neumann's two-phase solution (Carslaw & Jaeger 11.2, from memory), evaluated apart from this
/// code: front at 10 mm, T_0, T_i, seconds.
#[test]
fn neumann_two_phase() {
    let medium = reference_medium(4217.0, 333_430.0);
    // A layer thick enough to be endless while the front goes 10 mm; cooled from
    // below with a film so large that the wall is at T_0.
    for (wall, start, expected) in [
        (-10.0, 0.0, 702.6),
        (-10.0, 10.0, 875.0),
        (-10.0, 20.0, 1070.1),
        (-18.0, 0.0, 396.5),
        (-18.0, 4.0, 427.8),
        (-18.0, 10.0, 476.9),
        (-18.0, 20.0, 564.9),
        (-20.0, 0.0, 358.2),
        (-20.0, 20.0, 505.2),
        (-30.0, 0.0, 243.3),
        (-30.0, 20.0, 331.5),
    ] {
        let found = seconds_to_ten_millimetres(&medium, wall, start);
        let error = 100.0 * (found / expected - 1.0);
        println!("wall {wall}, start {start}: {found:.1} s, exact {expected} s, {error:+.2} %");
        assert!(error.abs() < 0.5, "Carslaw & Jaeger 11.2: {error:+.2} %");
    }
}

/// Seconds until 10 mm are frozen, from the frozen amount of the enthalpy field.
fn seconds_to_ten_millimetres(medium: &Medium, wall: f64, start: f64) -> f64 {
    let mesh = Mesh::of(&slab(0.05), Resolution::Converged, 1.0);
    let films = [0.0, 0.0, 1e7].map(film);
    let mut around = Constant::new(films, celsius(wall));
    let run = Run { history: Some(0), period: seconds(1.0), ..Run::thorough() };
    let run = Run { limit: seconds(1500.0), ..run };
    let frozen = freeze(&mesh, medium, celsius(start), &mut around, &run);
    let depth = |moment: &Moment| moment.frozen * 50.0;
    let after = frozen.history.iter().position(|m| depth(m) >= 10.0).expect("reaches 10 mm");
    let (a, b) = (&frozen.history[after - 1], &frozen.history[after]);
    a.time + (10.0 - depth(a)) / (depth(b) - depth(a)) * (b.time - a.time)
}

/// Half a cylinder whose flat face lets no heat through is the mirror image of the other
/// half: it freezes as the whole cylinder does that lies on its side, ends and all.
#[test]
fn a_log_with_an_insulated_top_freezes_as_the_whole_cylinder() {
    for (across, length, h) in [(80.0, 200.0, 10.0), (120.0, 90.0, 25.0)] {
        let [across, length] = [across, length].map(millimetres);
        let log = Body::of(&Shape::Log { across, length }).unwrap();
        let whole = Body::of(&Shape::Round { across, depth: length }).unwrap();
        let whole = run(&whole, [h; 3], -18.0, 15.0, Resolution::Converged);
        for resolution in [Resolution::Working, Resolution::Converged] {
            let half = run(&log, [0.0, h, h], -18.0, 15.0, resolution);
            for (half, whole) in [(half.solid, whole.solid), (half.ready, whole.ready)] {
                let error = in_hours(half.unwrap()) / in_hours(whole.unwrap()) - 1.0;
                println!("{across:?} {resolution:?}: {:+.3} %", 100.0 * error);
                assert!(error.abs() < 0.005, "{across:?} {resolution:?}: {error}");
            }
        }
    }
}

/// The quasi-steady limit with convection, derived here (Plank's times when frozen through):
/// latent heat only, so the latent heat is raised a hundredfold and the time divided by it.
#[test]
fn quasi_steady_limit() {
    let medium = reference_medium(4200.0, 33_343_000.0);
    let mm = millimetres;
    let cases = [
        // A layer of 30 mm cooled from one face only.
        ("slab", slab(0.03), [0.0, 0.0, 10.0], 15.1118),
        ("cylinder", Body::long_cylinder(mm(60.0), mm(100.0)).unwrap(), [10.0; 3], 7.5559),
        ("sphere", Body::of(&Shape::Ball { across: mm(60.0) }).unwrap(), [10.0; 3], 5.0373),
    ];
    for (name, shape, films, hours) in cases {
        let mesh = Mesh::of(&shape, Resolution::Working, 1.0);
        let mut around = Constant::new(films.map(film), celsius(-18.0));
        let run = Run { limit: seconds(3e7), period: seconds(6000.0), ..Run::thorough() };
        let frozen = freeze(&mesh, &medium, celsius(0.0), &mut around, &run);
        let found = in_hours(frozen.solid.unwrap()) / 100.0;
        let error = 100.0 * (found / hours - 1.0);
        println!("{name}: {found:.4} h, quasi-steady {hours} h, {error:+.2} %");
        assert!(error.abs() < 1.0, "{name} {error:+.2} %");
    }
}

#[test]
fn no_film_never_freezes() {
    let medium = reference_medium(4200.0, 333_430.0);
    let mesh = Mesh::of(&slab(0.03), Resolution::Coarse, 1.0);
    let mut around = Constant::new([0.0; 3].map(film), celsius(-18.0));
    let frozen = freeze(&mesh, &medium, celsius(20.0), &mut around, &Run::thorough());
    assert_eq!((frozen.solid, frozen.ready), (None, None));
    assert!(frozen.heat_removed.abs() < 1e-6, "{} J", frozen.heat_removed);
}

#[test]
fn a_run_ends_early_only_where_the_block_cannot_get_ready() {
    // Ready is a core at −5 °C: in air below that it comes, however slowly; in air above it never
    // does, and the run need not go on to its limit to know. Plank's time of this slab in air of
    // −1 °C is 6.6 days, in −0.05 °C 133 days.
    let medium = reference_medium(4200.0, 333_430.0);
    let mesh = Mesh::of(&slab(0.03), Resolution::Coarse, 1.0);
    for (air, solid, ready) in [
        (-6.0, true, true),
        (-5.1, true, true),
        (-5.01, true, true),
        (-4.9, true, false),
        (-4.0, true, false),
        (-1.0, true, false),
        (-0.05, false, false),
    ] {
        let mut around = Constant::new([8.0, 0.0, 8.0].map(film), celsius(air));
        let run = Run { history: Some(0), ..Run::thorough() };
        let frozen = freeze(&mesh, &medium, celsius(20.0), &mut around, &run);
        let found = (frozen.solid.is_some(), frozen.ready.is_some());
        assert_eq!(found, (solid, ready), "air of {air} °C");
        let ended = frozen.history.last().unwrap().time / in_seconds(run.limit);
        println!("{air} °C: {found:?}, ended after {ended:.2} of the limit");
        assert!(ready || ended < 0.5, "air of {air} °C: followed for {ended} of the limit");
    }
}

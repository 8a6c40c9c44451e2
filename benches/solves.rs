//! One freezing solve in each shape, with its error against the converged grid, and how the
//! cost grows with cells. `cargo bench --bench solves`
//!
//! Constant films of 10 W/m²K, air at −18 °C, water at 20 °C, the reference medium: the
//! equations that `benches/compare` solves with other programs. Cutting the mesh counts.

mod measure;

use measure::{best, exponent, thread_seconds};
use solidby::freezing::conditions::Constant;
use solidby::freezing::freeze::{Frozen, Run, freeze};
use solidby::freezing::mesh::{Mesh, Resolution};
use solidby::properties::medium::{ConstantProperties, Medium};
use solidby::shape::{Body, Shape};
use solidby::tables;
use solidby::units::{Area, celsius, film, in_seconds, millimetres, minutes};
use uom::si::area::square_meter;

const LEVELS: [Resolution; 3] = [Resolution::Coarse, Resolution::Working, Resolution::Converged];

/// Name, dimensions computed and shape.
fn shapes() -> Vec<(String, usize, Body)> {
    let mm = millimetres;
    let area = Area::new::<square_meter>(0.01);
    let named = |name: &str, dimensions, shape: Result<Body, _>| {
        (name.to_owned(), dimensions, shape.expect("a shape"))
    };
    let mut shapes = vec![
        named("slab 40", 1, Body::slab(mm(40.0), area)),
        named("ball 70", 1, Body::of(&Shape::Ball { across: mm(70.0) })),
        named("long cylinder 60", 1, Body::long_cylinder(mm(60.0), mm(200.0))),
        named("round 80x50", 2, Body::of(&Shape::Round { across: mm(80.0), depth: mm(50.0) })),
        named(
            "cup 70x50x60",
            2,
            Body::of(&Shape::Cup { across: mm(70.0), base: mm(50.0), depth: mm(60.0) }),
        ),
        named("half ball 80", 2, Body::of(&Shape::HalfBall { across: mm(80.0) })),
        named(
            "ring 200x80x50",
            2,
            Body::of(&Shape::Ring { across: mm(200.0), inner: mm(80.0), depth: mm(50.0) }),
        ),
        named(
            "box 100x60x40",
            3,
            Body::of(&Shape::Box { length: mm(100.0), width: mm(60.0), depth: mm(40.0) }),
        ),
    ];
    for mould in tables::moulds() {
        if matches!(mould.shape(), Shape::Outline { .. }) {
            shapes.push(named(mould.name(), 3, Body::of(mould.shape())));
        }
    }
    shapes
}

fn solve(shape: &Body, medium: &Medium, resolution: Resolution) -> Frozen {
    let mesh = Mesh::of(shape, resolution, 1.0);
    let mut around = Constant::new([film(10.0); 3], celsius(-18.0));
    // As often as the answers renew their films.
    let period = minutes(if resolution == Resolution::Coarse { 6.0 } else { 2.0 });
    freeze(&mesh, medium, celsius(20.0), &mut around, &Run { period, ..Run::thorough() })
}

/// A row of JSON for each of the cases and grids of `benches/compare/freezing.py`.
fn compare(medium: &Medium) {
    let area = Area::new::<square_meter>(0.01);
    let mm = millimetres;
    for (name, shape) in [
        ("slab", Body::slab(mm(40.0), area)),
        ("box", Body::of(&Shape::Box { length: mm(100.0), width: mm(60.0), depth: mm(40.0) })),
    ] {
        let shape = shape.expect("a shape");
        let solid =
            LEVELS.map(|level| in_seconds(solve(&shape, medium, level).solid.expect("it freezes")));
        for (n, level) in LEVELS.into_iter().enumerate().take(2) {
            let cpu = best(15, thread_seconds, || solve(&shape, medium, level));
            println!(
                "{{\"name\": \"{name}\", \"grid\": \"{level:?}\", \"cpu_s\": {cpu:e}, \"solid_s\": {}, \"converged_s\": {}}}",
                solid[n], solid[2]
            );
        }
    }
}

fn main() {
    let medium = Medium::constant(&ConstantProperties::reference()).expect("a medium");
    if std::env::args().any(|argument| argument == "compare") {
        return compare(&medium);
    }
    println!(
        "one solve            coarse: cells,  time, error | working: cells, time, error | converged: cells, time, solid"
    );
    let mut costs: [Vec<[f64; 2]>; 4] = Default::default();
    for (name, dimensions, shape) in shapes() {
        let solid = LEVELS
            .map(|level| in_seconds(solve(&shape, &medium, level).solid.expect("it freezes")));
        let cells = LEVELS.map(|level| Mesh::of(&shape, level, 1.0).cells());
        let ms = LEVELS.map(|level| {
            let rounds = if level == Resolution::Converged { 2 } else { 7 };
            1e3 * best(rounds, thread_seconds, || solve(&shape, &medium, level))
        });
        let error = |n: usize| 100.0 * (solid[n] / solid[2] - 1.0);
        println!(
            "{name:18} {:4} {:7.3} ms {:+5.2} % | {:4} {:7.3} ms {:+5.2} % | {:5} {:7.1} ms {:6.0} s",
            cells[0],
            ms[0],
            error(0),
            cells[1],
            ms[1],
            error(1),
            cells[2],
            ms[2],
            solid[2]
        );
        let grown = exponent(&[0, 1, 2].map(|n| [cells[n] as f64, ms[n]]));
        costs[dimensions].push([grown, 0.0]);
    }
    for (dimensions, grown) in costs.iter().enumerate().skip(1) {
        let mean = grown.iter().map(|[p, _]| p).sum::<f64>() / grown.len() as f64;
        println!("cost grows with cells to the power {mean:.2} in {dimensions} dimension(s)");
    }
}

//! How long one freezing solve takes, with its error beside it: run with
//! `cargo run --release --example freezing_speed`.

use std::time::Instant;

use solidby::block::freeze::{Constant, Run, freeze};
use solidby::block::mesh::{Mesh, Resolution};
use solidby::block::shape::Shape;
use solidby::matter::medium::Medium;
use solidby::units::{MassDensity, celsius, film, in_hours, millilitres, millimetres as mm};
use uom::si::mass_density::kilogram_per_cubic_meter;

fn star() -> Shape {
    let points: Vec<[f64; 2]> = (0..10)
        .map(|i| {
            let (turn, reach) = (f64::from(i) * 0.628_318_530_718, [1.0, 0.45][i as usize % 2]);
            [reach * turn.sin(), reach * turn.cos()]
        })
        .collect();
    let star = Shape::outlined(&points, mm(150.0), mm(35.0)).expect("a star");
    star.scaled_to_hold(millilitres(300.0)).expect("a measured star")
}

fn main() {
    let shapes = [
        ("star 300 mL", star()),
        ("box 100x80x40", Shape::cuboid(mm(100.0), mm(80.0), mm(40.0)).expect("a box")),
        ("cup 75/55x40", Shape::cup(mm(75.0), mm(55.0), mm(40.0)).expect("a cup")),
        ("half ball 80", Shape::half_ball(mm(80.0)).expect("a half ball")),
        ("ring 150/50x50", Shape::ring(mm(150.0), mm(50.0), mm(50.0)).expect("a ring")),
        ("ball 60", Shape::ball(mm(60.0)).expect("a ball")),
    ];
    let medium = Medium::water(MassDensity::new::<kilogram_per_cubic_meter>(956.0)).expect("water");
    for (name, shape) in shapes {
        let mut truth = 0.0;
        for resolution in [Resolution::Converged, Resolution::Working, Resolution::Coarse] {
            let start = Instant::now();
            let mesh = Mesh::of(&shape, resolution, 1.045);
            let meshed = start.elapsed();
            let mut around = Constant::new([9.0, 8.0, 12.0].map(film), celsius(-18.0));
            let start = Instant::now();
            let run = freeze(&mesh, &medium, &mut around, &Run::from(celsius(15.0)));
            let solved = start.elapsed();
            let hours = in_hours(run.solid.expect("freezes"));
            if resolution == Resolution::Converged {
                truth = hours;
            }
            println!(
                "{name:15} {resolution:?}: {} cells x {}, mesh {meshed:.2?}, solve {solved:.2?}, solid {hours:.3} h ({:+.2} %), volume {:+.3} %, residual {:.0e}",
                mesh.cells(),
                mesh.copies(),
                100.0 * (hours / truth - 1.0),
                100.0 * (mesh.total_volume() / 1.045 / shape.volume().value - 1.0),
                run.residual,
            );
        }
    }
}

//! Volumes, areas and refusals of the mould shapes.

use std::f64::consts::PI;

use solidby::freezing::mesh::{Mesh, Resolution};
use solidby::shape::{Body, Shape, ShapeError};
use solidby::units::{in_millilitres, in_millimetres, millilitres, millimetres as mm};

/// Each shape with its volume (mL) and area of top, side and base (cm²) in closed form.
fn shapes() -> Vec<(&'static str, Shape, f64, [f64; 3])> {
    let arrow =
        [[0.0, 1.0], [3.0, 1.0], [3.0, 0.0], [5.0, 1.5], [3.0, 3.0], [3.0, 2.0], [0.0, 2.0]];
    let slant = (40.0_f64.powi(2) + 10.0 * 10.0).sqrt();
    vec![
        (
            "box",
            Shape::Box { length: mm(100.0), width: mm(80.0), depth: mm(40.0) },
            320.0,
            [80.0, 144.0, 80.0],
        ),
        (
            "round",
            Shape::Round { across: mm(80.0), depth: mm(50.0) },
            80.0 * PI,
            [16.0 * PI, 40.0 * PI, 16.0 * PI],
        ),
        (
            "cup",
            Shape::Cup { across: mm(80.0), base: mm(60.0), depth: mm(40.0) },
            PI * 4.0 / 3.0 * (9.0 + 12.0 + 16.0),
            [16.0 * PI, 7.0 * PI * slant / 10.0, 9.0 * PI],
        ),
        (
            "ring",
            Shape::Ring { across: mm(150.0), inner: mm(50.0), depth: mm(50.0) },
            PI * (56.25 - 6.25) * 5.0,
            [50.0 * PI, 100.0 * PI, 50.0 * PI],
        ),
        ("ball", Shape::Ball { across: mm(60.0) }, 36.0 * PI, [0.0, 36.0 * PI, 0.0]),
        (
            "half ball",
            Shape::HalfBall { across: mm(80.0) },
            2.0 / 3.0 * PI * 64.0,
            [16.0 * PI, 32.0 * PI, 0.0],
        ),
        (
            "log",
            Shape::Log { across: mm(80.0), length: mm(100.0) },
            80.0 * PI,
            [80.0, 56.0 * PI, 0.0],
        ),
        (
            "arrow",
            Shape::Outline { points: arrow.to_vec(), across: mm(100.0), depth: mm(30.0) },
            72.0,
            [24.0, 3.0 * 2.0 * 14.0, 24.0],
        ),
    ]
}

#[test]
fn meshes_have_the_true_volume_and_area() {
    for (name, shape, volume, areas) in shapes() {
        let body = Body::of(&shape).unwrap();
        assert!((in_millilitres(body.volume()) / volume - 1.0).abs() < 1e-9, "{name} volume");
        for resolution in [Resolution::Coarse, Resolution::Working] {
            let mesh = Mesh::of(&body, resolution, 1.0);
            let found = mesh.total_volume() * 1e6;
            assert!((found / volume - 1.0).abs() < 1e-6, "{name} {resolution:?}: {found} mL");
            for (found, wanted) in mesh.areas().into_iter().zip(areas) {
                let found = found * 1e4;
                // Bowls are built of thin frusta: their area is short by up to 0.1 %.
                assert!(
                    (found - wanted).abs() <= 2e-3 * wanted,
                    "{name} {resolution:?}: {found} cm², wanted {wanted}"
                );
            }
        }
    }
}

/// What `Resolution` promises of bodies that are cut in more than one direction: a few dozen
/// cells, a few hundred, thousands, whatever the shape.
#[test]
fn meshes_are_as_fine_as_they_should_be() {
    for (name, shape, ..) in shapes().into_iter().filter(|shape| shape.0 != "ball") {
        for (resolution, cells) in [
            (Resolution::Coarse, 12..80),
            (Resolution::Working, 70..1000),
            (Resolution::Converged, 1000..15_000),
        ] {
            let found = Mesh::of(&Body::of(&shape).unwrap(), resolution, 1.0).cells();
            assert!(cells.contains(&found), "{name} {resolution:?}: {found} cells");
        }
    }
}

#[test]
fn fills_and_measured_volumes() {
    for (name, shape, volume, _) in shapes() {
        let body = Body::of(&shape).unwrap();
        let half = body.filled_to(0.5 * shape.depth()).unwrap();
        // Straight sides hold half in half their depth; a half ball 5/16, a ball a half,
        // a cup of 60 to 80 mm (9 + 10.5 + 12.25) / (2 (9 + 12 + 16)).
        let share = match name {
            "half ball" => 5.0 / 16.0,
            "cup" => 31.75 / 74.0,
            // A circle's segment of 60° to either side of a half of it.
            "log" => (PI / 3.0 - 0.75_f64.sqrt() / 2.0) / (PI / 2.0),
            _ => 0.5,
        };
        let found = in_millilitres(half.volume());
        assert!((found / (share * volume) - 1.0).abs() < 1e-6, "{name}: {found} mL");
        assert_eq!(in_millimetres(half.fill()), 0.5 * in_millimetres(shape.depth()), "{name}");
        let grown = Body::of(&shape.holding(Some(millilitres(2.0 * volume))).unwrap()).unwrap();
        assert!((in_millilitres(grown.volume()) / volume - 2.0).abs() < 1e-9, "{name} grown");
        let above = body.filled_to(shape.depth() * 1.01);
        assert!(matches!(above, Err(ShapeError::TooDeep { .. })), "{name}");
    }
}

/// A cap of height z of a ball of radius R: V = π z² (R − z/3), its flat top
/// π z (2R − z), its curved side 2π R z (textbook geometry).
#[test]
fn a_ball_that_is_not_full_is_a_cap() {
    let ball = Body::of(&Shape::Ball { across: mm(60.0) }).unwrap();
    for fill in [10.0_f64, 30.0, 45.0, 55.0] {
        let cap = ball.filled_to(mm(fill)).unwrap();
        let volume = PI * fill * fill * (30.0 - fill / 3.0) / 1000.0;
        let areas = [PI * fill * (60.0 - fill), 2.0 * PI * 30.0 * fill, 0.0].map(|a| a / 100.0);
        assert!((in_millilitres(cap.volume()) / volume - 1.0).abs() < 1e-9, "{fill} mm");
        let mesh = Mesh::of(&cap, Resolution::Working, 1.0);
        // Simpson's rule over thin slices, frusta for the wall: as for the bowls above.
        assert!((mesh.total_volume() * 1e6 / volume - 1.0).abs() < 1e-4, "{fill} mm");
        for (found, wanted) in mesh.areas().into_iter().zip(areas) {
            let found = found * 1e4;
            assert!((found - wanted).abs() <= 5e-3 * wanted, "{fill} mm: {found}, not {wanted}");
        }
        assert!(!cap.is_closed(), "water in a part-filled ball has an open top");
    }
    let full = ball.filled_to(mm(60.0)).unwrap();
    assert!(full.is_closed());
    assert_eq!(full, ball);
}

#[test]
fn refusals_say_the_sizes_as_given() {
    let pan = Shape::Round { across: mm(80.0), depth: mm(50.0) };
    let deep = Body::of(&pan).unwrap().filled_to(mm(60.0)).unwrap_err();
    assert_eq!(deep.to_string(), "a fill of 60.0 mm is deeper than the mould, 50.0 mm");
    // 80 mm across and 50 mm deep: 80 π mL.
    let scaled = pan.holding(Some(millilitres(-3.0))).unwrap_err();
    assert_eq!(scaled.to_string(), "-3 mL does not fit a mould that holds 251 mL");
    for nothing in [0.0, 1e-9, 1e9, f64::NAN, f64::INFINITY] {
        let scaled = pan.holding(Some(millilitres(nothing)));
        assert!(matches!(scaled, Err(ShapeError::Volume { .. })), "{nothing} mL");
    }
}

#[test]
fn nonsense_is_refused() {
    let ok = mm(50.0);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300, 0.5].map(mm) {
        let refused = |shape: Result<Body, ShapeError>| {
            assert!(matches!(shape, Err(ShapeError::Length { .. })), "{bad:?}: {shape:?}");
        };
        refused(Body::of(&Shape::Box { length: bad, width: ok, depth: ok }));
        refused(Body::of(&Shape::Box { length: ok, width: ok, depth: bad }));
        refused(Body::of(&Shape::Round { across: bad, depth: ok }));
        refused(Body::of(&Shape::Cup { across: ok, base: bad, depth: ok }));
        refused(Body::of(&Shape::Ball { across: bad }));
        refused(Body::of(&Shape::HalfBall { across: bad }));
        refused(Body::of(&Shape::Ring { across: ok, inner: bad, depth: ok }));
        refused(Body::of(&Shape::Outline {
            points: [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]].to_vec(),
            across: bad,
            depth: ok,
        }));
        refused(Body::of(&Shape::Round { across: ok, depth: ok }).unwrap().filled_to(bad));
    }
    let narrow =
        |inner: f64| Body::of(&Shape::Ring { across: mm(100.0), inner: mm(inner), depth: ok });
    assert!(matches!(narrow(100.0), Err(ShapeError::Hole { .. })));
    assert!(matches!(narrow(120.0), Err(ShapeError::Hole { .. })));
    let bow_tie = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.2]];
    assert!(matches!(
        Body::of(&Shape::Outline { points: bow_tie.to_vec(), across: ok, depth: ok }),
        Err(ShapeError::Outline(_))
    ));
}

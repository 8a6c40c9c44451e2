use solidby::ask::dough::*;
use solidby::dough::drying::*;
use solidby::dough::recipe::Recipe;
use solidby::units::*;

fn cups(f: f64, s: f64, w: f64) -> Recipe {
    let c = |n: f64| millilitres(236.588 * n);
    Recipe::by_volume(c(f), c(s), c(w)).unwrap()
}
fn q(r: (f64, f64, f64), mm: f64, t: f64, faces: Faces, pre: f64) -> DoughQuestion {
    DoughQuestion {
        thickness: millimetres(mm),
        size: None,
        hole: None,
        count: 12,
        dough: Dough::ByCups(cups(r.0, r.1, r.2)),
        method: if t < 30.0 { Method::Air } else { Method::Oven(celsius(t), "still".into()) },
        room: None,
        humidity: None,
        altitude: metres(0.0),
        faces: Some(faces),
        pre_dry: Some(hours(pre)),
        exact: None,
        units: System::Metric,
    }
}
#[test]
fn explore() {
    let c = (2.0, 1.0, 1.0);
    for (id, r, mm, t, obs, pre) in [
        ("P01", c, 3.2, 149.0, "0.5-1", 0.0),
        ("P02", c, 3.2, 121.0, "2", 0.0),
        ("P03", (4.0, 2.0, 1.5), 3.2, 121.0, "2 flip", 0.0),
        ("P04", (2.0, 1.0, 0.75), 3.2, 121.0, "2", 0.0),
        ("P05", (1.0, 1.0, 0.5), 6.4, 93.0, "3+ flip", 0.0),
        ("P06", c, 6.4, 121.0, "2+", 0.0),
        ("P08", (3.0, 1.0, 1.5), 6.4, 93.0, "2-2.5 flip 6.4-19", 0.0),
        ("P08b", (3.0, 1.0, 1.5), 12.7, 93.0, "2-2.5 flip 6.4-19", 0.0),
        ("P07", (3.0, 1.0, 1.5), 6.4, 163.0, "1.5 flip puffy 6.4-19", 0.0),
        ("P09", (4.0, 1.0, 1.5), 9.5, 149.0, "1-1.5+", 0.0),
        ("P17", (4.0, 1.0, 1.5), 9.5, 121.0, "25-26 flip 6.4-12.7", 24.0),
        ("P18", (2.0, 1.0, 1.0), 20.0, 150.0, "40", 36.0),
        ("P18 5", (2.0, 1.0, 1.0), 5.0, 150.0, "37", 36.0),
        ("P19", c, 8.0, 150.0, "49.5", 48.0),
        ("P21", c, 5.0, 125.0, "2", 0.0),
        ("P22", c, 15.0, 100.0, "3", 0.0),
        ("P24", c, 5.0, 20.0, "120", 0.0),
        ("P24 10", c, 10.0, 20.0, "240", 0.0),
    ] {
        print!("{id} {mm} mm {t} C obs {obs}: ");
        for f in [Faces::One, Faces::Turn, Faces::Two] {
            let a = answer(&q(r, mm, t, f, pre)).unwrap();
            let h = a.hard_h.unwrap();
            print!(" {f:?} {:.1}..{:.1}..{:.1}", h.p05, h.p50, h.p95);
        }
        println!();
    }
}

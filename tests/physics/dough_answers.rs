//! The dough question as a user asks it: bands, risks, reasons, speed.

use approx::assert_relative_eq;
use solidby::answers::AskError;
use solidby::answers::dough::*;
use solidby::drying::recipe::Recipe;
use solidby::drying::solver::Faces;
use solidby::tables;
use solidby::uncertainty::Band;
use solidby::units::*;

use crate::kitchen;
use kitchen::cups;

fn oven(t: f64) -> Method {
    Method::Oven(celsius(t), tables::Oven::still())
}

fn asked(thickness: f64, method: Method) -> DoughQuestion {
    let dough = Dough::Named(tables::Recipe::two_one_one());
    DoughQuestion {
        size: Some(millimetres(75.0)),
        count: 12,
        room: Some(celsius(20.0)),
        humidity: Some(percents(50.0)),
        ..DoughQuestion::of(millimetres(thickness), dough, method)
    }
}

fn level(answer: &DoughAnswer, id: RiskId) -> Option<Level> {
    answer.risks.iter().find(|risk| risk.id == id).map(|risk| risk.level)
}

/// An account of practice that states thickness, temperature and time: common practice, no
/// source (tests/data/README.md).
struct Row {
    id: &'static str,
    recipe: [f64; 3],
    /// Both ends of the thickness, mm.
    thickness: [f64; 2],
    /// Both ends of the last oven setting, °C; `None` is air.
    oven: Option<[f64; 2]>,
    /// Settings before it, °C and hours.
    steps: &'static [(f64, f64)],
    faces: Faces,
    pre_dry: f64,
    /// Hours in all, pre-drying included; the end is infinite for "longer than".
    told: [f64; 2],
    outcome: &'static str,
}

#[rustfmt::skip]
fn practice() -> Vec<Row> {
    use Faces::{One, Turn, Two};
    let common = [2.0, 1.0, 1.0]; // where the account gives none
    let longer = f64::INFINITY;
    let row = |id, recipe, thickness, oven: Option<f64>, faces, pre_dry, told, outcome| Row { id, recipe, thickness, oven: oven.map(|t| [t, t]), steps: &[], faces, pre_dry, told, outcome };
    vec![
        row("P01", common, [3.2, 3.2], Some(149.0), One, 0.0, [0.5, 1.0], "dry when firm"),
        row("P02", common, [3.2, 3.2], Some(121.0), One, 0.0, [2.0, 2.0], "dry and hard"),
        row("P03", [4.0, 2.0, 1.5], [3.2, 3.2], Some(121.0), Turn, 0.0, [2.0, 2.0], "hard"),
        row("P04", [2.0, 1.0, 0.75], [3.2, 3.2], Some(121.0), One, 0.0, [2.0, 2.0], "hard and dry"),
        row("P05", [1.0, 1.0, 0.5], [6.4, 6.4], Some(93.0), Turn, 0.0, [3.0, longer], "went on in air overnight"),
        row("P06", common, [6.4, 6.4], Some(121.0), One, 0.0, [2.0, longer], "needed longer"),
        row("P07", [3.0, 1.0, 1.5], [6.4, 19.0], Some(163.0), Turn, 0.0, [1.5, 1.5], "puffy"),
        row("P08", [3.0, 1.0, 1.5], [6.4, 19.0], Some(93.0), Turn, 0.0, [2.0, 2.5], "advised for flat"),
        row("P09", [4.0, 1.0, 1.5], [9.5, 12.0], Some(149.0), One, 0.0, [1.0, longer], "well over 1 h"),
        row("P17", [4.0, 1.0, 1.5], [6.4, 12.7], Some(121.0), Turn, 24.0, [25.0, 26.0], "after one day in air"),
        row("P18", common, [20.0, 20.0], Some(150.0), One, 36.0, [40.0, 40.0], "1 h a 5 mm, 20 mm = 4 h"),
        row("P19", common, [8.0, 8.0], Some(150.0), One, 48.0, [49.5, 49.5], "starch mix"),
        Row { steps: &[(75.0, 1.0), (120.0, 1.0)], ..row("P20", common, [5.0, 5.0], Some(150.0), One, 24.0, [27.0, 27.0], "1 h a 5 mm at 75, 1 h at 120, 1 h at 150") },
        Row { steps: &[(50.0, 1.0)], oven: Some([120.0, 150.0]), ..row("P21", common, [5.0, 5.0], None, One, 0.0, [2.0, 2.0], "1 h a 5 mm at 50, then 1 h at 120 to 150") },
        Row { steps: &[(70.0, 1.0)], oven: Some([100.0, 120.0]), ..row("P22", common, [15.0, 15.0], None, One, 0.0, [3.0, 3.0], "1 h at 60 to 80, 2 h at 100 to 120") },
        row("P24", common, [5.0, 10.0], None, Two, 0.0, [120.0, 240.0], "1 mm a day"),
    ]
}

/// From firm to dry, the 5 % point of one to the 95 % point of the other, over both ends of the
/// thickness and of the oven setting: an account calls either of the two states done.
fn predicted(row: &Row) -> (f64, f64) {
    let band = |mm: f64, t: Option<f64>| {
        let [flour, salt, water] = row.recipe;
        let question = DoughQuestion {
            size: None,
            dough: Dough::Measured(cups(flour, salt, water), [false; 3]),
            room: None,
            humidity: None,
            faces: Some(row.faces),
            pre_dry: Some(hours(row.pre_dry)),
            stretches: None,
            oven_steps: row.steps.iter().map(|(t, h)| (celsius(*t), hours(*h))).collect(),
            ..asked(mm, t.map_or(Method::Air, oven))
        };
        let answer = answer(&question).unwrap();
        (answer.hard_h.unwrap().p05, answer.dry_h.unwrap().p95)
    };
    let cool = row.oven.map(|ends| ends[0]);
    let hot = row.oven.map(|ends| ends[1]);
    (band(row.thickness[0], hot).0, band(row.thickness[1], cool).1)
}

#[test]
fn practice_lies_in_the_band() {
    // The observed time inside the 90 % band in at least 80 % of the rows. Rows P01 to P06 and
    // P24 served to choose the diffusivity: they calibrate, they do not validate.
    // A time told as a range is met when the band meets the range. Nobody tells oven time to
    // the minute: to five of them here, which decides P21 alone.
    let told_to = 5.0 / 60.0;
    let rows = practice();
    let (mut inside, mut strictly) = (0, 0);
    for row in &rows {
        let (low, high) = predicted(row);
        let meets = |by: f64| high >= row.told[0] - by && low <= row.told[1] + by;
        let met = meets(told_to);
        inside += usize::from(met);
        strictly += usize::from(meets(0.0));
        println!(
            "{} {:?} mm {:?} °C {:?}: {low:.2} to {high:.1} h, told {:?} h ({}) {}",
            row.id,
            row.thickness,
            row.oven,
            row.faces,
            row.told,
            row.outcome,
            if met { "inside" } else { "OUTSIDE" }
        );
    }
    println!("{inside} of {} rows inside, {strictly} to the second", rows.len());
    assert!(inside * 10 >= rows.len() * 8);
}

#[test]
fn puffy_rows_are_flagged_and_flat_ones_not() {
    for (id, t, flagged) in [
        ("P07", 163.0, true),
        ("P10", 135.0, true),
        ("P08", 93.0, false),
        ("P12", 99.0, false),
        ("P16", 100.0, false),
    ] {
        let risk = level(&answer(&asked(6.4, oven(t))).unwrap(), RiskId::Puff);
        println!("{id} {t} °C: {risk:?}");
        assert_eq!(risk == Some(Level::High), flagged, "{id}");
    }
    // Saturated brine boils at 108.7 °C (Salt Institute): 105 °C off, 110 °C on; at 1500 m it
    // boils at 103.3 °C, computed here.
    let puff = |t, altitude: f64| {
        let question = DoughQuestion { altitude: metres(altitude), ..asked(6.4, oven(t)) };
        level(&answer(&question).unwrap(), RiskId::Puff).is_some()
    };
    assert!(!puff(105.0, 0.0) && puff(110.0, 0.0));
    assert!(puff(105.0, 1500.0) && !puff(102.0, 1500.0));
}

#[test]
fn brown_and_crack_grow_with_heat_and_thickness() {
    let both = |mm, t| {
        let question = DoughQuestion { faces: Some(Faces::Two), ..asked(mm, oven(t)) };
        let answer = answer(&question).unwrap();
        (level(&answer, RiskId::Brown), level(&answer, RiskId::Crack))
    };
    assert_eq!(both(6.0, 93.0), (None, None));
    assert_eq!(both(6.0, 121.0).0, Some(Level::Some));
    assert_eq!(both(6.0, 163.0).0, Some(Level::High));
    assert!(both(12.0, 93.0).1.is_some() && both(12.0, 149.0).1 >= both(12.0, 93.0).1);
    let on_tray = DoughQuestion { faces: Some(Faces::One), ..asked(12.0, oven(149.0)) };
    assert_eq!(level(&answer(&on_tray).unwrap(), RiskId::Crack), Some(Level::High));
}

#[test]
fn the_change_named_removes_the_risk() {
    let risks = |question: &DoughQuestion| answer(question).unwrap().risks;
    let text = |question: &DoughQuestion, id| {
        risks(question).into_iter().find(|risk| risk.id == id).unwrap().text
    };
    let gone = |question: &DoughQuestion, id| risks(question).iter().all(|risk| risk.id != id);
    let hot = asked(6.0, oven(149.0));
    assert!(text(&hot, RiskId::Puff).contains("Set the oven to 105 °C"));
    assert!(gone(&asked(6.0, oven(105.0)), RiskId::Puff));
    assert!(text(&hot, RiskId::Brown).contains("Set the oven to 110 °C"));
    assert!(gone(&asked(6.0, oven(110.0)), RiskId::Brown));
    let thick = asked(12.0, oven(93.0));
    println!("{}", text(&thick, RiskId::Crack));
    let gentle = DoughQuestion {
        pre_dry: Some(hours(24.0)),
        faces: Some(Faces::Two),
        ..asked(7.2, oven(93.0))
    };
    assert!(gone(&gentle, RiskId::Crack));
    let damp = |rh| DoughQuestion { humidity: Some(percents(rh)), ..asked(4.0, Method::Air) };
    assert!(text(&damp(80.0), RiskId::Humid).contains("below 60 %"));
    assert!(gone(&damp(59.0), RiskId::Humid));
}

#[test]
fn humid_rooms() {
    // Never from the deliquescence point, with reason and remedy; warned 65 to 75 %.
    for (t, humidity) in [(20.0, 75.0), (20.0, 80.0), (30.0, 90.0), (10.0, 75.0), (40.0, 76.0)] {
        let question = DoughQuestion {
            room: Some(celsius(t)),
            humidity: Some(percents(humidity)),
            ..asked(3.2, Method::Air)
        };
        let answer = answer(&question).unwrap();
        assert!(answer.never_dries && answer.hard_h.is_none() && answer.dry_h.is_none());
        let reason = answer.reason.clone().unwrap();
        assert!(reason.contains("takes up water") && reason.contains("oven"), "{reason}");
        assert_eq!(level(&answer, RiskId::Humid), Some(Level::High));
    }
    for (humidity, risk) in
        [(50.0, None), (64.0, None), (65.0, Some(Level::Some)), (74.0, Some(Level::Some))]
    {
        let question =
            DoughQuestion { humidity: Some(percents(humidity)), ..asked(3.2, Method::Air) };
        let answer = answer(&question).unwrap();
        assert!(!answer.never_dries && answer.hard_h.is_some(), "{humidity} %");
        assert_eq!(level(&answer, RiskId::Humid), risk, "{humidity} %");
    }
    // An oven dries in any room, but the piece will not stay dry there.
    let question = DoughQuestion {
        humidity: Some(percents(85.0)),
        room: Some(celsius(28.0)),
        ..asked(3.2, oven(93.0))
    };
    let answer = answer(&question).unwrap();
    assert!(!answer.never_dries && answer.hard_h.is_some());
    assert_eq!(level(&answer, RiskId::Humid), Some(Level::High));
    println!("{}", answer.risks[0].text);
}

#[test]
fn what_the_scale_says() {
    // 31 %, computed apart (tests/dough_recipe.rs), within 2 points; 75 x 6.35 mm of 1410 kg/m³.
    let answer = answer(&asked(6.35, oven(93.0))).unwrap();
    assert_relative_eq!(100.0 * answer.mass_loss.unwrap(), 31.0, epsilon = 2.0);
    assert_relative_eq!(answer.weigh_g.wet, 39.5, max_relative = 0.03);
    let dry = answer.weigh_g.dry.unwrap();
    assert_relative_eq!(
        dry,
        answer.weigh_g.wet * (1.0 - answer.mass_loss.unwrap()),
        max_relative = 1e-9
    );
    assert_relative_eq!(answer.water_activity_start, 0.753, epsilon = 0.002);
    let half = answer.turn_h.unwrap() / answer.nominal.dry_h.unwrap();
    assert_relative_eq!(half, 0.5, max_relative = 0.01);
}

#[test]
fn bands_are_in_order_and_what_is_told_narrows_them() {
    let width = |band: Option<Band>| band.map(|band| band.p95 / band.p05).unwrap();
    let told = asked(5.0, Method::Air);
    let untold = DoughQuestion { humidity: None, room: None, ..told.clone() };
    let (told, untold) = (answer(&told).unwrap(), answer(&untold).unwrap());
    for answer in [&told, &untold] {
        let (hard, dry) = (answer.hard_h.unwrap(), answer.dry_h.unwrap());
        assert!(hard.p05 < hard.p50 && hard.p50 < hard.p95);
        assert!(dry.p05 >= hard.p05 && dry.p50 >= hard.p50 && dry.p95 >= hard.p95);
        let share: f64 = answer.unsure.iter().map(|unsure| unsure.share).sum();
        assert!(answer.unsure[0].share > 0.5 && share < 1.1);
    }
    assert!(width(untold.dry_h) > width(told.dry_h));
}

#[test]
fn medians_move_the_right_way() {
    let median = |question: DoughQuestion| answer(&question).unwrap().dry_h.unwrap().p50;
    let rises = |times: &[f64]| assert!(times.windows(2).all(|t| t[1] > t[0]), "{times:?}");
    rises(&[3.0, 5.0, 8.0].map(|mm| median(asked(mm, oven(93.0)))));
    rises(&[105.0, 93.0, 80.0, 65.0].map(|t| median(asked(5.0, oven(t)))));
    rises(&[30.0, 50.0, 65.0, 72.0].map(|rh| {
        median(DoughQuestion { humidity: Some(percents(rh)), ..asked(5.0, Method::Air) })
    }));
    rises(
        &[30.0, 22.0, 15.0]
            .map(|t| median(DoughQuestion { room: Some(celsius(t)), ..asked(5.0, Method::Air) })),
    );
    let size = |mm: f64| DoughQuestion {
        size: Some(millimetres(mm)),
        count: 1,
        faces: Some(Faces::Two),
        ..asked(10.0, oven(93.0))
    };
    rises(&[30.0, 60.0, 100.0].map(|mm| median(size(mm))));
}

#[test]
fn prescribed_conditions_are_crank() {
    // Crank (1975): with a huge film and a constant D in air, Fo(MR) of the slab series gives
    // the time. 0.3 % for 16 cells.
    let (thickness, d) = (0.006, 1e-9);
    for (faces, length) in [(Faces::Two, 0.003), (Faces::One, 0.006)] {
        let question = DoughQuestion {
            faces: Some(faces),
            exact: Some(Exact { film: Some(film(1e7)), diffusivity: Some(diffusivity(d)) }),
            ..asked(1e3 * thickness, Method::Air)
        };
        let series = |fo: f64| -> f64 {
            (0..200)
                .map(|n| {
                    let odd = f64::from(2 * n + 1);
                    let pi = std::f64::consts::PI;
                    8.0 / (pi * odd).powi(2) * (-(odd * pi).powi(2) * fo / 4.0).exp()
                })
                .sum()
        };
        // Firm: a tenth of the removable water is left, whatever the recipe.
        let wanted = 0.1;
        let (mut low, mut high) = (0.0, 5.0);
        for _ in 0..60 {
            let fo = 0.5 * (low + high);
            if series(fo) > wanted { low = fo } else { high = fo }
        }
        let seconds = low * length * length / d;
        let found = answer(&question).unwrap();
        assert_relative_eq!(found.nominal.hard_h.unwrap() * 3600.0, seconds, max_relative = 0.003);
        assert_eq!(found.dry_h.unwrap().p05, found.dry_h.unwrap().p95);
    }
}

#[test]
fn one_face_against_two_in_both_limits() {
    let time = |faces, film_h: Option<f64>, d: f64, method: Method| {
        let exact = Exact { film: film_h.map(film), diffusivity: Some(diffusivity(d)) };
        let question =
            DoughQuestion { faces: Some(faces), exact: Some(exact), ..asked(6.0, method) };
        answer(&question).unwrap().nominal.dry_h.unwrap()
    };
    let ratio = |film_h, d, method: Method| {
        time(Faces::One, film_h, d, method.clone()) / time(Faces::Two, film_h, d, method)
    };
    // Scaled equations: what is left is the step control.
    assert_relative_eq!(ratio(Some(1e7), 1e-9, Method::Air), 4.0, max_relative = 1e-3);
    assert_relative_eq!(ratio(Some(8.0), 1e-3, oven(93.3)), 2.0, max_relative = 1e-3);
}

#[test]
fn the_best_way_out() {
    let ways = ways_out(&asked(6.35, oven(93.3)), Some(hours(48.0))).unwrap();
    for way in &ways.ways {
        println!(
            "{}: dry {:.1?} h, {:?}, in time {:?}",
            way.change,
            way.dry_h.map(|b| b.p95),
            way.risks,
            way.in_time
        );
    }
    println!("thickest in 48 h: {:.1} mm", ways.thickest_mm.unwrap());
    let best = &ways.ways[0];
    assert!(best.in_time == Some(true) && best.risks.iter().all(|risk| risk.id != RiskId::Puff));
    let thickest = ways.thickest_mm.unwrap();
    let p95 = |mm: f64| answer(&asked(mm, oven(93.3))).unwrap().dry_h.unwrap().p95;
    assert!(p95(thickest) <= 48.0 && p95(thickest + 0.5) > 48.0);
}

/// Somebody stays at home for as long as an oven is on, and for no hour of it in air.
#[test]
fn an_oven_is_watched_while_it_is_on() {
    let ways = ways_out(&asked(6.35, oven(93.3)), None).unwrap().ways;
    for way in &ways {
        let dry = way.dry_h.unwrap().p95;
        let in_air = match way.change.as_str() {
            change if change.starts_with("air") => dry,
            change if change.starts_with("a day in air") => 24.0,
            _ => 0.0,
        };
        assert!((way.watched_h - (dry - in_air)).abs() < 1e-9, "{way:?}");
    }
    assert!(ways.iter().any(|way| way.watched_h == 0.0));
}

/// What is asked of the oven is told without what the room does to it afterwards.
#[test]
fn risks_of_the_oven_are_none_of_the_room() {
    let damp = |method| DoughQuestion { humidity: Some(percents(74.0)), ..asked(12.0, method) };
    assert_eq!(level(&answer(&damp(oven(149.0))).unwrap(), RiskId::Humid), Some(Level::Some));
    let risks = oven_risks(&damp(oven(149.0))).unwrap();
    assert!(risks.iter().any(|risk| risk.id == RiskId::Puff), "{risks:?}");
    assert!(risks.iter().all(|risk| risk.id != RiskId::Humid), "{risks:?}");
    let cracks = DoughQuestion { humidity: Some(percents(20.0)), ..asked(20.0, Method::Air) };
    assert!(!answer(&cracks).unwrap().risks.is_empty());
    assert_eq!(oven_risks(&cracks).unwrap(), []);
}

#[test]
fn doughs_with_little_or_no_salt() {
    // Below saturation the water activity starts above the brine's and falls as salt is added.
    let with_salt = |salt: f64| {
        let recipe = Recipe::by_mass(grams(250.0), grams(salt), grams(125.0)).unwrap();
        DoughQuestion { dough: Dough::Measured(recipe, [true; 3]), ..asked(4.0, Method::Air) }
    };
    let mut before = 1.0;
    for salt in [0.0, 5.0, 20.0, 60.0, 125.0] {
        let answer = answer(&with_salt(salt)).unwrap();
        println!(
            "{salt} g: a_w {:.3}, hard {:?} h",
            answer.water_activity_start, answer.nominal.hard_h
        );
        assert!(answer.water_activity_start <= before && answer.hard_h.is_some());
        before = answer.water_activity_start;
    }
    assert_relative_eq!(before, 0.753, epsilon = 0.002);
}

#[test]
fn wrong_questions() {
    let refused = |question: DoughQuestion| answer(&question).unwrap_err();
    let out = |error| matches!(error, AskError::OutOfRange(_));
    assert!(out(refused(asked(0.0, Method::Air))));
    assert!(out(refused(asked(f64::NAN, Method::Air))));
    assert!(out(refused(asked(6.0, oven(900.0)))));
    assert!(out(refused(DoughQuestion {
        humidity: Some(percents(130.0)),
        ..asked(6.0, Method::Air)
    })));
    assert!(out(refused(DoughQuestion { count: 0, ..asked(6.0, Method::Air) })));
    assert!(out(refused(DoughQuestion {
        opening: Some(millimetres(74.0)),
        ..asked(6.0, Method::Air)
    })));
    let error = tables::oven("fann").unwrap_err().to_string();
    assert!(error.contains("fan"), "{error}");
}

#[test]
fn the_same_question_gives_the_same_bytes() {
    let once = || serde_json::to_string(&answer(&asked(6.35, oven(93.0))).unwrap()).unwrap();
    assert_eq!(once(), once());
    let json: serde_json::Value = serde_json::from_str(&once()).unwrap();
    for key in [
        "hard_h",
        "dry_h",
        "never_dries",
        "reason",
        "mass_loss",
        "weigh_g",
        "water_activity_start",
        "risks",
        "cautions",
        "notes",
    ] {
        assert!(json.get(key).is_some(), "{key}");
    }
    assert!(json["hard_h"]["p95"].is_number() && json["weigh_g"]["dry"].is_number());
}

/// A piece is turned at a time that the steps of the solution may end a rounding
/// beyond; it is turned then all the same, and the drying goes on to its end.
#[test]
fn ways_in_a_humid_room_come_to_an_end() {
    for thickness in [4.0, 5.0, 6.35, 8.0, 9.5] {
        let question = DoughQuestion {
            size: Some(millimetres(76.2)),
            count: 1,
            room: None,
            humidity: Some(percents(80.0)),
            ..asked(thickness, oven(200.0 / 1.8 - 32.0 / 1.8))
        };
        let ways = ways_out(&question, Some(hours(61.5))).unwrap().ways;
        assert!(ways.iter().any(|way| way.in_time == Some(true)), "{thickness} mm: {ways:?}");
    }
}

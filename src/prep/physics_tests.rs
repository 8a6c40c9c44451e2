//! What the planner is told: moulds are told apart, rests in an oven are not counted.

use super::*;
use crate::planfile;
use crate::shape::Shape;
use crate::units::{hours, millilitres, millimetres};

fn kitchen() -> Freezer {
    Freezer {
        name: "kitchen".to_owned(),
        kind: tables::Freezer::fridge_freezer(),
        air: None,
        rated: None,
        holds: 8,
        usual: false,
        bags: 0,
        place: 0,
    }
}

fn pan(depth: f64) -> Mould {
    Mould {
        cups: 1,
        to_a_place: 1,
        name: "pan".to_owned(),
        shape: Some(Shape::Round { across: millimetres(100.0), depth: millimetres(depth) }),
        measured: None,
        fill: Some(millimetres(depth)),
        volume: millilitres(depth * 25.0 * std::f64::consts::PI / 10.0),
        wall: tables::wall("silicone").unwrap(),
        stand: None,
        covered: false,
        own: 1,
    }
}

#[test]
fn a_deeper_mould_is_another_question() {
    let physics = Physics::default();
    let median = |depth| physics.freeze(&pan(depth), &kitchen(), 1).unwrap().point(0.5);
    // Heat from twice the depth through much the same open area takes longer, and a
    // question asked again has the same answer.
    let (shallow, deep) = (median(20.0), median(40.0));
    assert!(deep > 1.3 * shallow, "{shallow} h and {deep} h");
    assert_eq!(median(20.0), shallow);
    let room =
        Room { temperature: celsius(20.0), humidity: fraction(0.45), altitude: millimetres(0.0) };
    let kept = |depth| physics.keeping(&pan(depth), 1, room).unwrap().cool_box_h;
    assert!(kept(40.0) > 1.1 * kept(20.0), "more ice keeps longer");
}

/// Blocks that travel together keep each other cold: half the shortest time until half of each
/// is gone, as `thaw` says of so many. One more never keeps less, and where they need several
/// boxes a full one is not counted on.
#[test]
fn many_blocks_keep_longer_in_a_cool_box_than_one() {
    let physics = Physics::default();
    let room =
        Room { temperature: celsius(20.0), humidity: fraction(0.45), altitude: millimetres(0.0) };
    let kept = |count| physics.keeping(&pan(40.0), count, room).unwrap();
    let question = |count| ThawQuestion {
        locale: Locale::default(),
        block: block(&pan(40.0)),
        fill: Some(millimetres(40.0)),
        count,
        start: celsius(FREEZER_C),
        room: Some(room.temperature),
        humidity: Some(room.humidity),
        keeping: thaw::Keeping::foam_box(),
    };
    for count in [1, 12] {
        let half = thaw::answer(&question(count)).unwrap().half_h.p05;
        assert_eq!(kept(count).cool_box_h, 0.5 * half, "{count}");
    }
    let all: Vec<f64> = (1..=40).map(|count| kept(count).cool_box_h).collect();
    assert!(all.windows(2).all(|pair| pair[0] <= pair[1]), "{all:?}");
    assert!(all[11] > 2.0 * all[0], "{all:?}");
    assert_eq!(all[39], all[12], "thirteen of 314 mL half fill a box of 25 L");
    assert_eq!(kept(12).table_h, kept(1).table_h, "each stands on the table by itself");
}

/// A lid keeps cold air from the water, and a cold plate draws the heat off.
#[test]
fn a_lid_and_a_stand_are_asked_for() {
    let physics = Physics::default();
    let median = |mould: &Mould| physics.freeze(mould, &kitchen(), 1).unwrap().point(0.5);
    let open = median(&pan(30.0));
    let covered = median(&Mould { covered: true, ..pan(30.0) });
    let plate = tables::stand("cold-plate").unwrap();
    let on_plate = median(&Mould { stand: Some(plate), ..pan(30.0) });
    assert!(on_plate < open && open < covered, "{on_plate} h, {open} h, {covered} h");
}

/// What was asked before costs nothing; deep water costs more than shallow water.
#[test]
fn the_work_of_an_answer_is_counted_once() {
    let physics = Physics::default();
    let work = |depth: f64| {
        let before = physics.worked_out();
        physics.freeze(&pan(depth), &kitchen(), 4).unwrap();
        physics.worked_out() - before
    };
    let (shallow, deep) = (work(20.0), work(60.0));
    assert!(shallow > 2 * USUAL_WORK && deep > shallow + 2, "{shallow} and {deep}");
    assert_eq!(work(20.0), 0);
}

/// Of a mould whose name and shape nobody knows, 200 mL freeze the later the deeper they
/// stand, and about as late as in a round pan of that depth and volume.
#[test]
fn a_depth_counts_where_the_shape_is_not_known() {
    let physics = Physics::default();
    let median = |mould: &Mould| physics.freeze(mould, &kitchen(), 1).unwrap().point(0.5);
    let times = [15.0, 30.0, 60.0].map(|depth| {
        let fill = Some(millimetres(depth));
        let unknown = Mould { shape: None, fill, volume: millilitres(200.0), ..pan(depth) };
        let across = millimetres((200e3 / depth * 4.0 / std::f64::consts::PI).sqrt());
        let shape = Some(Shape::Round { across, depth: millimetres(depth) });
        [median(&unknown), median(&Mould { shape, ..pan(depth) })]
    });
    assert!(times[0][0] * 1.2 < times[1][0] && times[1][0] * 1.05 < times[2][0], "{times:?}");
    for [unknown, round] in times {
        assert!((unknown / round - 1.0).abs() < 0.1, "{times:?}");
    }
}

/// The course of one stretch in the oven is that of the whole drying from its hour on.
#[test]
fn a_part_of_the_course_is_a_part_of_the_whole() {
    let plan = planfile::read(include_str!("../../demo/forest-fortnight.toml")).unwrap();
    let (oven, at) = plan.ornaments[0].method.oven().expect("baked");
    let heat = Heat::Oven { kind: plan.ovens[oven].kind, at, lasts: hours(2.0), times: 2 };
    let physics = Physics::default();
    let course = |part| {
        let ornament = Box::new(plan.ornaments[0].clone());
        physics.course(&plan, &Process::Drying { ornament, pieces: 20, heat, part }).unwrap()
    };
    let whole = course(None);
    let done = whole.done_h.unwrap();
    assert!(done > 16.0, "the rack is needed after the second stretch: {done} h");
    let second = course(Some((14.0, 2.0)));
    let within = whole.points.iter().filter(|[h, _]| (14.0..=16.0).contains(h));
    let wanted: Vec<[f64; 2]> = within.map(|[h, left]| [h - 14.0, *left]).collect();
    assert!(!wanted.is_empty());
    assert_eq!(second.points, wanted);
    assert_eq!(second.done_h, None);
}

/// When it is given, to whom and how finished is nothing to its drying: such a batch is not
/// asked for again, while a thicker one is.
#[test]
fn a_batch_given_on_another_day_is_the_same_question() {
    let plan = planfile::read(&planfile::starter()).unwrap();
    let physics = Physics::default();
    let asked = |ornament: &Ornament| {
        let drying = Drying { ornament, pieces: 8, room: plan.room, heat: Heat::Air };
        let firm = physics.dry(&drying).unwrap().firm.point(0.5);
        (firm, physics.dried.borrow().len())
    };
    let own = plan.ornaments[0].clone();
    let give = own.give.succ_opt().unwrap();
    let other = Ornament {
        give,
        groups: Vec::new(),
        finish: Vec::new(),
        name: String::new(),
        ..own.clone()
    };
    let thicker = Ornament { thickness: 1.5 * own.thickness, ..own.clone() };
    let (firm, first) = asked(&own);
    assert_eq!((asked(&other), first), ((firm, 1), 1));
    let (later, again) = asked(&thicker);
    assert!(later > firm && again == 2, "{later} h after {firm} h, {again} questions");
}

/// What comes out of the oven is firm at best: a plan waits until a damp piece is cool.
#[test]
fn a_plan_waits_for_damp_pieces_to_cool() {
    let demo = include_str!("../../demo/forest-fortnight.toml");
    let plan = planfile::read(demo).unwrap();
    let ornament = &plan.ornaments[0];
    let cool = Physics::default().cool(ornament, celsius(93.0), plan.room).unwrap();
    let asked = CoolQuestion {
        thickness: ornament.thickness,
        size: Some(ornament.across),
        from: celsius(93.0),
        room: Some(plan.room.temperature),
        on: CoolOn::Rack,
        tray: TrayMetal::Aluminium,
    };
    let answer = cool::answer(&asked).unwrap();
    assert_eq!(60.0 * cool, answer.damp_piece_child_min.max(answer.tray_child_min));
    assert!(60.0 * cool > 1.5 * answer.piece_child_min, "{cool} h");
}

//! Cooling of piece and tray, and drying of coats, against values computed for this project apart
//! from this code.

use approx::assert_relative_eq;
use solidby::answers::cool::{self, CoolOn, CoolQuestion, TrayMetal};
use solidby::drying::cooling::{Cooled, Plate, layer};
use solidby::drying::finish::coat_time;
use solidby::drying::solver::Room;
use solidby::tables;
use solidby::transfer::mass_transfer::{Radiation, Surroundings};
use solidby::transfer::psychrometrics::vapour_pressure;
use solidby::units::*;

#[test]
fn lumped_pieces_on_rack_and_tray() {
    // τ ln((T0 − T)/(T1 − T)) with 1250 kg/m³, 1250 J/kg K, film 15, room 20 °C, to 43 °C;
    // minutes from 93, 100, 121, 150 °C on a rack, to 0.1 min.
    let face = Some(Cooled::Film(film(15.0)));
    for (mm, row) in [
        (3.0, [3.0, 3.2, 3.9, 4.5]),
        (6.0, [6.0, 6.5, 7.7, 9.0]),
        (10.0, [10.0, 10.8, 12.8, 15.0]),
        (13.0, [13.0, 14.1, 16.7, 19.5]),
    ] {
        let heat = layer(
            kilograms_per_cubic_metre(1250.0),
            joules_per_kilogram_kelvin(1250.0),
            millimetres(mm),
        );
        for (from, wanted) in [93.0, 100.0, 121.0, 150.0].into_iter().zip(row) {
            let time = |lower| {
                let plate = Plate { heat, upper: face, lower };
                in_minutes(plate.time_to(celsius(from), celsius(43.0), celsius(20.0)))
            };
            assert_relative_eq!(time(face), wanted, epsilon = 0.06);
            assert_relative_eq!(time(None), 2.0 * time(face), max_relative = 1e-12);
        }
    }
}

#[test]
fn films_that_change_agree_with_the_constant_one() {
    // Natural convection (McAdams) and radiation come to 12 to 20 above and 10 to 14 below on a
    // rack, computed apart: the time lies between those of constant films of 10 and 17 on both
    // faces.
    let heat = 1250.0 * 1250.0 * 0.006;
    let free = Some(Cooled::InRoom {
        size: metres(0.075 / 4.0),
        emissivity: fraction(0.9),
        factor: 1.0,
        pressure: pascals(101_325.0),
    });
    let time = |cooled| {
        let plate = Plate { heat, upper: cooled, lower: cooled };
        in_minutes(plate.time_to(celsius(121.0), celsius(43.0), celsius(20.0)))
    };
    let found = time(free);
    println!("6 mm, 121 to 43 °C on a rack: {found:.1} min");
    assert!(found > time(Some(Cooled::Film(film(17.0)))));
    assert!(found < time(Some(Cooled::Film(film(10.0)))));
}

#[test]
fn rack_and_tray() {
    let question = CoolQuestion {
        thickness: millimetres(6.0),
        size: None,
        from: celsius(93.0),
        room: Some(celsius(20.0)),
        on: CoolOn::Rack,
        tray: TrayMetal::Steel,
    };
    let rack = cool::answer(&question).unwrap();
    let tray = cool::answer(&CoolQuestion { on: CoolOn::Tray, ..question }).unwrap();
    println!(
        "rack: piece {:.0} min, tray {:.0} min for a child; left on the tray {:.0} min",
        rack.piece_child_min, rack.tray_child_min, tray.piece_child_min
    );
    assert!(tray.piece_child_min > rack.piece_child_min);
    assert!(
        rack.piece_adult_min < rack.piece_child_min && rack.tray_adult_min < rack.tray_child_min
    );
    assert_relative_eq!(tray.piece_child_min, tray.tray_child_min, max_relative = 1e-12);
    assert!(rack.bands.piece_child_min.p50 < rack.piece_child_min);
    assert!(
        rack.limits
            .iter()
            .all(|limit| { limit.contact_s.is_some() && tables::source(limit.source).is_ok() })
    );
    let hot_room = CoolQuestion { room: Some(celsius(60.0)), ..question };
    assert!(cool::answer(&hot_room).is_err());
}

#[test]
fn coats_dry_as_slowly_as_brine() {
    // 100 g/m² at 20 °C by the fluxes of src/transfer/tests/moist_air.rs: 2.5 h at 50 %, 6.3 h at
    // 65 %, to 0.1 h from fluxes of two figures, hence 2.5 %.
    let paint = tables::finish("paint").unwrap();
    let time = |t: f64, humidity: f64| {
        let room = Room { air: celsius(t), humidity: percents(humidity) };
        let around = Surroundings {
            air: room.air,
            vapour: vapour_pressure(room.air, room.humidity),
            pressure: pascals(101_325.0),
            film: film(5.0),
            radiation: Radiation::Film(film(5.0)),
        };
        coat_time(paint, &room, &around)
    };
    assert_relative_eq!(in_hours(time(20.0, 50.0).by_brine), 2.5, max_relative = 0.025);
    assert_relative_eq!(in_hours(time(20.0, 65.0).by_brine), 6.3, max_relative = 0.025);
    assert!(in_hours(time(20.0, 76.0).until_next()).is_infinite());
    let day = in_hours(time(20.0, 50.0).until_next());
    assert_relative_eq!(day, 24.0);
    assert_relative_eq!(in_hours(time(20.0, 62.0).until_next()), 48.0);
    assert_relative_eq!(in_hours(time(12.0, 50.0).until_next()), 48.0);
}

//! Water and ice properties against IAPWS values, computed with the packages `iapws` (ice) and
//! CoolProp (water) at 101 325 Pa.

use solidby::properties::medium::salt_lowering;
use solidby::properties::{ice, water};
use solidby::units::{celsius, in_conductivity, percents};
use uom::si::{
    available_energy::kilojoule_per_kilogram, mass_density::kilogram_per_cubic_meter,
    specific_heat_capacity::kilojoule_per_kilogram_kelvin,
};

fn close(what: &str, source: &str, found: f64, expected: f64, absolute: f64) {
    assert!(
        (found - expected).abs() <= absolute,
        "{what}, {source}: found {found}, expected {expected} ± {absolute}"
    );
}

#[test]
fn ice_against_iapws_r10_06() {
    let source = "IAPWS R10-06";
    for (t, density, cp, enthalpy, k) in [
        (0.0, 916.722, 2.0967, -333.360, 2.216),
        (-5.0, 917.449, 2.0599, -343.752, 2.267),
        (-10.0, 918.166, 2.0231, -353.959, 2.320),
        (-15.0, 918.871, 1.9864, -363.983, 2.374),
        (-18.0, 919.289, 1.9645, -369.909, 2.408),
        (-20.0, 919.565, 1.9498, -373.823, 2.430),
        (-30.0, 920.917, 1.8769, -392.957, 2.548),
        (-40.0, 922.219, 1.8045, -411.364, 2.673),
    ] {
        let at = celsius(t);
        let found = ice::density(at).get::<kilogram_per_cubic_meter>();
        close("density", source, found, density, 0.15);
        let found = ice::specific_heat(at).get::<kilojoule_per_kilogram_kelvin>();
        close("cp", source, found, cp, 0.003);
        let found = ice::enthalpy_below_freezing(at).get::<kilojoule_per_kilogram>();
        close("enthalpy below 0 °C", source, found, -(enthalpy + 333.360), 0.05);
        let found = in_conductivity(ice::thermal_conductivity(at));
        close("conductivity", "k(1), Yen et al. 1991", found, k, 0.0015);
    }
}

#[test]
fn water_against_iapws_95() {
    let source = "IAPWS-95 and IAPWS transport";
    for (t, density, cp, k, enthalpy) in [
        (0.01, 999.844, 4.2194, 0.5557, 0.10),
        (4.0, 999.975, 4.2075, 0.5655, 16.91),
        (10.0, 999.702, 4.1952, 0.5788, 42.12),
        (15.0, 999.103, 4.1885, 0.5888, 63.08),
        (20.0, 998.207, 4.1841, 0.5980, 84.01),
        (25.0, 997.048, 4.1813, 0.6065, 104.92),
        (30.0, 995.649, 4.1798, 0.6144, 125.82),
    ] {
        let at = celsius(t);
        let found = water::density(at).get::<kilogram_per_cubic_meter>();
        close("density", source, found, density, 0.01);
        let found = water::specific_heat(at).get::<kilojoule_per_kilogram_kelvin>();
        close("cp", source, found, cp, 0.001);
        let found = in_conductivity(water::thermal_conductivity(at));
        close("conductivity", source, found, k, 0.006);
        // The table counts from the triple point and at 1 atm: 0.06 kJ/kg of pressure.
        let found = water::enthalpy_above_freezing(at).get::<kilojoule_per_kilogram>();
        close("enthalpy", source, found, enthalpy, 0.08);
    }
}

#[test]
fn heat_to_remove_from_a_kilogram() {
    let source = "IAPWS-95 and R10-06";
    for (start, to_0, to_minus_10, to_minus_18) in [
        (10.0, 375.5, 396.1, 412.0),
        (15.0, 396.4, 417.0, 433.0),
        (20.0, 417.4, 438.0, 453.9),
        (25.0, 438.3, 458.9, 474.8),
        (30.0, 459.2, 479.8, 495.7),
        (60.0, 584.6, 605.2, 621.2),
    ] {
        for (end, expected) in [(0.0, to_0), (-10.0, to_minus_10), (-18.0, to_minus_18)] {
            let found = water::enthalpy_above_freezing(celsius(start))
                + ice::enthalpy_below_freezing(celsius(end));
            let found = found.get::<kilojoule_per_kilogram>() + ice::LATENT_HEAT / 1e3;
            close("heat", source, found, expected, 0.12);
        }
    }
}

#[test]
fn expansion_and_salt() {
    let at_0 = ice::density(celsius(0.0)).value;
    let ratio = water::density(celsius(0.0)).value / at_0;
    close("expansion", "IAPWS", ratio, ice::EXPANSION, 1e-4);
    let warm = water::density(celsius(20.0)).value / ice::density(celsius(-18.0)).value;
    close("20 °C water to −18 °C ice", "IAPWS", warm, 1.0858, 2e-4);
    let source = "CRC 56th ed. D252, to 0.1 K; the library's table differs by 0.06 K at 5 %";
    for (share, lowering) in [(1.0, 0.6), (3.0, 1.8), (5.0, 3.0), (10.0, 6.6), (15.0, 10.9)] {
        close("lowering", source, salt_lowering(percents(share)), lowering, 0.06);
    }
    let sea = salt_lowering(percents(3.5));
    close("lowering at 3.5 %", "CoolProp MNA", sea, 2.111, 0.01);
}

//! Water and ice properties against IAPWS values, computed with the packages `iapws` (ice) and
//! CoolProp (water) at 101 325 Pa.

use crate::properties::medium::salt_lowering;
use crate::properties::{ice, water};
use crate::units::percents;

fn close(what: &str, source: &str, found: f64, expected: f64, absolute: f64) {
    assert!(
        (found - expected).abs() <= absolute,
        "{what}, {source}: found {found}, expected {expected} ± {absolute}"
    );
}

#[test]
fn ice_against_iapws_r10_06() {
    let source = "IAPWS R10-06";
    for (t, cp, enthalpy, k) in [
        (0.0, 2.0967, -333.360, 2.216),
        (-5.0, 2.0599, -343.752, 2.267),
        (-10.0, 2.0231, -353.959, 2.320),
        (-15.0, 1.9864, -363.983, 2.374),
        (-18.0, 1.9645, -369.909, 2.408),
        (-20.0, 1.9498, -373.823, 2.430),
        (-30.0, 1.8769, -392.957, 2.548),
        (-40.0, 1.8045, -411.364, 2.673),
    ] {
        let found = (ice::SPECIFIC_HEAT[0] + ice::SPECIFIC_HEAT[1] * t) / 1e3;
        close("cp", source, found, cp, 0.003);
        let found = -ice::enthalpy_si(t) / 1e3;
        close("enthalpy below 0 °C", source, found, -(enthalpy + 333.360), 0.05);
        close("conductivity", "k(1), Yen et al. 1991", ice::conductivity_si(t), k, 0.0015);
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
        close("density", source, water::density_si(t), density, 0.01);
        let found = (water::enthalpy_si(t + 0.01) - water::enthalpy_si(t - 0.01)) / 0.02 / 1e3;
        close("cp", source, found, cp, 0.001);
        close("conductivity", source, water::conductivity_si(t + 273.15), k, 0.006);
        // The table counts from the triple point and at 1 atm: 0.06 kJ/kg of pressure.
        close("enthalpy", source, water::enthalpy_si(t) / 1e3, enthalpy, 0.08);
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
            let found = water::enthalpy_si(start) + ice::LATENT_HEAT - ice::enthalpy_si(end);
            close("heat", source, found / 1e3, expected, 0.12);
        }
    }
}

#[test]
fn expansion_and_salt() {
    let ratio = water::density_si(0.0) / ice::DENSITY_AT_FREEZING;
    close("expansion", "IAPWS", ratio, ice::EXPANSION, 1e-4);
    let source = "CRC 56th ed. D252, to 0.1 K; the library's table differs by 0.06 K at 5 %";
    for (share, lowering) in [(1.0, 0.6), (3.0, 1.8), (5.0, 3.0), (10.0, 6.6), (15.0, 10.9)] {
        close("lowering", source, salt_lowering(percents(share)), lowering, 0.06);
    }
    let sea = salt_lowering(percents(3.5));
    close("lowering at 3.5 %", "CoolProp MNA", sea, 2.111, 0.01);
}

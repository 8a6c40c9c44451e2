//! Vapour pressure, humidity and wet bulb against values printed by ASHRAE
//! Fundamentals (2017) chapter 1, and evaporation against drying notes 4.

use approx::assert_relative_eq;
use solidby::matter::moist_air::saturation_pressure;
use solidby::transfer::mass_transfer::{
    Radiation, Surroundings, WetWith, constant_rate, lewis_ratio,
};
use solidby::transfer::psychrometrics::*;
use solidby::units::*;

const SEA_LEVEL: f64 = 101_325.0;

#[test]
fn saturation_pressure_of_table_3() {
    // ASHRAE (2017) ch. 1 table 3, Pa; 300 ppm is what a third-party check of the formula allows.
    for (t, wanted) in
        [(5.0, 872.6), (25.0, 3169.7), (50.0, 12351.3), (100.0, 101418.0), (150.0, 476101.4)]
    {
        let found = in_pascals(saturation_pressure(celsius(t)));
        assert_relative_eq!(found, wanted, max_relative = 3e-4);
    }
}

#[test]
fn saturated_humidity_ratio_of_table_2() {
    // ASHRAE (2017) ch. 1 table 2; the enhancement factor is left out, hence 0.5 and 2 %.
    for (t, wanted, tolerance) in [
        (5.0, 0.005425, 0.005),
        (25.0, 0.020173, 0.005),
        (50.0, 0.086863, 0.0055),
        (85.0, 0.838105, 0.02),
    ] {
        let found = humidity_ratio(saturation_pressure(celsius(t)), pascals(SEA_LEVEL));
        assert_relative_eq!(in_fraction(found), wanted, max_relative = tolerance);
    }
}

#[test]
fn example_1() {
    // ASHRAE (2017) ch. 1 example 1: 40 °C, wet bulb 20 °C: W 0.0065, dew point 7 °C, 14 %, 56.7 kJ/kg.
    let sea = pascals(SEA_LEVEL);
    let w = ratio_from_wet_bulb(celsius(40.0), celsius(20.0), sea);
    assert_relative_eq!(in_fraction(w), 0.0065, epsilon = 1e-4);
    let vapour = vapour_pressure_of_ratio(w, sea);
    assert_relative_eq!(in_celsius(dew_point(vapour)), 7.0, epsilon = 0.5);
    assert_relative_eq!(in_percents(relative_humidity(celsius(40.0), vapour)), 14.0, epsilon = 0.5);
    let enthalpy = in_joules_per_kilogram(moist_air_enthalpy(celsius(40.0), w));
    assert_relative_eq!(enthalpy, 56_700.0, max_relative = 0.005);
}

#[test]
fn pressure_of_table_1() {
    for (z, wanted) in [(0.0, 101_325.0), (500.0, 95_461.0), (1000.0, 89_875.0), (4000.0, 61_640.0)]
    {
        let found = in_pascals(standard_pressure(metres(z)));
        assert_relative_eq!(found, wanted, max_relative = 1e-4);
    }
}

#[test]
fn wet_bulb_of_rooms_and_ovens() {
    // Drying notes 4.1, computed with an independent psychrometric library, printed to 0.01 K.
    for (t, rh, wet, w) in [
        (20.0, 30.0, 10.85, 0.00434),
        (20.0, 50.0, 13.78, 0.00726),
        (20.0, 60.0, 15.14, 0.00873),
        (20.0, 70.0, 16.44, 0.01021),
        (25.0, 50.0, 17.89, 0.00988),
        (25.0, 65.0, 20.23, 0.01291),
        (30.0, 70.0, 25.50, 0.01880),
    ] {
        let (t, rh, sea) = (celsius(t), percents(rh), pascals(SEA_LEVEL));
        assert_relative_eq!(in_celsius(wet_bulb(t, rh, sea)), wet, epsilon = 0.02);
        let found = in_fraction(humidity_ratio(vapour_pressure(t, rh), sea));
        assert_relative_eq!(found, w, epsilon = 1e-5);
    }
    for (t, rh, wet) in
        [(50.0, 9.5, 23.5), (93.3, 1.5, 33.0), (121.0, 0.57, 37.6), (150.0, 0.25, 41.5)]
    {
        let sea = pascals(SEA_LEVEL);
        let vapour = vapour_pressure_of_ratio(fraction(0.0073), sea);
        let humidity = relative_humidity(celsius(t), vapour);
        assert_relative_eq!(in_percents(humidity), rh, max_relative = 0.03);
        assert_relative_eq!(in_celsius(wet_bulb(celsius(t), humidity, sea)), wet, epsilon = 0.1);
    }
}

#[test]
fn lewis_ratio_of_the_notes() {
    // Drying notes 4.2 (Incropera's properties), m³K/J; 2 % for another set of air properties.
    for (t, wanted) in [(20.0, 8.97e-4), (60.0, 1.04e-3), (100.0, 1.185e-3), (120.0, 1.26e-3)] {
        let found = lewis_ratio(celsius(t), pascals(SEA_LEVEL));
        assert_relative_eq!(found, wanted, max_relative = 0.02);
    }
}

#[test]
fn constant_rate_table() {
    // Drying notes 4.3: air °C, vapour (RH, or the humidity ratio 0.0073 of a heated room),
    // convective and radiative film; face °C and flux of water and brine, kg/m²day or kg/m²h.
    // Printed to three figures with another set of air properties: 3 % and 0.3 K.
    let sea = pascals(SEA_LEVEL);
    let day = 86_400.0;
    let room = |t: f64, rh: f64| vapour_pressure(celsius(t), percents(rh));
    let oven = vapour_pressure_of_ratio(fraction(0.0073), sea);
    let rows = [
        (20.0, room(20.0, 30.0), 5.0, (13.1, 2.42 / day), (15.1, 1.74 / day)),
        (20.0, room(20.0, 50.0), 5.0, (15.2, 1.69 / day), (17.3, 0.95 / day)),
        (20.0, room(20.0, 65.0), 5.0, (16.7, 1.16 / day), (18.9, 0.38 / day)),
        (25.0, room(25.0, 50.0), 5.0, (19.3, 2.01 / day), (21.8, 1.14 / day)),
        (80.0, oven, 8.0, (35.2, 1.05 / 3600.0), (39.3, 0.96 / 3600.0)),
        (93.3, oven, 8.0, (37.9, 1.30 / 3600.0), (42.2, 1.20 / 3600.0)),
        (100.0, oven, 8.0, (39.1, 1.43 / 3600.0), (43.5, 1.33 / 3600.0)),
        (121.0, oven, 8.0, (42.3, 1.85 / 3600.0), (47.0, 1.74 / 3600.0)),
    ];
    for (air, vapour, h, water, brine) in rows {
        let around = Surroundings {
            air: celsius(air),
            vapour,
            pressure: sea,
            film: film(h),
            radiation: Radiation::Film(film(h)),
        };
        for (wet, (face, flux)) in [(WetWith::Water, water), (WetWith::SaturatedBrine, brine)] {
            let found = constant_rate(&around, wet);
            assert_relative_eq!(in_celsius(found.face), face, epsilon = 0.3);
            assert_relative_eq!(found.flux, flux, max_relative = 0.03);
        }
    }
}

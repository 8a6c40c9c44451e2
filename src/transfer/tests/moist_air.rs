//! Vapour pressure, humidity and pressure against values printed by ASHRAE Fundamentals (2017)
//! chapter 1, and evaporation against rows computed for this project apart from this code.

use approx::assert_relative_eq;

use crate::properties::brine::saturated_activity_at;
use crate::properties::moist_air::{
    STANDARD_ATMOSPHERE, heat_of_evaporation_j, saturation_pressure, saturation_pressure_pa,
};
use crate::transfer::mass_transfer::{
    Radiation, Surroundings, WetWith, constant_rate, lewis_ratio_si,
};
use crate::transfer::psychrometrics::*;
use crate::units::*;

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
    // ASHRAE (2017) ch. 1 table 2; the enhancement factor is left out, hence 0.5 to 2 %.
    for (t, wanted, tolerance) in [
        (5.0, 0.005425, 0.005),
        (25.0, 0.020173, 0.005),
        (50.0, 0.086863, 0.0065),
        (85.0, 0.838105, 0.02),
    ] {
        let found = humidity_ratio(saturation_pressure(celsius(t)), pascals(STANDARD_ATMOSPHERE));
        assert_relative_eq!(in_fraction(found), wanted, max_relative = tolerance);
    }
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
fn humidity_ratio_of_rooms() {
    // Computed with the package PsychroLib.
    for (t, rh, w) in [
        (20.0, 30.0, 0.00434),
        (20.0, 50.0, 0.00726),
        (20.0, 60.0, 0.00873),
        (20.0, 70.0, 0.01021),
        (25.0, 50.0, 0.00988),
        (25.0, 65.0, 0.01291),
        (30.0, 70.0, 0.01880),
    ] {
        let vapour = vapour_pressure(celsius(t), percents(rh));
        let found = in_fraction(humidity_ratio(vapour, pascals(STANDARD_ATMOSPHERE)));
        assert_relative_eq!(found, w, epsilon = 1e-5);
    }
}

#[test]
fn lewis_ratio_computed_apart() {
    // 1/(ρ c_p Le^⅔) with the diffusivity of Marrero & Mason (1972), from memory, computed apart
    // from this code, m³K/J; 2 % for another set of air properties.
    for (t, wanted) in [(20.0, 8.97e-4), (60.0, 1.04e-3), (100.0, 1.185e-3), (120.0, 1.26e-3)] {
        let found = lewis_ratio_si(t + 273.15, STANDARD_ATMOSPHERE);
        assert_relative_eq!(found, wanted, max_relative = 0.02);
    }
}

/// Air °C, vapour, convective and as large a radiative film, and for water and brine the
/// face °C and the flux kg/m²s.
type Row = (f64, Pressure, f64, [(WetWith, f64, f64); 2]);

/// (h + h_rad)(T_a − T_s) = ṁ h_fg, solved for each row apart from this code.
fn constant_rate_rows() -> [Row; 8] {
    let room = |t: f64, rh: f64| vapour_pressure(celsius(t), percents(rh));
    let oven = vapour_pressure_of_ratio(fraction(0.0073), pascals(STANDARD_ATMOSPHERE));
    let row = |air, vapour, h, seconds, water: (f64, f64), brine: (f64, f64)| {
        let both = [
            (WetWith::Water, water.0, water.1 / seconds),
            (WetWith::SaturatedBrine, brine.0, brine.1 / seconds),
        ];
        (air, vapour, h, both)
    };
    let (day, hour) = (86_400.0, 3600.0);
    [
        row(20.0, room(20.0, 30.0), 5.0, day, (13.1, 2.42), (15.1, 1.74)),
        row(20.0, room(20.0, 50.0), 5.0, day, (15.2, 1.69), (17.3, 0.95)),
        row(20.0, room(20.0, 65.0), 5.0, day, (16.7, 1.16), (18.9, 0.38)),
        row(25.0, room(25.0, 50.0), 5.0, day, (19.3, 2.01), (21.8, 1.14)),
        row(80.0, oven, 8.0, hour, (35.2, 1.05), (39.3, 0.96)),
        row(93.3, oven, 8.0, hour, (37.9, 1.30), (42.2, 1.20)),
        row(100.0, oven, 8.0, hour, (39.1, 1.43), (43.5, 1.33)),
        row(121.0, oven, 8.0, hour, (42.3, 1.85), (47.0, 1.74)),
    ]
}

/// A face at sea level with a radiative film as large as the convective one.
fn half_radiation(air: f64, vapour: Pressure, h: f64) -> Surroundings {
    Surroundings {
        air: celsius(air),
        vapour,
        pressure: pascals(STANDARD_ATMOSPHERE),
        film: film(h),
        radiation: Radiation::Film(film(h)),
    }
}

#[test]
fn constant_rate_fluxes() {
    // 1.5 %: three figures (0.5 %) and another set of air properties (1 %). The oven faces of
    // the rows are 1.0 to 2.3 K cooler: they take the Lewis ratio at the temperature of the air,
    // not of the film, and one heat of evaporation (their flux times 2.45 MJ/kg is their heat in
    // every row).
    for (air, vapour, h, both) in constant_rate_rows() {
        let around = half_radiation(air, vapour, h);
        for (wet, face, flux) in both {
            let found = constant_rate(&around, wet);
            println!(
                "{air} °C {wet:?}: {:.1} °C ({face}), {:.3} of the flux",
                in_celsius(found.face),
                found.flux / flux
            );
            assert_relative_eq!(found.flux, flux, max_relative = 0.015);
            let tolerance = if air < 30.0 { 0.11 } else { 2.5 };
            assert_relative_eq!(in_celsius(found.face), face, epsilon = tolerance);
        }
    }
}

/// A face as the rows have it: the Lewis ratio at the temperature of the air, one heat of
/// evaporation. Face °C and flux kg/m²s.
fn face_of_the_rows(around: &Surroundings, film: f64, wet: WetWith) -> (f64, f64) {
    let (air, latent) = (in_celsius(around.air), 2.45e6);
    let gathered = |t: f64, pressure: f64| 0.018015 / 8.314 * pressure / (t + 273.15);
    let flux = |face: f64| {
        let activity = match wet {
            WetWith::Water => 1.0,
            WetWith::SaturatedBrine => saturated_activity_at(face),
        };
        let own = activity * saturation_pressure_pa(face + 273.15);
        film * lewis_ratio_si(in_kelvins(around.air), in_pascals(around.pressure))
            * (gathered(face, own) - gathered(air, in_pascals(around.vapour)))
    };
    let (mut low, mut high) = (0.0, air);
    for _ in 0..50 {
        let face = 0.5 * (low + high);
        let warms = 2.0 * film * (air - face) > latent * flux(face);
        (low, high) = if warms { (face, high) } else { (low, face) };
    }
    (low, flux(low))
}

#[test]
fn constant_rate_faces_by_the_rows_own_assumptions() {
    // What the test above allows to differ is the rows' two simplifications and nothing else:
    // with them the library's pressures, activities and Lewis ratio give the rows. 0.2 K and
    // 0.8 %: the rows have three figures, and their curve of the brine's activity is another.
    for (air, vapour, h, both) in constant_rate_rows() {
        let around = half_radiation(air, vapour, h);
        for (wet, face, flux) in both {
            let found = face_of_the_rows(&around, h, wet);
            println!("{air} °C {wet:?}: {:.2} °C ({face}), {:.4}", found.0, found.1 / flux);
            assert_relative_eq!(found.0, face, epsilon = 0.2);
            assert_relative_eq!(found.1, flux, max_relative = 0.008);
        }
    }
}

#[test]
fn tray_of_a_textbook() {
    // Geankoplis, Transport Processes 3rd ed., example 9.6-3: air of 65.6 °C, 0.010 kg/kg,
    // h = 62.45 W/m²K: wet bulb 28.9 °C and, heat over heat of evaporation, 3.39 kg/m²h.
    let sea = pascals(STANDARD_ATMOSPHERE);
    let vapour = vapour_pressure_of_ratio(fraction(0.010), sea);
    let book = 62.45 * (65.6 - 28.9) / heat_of_evaporation_j(28.9) * 3600.0;
    assert_relative_eq!(book, 3.39, max_relative = 0.005);
    // The book puts the face at the adiabatic wet bulb, as if Le were 1; the film of the
    // library has Le^(2/3) near 0.9, whose face is cooler and gives off up to 5 % more.
    let around = Surroundings {
        air: celsius(65.6),
        vapour,
        pressure: sea,
        film: film(62.45),
        radiation: Radiation::Film(film(0.0)),
    };
    let ours = constant_rate(&around, WetWith::Water).flux * 3600.0;
    println!("by the film {ours:.2} kg/m²h, book {book:.2}");
    assert!(ours > book && ours < 1.05 * book);
}

//! The potential against ∫ k dT taken apart from it, the curve there and back, refusals.

use super::*;
use crate::units::{fraction, kilograms_per_cubic_metre};

/// Φ(H) as the module's head states it.
fn potential(medium: &Medium, h: f64) -> f64 {
    let m = h.min(0.0);
    let hinges = medium.hinges.iter().map(|[at, slope]| slope * (h - at).max(0.0));
    medium.frozen[0] * m + medium.frozen[1] * m * m - medium.origin + hinges.sum::<f64>()
}

fn at(medium: &Medium, celsius: f64) -> f64 {
    potential(medium, medium.enthalpy(celsius))
}

fn water() -> Medium {
    Medium::water(kilograms_per_cubic_metre(917.0)).unwrap()
}

/// Water with 2 % of salt.
fn salted() -> Medium {
    let density = kilograms_per_cubic_metre(917.0);
    Medium::solution(density, salt_lowering(fraction(0.02))).unwrap()
}

#[test]
fn potential_of_the_liquid_is_the_integral_of_its_conductivity() {
    // Φ is kept with one heat capacity of water a branch (4215 and 4190 J/kg K) where the
    // curve has IAPWS's, which is up to 0.4 % off between 0 and 20 °C; hence 0.5 %.
    for medium in [water(), salted()] {
        let (k, start) = (water::conductivity_si(273.15), medium.freezing_c());
        assert!(at(&medium, start).abs() < 1e-6, "Φ vanishes at the freezing point");
        for t in [0.1_f64, 2.0, 3.9, 5.0, 10.0, 20.0] {
            let above = (t - STIRRED_ABOVE_C).max(0.0);
            let wanted = k * (t.min(STIRRED_ABOVE_C) - start) + STIRRED_CONDUCTIVITY * above;
            let found = at(&medium, t);
            assert!(
                (found / wanted - 1.0).abs() < 5e-3,
                "{start} °C, at {t} °C: {found}, {wanted}"
            );
        }
        // The line that the wall of a stirred liquid is found from: the same at 10 °C, by
        // k (3.98 − T_f) + k_stirred (10 − 3.98).
        let line = medium.stirred[0] + medium.stirred[1] * (10.0 - start);
        let wanted = k * (3.98 - start) + STIRRED_CONDUCTIVITY * (10.0 - 3.98);
        assert!((line / wanted - 1.0).abs() < 1e-9, "{line} W/m, not {wanted}");
    }
}

#[test]
fn potential_of_ice_is_the_integral_of_its_conductivity() {
    let medium = water();
    for to in [-2.0, -5.0, -10.0, -18.0, -25.0] {
        let slices = 200;
        let width = to / f64::from(slices);
        let k = |i: i32| ice::conductivity_si((f64::from(i) + 0.5) * width);
        let wanted: f64 = (0..slices).map(|i| k(i) * width).sum();
        let found = at(&medium, to);
        // The parabola is exact at −25 °C and in its slope at 0 °C; between, it is up to 0.3 % off.
        assert!((found / wanted - 1.0).abs() < 4e-3, "to {to} °C: {found}, {wanted} W/m");
    }
}

#[test]
fn potential_in_the_freezing_range() {
    // Share of liquid T_f/T (dilute solution), k between water's and ice's by that share.
    let medium = salted();
    let start = medium.freezing_c();
    let k_ice = ice::conductivity_si(medium.core_solid_c());
    let k = |t: f64| {
        let liquid = start / t;
        liquid * water::conductivity_si(273.15) + (1.0 - liquid) * k_ice
    };
    // Eight straight pieces, their ends in a geometric row, with k at their middles: right
    // at the ends within the 2 % of such a rule.
    for piece in 1..=8 {
        let to = start * (medium.core_solid_c() / start).powf(f64::from(piece) / 8.0);
        let slices = 1000;
        let width = (to - start) / f64::from(slices);
        let wanted: f64 =
            (0..slices).map(|i| k(start + (f64::from(i) + 0.5) * width) * width).sum();
        let found = at(&medium, to);
        assert!((found / wanted - 1.0).abs() < 0.02, "to {to} °C: {found}, {wanted} W/m");
    }
}

#[test]
fn constant_media_are_straight_lines() {
    let medium = Medium::constant(&ConstantProperties::reference()).unwrap();
    // k (T − T_f) of the reference set's constants, exactly.
    for (t, wanted) in
        [(-18.0, -18.0 * 2.22), (-1.0, -2.22), (4.0, 4.0 * 0.57), (20.0, 20.0 * 0.57)]
    {
        assert!((at(&medium, t) - wanted).abs() < 1e-9, "{t} °C");
    }
    // Mass times latent and sensible heat: 917 kg/m³, 333.43, 2.05 and 4.2 kJ/kg.
    assert!((medium.latent() / (917.0 * 333_430.0) - 1.0).abs() < 1e-12);
    assert!((medium.enthalpy(-5.0) / (917.0 * 2050.0 * -5.0) - 1.0).abs() < 1e-12);
    assert!((medium.enthalpy(10.0) / (917.0 * (333_430.0 + 42_000.0)) - 1.0).abs() < 1e-12);
    assert_eq!(medium.ready_h(), medium.enthalpy(-5.0));
    // The slope dΦ/dH is k/(ρ c); that of ice is the steeper one.
    let steepest = 2.22 / (917.0 * 2050.0);
    assert!((medium.steepest() / steepest - 1.0).abs() < 1e-12, "{}", medium.steepest());
}

#[test]
fn no_slope_is_steeper_than_the_steepest() {
    // Differences of Φ over H between −40 and 60 °C: an explicit step is safe by it.
    for medium in [water(), salted(), Medium::constant(&ConstantProperties::reference()).unwrap()] {
        let h = |t: i32| medium.enthalpy(0.25 * f64::from(t));
        let slope =
            |t: i32| (potential(&medium, h(t + 1)) - potential(&medium, h(t))) / (h(t + 1) - h(t));
        let found = (-160..240).map(slope).fold(0.0, f64::max);
        let steepest = medium.steepest();
        assert!(found <= steepest * (1.0 + 1e-9), "{found} is steeper than {steepest}");
        // And it is reached, or the steps would be needlessly short.
        assert!(found > 0.98 * steepest, "{found} of {steepest}");
    }
}

#[test]
fn temperature_and_enthalpy_there_and_back() {
    for medium in [water(), salted()] {
        for t in (-75..95).map(|t| f64::from(t) + 0.3) {
            let back = medium.temperature(medium.enthalpy(t));
            assert!((back - t).abs() < 1e-9, "{t} °C comes back as {back} °C");
        }
    }
}

#[test]
fn what_is_no_positive_number_is_refused() {
    let good = ConstantProperties::reference();
    for bad in [0.0, -1.0, f64::INFINITY, f64::NAN] {
        let one = [
            ConstantProperties { density: kilograms_per_cubic_metre(bad), ..good },
            ConstantProperties { frozen_conductivity: conductivity(bad), ..good },
            ConstantProperties { liquid_conductivity: conductivity(bad), ..good },
            ConstantProperties { frozen_heat: joules_per_kilogram_kelvin(bad), ..good },
            ConstantProperties { liquid_heat: joules_per_kilogram_kelvin(bad), ..good },
            ConstantProperties { latent_heat: joules_per_kilogram(bad), ..good },
        ];
        for given in &one {
            let found = Medium::constant(given);
            assert!(matches!(found, Err(MediumError::NotPositive(_))), "{given:?}");
        }
        assert!(Medium::water(kilograms_per_cubic_metre(bad)).is_err(), "{bad}");
        assert!(water().frozen_conductivity_times(bad).is_err(), "{bad}");
    }
    let doubled = water().frozen_conductivity_times(2.0).unwrap();
    assert!((at(&doubled, -10.0) / at(&water(), -10.0) - 2.0).abs() < 1e-12);
    assert!((at(&doubled, 10.0) / at(&water(), 10.0) - 1.0).abs() < 1e-12, "water stays as it is");
}

#[test]
fn what_is_slush_at_the_eutectic_is_never_firm() {
    // Firm is four fifths of ice, T_f/T = 0.2 (dilute): a freezing point of −5 °C is firm at
    // −25 °C, below the eutectic; one of −4 °C at −20 °C, just above it.
    let density = kilograms_per_cubic_metre(917.0);
    let slush = Medium::solution(density, 5.0).unwrap_err();
    assert_eq!(slush, MediumError::NeverFirm(-5.0));
    assert!(slush.to_string().contains("only at -5.0 °C"), "{slush}");
    let firm = Medium::solution(density, 4.0).unwrap();
    assert!((firm.core_solid_c() + 20.0).abs() < 1e-9 && firm.freezing_c() == -4.0);
    assert_eq!(Medium::solution(density, -1.0), Err(MediumError::NeverFirm(1.0)));
    // The whole of the latent heat goes between liquid at its freezing point and set.
    assert!(firm.enthalpy(-4.0) > firm.enthalpy(-5.0) && firm.enthalpy(-20.0).abs() < 1e-6);
}

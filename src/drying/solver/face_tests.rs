//! The three equations of the open face together.

use super::*;
use crate::units::fraction;

const KELVIN: f64 = 298.15;

/// Moisture, water activity and flux agree: what the cells give, what the isotherm (inverted
/// elsewhere) says at that moisture, what the film takes, from bone dry to wet.
#[test]
fn moisture_activity_and_flux_agree() {
    let mixture = Mixture::new(fraction(0.3));
    let warm = mixture.warm(KELVIN);
    let saturation = vapour_concentration(saturation_pressure_pa(KELVIN), KELVIN);
    let mut regimes = [0; 3];
    for at_rest in [0.05, 0.12, 0.3, 0.8, 1.0, 1.3, 2.0] {
        for per_flux in [1.0, 300.0, 1500.0] {
            for own in [0.0, 40.0] {
                let vapour = Vapour { coefficient: 0.01, in_air: 0.3 * saturation, own };
                let face = mixture.face(&warm, Response { at_rest, per_flux }, vapour);
                let case = format!("{at_rest} at rest, {per_flux} a flux, {own}: {face:?}");
                let moisture = at_rest - per_flux * face.flux;
                assert!((face.moisture - moisture).abs() < 1e-12, "{case}");
                let activity = mixture.activity_at(moisture, KELVIN - 273.15);
                let over = saturation * activity - vapour.in_air - own * face.flux;
                // Newton stops at 1e-6 in ln(a/(1 − a)), so the activity is good to 1e-6.
                let scale = vapour.coefficient * saturation;
                assert!((face.flux - vapour.coefficient * over).abs() < 1e-5 * scale, "{case}");
                regimes[usize::from(moisture > warm.low) + usize::from(moisture > warm.high)] += 1;
            }
        }
    }
    assert!(regimes.iter().all(|&times| times >= 5), "all three regimes: {regimes:?}");
}

/// On the plateau the flux follows the vapour pressure of water alone (Clausius and
/// Clapeyron); the brine's own activity moves by 0.03 % a kelvin against 6 %.
#[test]
fn slope_over_temperature() {
    let mixture = Mixture::new(fraction(0.3));
    let response = Response { at_rest: 0.5, per_flux: 1.0 };
    let vapour = Vapour { coefficient: 0.01, in_air: 0.005, own: 0.0 };
    let at = |kelvin: f64| mixture.face(&mixture.warm(kelvin), response, vapour);
    let found = at(KELVIN + 0.5).flux - at(KELVIN - 0.5).flux;
    let slope = at(KELVIN).slope;
    assert!((found / slope - 1.0).abs() < 0.03, "{found} and {slope} kg/m²s K");
}

//! The open face: how much water leaves it, from moisture below and air above.

use crate::drying::mixture::Mixture;
use crate::properties::bisection::turn;
use crate::properties::brine::{SALT_MOLAR_MASS, saturated_activity_at, solubility_at};
use crate::properties::flour::Oswin;
use crate::properties::moist_air::saturation_pressure_pa;
use crate::transfer::mass_transfer::vapour_concentration;

/// How the last cell answers a flux q out of the face: face moisture = `at_rest` - `per_flux` q.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Response {
    pub(crate) at_rest: f64,
    pub(crate) per_flux: f64,
}

/// The air's side: q = coefficient (c_face - c_air - c_own q).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Vapour {
    /// Mass-transfer coefficient, m/s.
    pub(crate) coefficient: f64,
    /// Vapour in the air, kg/m³.
    pub(crate) in_air: f64,
    /// Vapour that the load itself adds to the air for each kg/m²s that leaves it, s/m.
    pub(crate) own: f64,
}

/// What the face does at one temperature.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Face {
    /// Water leaving, kg/m²s.
    pub(crate) flux: f64,
    pub(crate) moisture: f64,
    /// ∂flux/∂T at constant face moisture, damped by the response, kg/m²s K.
    pub(crate) slope: f64,
}

/// Below this ln(a/(1-a)) the flour is bone dry for every purpose.
const DRIEST: f64 = -16.0;

/// How a material gives water to the air at its open face.
pub(crate) trait Sorption {
    /// What depends on temperature alone.
    type Warm;
    /// That at a temperature.
    fn warm(&self, kelvin: f64) -> Self::Warm;
    /// The face in balance with the cells below and the air above.
    fn face(&self, warm: &Self::Warm, response: Response, vapour: Vapour) -> Face;
    /// Moisture below which no brine is left, at °C.
    fn brine_exhausted_at(&self, t: f64) -> f64;
    /// Moisture above which no crystals are left, at °C.
    fn crystals_dissolved_at(&self, t: f64) -> f64;
}

/// A mixture at one temperature.
pub(crate) struct WarmMixture {
    kelvin: f64,
    oswin: Oswin,
    /// Vapour over pure water, kg/m³.
    saturation: f64,
    /// Water activity of saturated brine, and ln(a/(1-a)) of it.
    brine: f64,
    brine_logit: f64,
    /// Moistures where the plateau ends.
    low: f64,
    high: f64,
}

impl Sorption for Mixture {
    type Warm = WarmMixture;

    fn warm(&self, kelvin: f64) -> WarmMixture {
        let t = kelvin - 273.15;
        let oswin = Oswin::at(t);
        let brine = saturated_activity_at(t);
        let brine_logit = (brine / (1.0 - brine)).ln();
        let low = self.flour * oswin.held_at_logit(brine_logit);
        WarmMixture {
            kelvin,
            oswin,
            saturation: vapour_concentration(saturation_pressure_pa(kelvin), kelvin),
            brine,
            brine_logit,
            low,
            high: low + self.salt / solubility_at(t),
        }
    }

    /// Solves face moisture, water activity and flux together.
    ///
    /// Residual: at_rest - per_flux q(a) - u(a) falls as a rises; on the plateau of the
    /// saturated brine u is free and a is known, so that q is explicit.
    fn face(&self, warm: &WarmMixture, response: Response, vapour: Vapour) -> Face {
        let effective = vapour.coefficient / (1.0 + vapour.coefficient * vapour.own);
        let balance = Balance {
            mixture: self,
            warm,
            response,
            gain: effective * warm.saturation,
            offset: effective * vapour.in_air,
        };
        let on_plateau = response.at_rest - response.per_flux * balance.flux(warm.brine);
        let (activity, damping) = if on_plateau < warm.low {
            balance.below_plateau()
        } else if on_plateau <= warm.high {
            (warm.brine, 1.0)
        } else {
            (balance.above_plateau(), 1.0)
        };
        let flux = balance.flux(activity);
        // d ln(p_sat/T)/dT by Clausius and Clapeyron: 2.4 MJ/kg over 461.5 J/kg K, less 1/T.
        let relative_slope = (5200.0 / warm.kelvin - 1.0) / warm.kelvin;
        Face {
            flux,
            moisture: response.at_rest - response.per_flux * flux,
            slope: balance.gain * activity * relative_slope * damping,
        }
    }

    fn brine_exhausted_at(&self, t: f64) -> f64 {
        self.plateau(t).low
    }

    fn crystals_dissolved_at(&self, t: f64) -> f64 {
        self.plateau(t).high
    }
}

struct Balance<'a> {
    mixture: &'a Mixture,
    warm: &'a WarmMixture,
    response: Response,
    /// q = gain a - offset.
    gain: f64,
    offset: f64,
}

impl Balance<'_> {
    fn flux(&self, activity: f64) -> f64 {
        self.gain * activity - self.offset
    }

    /// Newton's method on y = ln(a/(1-a)), kept between bounds: (activity, damping).
    fn below_plateau(&self) -> (f64, f64) {
        let top = self.warm.brine_logit;
        let (mut low, mut high) = (DRIEST, top);
        let mut y = self.first_guess(top);
        let mut damping = 1.0;
        for _ in 0..60 {
            let activity = 1.0 / (1.0 + (-y).exp());
            let held = self.mixture.flour * self.warm.oswin.held_at_logit(y);
            let residual =
                self.response.at_rest - self.response.per_flux * self.flux(activity) - held;
            if residual > 0.0 {
                low = y
            } else {
                high = y
            }
            let held_slope = self.warm.oswin.n * held;
            let flux_slope = self.response.per_flux * self.gain * activity * (1.0 - activity);
            damping = held_slope / (held_slope + flux_slope);
            let step = residual / (held_slope + flux_slope);
            let next = y + step;
            y = if next > low && next < high { next } else { 0.5 * (low + high) };
            if step.abs() < 1e-6 || high - low < 1e-10 {
                break;
            }
        }
        (1.0 / (1.0 + (-y).exp()), damping)
    }

    /// The activity that would stop the diffusion resistance from mattering, or that of the
    /// moisture at rest, whichever is lower.
    fn first_guess(&self, top: f64) -> f64 {
        let supplied = (self.response.at_rest / self.response.per_flux + self.offset) / self.gain;
        if supplied <= 0.0 || supplied >= 1.0 {
            return top;
        }
        (supplied / (1.0 - supplied)).ln().clamp(DRIEST, top)
    }

    /// More water than the salt can saturate: bisection on the molality of the brine.
    fn above_plateau(&self) -> f64 {
        let at = |m: f64| self.mixture.moisture_at_molality(m, &self.warm.oswin);
        let most = solubility_at(self.warm.kelvin - 273.15) / SALT_MOLAR_MASS;
        let molality = turn(0.0, most, 48, |m| {
            let (activity, moisture) = at(m);
            moisture > self.response.at_rest - self.response.per_flux * self.flux(activity)
        });
        at(molality).0.max(self.warm.brine)
    }
}

#[cfg(test)]
#[path = "face_tests.rs"]
mod tests;

//! Heat and vapour around the slab: the temperature at which both balance.

use super::face::{Face, Response, Sorption, Vapour};
use super::state::{Air, Slab};
use crate::properties::moist_air::heat_of_evaporation_j;
use crate::transfer::mass_transfer::lewis_ratio_si;
use crate::transfer::radiation::radiative_si;

/// Heat and vapour around the slab, fixed within a step.
pub(crate) struct Around<'a, S> {
    material: &'a S,
    vapour: Vapour,
    under_vapour: Option<Vapour>,
    /// Heat capacity over the implicit time, W/m²K.
    storage: f64,
    convective: f64,
    emissivity: f64,
}

pub(crate) struct Balanced {
    pub(crate) faces: Faces,
    pub(crate) kelvin: f64,
}

/// How face moistures answer the fluxes out of both faces.
#[derive(Clone, Copy)]
pub(crate) struct Responses {
    pub(crate) upper: Response,
    pub(crate) under: Response,
    /// Fall of the upper face for a unit flux out of the underside, and the reverse.
    pub(crate) upper_of_under: f64,
    pub(crate) under_of_upper: f64,
}

/// Both faces at one temperature; the underside gives nothing off where it is sealed.
#[derive(Clone, Copy)]
pub(crate) struct Faces {
    pub(crate) upper: Face,
    pub(crate) under: f64,
    under_slope: f64,
}

impl Faces {
    pub(crate) fn flux(&self) -> f64 {
        self.upper.flux + self.under
    }

    pub(crate) fn taken_from(&self, upper: f64, under: f64) -> f64 {
        self.upper.flux * upper + self.under * under
    }
}

impl<'a, S: Sorption> Around<'a, S> {
    pub(crate) fn new(slab: &'a Slab<S>, air: &Air, kelvin: f64, mean: f64, implicit: f64) -> Self {
        /// Heat capacity of water in dough, J/kg K. Source: Choi & Okos (1986) near 60 °C.
        const WATER_HEAT: f64 = 4180.0;
        let mass = slab.solids_density * slab.length;
        let film = air.film * slab.exposure;
        let coefficient = film * lewis_ratio_si(0.5 * (kelvin + air.set), air.pressure);
        let vapour = Vapour { coefficient, in_air: air.vapour, own: air.own };
        let under = air.underside;
        let faces = slab.exposure * (1.0 + under);
        Self {
            material: &slab.material,
            vapour,
            under_vapour: (under > 0.0)
                .then_some(Vapour { coefficient: coefficient * under, ..vapour }),
            storage: mass * (slab.solids_heat + WATER_HEAT * mean) / implicit,
            convective: (air.film + air.radiative_film) * faces,
            emissivity: air.emissivity * faces,
        }
    }

    /// The temperature at which storage, heat from around and evaporation balance:
    /// Newton with the face's own slope, then secants, kept between bounds.
    pub(crate) fn balance(
        &self,
        air: f64,
        responses: Responses,
        base: f64,
        guess: (f64, f64),
    ) -> Balanced {
        let mut kelvin = guess.0.clamp(230.0, 600.0);
        let mut faces = self.faces(responses, kelvin, guess.1);
        let mut residual = self.residual(air, base, kelvin, faces.flux());
        let radiative = radiative_si(self.emissivity, kelvin, air);
        let evaporative =
            (faces.upper.slope + faces.under_slope) * heat_of_evaporation_j(kelvin - 273.15);
        let mut slope = self.storage + self.convective + radiative + evaporative;
        let (mut low, mut high) = (150.0, 700.0);
        for _ in 0..40 {
            if residual > 0.0 {
                high = kelvin
            } else {
                low = kelvin
            }
            let newton = kelvin - residual / slope;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            let move_by = next - kelvin;
            kelvin = next;
            faces = self.faces(responses, kelvin, faces.under);
            if move_by.abs() < 1e-3 {
                break;
            }
            let next_residual = self.residual(air, base, kelvin, faces.flux());
            slope = ((next_residual - residual) / move_by).max(self.storage + self.convective);
            residual = next_residual;
        }
        Balanced { faces, kelvin }
    }

    /// Both faces, each of which dries the other a little: the underside's flux q solves
    /// q = under(upper(q)), by secants from a guess.
    fn faces(&self, responses: Responses, kelvin: f64, guess: f64) -> Faces {
        let warm = self.material.warm(kelvin);
        let upper_at = |under: f64| {
            let at_rest = responses.upper.at_rest - responses.upper_of_under * under;
            self.material.face(&warm, Response { at_rest, ..responses.upper }, self.vapour)
        };
        let Some(under_vapour) = self.under_vapour else {
            return Faces { upper: upper_at(0.0), under: 0.0, under_slope: 0.0 };
        };
        let under_at = |upper: f64| {
            let at_rest = responses.under.at_rest - responses.under_of_upper * upper;
            self.material.face(&warm, Response { at_rest, ..responses.under }, under_vapour)
        };
        let mut tried = guess;
        let mut upper = upper_at(tried);
        let mut under = under_at(upper.flux);
        let mut slope = 0.0;
        for _ in 0..20 {
            let excess = under.flux - tried;
            if excess.abs() <= 1e-5 * (upper.flux.abs() + under.flux.abs()) {
                break;
            }
            let before = (tried, under.flux);
            tried += excess / (1.0 - slope);
            upper = upper_at(tried);
            under = under_at(upper.flux);
            if tried != before.0 {
                // The slope of under(upper(q)) lies between 0 and 1.
                slope = f64::clamp((under.flux - before.1) / (tried - before.0), 0.0, 0.95);
            }
        }
        Faces { upper, under: under.flux, under_slope: under.slope }
    }

    fn residual(&self, air: f64, base: f64, kelvin: f64, flux: f64) -> f64 {
        let radiative = radiative_si(self.emissivity, kelvin, air);
        self.storage * (kelvin - base) - (self.convective + radiative) * (air - kelvin)
            + flux * heat_of_evaporation_j(kelvin - 273.15)
    }
}

//! Radiation between a small body and what surrounds it, as a film coefficient.

/// Stefan-Boltzmann constant, W/m²K⁴. Source: CODATA 2018.
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Radiative film coefficient ε σ (T₁² + T₂²)(T₁ + T₂) of a small grey body in a large
/// enclosure, W/m²K from kelvins.
pub(crate) fn radiative_si(emissivity: f64, surface: f64, surroundings: f64) -> f64 {
    emissivity
        * STEFAN_BOLTZMANN
        * (surface * surface + surroundings * surroundings)
        * (surface + surroundings)
}

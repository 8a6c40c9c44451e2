//! A melting block: warms through, then shrinks evenly from all its faces.
//!
//! With the smallest half-thickness R and n = R A/V (1 for a wide slab, 3 for a
//! ball or a cube), a layer x melted away leaves V₀ (1 − x/R)ⁿ, and
//!
//! ρ L dx/dt = q, q the heat flux into a surface at 0 °C.
//!
//! Melt water is taken to run off; a puddle that stays would slow the base.

use crate::properties::ice;

/// A block of ice as the melting sees it, in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Melting {
    /// Volume of ice, m³.
    pub volume: f64,
    /// Whole surface, m².
    pub area: f64,
    /// Half its smallest extent, m.
    pub half_thickness: f64,
    /// Temperature of the ice, °C.
    pub start_c: f64,
    /// Conductivity of ice, times the formula used.
    pub conductivity_multiplier: f64,
}

/// When a melting block passes its marks, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Melted {
    /// The surface reaches 0 °C: wet, no longer sticky-cold.
    pub wet: f64,
    /// The core is within half a kelvin of 0 °C.
    pub soft: f64,
    /// Half the ice is gone.
    pub half: f64,
    /// All the ice is gone.
    pub gone: f64,
}

/// The core counts as warm this close to 0 °C, K.
const WARM: f64 = 0.5;
/// Layers in which the block melts.
const LAYERS: usize = 60;

impl Melting {
    /// Shape exponent n = R A/V, between that of a slab and that of a ball.
    pub fn exponent(&self) -> f64 {
        (self.half_thickness * self.area / self.volume).clamp(1.0, 3.0)
    }

    /// Melts it. `flux(surface °C, size)` is the heat flux into the surface, W/m²,
    /// `size` the share of the first extent that is left.
    ///
    /// Where the flux is not positive nothing melts: what is not reached by then is infinite.
    /// Air so dry that ice goes off into it takes more from a small block than from a large one.
    pub fn run(&self, flux: impl Fn(f64, f64) -> f64) -> Melted {
        let at_melting = flux(0.0, 1.0);
        if at_melting <= 0.0 {
            return Melted {
                wet: f64::INFINITY,
                soft: f64::INFINITY,
                half: f64::INFINITY,
                gone: f64::INFINITY,
            };
        }
        let n = self.exponent();
        let (wet, soft) = self.warm_up(&flux, n);
        // Heat still lacking in the core when the surface begins to melt is
        // counted by the sensible heat spread over the whole mass.
        let density = ice::DENSITY_AT_FREEZING;
        let sensible = -ice::enthalpy_si(self.start_c.min(0.0));
        let stored = density * sensible * self.half_thickness / n / at_melting;
        let mut time = stored.max(wet);
        let step = self.half_thickness / LAYERS as f64;
        let half_gone = 1.0 - 0.5_f64.powf(1.0 / n);
        let mut half = f64::INFINITY;
        for layer in 0..LAYERS {
            let size = 1.0 - (layer as f64 + 0.5) / LAYERS as f64;
            let arriving = flux(0.0, size);
            if arriving <= 0.0 {
                time = f64::INFINITY;
                break;
            }
            let takes = density * ice::LATENT_HEAT * step / arriving;
            let done = layer as f64 / LAYERS as f64;
            let share = (half_gone - done) * LAYERS as f64;
            if (0.0..1.0).contains(&share) {
                half = time + share * takes;
            }
            time += takes;
        }
        Melted { wet, soft, half, gone: time }
    }

    /// Lumped warming with a parabolic profile inside: until the surface is at
    /// 0 °C, and until the core is nearly so.
    fn warm_up(&self, flux: &impl Fn(f64, f64) -> f64, n: f64) -> (f64, f64) {
        let k = self.conductivity_multiplier * ice::conductivity_si(0.5 * self.start_c);
        let r = self.half_thickness;
        let lag = |surface: f64| flux(surface, 1.0) * r / (k * (n + 2.0));
        // The mean lags the surface by q R/(k (n + 2)).
        let mut mean = self.start_c.min(0.0);
        let mut time = 0.0;
        let capacity = ice::DENSITY_AT_FREEZING * r / n;
        let step = 0.05_f64.max(-mean / 200.0);
        let target = -lag(0.0);
        while mean < target {
            let surface = (mean + lag(mean)).min(0.0);
            let rise = step.min(target - mean);
            let heat = ice::SPECIFIC_HEAT[0] + ice::SPECIFIC_HEAT[1] * mean;
            let arriving = flux(surface, 1.0);
            if arriving <= 0.0 {
                return (f64::INFINITY, f64::INFINITY);
            }
            time += capacity * heat * rise / arriving;
            mean += rise.max(1e-9);
        }
        // The core, deeper by q R/(2k), then follows a surface at 0 °C.
        let core = flux(0.0, 1.0) * r / (2.0 * k);
        let decay = ice::DENSITY_AT_FREEZING * ice::SPECIFIC_HEAT[0] * r * r / (k * 2.467 * n);
        (time, time + decay * (core / WARM).max(1.0).ln())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RADIUS: f64 = 0.02;

    fn ball(start_c: f64) -> Melting {
        Melting {
            volume: 4.0 / 3.0 * std::f64::consts::PI * RADIUS.powi(3),
            area: 4.0 * std::f64::consts::PI * RADIUS * RADIUS,
            half_thickness: RADIUS,
            start_c,
            conductivity_multiplier: 1.0,
        }
    }

    fn close(found: f64, wanted: f64, relative: f64, what: &str) {
        assert!((found / wanted - 1.0).abs() < relative, "{what}: {found} s, not {wanted} s");
    }

    /// ρ L dx/dt = q: under an even flux a layer a time, under one that grows as 1/size
    /// ρ L R/q (1 − s²)/2, each in closed form; half a ball is gone at s³ = 1/2.
    #[test]
    fn ice_at_its_melting_point() {
        let flux = 300.0;
        let whole = ice::DENSITY_AT_FREEZING * ice::LATENT_HEAT * RADIUS / flux;
        let left = 0.5_f64.cbrt();
        let even = ball(0.0).run(|_, _| flux);
        close(even.gone, whole, 1e-9, "gone");
        close(even.half, whole * (1.0 - left), 1e-9, "half");
        let growing = ball(0.0).run(|_, size| flux / size);
        close(growing.gone, 0.5 * whole, 1e-9, "gone");
        // Straight within each of 60 layers.
        close(growing.half, 0.5 * whole * (1.0 - left * left), 1e-3, "half");
        let never = ball(0.0).run(|_, _| 0.0);
        assert_eq!([never.wet, never.soft, never.half, never.gone], [f64::INFINITY; 4]);
    }

    /// Air that dries a small block more than it warms it leaves the rest of it, and one that
    /// holds the face below its melting point leaves all of it.
    #[test]
    fn what_no_heat_reaches_never_melts() {
        let stays = ball(-18.0).run(|_, size| 300.0 * (size - 0.5));
        assert!(stays.wet < stays.soft && stays.soft < stays.half, "{stays:?}");
        assert!(stays.half.is_finite() && stays.gone == f64::INFINITY, "{stays:?}");
        let less = ball(-18.0).run(|_, size| 300.0 * (size - 0.9));
        assert!(less.soft.is_finite() && less.half == f64::INFINITY, "{less:?}");
        let cold = ball(-18.0).run(|surface, _| if surface < -2.0 { 50.0 } else { surface + 1e-9 });
        assert_eq!([cold.wet, cold.soft, cold.half, cold.gone], [f64::INFINITY; 4]);
    }

    /// A strong even flux: the mean lags the surface by q R/5k (n = 3), so the surface is at
    /// 0 °C when the mean has come up to −q R/5k; then the core, q R/2k deep, comes within
    /// half a kelvin by the slowest term of the series, π²/4 · n k/(ρ c R²).
    #[test]
    fn cold_ice_warms_first() {
        let (flux, start) = (2000.0, -20.0);
        let melted = ball(start).run(|_, _| flux);
        let k = ice::conductivity_si(0.5 * start);
        let heat = ice::enthalpy_si(-flux * RADIUS / (5.0 * k)) - ice::enthalpy_si(start);
        let wet = ice::DENSITY_AT_FREEZING * RADIUS / 3.0 * heat / flux;
        // Steps of a tenth of a kelvin or less.
        close(melted.wet, wet, 1e-3, "wet");
        let core = flux * RADIUS / (2.0 * k);
        let rate = std::f64::consts::PI.powi(2) / 4.0 * 3.0 * k
            / (ice::DENSITY_AT_FREEZING * ice::SPECIFIC_HEAT[0] * RADIUS * RADIUS);
        close(melted.soft - melted.wet, (core / 0.5).ln() / rate, 1e-3, "soft after wet");
        // All the heat is paid for: to warm the whole mass, and to melt it.
        let volume_flux = 3.0 * flux / RADIUS / ice::DENSITY_AT_FREEZING;
        let sensible = -ice::enthalpy_si(start) / volume_flux;
        let whole = ice::DENSITY_AT_FREEZING * ice::LATENT_HEAT * RADIUS / flux;
        close(melted.gone, sensible + whole, 1e-6, "gone");
    }

    #[test]
    fn exponent_from_slab_to_ball() {
        let block = |area| Melting { area, volume: 1.0, half_thickness: 1.0, ..ball(0.0) };
        for (area, exponent) in [(0.5, 1.0), (1.0, 1.0), (2.0, 2.0), (3.0, 3.0), (6.0, 3.0)] {
            assert_eq!(block(area).exponent(), exponent);
        }
    }
}

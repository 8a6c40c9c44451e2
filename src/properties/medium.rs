//! What freezes: temperature and Kirchhoff potential as functions of volumetric enthalpy.
//!
//! The potential Φ = ∫ k dT from the freezing point makes the heat flow between
//! two points g (Φ₁ − Φ₂), right on both sides of the front and across it.
//! In the kernel Φ(H) is one branch-free formula,
//!
//! Φ = a m + b m² + Σ sⱼ max(H − Hⱼ, 0) − Φ₀, m = min(H, 0),
//!
//! with H = 0 J/m³ where the medium counts as solid.

use thiserror::Error;

use super::{ice, water};
use crate::units::{
    AvailableEnergy, MassDensity, Ratio, SpecificHeatCapacity, ThermalConductivity,
    ThermodynamicTemperature, celsius, conductivity, in_celsius, in_conductivity, in_fraction,
    joules_per_kilogram, joules_per_kilogram_kelvin, kilograms_per_cubic_metre,
};
use uom::si::{
    available_energy::joule_per_kilogram, mass_density::kilogram_per_cubic_meter,
    specific_heat_capacity::joule_per_kilogram_kelvin,
};

/// Above this temperature cooling water stirs itself: its density has passed the
/// maximum at 3.98 °C (IAPWS-95).
const STIRRED_ABOVE_C: f64 = 3.98;

/// Effective conductivity of self-stirred water, W/m K: 4.8 over 2 cm is 240 W/m²K, inside
/// the 50 to 300 taken for a bulk that is mixed above 4 °C (a working range, no source). The
/// result moves by less than 1 % between 2 and 10 because the air film rules.
const STIRRED_CONDUCTIVITY: f64 = 4.8;

/// Core temperature of a block that is firm to turn out, °C (`ready_h` of the answer).
const READY_C: f64 = -5.0;

/// Core temperature at which coloured or salted water counts as set, °C.
/// Computed here: at −10 °C and 3.5 % salt (freezing at −2.1 °C) 1 − 2.1/10, about four
/// fifths, are ice.
const SET_C: f64 = -10.0;

/// Share of ice at which a solution counts as firm: that of [`SET_C`] and 3.5 % salt.
const FIRM_ICE: f64 = 0.8;

/// Where brine freezes whole, °C: what is not firm there is not in a kitchen's freezer.
/// Source: eutectic of NaCl and water, from memory.
const EUTECTIC_C: f64 = -21.1;

/// A solution that freezes this close to 0 °C is taken as water, K.
/// Computed here: food dye below 0.1 % lowers it by less than 0.03 K (ideal, 1.86 K kg/mol).
const NEGLIGIBLE_LOWERING: f64 = 0.03;

/// Ends of the temperature curve, °C.
const COLDEST_C: f64 = -80.0;
const HOTTEST_C: f64 = 100.0;

/// Why a medium cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MediumError {
    /// A property is zero, negative or not a number.
    #[error("the {0} must be a positive number")]
    NotPositive(&'static str),
    /// The solution would not be set at −10 °C.
    #[error(
        "this solution begins to freeze only at {0:.1} °C and is slush at −10 °C: it never gets firm in a freezer"
    )]
    NeverFirm(f64),
}

/// A freezing medium, in plain SI per cubic metre of mesh.
#[derive(Debug, Clone, PartialEq)]
pub struct Medium {
    freezing_c: f64,
    latent: f64,
    ready_h: f64,
    core_solid_c: f64,
    pub(crate) frozen_conductivity: f64,
    pub(crate) liquid_conductivity: f64,
    /// Where the liquid stirs itself: Φ = Φ₀ + k (T − T_f); Φ₀ W/m and k W/m K.
    pub(crate) stirred: [f64; 2],
    pub(crate) frozen: [f64; 2],
    pub(crate) hinges: Vec<[f64; 2]>,
    /// Φ₀: what makes Φ vanish at the freezing point, W/m.
    pub(crate) origin: f64,
    /// Temperature, °C, and enthalpy, J/m³, both rising.
    curve: Vec<[f64; 2]>,
}

/// The constant properties of a reference medium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantProperties {
    /// Density, the same frozen and liquid.
    pub density: MassDensity,
    /// Conductivity when frozen.
    pub frozen_conductivity: ThermalConductivity,
    /// Conductivity when liquid.
    pub liquid_conductivity: ThermalConductivity,
    /// Heat capacity when frozen.
    pub frozen_heat: SpecificHeatCapacity,
    /// Heat capacity when liquid.
    pub liquid_heat: SpecificHeatCapacity,
    /// Latent heat.
    pub latent_heat: AvailableEnergy,
    /// Freezing point.
    pub freezing: ThermodynamicTemperature,
}

impl ConstantProperties {
    /// The medium of the numerical reference set (tests/data/README.md): the density of ice
    /// throughout, so that a block of a given size has the mass of ice.
    pub fn reference() -> Self {
        Self {
            density: kilograms_per_cubic_metre(917.0),
            frozen_conductivity: conductivity(2.22),
            liquid_conductivity: conductivity(0.57),
            frozen_heat: joules_per_kilogram_kelvin(2050.0),
            liquid_heat: joules_per_kilogram_kelvin(4200.0),
            latent_heat: joules_per_kilogram(333_430.0),
            freezing: celsius(0.0),
        }
    }
}

impl Medium {
    /// A medium with constant properties and a sharp freezing point.
    ///
    /// # Errors
    /// [`MediumError::NotPositive`] names the property that is not a positive number.
    pub fn constant(given: &ConstantProperties) -> Result<Self, MediumError> {
        let positive = |name, value: f64| {
            if value > 0.0 && value.is_finite() {
                Ok(value)
            } else {
                Err(MediumError::NotPositive(name))
            }
        };
        let density = positive("density", given.density.get::<kilogram_per_cubic_meter>())?;
        let k_s = positive("frozen conductivity", in_conductivity(given.frozen_conductivity))?;
        let k_l = positive("liquid conductivity", in_conductivity(given.liquid_conductivity))?;
        let heat = |c: SpecificHeatCapacity| c.get::<joule_per_kilogram_kelvin>();
        let c_s = density * positive("frozen heat capacity", heat(given.frozen_heat))?;
        let c_l = density * positive("liquid heat capacity", heat(given.liquid_heat))?;
        let latent = given.latent_heat.get::<joule_per_kilogram>();
        let latent = density * positive("latent heat", latent)?;
        let freezing_c = in_celsius(given.freezing);
        Ok(Self {
            freezing_c,
            latent,
            ready_h: c_s * (READY_C - freezing_c).min(0.0),
            core_solid_c: freezing_c,
            frozen_conductivity: k_s,
            liquid_conductivity: k_l,
            stirred: [0.0, k_l],
            frozen: [k_s / c_s, 0.0],
            hinges: vec![[latent, k_l / c_l]],
            origin: 0.0,
            curve: vec![
                [freezing_c - 1000.0, -1000.0 * c_s],
                [freezing_c, 0.0],
                [freezing_c, latent],
                [freezing_c + 1000.0, latent + 1000.0 * c_l],
            ],
        })
    }

    /// Water and ice with properties that follow temperature (IAPWS), and a
    /// liquid that stirs itself above 4 °C.
    ///
    /// `density` is the mass of water per volume of mesh, so that the heat to
    /// remove is that of the mass whatever the mesh holds of the expansion.
    ///
    /// # Errors
    /// [`MediumError::NotPositive`] when the density is not a positive number.
    pub fn water(density: MassDensity) -> Result<Self, MediumError> {
        let density = density.get::<kilogram_per_cubic_meter>();
        if !(density > 0.0 && density.is_finite()) {
            return Err(MediumError::NotPositive("density"));
        }
        let latent = density * ice::LATENT_HEAT;
        let liquid = |t: f64| latent + density * water::enthalpy_si(t);
        let k_ice = ice::conductivity_si(0.0);
        let k_water = water::conductivity_si(273.15);
        let still = k_water / (density * 4215.0);
        let stirred = STIRRED_CONDUCTIVITY / (density * 4190.0);
        let curve = degrees(COLDEST_C, -1.0)
            .map(|t| [t, density * ice::enthalpy_si(t)])
            .chain([[0.0, 0.0], [0.0, latent]])
            .chain(degrees(1.0, HOTTEST_C).map(|t| [t, liquid(t)]))
            .collect();
        Ok(Self {
            freezing_c: 0.0,
            latent,
            ready_h: density * ice::enthalpy_si(READY_C),
            core_solid_c: 0.0,
            frozen_conductivity: k_ice,
            liquid_conductivity: k_water,
            stirred: [STIRRED_ABOVE_C * (k_water - STIRRED_CONDUCTIVITY), STIRRED_CONDUCTIVITY],
            frozen: frozen_potential(density),
            hinges: vec![[latent, still], [liquid(STIRRED_ABOVE_C), stirred - still]],
            origin: 0.0,
            curve,
        })
    }

    /// Water with something dissolved in it, which freezes over a range: below
    /// its freezing point T_f the liquid share is T_f/T (dilute solution), and
    /// it counts as solid once the core is at −10 °C and four fifths are ice.
    ///
    /// `lowering` is how far the freezing point lies below 0 °C, as a ratio of
    /// one kelvin (see [`salt_lowering`]).
    ///
    /// # Errors
    /// [`MediumError`] for a density that is not positive, or a solution that is not
    /// firm at the eutectic, −21 °C.
    pub fn solution(density: MassDensity, lowering_k: f64) -> Result<Self, MediumError> {
        let pure = Self::water(density)?;
        if !(0.0..=-EUTECTIC_C).contains(&lowering_k) || set_c(-lowering_k) < EUTECTIC_C {
            return Err(MediumError::NeverFirm(-lowering_k));
        }
        if lowering_k <= NEGLIGIBLE_LOWERING {
            return Ok(pure);
        }
        let density = density.get::<kilogram_per_cubic_meter>();
        Ok(pure.with_freezing_range(density, -lowering_k))
    }

    /// The same medium with the conductivity of what is frozen multiplied.
    ///
    /// # Errors
    /// [`MediumError::NotPositive`] when the multiplier is not a positive number.
    pub fn frozen_conductivity_times(self, multiplier: f64) -> Result<Self, MediumError> {
        if !(multiplier > 0.0 && multiplier.is_finite()) {
            return Err(MediumError::NotPositive("conductivity multiplier"));
        }
        let frozen_conductivity = self.frozen_conductivity * multiplier;
        Ok(Self { frozen_conductivity, frozen: self.frozen.map(|f| f * multiplier), ..self })
    }

    /// Replaces the sharp front by the range from T_f to where a dilute solution is set.
    fn with_freezing_range(self, density: f64, freezing_c: f64) -> Self {
        let set_c = set_c(freezing_c);
        let share = |t: f64| if t >= freezing_c { 1.0 } else { freezing_c / t };
        // Each part with its own heat: latent heat falls as the range goes down (Kirchhoff).
        let enthalpy = |t: f64| {
            let liquid = ice::LATENT_HEAT + water::enthalpy_si(t);
            let frozen = if t < freezing_c { ice::enthalpy_si(t) } else { 0.0 };
            density * (share(t) * liquid + (1.0 - share(t)) * frozen)
        };
        let set = enthalpy(set_c);
        let k_ice = ice::conductivity_si(set_c);
        let k = |t: f64| share(t) * self.liquid_conductivity + (1.0 - share(t)) * k_ice;
        let nodes: Vec<[f64; 3]> = range_nodes(freezing_c)
            .windows(2)
            .map(|pair| {
                let (t0, t1) = (pair[0], pair[1]);
                let (h0, h1) = (enthalpy(t0) - set, enthalpy(t1) - set);
                [h0, h1, k(0.5 * (t0 + t1)) * (t1 - t0) / (h1 - h0)]
            })
            .collect();
        let mut hinges = Vec::new();
        let (mut slope, mut origin) = (0.0, 0.0);
        for [start, end, steepness] in &nodes {
            hinges.push([*start, steepness - slope]);
            origin += steepness * (end - start);
            slope = *steepness;
        }
        let above = enthalpy(freezing_c) - set;
        let still = self.liquid_conductivity / (density * 4215.0);
        let stirred = STIRRED_CONDUCTIVITY / (density * 4190.0);
        hinges.push([above, still - slope]);
        hinges.push([enthalpy(STIRRED_ABOVE_C) - set, stirred - still]);
        let curve = degrees(COLDEST_C, set_c - 1.0)
            .chain(range_nodes(freezing_c))
            .chain(degrees(freezing_c.floor() + 1.0, HOTTEST_C))
            .map(|t| [t, enthalpy(t) - set])
            .collect();
        Self {
            freezing_c,
            latent: above,
            ready_h: 0.0,
            core_solid_c: set_c,
            frozen: [nodes[0][2], 0.0],
            stirred: [
                (STIRRED_ABOVE_C - freezing_c) * (self.liquid_conductivity - STIRRED_CONDUCTIVITY),
                STIRRED_CONDUCTIVITY,
            ],
            hinges,
            origin,
            curve,
            ..self
        }
    }

    /// The temperature at which freezing begins.
    pub fn freezing_c(&self) -> f64 {
        self.freezing_c
    }

    /// The core temperature at which this medium counts as solid, °C.
    pub fn core_solid_c(&self) -> f64 {
        self.core_solid_c
    }

    /// Enthalpy below which the core is at −5 °C (set, for a solution), J/m³.
    pub(crate) fn ready_h(&self) -> f64 {
        self.ready_h
    }

    /// Enthalpy that goes between all liquid and solid at the freezing point, J/m³.
    pub(crate) fn latent(&self) -> f64 {
        self.latent
    }

    /// Volumetric enthalpy at a temperature, J/m³; at the freezing point that of the liquid.
    pub(crate) fn enthalpy(&self, celsius: f64) -> f64 {
        interpolate(&self.curve, celsius, 0, 1)
    }

    /// Temperature at a volumetric enthalpy, °C.
    pub(crate) fn temperature(&self, enthalpy: f64) -> f64 {
        interpolate(&self.curve, enthalpy, 1, 0)
    }

    /// Steepest dΦ/dH, m²/s: the diffusivity that limits an explicit step.
    pub(crate) fn steepest(&self) -> f64 {
        let mut slope = 0.0;
        // In ice at −40 °C the curved part has grown by its own second term.
        let coldest = self.enthalpy(-40.0);
        let mut steepest = self.frozen[0].max(self.frozen[0] + 2.0 * self.frozen[1] * coldest);
        for [_, change] in &self.hinges {
            slope += change;
            steepest = f64::max(steepest, slope);
        }
        steepest
    }
}

/// How far common salt lowers the freezing point, K, for a mass share of the solution.
///
/// # Source
/// Computed here with CoolProp (brine `MNA`), interpolated: 1 % 0.596,
/// 2 % 1.196, 3 % 1.803, 5 % 3.055, 10 % 6.553, 15 % 10.898 K.
pub fn salt_lowering(share: Ratio) -> f64 {
    const TABLE: [[f64; 2]; 7] = [
        [0.0, 0.0],
        [0.01, 0.596],
        [0.02, 1.196],
        [0.03, 1.803],
        [0.05, 3.055],
        [0.10, 6.553],
        [0.15, 10.898],
    ];
    interpolate(&TABLE, in_fraction(share).max(0.0), 0, 1)
}

/// Φ = a m + b m² of ice: the slope at 0 °C and the value at −25 °C are exact.
fn frozen_potential(density: f64) -> [f64; 2] {
    let slope = ice::conductivity_si(0.0) / (density * ice::SPECIFIC_HEAT[0]);
    let cold: f64 = -25.0;
    // ∫ k dT of the cubic, by Simpson's rule, which is exact for it.
    let mean = (ice::conductivity_si(0.0)
        + 4.0 * ice::conductivity_si(0.5 * cold)
        + ice::conductivity_si(cold))
        / 6.0;
    let enthalpy = density * ice::enthalpy_si(cold);
    [slope, (mean * cold - slope * enthalpy) / (enthalpy * enthalpy)]
}

/// Where a solution is set: at −10 °C, or colder where that is not yet firm.
fn set_c(freezing_c: f64) -> f64 {
    SET_C.min(freezing_c / (1.0 - FIRM_ICE))
}

/// Temperatures between where it is set and the freezing point, closer where the liquid share is steep.
fn range_nodes(freezing_c: f64) -> Vec<f64> {
    const PIECES: i32 = 8;
    let set_c = set_c(freezing_c);
    let ratio = freezing_c / set_c;
    (0..=PIECES).map(|i| set_c * ratio.powf(f64::from(i) / f64::from(PIECES))).collect()
}

fn degrees(from: f64, to: f64) -> impl Iterator<Item = f64> {
    (0..=(to - from).max(0.0) as u32).map(move |i| from + f64::from(i))
}

/// Piecewise-linear reading of column `y` at `x` in column `of`; the end pieces go on.
fn interpolate(curve: &[[f64; 2]], x: f64, of: usize, y: usize) -> f64 {
    let after = curve.partition_point(|row| row[of] <= x).clamp(1, curve.len() - 1);
    let (a, b) = (curve[after - 1], curve[after]);
    a[y] + (b[y] - a[y]) * (x - a[of]) / (b[of] - a[of])
}

#[cfg(test)]
#[path = "medium_tests.rs"]
mod tests;

//! Evaporation from a wet face: the Lewis relation and the constant-rate period.

use crate::properties::air::DryAir;
use crate::properties::bisection::turn;
use crate::properties::brine::saturated_activity_at;
use crate::properties::moist_air::{
    GAS_CONSTANT, WATER_MOLAR_MASS, heat_of_evaporation_j, saturation_pressure_pa,
    vapour_diffusivity_si,
};
use crate::transfer::radiation::radiative_si;
use crate::units::{
    HeatTransfer, Pressure, Ratio, ThermodynamicTemperature, in_film, in_fraction, in_kelvins,
    in_pascals, kelvins,
};

/// Mass-transfer coefficient over heat-transfer coefficient, m³K/J, at film temperature, K, Pa.
///
/// h_m/h = 1/(ρ c_p Le^(2/3)), Le = α/D (Chilton & Colburn 1934).
pub(crate) fn lewis_ratio_si(kelvin: f64, pascal: f64) -> f64 {
    let air = DryAir::at_si(kelvin, pascal);
    let lewis = air.diffusivity() / vapour_diffusivity_si(kelvin, pascal);
    1.0 / (air.density * air.specific_heat * lewis.cbrt().powi(2))
}

/// Vapour concentration, kg/m³, of vapour at a pressure and temperature (ideal gas).
pub(crate) fn vapour_concentration(pascal: f64, kelvin: f64) -> f64 {
    WATER_MOLAR_MASS / GAS_CONSTANT * pascal / kelvin
}

/// What radiates onto a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Radiation {
    /// A grey face among walls at the temperature of the air.
    Grey(Ratio),
    /// A radiative film coefficient that is given.
    Film(HeatTransfer),
}

/// What surrounds a drying face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Temperature of the air.
    pub air: ThermodynamicTemperature,
    /// Pressure of the vapour in it.
    pub vapour: Pressure,
    /// Total pressure.
    pub pressure: Pressure,
    /// Convective film coefficient; it alone carries vapour away.
    pub film: HeatTransfer,
    /// Radiation, which carries heat only.
    pub radiation: Radiation,
}

/// The steady state of a face that stays wet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantRate {
    /// Temperature of the face.
    pub face: ThermodynamicTemperature,
    /// Water leaving, kg/m²s; negative when vapour condenses.
    pub flux: f64,
}

/// Which water leaves the face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WetWith {
    /// Pure water.
    Water,
    /// Brine in contact with salt crystals.
    SaturatedBrine,
}

/// Drying in the constant-rate period: heat that reaches the face evaporates.
///
/// (h + h_r)(T_a - T_s) = m h_fg; m = h_m (M/R) (a p_s/T_s - p_v/T_a), solved for T_s
/// by bisection (both sides are monotone).
pub fn constant_rate(around: &Surroundings, wet: WetWith) -> ConstantRate {
    let air = in_kelvins(around.air);
    let face = turn(250.0, air + 60.0, 60, |face| {
        let flux = wet_face_flux(around, wet, face);
        heat_flux(around, face) > flux * heat_of_evaporation_j(face - 273.15)
    });
    ConstantRate { face: kelvins(face), flux: wet_face_flux(around, wet, face) }
}

fn heat_flux(around: &Surroundings, face: f64) -> f64 {
    let air = in_kelvins(around.air);
    let radiative = match around.radiation {
        Radiation::Grey(emissivity) => radiative_si(in_fraction(emissivity), face, air),
        Radiation::Film(h) => in_film(h),
    };
    (in_film(around.film) + radiative) * (air - face)
}

fn wet_face_flux(around: &Surroundings, wet: WetWith, face: f64) -> f64 {
    let air = in_kelvins(around.air);
    let activity = match wet {
        WetWith::Water => 1.0,
        WetWith::SaturatedBrine => saturated_activity_at(face - 273.15),
    };
    let coefficient =
        in_film(around.film) * lewis_ratio_si(0.5 * (face + air), in_pascals(around.pressure));
    coefficient
        * (vapour_concentration(activity * saturation_pressure_pa(face), face)
            - vapour_concentration(in_pascals(around.vapour), air))
}

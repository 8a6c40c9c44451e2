//! Short names for making a quantity from a number in a stated unit, and for
//! reading it back. One line a unit, so that calls read like the sentence.

use uom::si::{
    area::square_meter,
    areal_mass_density::gram_per_square_meter,
    available_energy::joule_per_kilogram,
    diffusion_coefficient::square_meter_per_second,
    heat_transfer::watt_per_square_meter_kelvin,
    length::{inch, meter, millimeter},
    mass::{gram, kilogram},
    mass_density::kilogram_per_cubic_meter,
    mass_rate::{kilogram_per_day, kilogram_per_second},
    power::watt,
    pressure::pascal,
    ratio::{percent, ratio},
    specific_heat_capacity::joule_per_kilogram_kelvin,
    temperature_interval::kelvin as kelvin_interval,
    thermal_conductivity::watt_per_meter_kelvin,
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
    time::{hour, minute, second},
    velocity::meter_per_second,
    volume::{cubic_meter, cup, liter, milliliter},
};

use super::{
    Area, ArealMassDensity, AvailableEnergy, DiffusionCoefficient, HeatTransfer, Length, Mass,
    MassDensity, MassRate, Power, Pressure, Ratio, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume,
};

macro_rules! made_and_read {
    ($($make:ident, $read:ident: $quantity:ident in $unit:ident, $words:literal;)*) => {$(
        #[doc = concat!("Makes a quantity from a number of ", $words, ".")]
        pub fn $make(value: f64) -> $quantity {
            $quantity::new::<$unit>(value)
        }

        #[doc = concat!("Reads a quantity as a number of ", $words, ".")]
        pub fn $read(quantity: $quantity) -> f64 {
            quantity.get::<$unit>()
        }
    )*};
}

made_and_read! {
    metres, in_metres: Length in meter, "metres";
    inches, in_inches: Length in inch, "inches";
    millimetres, in_millimetres: Length in millimeter, "millimetres";
    square_metres, in_square_metres: Area in square_meter, "square metres";
    cubic_metres, in_cubic_metres: Volume in cubic_meter, "cubic metres";
    litres, in_litres: Volume in liter, "litres";
    millilitres, in_millilitres: Volume in milliliter, "millilitres";
    us_cups, in_us_cups: Volume in cup, "US cups (236.588 mL, NIST SP 811 appendix B.8)";
    kilograms, in_kilograms: Mass in kilogram, "kilograms";
    grams, in_grams: Mass in gram, "grams";
    celsius, in_celsius: ThermodynamicTemperature in degree_celsius, "degrees Celsius";
    fahrenheit, in_fahrenheit: ThermodynamicTemperature in degree_fahrenheit, "degrees Fahrenheit";
    kelvins, in_kelvins: ThermodynamicTemperature in kelvin, "kelvins (absolute)";
    kelvins_apart, in_kelvins_apart: TemperatureInterval in kelvin_interval, "kelvins of difference";
    seconds, in_seconds: Time in second, "seconds";
    minutes, in_minutes: Time in minute, "minutes";
    hours, in_hours: Time in hour, "hours";
    watts, in_watts: Power in watt, "watts";
    kilograms_per_day, in_kilograms_per_day: MassRate in kilogram_per_day, "kilograms a day";
    kilograms_per_second, in_kilograms_per_second: MassRate in kilogram_per_second, "kilograms a second";
    fraction, in_fraction: Ratio in ratio, "parts of one";
    percents, in_percents: Ratio in percent, "per cent";
    pascals, in_pascals: Pressure in pascal, "pascals";
    film, in_film: HeatTransfer in watt_per_square_meter_kelvin, "W/m²K";
    conductivity, in_conductivity: ThermalConductivity in watt_per_meter_kelvin, "W/m K";
    metres_per_second, in_metres_per_second: Velocity in meter_per_second, "metres a second";
    grams_per_square_metre, in_grams_per_square_metre: ArealMassDensity in gram_per_square_meter, "grams a square metre";
    joules_per_kilogram, in_joules_per_kilogram: AvailableEnergy in joule_per_kilogram, "J/kg";
    joules_per_kilogram_kelvin, in_joules_per_kilogram_kelvin: SpecificHeatCapacity in joule_per_kilogram_kelvin, "J/kg K";
    kilograms_per_cubic_metre, in_kilograms_per_cubic_metre: MassDensity in kilogram_per_cubic_meter, "kg/m³";
    diffusivity, in_diffusivity: DiffusionCoefficient in square_meter_per_second, "m²/s";
}

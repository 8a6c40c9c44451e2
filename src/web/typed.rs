//! Quantities and moments as a form has them: typed, so that they read back.

use chrono::NaiveDateTime;

use crate::units::{
    Length, System, ThermodynamicTemperature, in_celsius, in_fahrenheit, in_inches, in_millimetres,
    is_number,
};

/// The unit that stands beside a field: for US units and for the metric ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beside(pub &'static str, pub &'static str);

impl Beside {
    /// A small length.
    pub const SIZE: Self = Self("in", "mm");
    /// A height above the sea.
    pub const HEIGHT: Self = Self("ft", "m");
    /// A temperature.
    pub const DEGREES: Self = Self("°F", "°C");
    /// An amount of water.
    pub const WATER: Self = Self("cups", "mL");
    /// A share.
    pub const SHARE: Self = Self("%", "%");
    /// A freezing capacity.
    pub const A_DAY: Self = Self("kg/day", "kg/day");
    /// A wait.
    pub const HOURS: Self = Self("h", "h");

    /// As it stands on a page in these units.
    pub fn words(self, units: System) -> &'static str {
        match units {
            System::Us => self.0,
            System::Metric => self.1,
        }
    }
}

/// What was typed beside a unit: a number alone is read in it, anything else as it stands.
pub fn in_unit(typed: &str, unit: Option<Beside>, units: System) -> String {
    match unit {
        Some(unit) if is_number(typed) => format!("{typed} {}", unit.words(units)),
        _ => typed.to_owned(),
    }
}

/// A moment as the browser's own field for it has it.
pub const MOMENT: &str = "%Y-%m-%dT%H:%M";

/// The kind of field that shows this time as it was typed.
pub fn input_type(typed: Option<&str>) -> &'static str {
    let as_picked = typed.is_none_or(|text| NaiveDateTime::parse_from_str(text, MOMENT).is_ok());
    if as_picked { "datetime-local" } else { "text" }
}

/// A temperature as it is typed, to a tenth of a degree.
pub fn degrees(temperature: ThermodynamicTemperature, units: System) -> String {
    match units {
        System::Us => format!("{} F", tenths(in_fahrenheit(temperature))),
        System::Metric => format!("{} C", tenths(in_celsius(temperature))),
    }
}

/// A length as it is typed, to a tenth of a millimetre or a hundredth of an inch.
pub fn size(length: Length, units: System) -> String {
    match units {
        System::Us => format!("{} in", (in_inches(length) * 100.0).round() / 100.0),
        System::Metric => format!("{} mm", tenths(in_millimetres(length))),
    }
}

/// To a tenth; adding zero turns −0 into 0.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0 + 0.0
}

//! Quantities and moments as a form has them: typed, so that they read back.

use chrono::NaiveDateTime;

use crate::units::{
    Length, System, ThermodynamicTemperature, in_celsius, in_fahrenheit, in_inches, in_millimetres,
};

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

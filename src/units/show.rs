//! Prints quantities in the reader's own units, with no more digits than a
//! kitchen can use.

use uom::si::{
    length::{inch, millimeter},
    mass::{gram, kilogram, ounce, pound},
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit},
    time::minute,
    volume::{cup, gallon, liter, milliliter, tablespoon, teaspoon},
};

use super::{Length, Mass, ThermodynamicTemperature, Time, Volume};

/// The reader's system of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum System {
    /// Cups, inches, pounds, degrees Fahrenheit.
    Us,
    /// Millilitres, millimetres, grams, degrees Celsius.
    #[default]
    Metric,
}

impl System {
    /// The system of a word.
    pub fn named(word: &str) -> Option<Self> {
        [Self::Us, Self::Metric].into_iter().find(|system| system.word() == word)
    }

    /// `us` or `metric`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Metric => "metric",
        }
    }
}

/// A length: `1/4 in` or `6 mm`.
pub fn show_length(length: Length, system: System) -> String {
    match system {
        System::Us => format!("{} in", fraction(length.get::<inch>(), 8)),
        System::Metric => format!("{} mm", plain(length.get::<millimeter>(), 1)),
    }
}

/// How thick a dough is rolled: `3/16 in` or `5 mm`.
pub fn show_thickness(thickness: Length, system: System) -> String {
    match system {
        System::Us => format!("{} in", fraction(thickness.get::<inch>(), 16)),
        System::Metric => show_length(thickness, system),
    }
}

/// A temperature on a thermometer: `0 °F` or `−18 °C`.
pub fn show_temperature(temperature: ThermodynamicTemperature, system: System) -> String {
    match system {
        System::Us => format!("{} °F", signed(temperature.get::<degree_fahrenheit>())),
        System::Metric => format!("{} °C", signed(temperature.get::<degree_celsius>())),
    }
}

/// A volume: `1 1/3 cups` or `310 mL`.
pub fn show_volume(volume: Volume, system: System) -> String {
    match system {
        // No set of cup measures has less than a quarter (common practice, no source).
        System::Us if (f64::MIN_POSITIVE..0.23).contains(&volume.get::<cup>()) => spoons(volume),
        // Nobody counts so many cups.
        System::Us if volume.get::<gallon>() >= 2.0 => {
            format!("{} gal", plain(volume.get::<gallon>(), 0))
        }
        System::Us => {
            let cups = quarters_and_thirds(volume.get::<cup>());
            let one = matches!(cups.as_str(), "1/4" | "1/3" | "1/2" | "2/3" | "3/4" | "1");
            format!("{cups} {}", if one { "cup" } else { "cups" })
        }
        System::Metric if volume.get::<liter>() >= 1.0 => {
            format!("{} L", plain(volume.get::<liter>(), 1))
        }
        System::Metric => format!("{} mL", plain(volume.get::<milliliter>(), 0)),
    }
}

/// A mass: `1 lb 4 oz` or `570 g`.
pub fn show_mass(mass: Mass, system: System) -> String {
    match system {
        System::Us => {
            let ounces = mass.get::<ounce>();
            if ounces < 15.95 {
                return format!("{} oz", plain(ounces, 1));
            }
            let (pounds, rest) = whole_and_rest(mass.get::<pound>(), 16.0);
            if rest == 0 { format!("{pounds} lb") } else { format!("{pounds} lb {rest} oz") }
        }
        System::Metric if mass.get::<kilogram>() >= 1.0 => {
            format!("{} kg", plain(mass.get::<kilogram>(), 2))
        }
        System::Metric => format!("{} g", plain(mass.get::<gram>(), 0)),
    }
}

/// What one piece weighs on a kitchen scale: `112 g`, and `9.3 g` of a small one.
pub fn show_piece(mass: Mass) -> String {
    let grams = mass.get::<gram>();
    if grams < 20.0 { format!("{grams:.1} g") } else { format!("{grams:.0} g") }
}

/// A length of time: `45 min`, `9 h 40 min`, `3 days 4 h`.
///
/// Rounded to the minute below an hour, to 5 minutes below 10 hours, to a
/// quarter of an hour below two days, to the hour below ten days, and to the day
/// beyond.
pub fn show_duration(time: Time) -> String {
    let minutes = time.get::<minute>();
    let step = if minutes < 60.0 {
        1.0
    } else if minutes < 600.0 {
        5.0
    } else if minutes < 2880.0 {
        15.0
    } else if minutes < 14_400.0 {
        60.0
    } else {
        1440.0
    };
    show_minutes(((minutes / step).round() * step).max(0.0) as u64)
}

/// A wait, to five minutes up and from two days on as [`show_duration`] has it: `10 h 10 min`.
pub fn show_wait(wait: Time) -> String {
    let minutes = 5.0 * (wait.get::<minute>() / 5.0 - 1e-9).ceil();
    if minutes >= 2880.0 { show_duration(wait) } else { show_minutes(minutes.max(0.0) as u64) }
}

/// The same, of whole minutes; of days without the minutes.
pub fn show_minutes(minutes: u64) -> String {
    match (minutes / 1440, minutes / 60, minutes % 60) {
        (days @ 2.., hours, _) if hours % 24 == 0 => format!("{days} days"),
        (days @ 2.., hours, _) => format!("{days} days {} h", hours % 24),
        (_, 0, minutes) => format!("{minutes} min"),
        (_, hours, 0) => format!("{hours} h"),
        (_, hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}

/// A fixed number of decimals, without trailing zeros.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A whole number with a true minus sign.
fn signed(value: f64) -> String {
    let rounded = value.round() as i64;
    if rounded < 0 { format!("\u{2212}{}", -rounded) } else { rounded.to_string() }
}

/// The whole part, and the rest in `parts` of one, carried when it rounds up.
fn whole_and_rest(value: f64, parts: f64) -> (u64, u64) {
    let in_parts = (value * parts).round().max(0.0) as u64;
    (in_parts / parts as u64, in_parts % parts as u64)
}

fn mixed(whole: u64, top: u64, bottom: u64) -> String {
    match (whole, top) {
        (whole, 0) => whole.to_string(),
        (0, top) => format!("{top}/{bottom}"),
        (whole, top) => format!("{whole} {top}/{bottom}"),
    }
}

/// The nearest of so many parts of one, a power of two, in lowest terms.
fn fraction(value: f64, parts: u64) -> String {
    let (whole, mut top) = whole_and_rest(value, parts as f64);
    let mut bottom = parts;
    while top != 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    mixed(whole, top, bottom)
}

/// As much by the spoon: `2 1/2 tbsp`, `3/4 tsp`.
fn spoons(volume: Volume) -> String {
    match volume.get::<tablespoon>() {
        tablespoons if tablespoons >= 0.9 => format!("{} tbsp", fraction(tablespoons, 2)),
        _ => format!("{} tsp", fraction(volume.get::<teaspoon>().max(0.25), 4)),
    }
}

/// The nearest of the marks on a set of cup measures.
fn quarters_and_thirds(value: f64) -> String {
    const MARKS: [(f64, u64, u64); 7] = [
        (0.0, 0, 1),
        (0.25, 1, 4),
        (1.0 / 3.0, 1, 3),
        (0.5, 1, 2),
        (2.0 / 3.0, 2, 3),
        (0.75, 3, 4),
        (1.0, 0, 1),
    ];
    let rest = value - value.floor();
    let (mark, top, bottom) = MARKS
        .into_iter()
        .min_by(|a, b| (a.0 - rest).abs().total_cmp(&(b.0 - rest).abs()))
        .unwrap_or(MARKS[0]);
    mixed(value.floor().max(0.0) as u64 + u64::from(mark == 1.0), top, bottom)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::*;

    #[test]
    fn kitchen_fractions() {
        assert_eq!(show_length(millimetres(6.35), System::Us), "1/4 in");
        assert_eq!(show_length(millimetres(76.0), System::Us), "3 in");
        assert_eq!(show_volume(millilitres(310.0), System::Us), "1 1/3 cups");
        assert_eq!(show_volume(millilitres(232.0), System::Us), "1 cup");
        assert_eq!(show_volume(millilitres(59.0), System::Us), "1/4 cup");
        assert_eq!(show_volume(millilitres(22.0), System::Us), "1 1/2 tbsp");
        assert_eq!(show_volume(millilitres(3.7), System::Us), "3/4 tsp");
        assert_eq!(show_volume(millilitres(0.0), System::Us), "0 cups");
        assert_eq!(show_volume(litres(25.0), System::Us), "7 gal");
    }

    #[test]
    fn masses_carry_ounces() {
        assert_eq!(show_mass(kilograms(0.4535), System::Us), "1 lb");
        assert_eq!(show_mass(kilograms(1.0), System::Us), "2 lb 3 oz");
        assert_eq!(show_mass(grams(310.4), System::Metric), "310 g");
        assert_eq!([9.04, 19.94, 20.4].map(|g| show_piece(grams(g))), ["9.0 g", "19.9 g", "20 g"]);
    }

    #[test]
    fn durations_are_rounded_to_what_matters() {
        assert_eq!(show_duration(minutes(47.4)), "47 min");
        assert_eq!(show_duration(hours(9.66)), "9 h 40 min");
        assert_eq!(show_duration(hours(26.0)), "26 h");
        assert_eq!(show_duration(hours(93.6)), "3 days 22 h");
        assert_eq!(show_duration(hours(2155.0)), "90 days");
    }

    #[test]
    fn waits_are_said_to_five_minutes_up() {
        for (wait, words) in [
            (0.01, "5 min"),
            (0.75, "45 min"),
            (1.0, "1 h"),
            (1.01, "1 h 05 min"),
            (10.15, "10 h 10 min"),
            (47.9, "47 h 55 min"),
            (93.6, "3 days 22 h"),
        ] {
            assert_eq!(show_wait(hours(wait)), words);
        }
    }

    #[test]
    fn dough_is_rolled_to_sixteenths() {
        assert_eq!(show_thickness(millimetres(4.7625), System::Us), "3/16 in");
        assert_eq!(show_thickness(millimetres(9.525), System::Us), "3/8 in");
        assert_eq!(show_thickness(millimetres(5.0), System::Metric), "5 mm");
    }

    #[test]
    fn minus_is_a_minus() {
        assert_eq!(show_temperature(celsius(-17.8), System::Metric), "\u{2212}18 °C");
        assert_eq!(show_temperature(fahrenheit(0.0), System::Us), "0 °F");
    }
}

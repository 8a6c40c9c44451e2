//! Reads a quantity as people type it: `1 1/2 in`, `310mL`, `-18 °C`, `1h30`.
//!
//! Nothing is guessed: a number without a unit is an error that shows one
//! valid example.

use std::fmt;

use thiserror::Error;
use uom::si::{
    length::{centimeter, foot, inch, meter, millimeter},
    mass::{gram, kilogram, ounce, pound},
    mass_rate::kilogram_per_day,
    ratio::percent,
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit},
    time::{day, hour, minute, second},
    volume::{cup, fluid_ounce, gallon, liter, milliliter, quart_liquid, tablespoon, teaspoon},
};

use super::{Length, Mass, MassRate, Ratio, ThermodynamicTemperature, Time, Volume};

/// Why a typed quantity could not be read.
#[derive(Debug, Clone, PartialEq, Error)]
pub struct QuantityError {
    /// What was typed.
    pub typed: String,
    /// What is wrong with it.
    pub wrong: NoQuantity,
    /// What was wanted.
    pub kind: &'static str,
    /// A valid one.
    pub example: &'static str,
}

/// What is wrong with a text that is no quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum NoQuantity {
    /// Nothing was typed.
    Empty,
    /// The text does not begin with a number.
    NotANumber,
    /// A number with a decimal comma: it may as well part thousands.
    Comma,
    /// A number without a unit.
    NoUnit,
    /// A unit that is unknown or of another kind.
    WrongUnit {
        /// The unit word found.
        unit: String,
        /// The units that are accepted.
        accepted: String,
    },
    /// A number too large to be meant.
    OutOfRange,
}
impl QuantityError {
    /// Whether its words have what was typed as it would be right: a temperature has two units,
    /// and which of them is meant is for who typed it to say.
    pub fn says_what_to_type(&self) -> bool {
        self.wrong == NoQuantity::NoUnit && self.kind == TEMPERATURE.name
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { typed, wrong, kind, example } = self;
        let found = match wrong {
            NoQuantity::Empty => "nothing was typed".to_owned(),
            NoQuantity::NotANumber => format!("“{typed}” does not begin with a number"),
            NoQuantity::Comma => format!("“{typed}” has a comma; write a point"),
            NoQuantity::NoUnit if self.says_what_to_type() => {
                return write!(out, "“{typed}” has no unit: type “{typed} F” or “{typed} C”");
            }
            NoQuantity::NoUnit => format!("“{typed}” has no unit"),
            NoQuantity::OutOfRange => format!("“{typed}” is out of all range"),
            NoQuantity::WrongUnit { unit, accepted } => {
                let found = format!("“{typed}”: “{unit}” is not a unit of {kind}");
                return write!(out, "{found}; use {accepted}, as in “{example}”");
            }
        };
        write!(out, "{found}; {kind} looks like “{example}”")
    }
}

/// One kind of quantity: its name, an example, and its units.
struct Kind<Q: 'static> {
    name: &'static str,
    example: &'static str,
    units: &'static [Unit<Q>],
}

/// The words for a unit, the first being the one to show, and its maker.
type Unit<Q> = (&'static [&'static str], fn(f64) -> Q);

/// No kitchen holds a number larger than this in any unit accepted here.
const LARGEST: f64 = 1e9;

impl<Q> Kind<Q> {
    fn wrong(&self, typed: &str, wrong: NoQuantity) -> QuantityError {
        let typed = typed.trim().to_owned();
        QuantityError { typed, wrong, kind: self.name, example: self.example }
    }

    fn read(&self, typed: &str) -> Result<Q, QuantityError> {
        let (value, unit) = self.number(typed, typed)?;
        self.unit(unit, typed).map(|make| make(value))
    }

    /// The number at the start of `text` and what follows it, trimmed.
    fn number<'a>(&self, text: &'a str, typed: &str) -> Result<(f64, &'a str), QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(self.wrong(typed, NoQuantity::Empty));
        }
        match leading_number(text) {
            None => Err(self.wrong(typed, NoQuantity::NotANumber)),
            Some((value, _)) if !value.is_finite() || value.abs() > LARGEST => {
                Err(self.wrong(typed, NoQuantity::OutOfRange))
            }
            Some((_, rest)) if is_decimal_comma(rest) => Err(self.wrong(typed, NoQuantity::Comma)),
            Some((value, rest)) => Ok((value, rest.trim())),
        }
    }

    fn unit(&self, word: &str, typed: &str) -> Result<fn(f64) -> Q, QuantityError> {
        if word.is_empty() {
            return Err(self.wrong(typed, NoQuantity::NoUnit));
        }
        // Degrees alone are of two kinds.
        if self.name == TEMPERATURE.name && ["degrees", "degree", "deg", "°"].contains(&word) {
            let number = typed.trim().strip_suffix(word).unwrap_or(typed);
            return Err(self.wrong(number, NoQuantity::NoUnit));
        }
        // Telephones make curly quotes of straight ones.
        let typed_word = if ["”", "“", "″"].contains(&word) { "\"" } else { word };
        let known = self.units.iter().find(|(names, _)| names.contains(&typed_word));
        known.map(|(_, make)| *make).ok_or_else(|| {
            let names = self.units.iter().filter_map(|(names, _)| names.first().copied());
            let accepted = names.collect::<Vec<_>>().join(", ");
            self.wrong(typed, NoQuantity::WrongUnit { unit: word.to_owned(), accepted })
        })
    }
}

/// Whether what follows a number goes on with a comma and digits.
fn is_decimal_comma(rest: &str) -> bool {
    rest.strip_prefix(',').is_some_and(|rest| rest.starts_with(|next: char| next.is_ascii_digit()))
}

/// A number at the start of the text: decimal, `1/4`, `1 1/2`, `1½`.
fn leading_number(text: &str) -> Option<(f64, &str)> {
    let (sign, body) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(body) => (-1.0, body.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    if let Some((part, rest)) = vulgar_fraction(body) {
        return Some((sign * part, rest));
    }
    let (whole, rest) = decimal(body)?;
    if let Some((part, rest)) = vulgar_fraction(rest.trim_start()) {
        return Some((sign * (whole + part), rest));
    }
    if let Some((denominator, rest)) = rest.strip_prefix('/').and_then(decimal) {
        return Some((sign * whole / denominator, rest));
    }
    // "1 1/2 in": a second number counts only when it is the top of a fraction.
    let fraction = rest.strip_prefix([' ', '-']).and_then(|tail| {
        let (top, tail) = decimal(tail.trim_start())?;
        let (bottom, tail) = decimal(tail.strip_prefix('/')?)?;
        Some((top / bottom, tail))
    });
    match fraction {
        Some((part, rest)) => Some((sign * (whole + part), rest)),
        None => Some((sign * whole, rest)),
    }
}

fn decimal(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let (exponent, rest) = exponent(rest);
    format!("{digits}{exponent}").parse().ok().map(|value| (value, rest))
}

/// `e-11` as in `2e-11`; not the start of a unit word.
fn exponent(text: &str) -> (&str, &str) {
    let Some(tail) = text.strip_prefix(['e', 'E']) else { return ("", text) };
    let digits = tail.strip_prefix(['-', '+']).unwrap_or(tail);
    let count = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    if count == 0 {
        return ("", text);
    }
    text.split_at(text.len() - digits.len() + count)
}

fn vulgar_fraction(text: &str) -> Option<(f64, &str)> {
    let mut rest = text.chars();
    let value = match rest.next()? {
        '¼' => 0.25,
        '½' => 0.5,
        '¾' => 0.75,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((value, rest.as_str()))
}

const LENGTH: Kind<Length> = Kind {
    name: "a length",
    example: "35 mm",
    units: &[
        (&["mm"], Length::new::<millimeter>),
        (&["cm"], Length::new::<centimeter>),
        (&["m"], Length::new::<meter>),
        (&["in", "\"", "″", "inch", "inches"], Length::new::<inch>),
        (&["ft", "'", "foot", "feet"], Length::new::<foot>),
    ],
};
const VOLUME: Kind<Volume> = Kind {
    name: "a volume",
    example: "310 mL",
    units: &[
        (&["mL", "ml"], Volume::new::<milliliter>),
        (&["L", "l"], Volume::new::<liter>),
        (&["cup", "cups"], Volume::new::<cup>),
        (&["qt", "quart", "quarts"], Volume::new::<quart_liquid>),
        (&["gal", "gallon", "gallons"], Volume::new::<gallon>),
        (&["fl oz"], Volume::new::<fluid_ounce>),
        (&["tbsp"], Volume::new::<tablespoon>),
        (&["tsp"], Volume::new::<teaspoon>),
    ],
};
const MASS: Kind<Mass> = Kind {
    name: "a mass",
    example: "250 g",
    units: &[
        (&["g"], Mass::new::<gram>),
        (&["kg"], Mass::new::<kilogram>),
        (&["oz"], Mass::new::<ounce>),
        (&["lb"], Mass::new::<pound>),
    ],
};
const TEMPERATURE: Kind<ThermodynamicTemperature> = Kind {
    name: "a temperature",
    example: "200 F",
    units: &[
        (&["C", "°C", "degC"], ThermodynamicTemperature::new::<degree_celsius>),
        (&["F", "°F", "degF"], ThermodynamicTemperature::new::<degree_fahrenheit>),
    ],
};
const FREEZER_AIR: Kind<ThermodynamicTemperature> = Kind { example: "0 F", ..TEMPERATURE };
const TIME: Kind<Time> = Kind {
    name: "a length of time",
    example: "1 h 30 min",
    units: &[
        (&["s"], Time::new::<second>),
        (&["min", "minute", "minutes"], Time::new::<minute>),
        (&["h", "hour", "hours"], Time::new::<hour>),
        (&["day", "days"], Time::new::<day>),
    ],
};
const SHARE: Kind<Ratio> =
    Kind { name: "a share", example: "45 %", units: &[(&["%"], Ratio::new::<percent>)] };
const MASS_RATE: Kind<MassRate> = Kind {
    name: "a freezing capacity",
    example: "3 kg/day",
    units: &[(&["kg/day"], MassRate::new::<kilogram_per_day>)],
};

macro_rules! readers {
    ($($(#[$doc:meta])* $read:ident: $quantity:ident = $kind:ident;)*) => {$(
        $(#[$doc])*
        ///
        /// # Errors
        /// [`QuantityError`] when there is no number, no unit, or another kind's unit.
        pub fn $read(typed: &str) -> Result<$quantity, QuantityError> {
            $kind.read(typed)
        }
    )*};
}

readers! {
    /// Reads a length: `mm cm m in ft`.
    length: Length = LENGTH;
    /// Reads a volume: `mL L cup qt gal`, `fl oz`, `tbsp tsp` (US customary; a cup is 236.588 mL).
    volume: Volume = VOLUME;
    /// Reads a mass: `g kg oz lb`.
    mass: Mass = MASS;
    /// Reads a temperature on a thermometer: `C`, `F` (also `°C`, `degC` …).
    temperature: ThermodynamicTemperature = TEMPERATURE;
    /// Reads a temperature as cold as a freezer: `0 F`, `-18 C`.
    freezer_temperature: ThermodynamicTemperature = FREEZER_AIR;
    /// Reads a share of one: `45 %`.
    share: Ratio = SHARE;
    /// Reads a rated freezing capacity: `3 kg/day`.
    mass_rate: MassRate = MASS_RATE;
}

/// Whether a text is a number and nothing else, so that a unit may be put behind it.
///
/// ```
/// use solidby::units::is_number;
/// assert!(is_number("1 1/2") && is_number("-18") && is_number("½"));
/// assert!(!is_number("45 %") && !is_number("") && !is_number("9 x 8"));
/// ```
pub fn is_number(typed: &str) -> bool {
    number(typed).is_some()
}

/// A number and nothing else: `2.5`, `2 1/2`, `2½`.
pub fn number(typed: &str) -> Option<f64> {
    let (value, rest) = leading_number(typed.trim())?;
    rest.trim().is_empty().then_some(value)
}

/// So much of an ingredient: weighed, or measured in cups and spoons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Weighed.
    Mass(Mass),
    /// Measured.
    Volume(Volume),
}

/// Reads an amount, a mass or a volume: `250 g`, `2 cups`.
///
/// # Errors
/// [`QuantityError`] when there is no number, no unit, or another kind's unit.
pub fn amount(typed: &str) -> Result<Amount, QuantityError> {
    use NoQuantity::WrongUnit;
    let by_mass = MASS.read(typed).map(Amount::Mass);
    by_mass.or_else(|of_mass| match VOLUME.read(typed) {
        Ok(volume) => Ok(Amount::Volume(volume)),
        Err(of_volume) => Err(match (of_mass, of_volume.wrong) {
            (
                QuantityError { typed, wrong: WrongUnit { unit, accepted }, .. },
                WrongUnit { accepted: volumes, .. },
            ) => {
                let wrong = WrongUnit { unit, accepted: format!("{accepted}, {volumes}") };
                QuantityError { typed, wrong, kind: "an amount", example: "2 cups" }
            }
            (of_mass, _) => of_mass,
        }),
    })
}

/// Reads a length of time, also as a sum: `90 min`, `1h30`, `1 h 30 min`.
///
/// In `1h30` the last number, which has no unit, counts minutes.
///
/// ```
/// use solidby::units::{duration, in_minutes, show_duration};
///
/// let baking = duration("1h30")?;
/// assert_eq!(in_minutes(baking), 90.0);
/// assert_eq!(show_duration(baking), "1 h 30 min");
/// assert!(duration("90").is_err(), "a number without a unit is not guessed at");
/// # Ok::<(), solidby::units::QuantityError>(())
/// ```
///
/// # Errors
/// [`QuantityError`] when there is no number, no unit, or another kind's unit.
pub fn duration(typed: &str) -> Result<Time, QuantityError> {
    let mut total = Time::new::<second>(0.0);
    let mut rest = typed.trim();
    let mut after_hours = false;
    if rest.is_empty() {
        return Err(TIME.wrong(typed, NoQuantity::Empty));
    }
    while !rest.is_empty() {
        let (value, tail) = TIME.number(rest, typed)?;
        if tail.is_empty() && after_hours {
            return Ok(total + Time::new::<minute>(value));
        }
        let end = tail.find(|c: char| !c.is_alphabetic()).unwrap_or(tail.len());
        let (word, tail) = tail.split_at(end);
        total += TIME.unit(word, typed)?(value);
        after_hours = word.starts_with('h');
        rest = tail.trim();
    }
    Ok(total)
}

/// Reads sizes joined by `x`: `10 x 8 x 4 cm`; the last unit serves all that have none.
///
/// # Errors
/// [`QuantityError`] for the first part that cannot be read.
pub fn lengths(typed: &str) -> Result<Vec<Length>, QuantityError> {
    let parts: Vec<&str> = typed.split(['x', '×']).map(str::trim).collect();
    let last = parts.last().copied().unwrap_or_default();
    let (_, last_unit) = LENGTH.number(last, typed)?;
    if last_unit.is_empty() {
        return Err(LENGTH.wrong(typed, NoQuantity::NoUnit));
    }
    parts
        .iter()
        .map(|part| {
            let (value, unit) = LENGTH.number(part, typed)?;
            let unit = if unit.is_empty() { last_unit } else { unit };
            LENGTH.unit(unit, typed).map(|make| make(value))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::*;
    use approx::assert_relative_eq;

    fn close(found: f64, wanted: f64) {
        assert_relative_eq!(found, wanted, max_relative = 1e-12, epsilon = 1e-12);
    }

    #[test]
    fn numbers_as_people_write_them() {
        for (typed, wanted) in [
            ("1/4 in", 6.35),
            ("1 1/2 in", 38.1),
            ("1-1/2 in", 38.1),
            ("1½ in", 38.1),
            ("½\"", 12.7),
            ("3\"", 76.2),
            ("35mm", 35.0),
            ("2.5 cm", 25.0),
            (" 4  cm ", 40.0),
            ("1 ft", 304.8),
        ] {
            close(in_millimetres(length(typed).unwrap()), wanted);
        }
    }

    #[test]
    fn a_decimal_comma_is_called_so() {
        for typed in ["3,2 cm", "-1,5 cm", "1,000 mm"] {
            assert_eq!(length(typed).unwrap_err().wrong, NoQuantity::Comma, "{typed}");
        }
        let words = length("3,2 cm").unwrap_err().to_string();
        assert!(words.starts_with("“3,2 cm” has a comma; write a point"), "{words}");
    }

    #[test]
    fn temperatures_with_either_minus() {
        close(in_celsius(temperature("-18 °C").unwrap()), -18.0);
        close(in_celsius(temperature("\u{2212}18C").unwrap()), -18.0);
        close(in_celsius(temperature("0 F").unwrap()), -160.0 / 9.0);
    }

    #[test]
    fn the_cup_is_the_us_customary_cup() {
        // NIST SP 811 appendix B.8: 1 cup (US) = 2.365882 E-04 m³.
        assert_relative_eq!(in_millilitres(volume("1 cup").unwrap()), 236.588, max_relative = 1e-5);
    }

    #[test]
    fn sums_of_time() {
        for (typed, wanted) in [
            ("90 min", 90.0),
            ("1h30", 90.0),
            ("1 h 30 min", 90.0),
            ("1.5 h", 90.0),
            ("2 days", 2880.0),
            ("45 s", 0.75),
        ] {
            close(in_minutes(duration(typed).unwrap()), wanted);
        }
    }

    #[test]
    fn sizes_share_the_last_unit() {
        let sizes = lengths("10 x 8 x 4 cm").unwrap();
        let sizes: Vec<f64> = sizes.into_iter().map(in_millimetres).collect();
        assert_eq!(sizes.len(), 3);
        close(sizes[0], 100.0);
        close(sizes[2], 40.0);
        close(in_millimetres(lengths("4 in x 50 mm").unwrap()[0]), 101.6);
    }

    #[test]
    fn nothing_is_guessed() {
        assert!(matches!(temperature("180"), Err(QuantityError { wrong: NoQuantity::NoUnit, .. })));
        let degrees = temperature("-10 degrees").unwrap_err().to_string();
        assert_eq!(degrees, "“-10” has no unit: type “-10 F” or “-10 C”");
        assert!(matches!(
            temperature("180 mL"),
            Err(QuantityError { wrong: NoQuantity::WrongUnit { .. }, .. })
        ));
        assert!(matches!(length(""), Err(QuantityError { wrong: NoQuantity::Empty, .. })));
        assert!(matches!(
            length("NaN mm"),
            Err(QuantityError { wrong: NoQuantity::NotANumber, .. })
        ));
        assert!(matches!(
            length("1e300 mm"),
            Err(QuantityError { wrong: NoQuantity::OutOfRange, .. })
        ));
        assert!(matches!(
            length("1/0 mm"),
            Err(QuantityError { wrong: NoQuantity::OutOfRange, .. })
        ));
        assert!(matches!(
            length("inf mm"),
            Err(QuantityError { wrong: NoQuantity::NotANumber, .. })
        ));
        assert!(matches!(length("1,5 mm"), Err(QuantityError { wrong: NoQuantity::Comma, .. })));
        assert!(matches!(
            duration("1h-"),
            Err(QuantityError { wrong: NoQuantity::NotANumber, .. })
        ));
        assert!(matches!(duration("30"), Err(QuantityError { wrong: NoQuantity::NoUnit, .. })));
        assert!(lengths("10 x 8").is_err());
    }
}

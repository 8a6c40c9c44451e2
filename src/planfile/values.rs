//! What the values of a plan file mean, each by the row of its key.

use std::borrow::Cow;

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use chrono_tz::{TZ_VARIANTS, Tz};
use toml::{
    de::{DeInteger, DeValue},
    value::{Datetime, Offset},
};

use super::{
    Blocks, Days, HoursError, Spare,
    fault::Wrong,
    key::{Key, Value},
};
use crate::{
    tables::nearest,
    units::{
        self, Length, MassRate, QuantityError, Ratio, ThermodynamicTemperature, Time, Volume,
        metres, millimetres, time_of_day,
    },
};

/// A meaning that a value of the file can have.
pub trait Meaning: Sized {
    /// Reads a value by the row of its key.
    ///
    /// # Errors
    /// What is wrong with it.
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong>;
}

/// A value of another kind than is wanted.
pub fn kind(value: &DeValue<'_>, wanted: &'static str, example: &str) -> Wrong {
    let is = match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    Wrong::Kind { is, wanted, example: example.to_owned() }
}

/// A name that is none of those known.
pub fn unknown(text: &str, known: &[&str]) -> Wrong {
    Wrong::Name {
        text: text.to_owned(),
        near: nearest(text, known.iter().copied()).map(str::to_owned),
        known: known.iter().map(|name| (*name).to_owned()).collect(),
    }
}

/// A value as text.
///
/// # Errors
/// When it is of another kind.
pub fn text<'v>(key: &Key, value: &'v DeValue<'_>) -> Result<&'v str, Wrong> {
    value.as_str().ok_or_else(|| kind(value, "text in quotes", key.example))
}

/// A text that is not what it must be.
pub fn not_a(what: &'static str, key: &Key, text: &str) -> Wrong {
    Wrong::NotA { what, text: text.to_owned(), example: key.example }
}

impl Meaning for bool {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        value.as_bool().ok_or_else(|| kind(value, "true or false", key.example))
    }
}

impl Meaning for String {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        match text(key, value)? {
            empty if empty.trim().is_empty() => Err(Wrong::Empty { example: key.example }),
            text => Ok(text.to_owned()),
        }
    }
}

impl Meaning for u32 {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let (low, high) = match key.value {
            Value::Age => return age(key, value),
            Value::DayCount(low, high) => return days(key, value, (low, high)),
            Value::Count(low, high)
            | Value::EachOrCount(low, high)
            | Value::CountOrShare(low, high) => (low, high),
            _ => (0, Self::MAX),
        };
        let Some(number) = value.as_integer() else {
            return Err(match value.as_str().filter(|text| units::volume(text).is_ok()) {
                Some(text) => Wrong::NotHowMuch { text: text.to_owned(), example: key.example },
                None => kind(value, "a whole number", &counted(key, value)),
            });
        };
        within(number, (low, high)).ok_or(Wrong::Count { low, high })
    }
}

/// A number as the file has it, where it is within its bounds.
fn within(number: &DeInteger<'_>, (low, high): (u32, u32)) -> Option<u32> {
    let number = i64::from_str_radix(number.as_str(), number.radix()).ok()?;
    u32::try_from(number).ok().filter(|number| (low..=high).contains(number))
}

/// The number that a text begins with: of `17 children` it is 17.
fn counted(key: &Key, value: &DeValue<'_>) -> String {
    let text = value.as_str().unwrap_or_default().trim();
    let digits = text.split(|c: char| !c.is_ascii_digit()).next().unwrap_or_default();
    // Ten per cent of the pieces are not ten pieces.
    if digits.is_empty() || text.contains('%') { key.example.to_owned() } else { digits.to_owned() }
}

/// `"2 years"`, `"2 1/2 years"`, `"30 months"`: whole years, as cautions go by those that are over.
fn age(key: &Key, value: &DeValue<'_>) -> Result<u32, Wrong> {
    let months = value.as_str().and_then(months_old);
    let months = months.filter(|months| (0.0..12.0 * 19.0).contains(months));
    months.map(|months| (months / 12.0) as u32).ok_or(Wrong::Age { example: key.example })
}

/// An age in months: of `2 years`, `2.5 years`, `2 years 6 months`, `30 months old`.
fn months_old(text: &str) -> Option<f64> {
    let text = text.trim().trim_end_matches(" old");
    let months = |text: &str| units::number(text.trim_end_matches('s').strip_suffix("month")?);
    let Some((years, more)) = text.split_once("year") else {
        return months(text).or_else(|| Some(12.0 * units::number(text)?));
    };
    let more = more.trim_start_matches(['s', ',', ' ']).trim_start_matches("and ");
    let more = if more.is_empty() { 0.0 } else { months(more)? };
    Some(12.0 * units::number(years)? + more)
}

/// `"3 days"`.
fn days(key: &Key, value: &DeValue<'_>, (low, high): (u32, u32)) -> Result<u32, Wrong> {
    if let Some(days) = value.as_integer().and_then(|number| within(number, (low, high))) {
        let meant = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
        return Err(kind(value, "text in quotes", &format!("\"{meant}\"")));
    }
    let text = text(key, value)?;
    let number = text.trim().trim_end_matches("days").trim_end_matches("day").trim_end();
    let days = number.parse().ok().filter(|days| (low..=high).contains(days));
    days.filter(|_| number.len() < text.trim().len()).ok_or_else(|| Wrong::DayCount {
        text: text.to_owned(),
        low,
        high,
        example: key.example,
    })
}

/// A text within the bounds of its row.
fn quantity<Q: PartialOrd>(
    key: &Key,
    value: &DeValue<'_>,
    parse: fn(&str) -> Result<Q, QuantityError>,
) -> Result<Q, Wrong> {
    let (text, example) = (text(key, value)?, key.example);
    let wrong = |error| Wrong::Quantity { error, example };
    let quantity = parse(text).map_err(wrong)?;
    if let Value::Within(low, high, range) = key.value
        && (quantity < parse(low).map_err(wrong)? || quantity > parse(high).map_err(wrong)?)
    {
        return Err(Wrong::Range { text: text.to_owned(), range, example });
    }
    Ok(quantity)
}

macro_rules! quantities {
    ($($quantity:ident by $parse:path;)*) => {
        $(impl Meaning for $quantity {
            fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
                quantity(key, value, $parse)
            }
        })*
    };
}

quantities! {
    Length by units::length;
    Volume by units::volume;
    ThermodynamicTemperature by units::temperature;
    Ratio by units::share;
    MassRate by units::mass_rate;
    Time by units::duration;
}

/// `"13 x 18 in"`.
impl Meaning for (Length, Length) {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let text = text(key, value)?;
        let fits = |side: Length| (millimetres(30.0)..=metres(2.0)).contains(&side);
        match units::lengths(text).as_deref() {
            Ok([width, depth]) if fits(*width) && fits(*depth) => Ok((*width, *depth)),
            _ => Err(not_a("the two sides of a tray", key, text)),
        }
    }
}

impl Meaning for Tz {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let name = String::read(key, value)?;
        name.parse().map_err(|_| {
            let near = nearest(&name, TZ_VARIANTS.iter().map(|zone| zone.name()));
            Wrong::Zone { name, near }
        })
    }
}

impl Meaning for Days {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let text = String::read(key, value)?;
        text.parse().map_err(|error| Wrong::Days { error, example: key.example })
    }
}

/// Hours or days that may have dates without a year, and a day as `give` has it, without quotes.
///
/// # Errors
/// When it is neither a text nor a date, or not read.
pub fn dated<T>(
    key: &Key,
    value: &DeValue<'_>,
    example: &'static str,
    read: impl Fn(&str) -> Result<T, HoursError>,
) -> Result<T, Wrong> {
    let written = match value {
        DeValue::Datetime(day) => Cow::Owned(day.to_string()),
        _ => Cow::Borrowed(text(key, value)?),
    };
    read(&written).map_err(|error| Wrong::Hours { error, example })
}

impl Meaning for NaiveTime {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let text = text(key, value)?;
        time_of_day(text).ok_or_else(|| not_a("a time of day", key, text))
    }
}

impl Meaning for Blocks {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        match value.as_str() {
            Some("each") => Ok(Self::Each),
            Some(_) => Err(Wrong::Blocks),
            None => u32::read(key, value).map(Self::Number),
        }
    }
}

impl Meaning for Spare {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        if !value.is_str() {
            return u32::read(key, value).map(Self::Number);
        }
        let range = "a spare is between 0 % and 100 %";
        let share = Key { value: Value::Within("0 %", "100 %", range), ..*key };
        Ratio::read(&share, value).map(Self::Share)
    }
}

impl Meaning for Datetime {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let at = value.as_datetime().copied();
        at.ok_or_else(|| kind(value, "a date without quotes", key.example))
    }
}

impl Meaning for NaiveDate {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let at = Datetime::read(key, value)?;
        day(at).ok_or(Wrong::NoDay { example: key.example })
    }
}

/// A day and a time on the wall, with the offset where the file has one.
impl Meaning for (NaiveDateTime, Option<Offset>) {
    fn read(key: &Key, value: &DeValue<'_>) -> Result<Self, Wrong> {
        let at = Datetime::read(key, value)?;
        let time = at.time.and_then(|time| {
            let second = time.second.unwrap_or(0);
            NaiveTime::from_hms_opt(time.hour.into(), time.minute.into(), second.into())
        });
        let local = day(at).zip(time).map(|(day, time)| day.and_time(time));
        Ok((local.ok_or(Wrong::NoTime { example: key.example })?, at.offset))
    }
}

/// The day of a date.
pub fn day(at: Datetime) -> Option<NaiveDate> {
    let date = at.date?;
    NaiveDate::from_ymd_opt(date.year.into(), date.month.into(), date.day.into())
}

/// A number without a unit, between `-most` and `most`.
///
/// # Errors
/// When it is of another kind, or beyond.
pub fn number(value: &DeValue<'_>, most: f64) -> Result<f64, Wrong> {
    let number = match value {
        DeValue::Integer(whole) => i64::from_str_radix(whole.as_str(), whole.radix())
            .map_or(f64::INFINITY, |number| number as f64),
        DeValue::Float(float) => float.as_str().parse().unwrap_or(f64::NAN),
        _ => return Err(kind(value, "made of bare numbers", "[[0, 0], [9, 0], [4.5, 7.5]]")),
    };
    if (-most..=most).contains(&number) { Ok(number) } else { Err(Wrong::Number { most }) }
}

//! Names of steps, and days and times as people say them.

use chrono::{DateTime, Datelike, NaiveDate};
use chrono_tz::Tz;

/// Lower-case letters and digits joined by hyphens, for ids.
pub fn slug(name: &str) -> String {
    let words: Vec<String> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("-")
}

/// `Wed 9 Dec`.
pub fn day_words(day: NaiveDate) -> String {
    format!("{} {} {}", day.format("%a"), day.day(), day.format("%b"))
}

/// `Wed 9 Dec 09:30`.
pub fn time_words(at: DateTime<Tz>) -> String {
    format!("{} {}", day_words(at.date_naive()), at.format("%H:%M"))
}

/// `1 piece`, `3 pieces`; `1 fox mould`, `4 fox moulds`.
pub fn pieces(count: u32, noun: &str) -> String {
    match count {
        1 => format!("1 {noun}"),
        _ => format!("{count} {noun}s"),
    }
}

/// The name of a thing with its kind, once: `kitchen freezer`, `chest freezer`.
pub fn named(name: &str, kind: &str) -> String {
    if name.to_lowercase().contains(kind) { name.to_owned() } else { format!("{name} {kind}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_plain() {
        assert_eq!(slug("Paint on ice, twice!"), "paint-on-ice-twice");
        assert_eq!(slug("Füchse"), "füchse");
    }

    #[test]
    fn days_are_short() {
        assert_eq!(day_words(NaiveDate::from_ymd_opt(2026, 12, 9).unwrap()), "Wed 9 Dec");
    }
}

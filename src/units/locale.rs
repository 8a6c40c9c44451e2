//! How days, times, degrees and a few spellings are said where somebody lives.

use chrono::{Datelike, NaiveDate, Timelike};

use super::System;

/// Units, clock and spelling of who reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Locale {
    /// The units.
    pub units: System,
    /// Whether the clock has 12 hours.
    pub twelve_hours: bool,
}

impl Locale {
    /// That of a system of units, with another clock where one is asked for.
    pub fn of(units: System, twelve_hours: Option<bool>) -> Self {
        Self { units, twelve_hours: twelve_hours.unwrap_or(units == System::Us) }
    }

    /// `7:40 pm` or `19:40`.
    pub fn time(self, at: &impl Timelike) -> String {
        match self.twelve_hours {
            true => format!("{} {}", on_the_dial(at), half(at)),
            false => format!("{:02}:{:02}", at.hour(), at.minute()),
        }
    }

    /// `6 am` or `06:00`, of a whole hour.
    pub fn hour(self, at: &impl Timelike) -> String {
        match self.twelve_hours {
            true => format!("{} {}", at.hour12().1, half(at)),
            false => self.time(at),
        }
    }

    /// `6:55–7:05 am` or `06:55–07:05`.
    pub fn times(self, from: &impl Timelike, until: &impl Timelike) -> String {
        match self.twelve_hours && half(from) == half(until) {
            true => format!("{}–{}", on_the_dial(from), self.time(until)),
            false => format!("{}–{}", self.time(from), self.time(until)),
        }
    }

    /// `Dec 9` or `9 Dec`.
    pub fn date(self, on: &impl Datelike) -> String {
        self.ordered(&naive(on), "%b")
    }

    /// `Wed Dec 9` or `Wed 9 Dec`.
    pub fn day(self, on: &impl Datelike) -> String {
        format!("{} {}", naive(on).format("%a"), self.date(on))
    }

    /// `Wednesday, Dec 9` or `Wednesday, 9 Dec`.
    pub fn heading(self, on: &impl Datelike) -> String {
        format!("{}, {}", naive(on).format("%A"), self.date(on))
    }

    /// `Wednesday, December 9` or `Wednesday 9 December`.
    pub fn long_day(self, on: &impl Datelike) -> String {
        let comma = if self.units == System::Us { "," } else { "" };
        format!("{}{comma} {}", naive(on).format("%A"), self.ordered(&naive(on), "%B"))
    }

    /// `Wed Dec 9 9:30 am` or `Wed 9 Dec 09:30`.
    pub fn day_and_time<T: Datelike + Timelike>(self, at: &T) -> String {
        format!("{} {}", self.day(at), self.time(at))
    }

    /// A moment as it is said on a day: `9:30 am`, `Thu 9:30 am`, or with its date where the
    /// name of the day would not say which.
    pub fn from_day<T: Datelike + Timelike>(self, day: &impl Datelike, at: &T) -> String {
        match naive(at).signed_duration_since(naive(day)).num_days() {
            0 => self.time(at),
            1..=6 => format!("{} {}", naive(at).format("%a"), self.time(at)),
            _ => self.day_and_time(at),
        }
    }

    /// `Wednesday 9:30 am` or `Wednesday 09:30`.
    pub fn weekday_and_time<T: Datelike + Timelike>(self, at: &T) -> String {
        format!("{} {}", naive(at).format("%A"), self.time(at))
    }

    /// So many kelvins less or more, as the reader's thermometer shows it: `7 °F`, `4 °C`.
    pub fn degrees_apart(self, kelvins: f64) -> String {
        match self.units {
            System::Us => format!("{:.0} °F", 1.8 * kelvins),
            System::Metric => format!("{kelvins:.0} °C"),
        }
    }

    /// The words as they are spelled there.
    pub fn spelled(self, words: &str) -> String {
        const AMERICAN: [(&str, &str); 10] = [
            ("mould", "mold"),
            ("Mould", "Mold"),
            ("programme", "program"),
            ("colour", "color"),
            ("Colour", "Color"),
            ("centre", "center"),
            ("coeliac", "celiac"),
            ("aluminium", "aluminum"),
            ("Aluminium", "Aluminum"),
            ("litre", "liter"),
        ];
        match self.units {
            System::Metric => words.to_owned(),
            System::Us => AMERICAN
                .iter()
                .fold(words.to_owned(), |words, (british, here)| words.replace(british, here)),
        }
    }

    fn ordered(self, day: &NaiveDate, month: &str) -> String {
        let month = day.format(month);
        match self.units {
            System::Us => format!("{month} {}", day.day()),
            System::Metric => format!("{} {month}", day.day()),
        }
    }
}

fn naive(on: &impl Datelike) -> NaiveDate {
    NaiveDate::from_ymd_opt(on.year(), on.month(), on.day()).unwrap_or_default()
}

fn on_the_dial(at: &impl Timelike) -> String {
    format!("{}:{:02}", at.hour12().1, at.minute())
}

fn half(at: &impl Timelike) -> &'static str {
    if at.hour12().0 { "pm" } else { "am" }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(hour: u32, minute: u32) -> chrono::NaiveDateTime {
        NaiveDate::from_ymd_opt(2026, 12, 9).unwrap().and_hms_opt(hour, minute, 0).unwrap()
    }

    #[test]
    fn an_american_reads_months_first_and_twelve_hours() {
        let us = Locale::of(System::Us, None);
        assert_eq!(us.day_and_time(&at(9, 30)), "Wed Dec 9 9:30 am");
        assert_eq!(us.times(&at(6, 55), &at(7, 5)), "6:55–7:05 am");
        assert_eq!(us.times(&at(11, 55), &at(12, 5)), "11:55 am–12:05 pm");
        assert_eq!(us.time(&at(0, 1)), "12:01 am");
        assert_eq!(
            (us.long_day(&at(0, 0)), us.degrees_apart(4.0)),
            ("Wednesday, December 9".into(), "7 °F".into())
        );
        assert_eq!(us.spelled("Moulds of aluminium"), "Molds of aluminum");
    }

    #[test]
    fn others_read_days_first_and_the_clock_they_ask_for() {
        let metric = Locale::of(System::Metric, None);
        assert_eq!(metric.day_and_time(&at(9, 30)), "Wed 9 Dec 09:30");
        assert_eq!(metric.heading(&at(9, 30)), "Wednesday, 9 Dec");
        assert_eq!(metric.spelled("moulds"), "moulds");
        assert_eq!(
            Locale::of(System::Metric, Some(true)).day_and_time(&at(21, 5)),
            "Wed 9 Dec 9:05 pm"
        );
        assert_eq!(Locale::of(System::Us, Some(false)).day_and_time(&at(21, 5)), "Wed Dec 9 21:05");
    }
}

//! When hands are free: `daily 18:30-21:30`, `Mon-Fri 08:00-12:30`,
//! `Tue Thu 08:00-12:00`, `2026-12-05 09:00-17:00`; and days:
//! `2026-12-21 to 2027-01-01`, `2026-12-11 morning`.

use std::{ops::RangeInclusive, str::FromStr};

use chrono::{Datelike, NaiveDate, NaiveDateTime, NaiveTime, Weekday};
use thiserror::Error;

use crate::units::{month_and_day, next_day, time_of_day};

/// Why hours or days could not be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum HoursError {
    /// Not days followed by two times of day.
    #[error("“{0}” is not hours; they look like “Mon-Fri 08:00-12:30” or “daily 18:30-21:30”")]
    NotHours(String),
    /// A word that names no day.
    #[error("“{0}” is not a day; days look like “Mon Wed Fri”, “Mon-Fri” or “daily”")]
    NotADay(String),
    /// The end is not after the start.
    #[error(
        "“{0}” ends before it starts; hours over midnight are written as two entries, one until 24:00 and one from 00:00 of the next day"
    )]
    Backwards(String),
    /// A time of day without a morning or an evening, where both are likely.
    #[error("“{text}” may mean {morning} or {evening}")]
    EitherHalf {
        /// As it was written.
        text: String,
        /// Before noon.
        morning: String,
        /// After noon.
        evening: String,
    },
    /// A date without a year, where no session or gift tells it.
    #[error("“{0}” has no year, and no session or gift that is in order tells it")]
    NoYear(String),
    /// Not a date or two dates.
    #[error(
        "“{0}” is not a range of days; it looks like “2026-12-21 to 2027-01-01” or “Dec 21 to Jan 1”"
    )]
    NotADate(String),
}

/// Days of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Days(u8);

impl Days {
    /// Every day.
    pub const DAILY: Self = Self(0x7f);

    /// Whether a day of the week is among them.
    pub fn include(self, day: Weekday) -> bool {
        self.0 & (1 << day.num_days_from_monday()) != 0
    }
}

impl FromStr for Days {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        let mut days = 0;
        for word in ranges(text) {
            days |= day_word(&word)?;
        }
        if days == 0 { Err(HoursError::NotADay(text.to_owned())) } else { Ok(Self(days)) }
    }
}

/// The words of some days, two that something joins being one: `every Mon to Fri` becomes `Mon-Fri`.
fn ranges(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split([' ', ',', '/']) {
        match (word.to_ascii_lowercase().as_str(), words.last_mut()) {
            ("" | "and" | "every", _) => {}
            ("-" | "–" | "to" | "through", Some(last)) => last.push('-'),
            (_, Some(last)) if last.ends_with('-') => last.push_str(word),
            _ => words.push(word.to_owned()),
        }
    }
    words
}

fn day_word(word: &str) -> Result<u8, HoursError> {
    match word.to_ascii_lowercase().as_str() {
        "daily" | "day" => return Ok(Days::DAILY.0),
        "weekdays" => return Ok(0x1f),
        "weekend" | "weekends" => return Ok(0x60),
        _ => {}
    }
    let day = |name: &str| day_of(name).ok_or_else(|| HoursError::NotADay(word.to_owned()));
    let Some((first, last)) = word.split_once(['-', '–']) else { return Ok(1 << day(word)?) };
    let (first, last) = (day(first)?, day(last)?);
    // "Fri-Mon" runs over the week's end.
    Ok((0..=(last + 7 - first) % 7).fold(0, |days, step| days | 1 << ((first + step) % 7)))
}

/// The day of the week by its name or its first letters, Monday being 0: `Thu`, `Thurs.`, `Mondays`;
/// `T` is a Tuesday beside `Th`, and `S` may be two days.
fn day_of(name: &str) -> Option<u32> {
    let name = name.to_ascii_lowercase();
    let name = name.trim_end_matches('.');
    let whole =
        ["mondays", "tuesdays", "wednesdays", "thursdays", "fridays", "saturdays", "sundays"];
    let tells = !["", "s"].contains(&name);
    (0..).zip(whole).find(|(_, whole)| tells && whole.starts_with(name)).map(|(n, _)| n)
}

/// On which days an opening holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Span {
    /// On days of the week.
    Weekly(Days),
    /// On certain dates.
    Dates(RangeInclusive<NaiveDate>),
}

/// The end of what goes on until midnight: the last second of its day.
pub const UNTIL_MIDNIGHT: NaiveTime = match NaiveTime::from_hms_opt(23, 59, 59) {
    Some(end) => end,
    None => NaiveTime::MIN,
};

/// When hands are free: some days, from one time of day to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// On which days.
    pub on: Span,
    /// From.
    pub from: NaiveTime,
    /// Until, on the same day: midnight is its last second.
    pub until: NaiveTime,
}

impl Opening {
    /// Whether it holds on that day.
    pub fn on(&self, day: NaiveDate) -> bool {
        match &self.on {
            Span::Weekly(days) => days.include(day.weekday()),
            Span::Dates(dates) => dates.contains(&day),
        }
    }
}

impl FromStr for Opening {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        Self::near(text, None)
    }
}

impl Opening {
    /// Reads hours; dates without a year are those nearest to a day.
    ///
    /// # Errors
    /// [`HoursError`].
    pub fn near(text: &str, near: Option<NaiveDate>) -> Result<Self, HoursError> {
        let wrong = || HoursError::NotHours(text.to_owned());
        let text = &joined(text);
        let (days, times) = text.rsplit_once(' ').ok_or_else(wrong)?;
        let (from, until) = times.split_once(['-', '–']).ok_or_else(wrong)?;
        let from = time_of_day(from).or_else(|| whole_hour(from, until)).ok_or_else(wrong)?;
        let until = match time_of_day(until) {
            Some(NaiveTime::MIN) => UNTIL_MIDNIGHT,
            Some(until) => until,
            None if until == "24:00" => UNTIL_MIDNIGHT,
            None => return Err(wrong()),
        };
        if until <= from {
            return Err(HoursError::Backwards(text.to_owned()));
        }
        let on = match days.contains(|c: char| c.is_ascii_digit()) {
            true => Span::Dates(dates(days, near)?),
            false => Span::Weekly(days.parse()?),
        };
        Ok(Self { on, from, until })
    }

    /// What it may mean too, where an entry does not tell a morning from an evening: in `daily
    /// 8:00-9:30 pm` the `pm` may be for both times or for the last, and in `daily 5:30-9:00`,
    /// where it stands `beside_evenings`, neither a leading zero nor `am` says which.
    ///
    /// # Errors
    /// [`HoursError::EitherHalf`] with both readings.
    pub fn told(&self, text: &str, beside_evenings: bool) -> Result<(), HoursError> {
        let joined = joined(text).to_ascii_lowercase();
        let times = joined.rsplit_once(' ').map_or("", |(_, times)| times);
        let Some((from, until)) = times.split_once(['-', '–']) else { return Ok(()) };
        let bare = !from.starts_with('0') && !from.ends_with('m');
        let (hour, noon) = (|time: NaiveTime| chrono::Timelike::hour(&time), 12);
        let later = |time: NaiveTime| time + chrono::TimeDelta::hours(12);
        let before_noon = (4..9).contains(&hour(self.from)) && hour(self.until) < noon;
        let (evening, pattern) = match until {
            _ if !bare || hour(self.from) >= noon => return Ok(()),
            it if it.ends_with("pm") && later(self.from) < self.until => {
                ([later(self.from), self.until], "%-I:%M %P")
            }
            it if !it.ends_with('m') && before_noon && beside_evenings => {
                ([later(self.from), later(self.until)], "%H:%M")
            }
            _ => return Ok(()),
        };
        let words =
            |times: [NaiveTime; 2]| times.map(|at| at.format(pattern).to_string()).join("-");
        Err(HoursError::EitherHalf {
            text: text.to_owned(),
            morning: words([self.from, self.until]),
            evening: words(evening),
        })
    }
}

/// A whole hour such as the first of `6-9 pm`: the second time says that these are times.
fn whole_hour(from: &str, until: &str) -> Option<NaiveTime> {
    let hour: u32 = from.trim().parse().ok()?;
    until.to_ascii_lowercase().ends_with('m').then(|| NaiveTime::from_hms_opt(hour, 0, 0))?
}

/// The same with each time of day one word, and the two at its end joined by a hyphen:
/// `Mon-Fri 6 pm to 9 pm` becomes `Mon-Fri 6pm-9pm`.
fn joined(text: &str) -> String {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let half = ["am", "pm"].iter().any(|half| word.to_ascii_lowercase().starts_with(half));
        match words.last_mut().filter(|last| half && last.ends_with(|c: char| c.is_ascii_digit())) {
            Some(last) => last.push_str(word),
            None => words.push(word.to_owned()),
        }
    }
    if let [days @ .., from, to, until] = &words[..]
        && ["-", "–", "to", "until"].contains(&to.as_str())
        && time_of_day(from).or_else(|| whole_hour(from, until)).is_some()
    {
        let times = format!("{from}-{until}");
        return days.iter().chain([&times]).cloned().collect::<Vec<_>>().join(" ");
    }
    words.join(" ")
}

/// A part of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// All of it.
    Whole,
    /// Up to noon.
    Morning,
    /// From noon to six.
    Afternoon,
    /// From six on.
    Evening,
}

/// When she is away: whole days, or a part of each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Absence {
    /// The days.
    pub days: RangeInclusive<NaiveDate>,
    /// Which part of them.
    pub part: Part,
}

impl Absence {
    /// The time of that day at which it begins, and at which it ends unless that is
    /// midnight; none on another day.
    pub fn on(&self, day: NaiveDate) -> Option<(NaiveTime, Option<NaiveTime>)> {
        let hour = |hour| NaiveTime::MIN + chrono::TimeDelta::hours(hour);
        self.days.contains(&day).then_some(match self.part {
            Part::Whole => (hour(0), None),
            Part::Morning => (hour(0), Some(hour(12))),
            Part::Afternoon => (hour(12), Some(hour(18))),
            Part::Evening => (hour(18), None),
        })
    }

    /// Whether it covers that moment.
    pub fn covers(&self, at: NaiveDateTime) -> bool {
        self.on(at.date()).is_some_and(|(from, until)| {
            from <= at.time() && until.is_none_or(|until| at.time() < until)
        })
    }
}

impl Absence {
    /// Reads days or a part of each; dates without a year are those nearest to a day.
    ///
    /// # Errors
    /// [`HoursError`].
    pub fn near(text: &str, near: Option<NaiveDate>) -> Result<Self, HoursError> {
        let (rest, part) = match text.trim().rsplit_once(' ') {
            Some((days, "morning")) => (days, Part::Morning),
            Some((days, "afternoon")) => (days, Part::Afternoon),
            Some((days, "evening")) => (days, Part::Evening),
            _ => (text, Part::Whole),
        };
        Ok(Self { days: dates(rest, near)?, part })
    }
}

/// One date, or two joined by `to`: `2026-12-24 to 2027-01-03`, `Dec 24 to Jan 3`. One
/// without a year is that nearest to a day, where there is such a day; the second of two
/// is the next after the first.
///
/// # Errors
/// [`HoursError`] when a date does not exist or the range runs backwards.
pub fn dates(text: &str, near: Option<NaiveDate>) -> Result<RangeInclusive<NaiveDate>, HoursError> {
    let wrong = || HoursError::NotADate(text.to_owned());
    let parts = [" to ", " - ", " – "].iter().find_map(|joint| text.split_once(joint));
    let (first, last) = parts.unwrap_or((text, text));
    let in_leap_year = |(month, day)| NaiveDate::from_ymd_opt(2028, month, day);
    let is_short = date(first, |_| None).is_none() && date(first, in_leap_year).is_some();
    if is_short && near.is_none() {
        return Err(HoursError::NoYear(text.to_owned()));
    }
    let first = date(first, |of| nearest(of, near?)).ok_or_else(wrong)?;
    let last = date(last, |of| next_day(of, first)).ok_or_else(wrong)?;
    let range = first..=last;
    if range.is_empty() { Err(wrong()) } else { Ok(range) }
}

/// A whole date, or a month and a day whose year `whole` knows.
fn date(text: &str, whole: impl FnOnce((u32, u32)) -> Option<NaiveDate>) -> Option<NaiveDate> {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words[..] {
        [one] => NaiveDate::parse_from_str(one, "%Y-%m-%d").ok(),
        [a, b] => whole(month_and_day(a, b)?),
        _ => None,
    }
}

/// The day of this month and day that is nearest to another.
fn nearest((month, day): (u32, u32), near: NaiveDate) -> Option<NaiveDate> {
    (near.year() - 1..=near.year() + 1)
        .filter_map(|year| NaiveDate::from_ymd_opt(year, month, day))
        .min_by_key(|date| (*date - near).num_days().abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_alone_in_lists_and_ranges() {
        let open: Opening = "Mon-Wed Fri 08:00-12:30".parse().unwrap();
        let days: Vec<bool> =
            (7..14).map(|day| open.on(NaiveDate::from_ymd_opt(2026, 12, day).unwrap())).collect();
        assert_eq!(days, [true, true, true, false, true, false, false]);
        let weekend: Days = "Sat-Mon".parse().unwrap();
        assert!(weekend.include(Weekday::Sun) && !weekend.include(Weekday::Tue));
        for (text, same) in [
            ("Tues. Thurs", "Tue Thu"),
            ("weekdays", "Mon-Fri"),
            ("Mondays, weekend", "Sat-Mon"),
            ("M-F", "Mon-Fri"),
            ("M/W/F", "Mon Wed Fri"),
            ("T Th, Sa", "Tue Thu Sat"),
            ("Monday through Thursday", "Mon-Thu"),
            ("Mon – Wed and Fri", "Mon Tue Wed Fri"),
            ("every day", "daily"),
        ] {
            assert_eq!(text.parse::<Days>(), same.parse(), "{text}");
        }
        for none in ["S", "MWF", "Monks", "Tuna", "-", "to Fri", "Mon to", "Mon - - Fri", "every"] {
            assert!(none.parse::<Days>().is_err(), "{none}");
        }
    }

    #[test]
    fn single_dates() {
        let open: Opening = "2026-12-05 09:00-17:00".parse().unwrap();
        assert!(open.on(NaiveDate::from_ymd_opt(2026, 12, 5).unwrap()));
        assert!(!open.on(NaiveDate::from_ymd_opt(2026, 12, 6).unwrap()));
    }

    #[test]
    fn hours_of_a_twelve_hour_clock() {
        for (text, same) in [
            ("Mon-Fri 6pm-9pm", "Mon-Fri 18:00-21:00"),
            ("weekends 9:00-17:00", "Sat Sun 09:00-17:00"),
            ("daily 6:40am-12pm", "daily 06:40-12:00"),
            ("Mon Wed 6 pm - 9 PM", "Mon Wed 18:00-21:00"),
            ("daily 18:00 to 21:00", "daily 18:00-21:00"),
            ("Sat 8am-noon", "Sat 08:00-12:00"),
            ("Mon to Fri 7 to 9 pm", "Mon-Fri 7-9pm"),
        ] {
            assert_eq!(text.parse::<Opening>(), same.parse(), "{text}");
        }
        assert_eq!(time_of_day("12:05 am"), NaiveTime::from_hms_opt(0, 5, 0));
        assert_eq!(time_of_day("13 pm"), None);
    }

    #[test]
    fn a_bare_hour_may_be_a_morning_or_an_evening() {
        let told = |text: &str| text.parse::<Opening>().unwrap().told(text, true);
        let both = HoursError::EitherHalf {
            text: "daily 5:30-9:00".to_owned(),
            morning: "05:30-09:00".to_owned(),
            evening: "17:30-21:00".to_owned(),
        };
        assert_eq!(told("daily 5:30-9:00"), Err(both));
        for text in
            ["daily 05:30-09:00", "daily 5:30am-9:00am", "daily 8:00-17:00", "daily 8:00-12:00"]
        {
            assert_eq!(told(text), Ok(()), "{text}");
        }
        let class = "daily 8:30-11:30";
        assert_eq!(class.parse::<Opening>().unwrap().told(class, false), Ok(()));
    }

    /// One `pm` may be for both times, where both are then in their order.
    #[test]
    fn one_half_may_be_for_both_times() {
        let told = |text: &str| text.parse::<Opening>().unwrap().told(text, false);
        for (text, [morning, evening]) in [
            ("Mon-Thu 8:00-9:30 pm", ["8:00 am-9:30 pm", "8:00 pm-9:30 pm"]),
            ("Sat 2:00 to 6:00 PM", ["2:00 am-6:00 pm", "2:00 pm-6:00 pm"]),
            ("Sun 10-11:30pm", ["10:00 am-11:30 pm", "10:00 pm-11:30 pm"]),
        ] {
            let both = HoursError::EitherHalf {
                text: text.to_owned(),
                morning: morning.to_owned(),
                evening: evening.to_owned(),
            };
            assert_eq!(told(text), Err(both));
        }
        for (text, same) in [
            ("daily 5:45-6:30 am", "daily 05:45-06:30"),
            ("daily 8:30-1:00 pm", "daily 08:30-13:00"),
            ("daily 9-5pm", "daily 09:00-17:00"),
            ("daily 6 am-9pm", "daily 06:00-21:00"),
            ("daily 12:00-1:00 pm", "daily 12:00-13:00"),
        ] {
            assert_eq!((text.parse(), told(text)), (same.parse::<Opening>(), Ok(())), "{text}");
        }
        assert!("daily 8-9".parse::<Opening>().is_err());
        assert!("daily 25-9 pm".parse::<Opening>().is_err());
    }

    #[test]
    fn away_for_days_or_a_part_of_one() {
        let at = |text: &str| text.parse::<NaiveDateTime>().unwrap();
        let covers = |text: &str, when: &str| Absence::near(text, None).unwrap().covers(at(when));
        assert!(covers("2026-12-09 to 2026-12-10", "2026-12-10T23:59:00"));
        assert!(!covers("2026-12-09 to 2026-12-10", "2026-12-11T00:00:00"));
        assert!(covers("2026-12-11 morning", "2026-12-11T11:59:00"));
        assert!(!covers("2026-12-11 morning", "2026-12-11T12:00:00"));
        assert!(covers("2026-12-11 afternoon", "2026-12-11T12:00:00"));
        assert!(!covers("2026-12-11 afternoon", "2026-12-11T18:00:00"));
        assert!(covers("2026-12-11 to 2026-12-12 evening", "2026-12-12T18:00:00"));
        assert!(Absence::near("2026-12-11 noon", None).is_err());
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["", "daily", "daily 9-10", "Mon 25:00-26:00", "Mon 08:00"] {
            assert!(matches!(text.parse::<Opening>(), Err(HoursError::NotHours(_))), "{text}");
        }
        assert!(matches!("Mox 08:00-09:00".parse::<Opening>(), Err(HoursError::NotADay(_))));
        assert!(matches!("Mon 21:00-06:00".parse::<Opening>(), Err(HoursError::Backwards(_))));
        assert!(dates("2026-02-30", None).is_err());
        assert!(dates("2027-01-01 to 2026-12-21", None).is_err());
    }
    #[test]
    fn days_without_a_year_are_those_nearest() {
        let near = NaiveDate::from_ymd_opt(2026, 12, 9);
        let read = |text: &str, near| dates(text, near).map(|it| format!("{it:?}")).ok();
        let whole = Some("2026-12-24..=2027-01-03".to_owned());
        assert_eq!(read("Dec 24 to Jan 3", near), whole);
        assert_eq!(read("24 December to 3 January", near), whole);
        assert_eq!(read("Jan 3", near), Some("2027-01-03..=2027-01-03".to_owned()));
        assert_eq!(
            dates("Dec 24 to Jan 3", None),
            Err(HoursError::NoYear("Dec 24 to Jan 3".to_owned()))
        );
        assert!(matches!(dates("Dec 34", None), Err(HoursError::NotADate(_))));
        assert!(dates("2026-12-24", None).is_ok());
        let open = Opening::near("Dec 5 9am-5pm", near).unwrap();
        assert!(open.on(NaiveDate::from_ymd_opt(2026, 12, 5).unwrap()));
    }
}

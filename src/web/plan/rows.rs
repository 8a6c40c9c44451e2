//! Hours and days as rows of a form: days of the week to tick and two times, two dates; what
//! says more than that, as in the hours of one date, stays text.

use chrono::{NaiveDate, NaiveTime, Timelike};
use serde::Serialize;

use super::choice::{Choice, week};
use crate::{
    planfile::{self, Days},
    units::time_of_day,
    web::fields::Fields,
};

const PARTS: [&str; 3] = ["morning", "afternoon", "evening"];

/// One entry of a list in the form.
#[derive(Debug, Default, Serialize)]
pub struct Row {
    /// What its fields' names begin with: `hours.home.0`.
    name: String,
    /// Of the week, each to tick.
    days: Vec<Choice>,
    /// `time` or `date`; none where it is text.
    kind: &'static str,
    from: String,
    until: String,
    /// Parts of a day to pick from.
    parts: Vec<Choice>,
    text: String,
    /// Which of its fields are wrong.
    wrong: Vec<&'static str>,
}

impl Row {
    /// The fields to mend, where the row is wrong: those that are empty, else all that say when.
    fn to_mend(&self) -> Vec<&'static str> {
        if self.is_text() {
            return vec!["text"];
        }
        let mut empty = Vec::new();
        let is_time = self.kind == "time";
        empty.extend((is_time && self.days.iter().all(|day| !day.on)).then_some("days"));
        empty.extend(self.from.is_empty().then_some("from"));
        empty.extend((is_time && self.until.is_empty()).then_some("until"));
        if empty.is_empty() { vec!["from", "until"] } else { empty }
    }

    pub fn is_text(&self) -> bool {
        self.kind.is_empty()
    }
}

/// The entries of a list of such a kind, of which some are wrong, and an empty row for one more.
pub fn rows(value: planfile::Value, name: &str, texts: &[String], wrong: &[usize]) -> Vec<Row> {
    let entries = texts.iter().map(String::as_str).enumerate();
    let entries = entries.filter(|(_, text)| !text.is_empty()).chain([(texts.len(), "")]);
    let row = |(n, (at, text)): (usize, (usize, &str))| {
        let row =
            read(value, text).unwrap_or_else(|| Row { text: text.to_owned(), ..Row::default() });
        let wrong = if wrong.contains(&at) { row.to_mend() } else { Vec::new() };
        Row { name: format!("{name}.{n}"), wrong, ..row }
    };
    entries.enumerate().map(row).collect()
}

/// What was sent for a list; none where the form did not have it. An entry that means what it
/// meant is written as it was.
pub fn sent(
    value: planfile::Value,
    name: &str,
    before: &[String],
    form: &Fields,
) -> Option<Vec<String>> {
    let before: Vec<_> = before.iter().filter(|text| !text.is_empty()).collect();
    let rows = (0..).map_while(|n| {
        let name = format!("{name}.{n}");
        let text = form.all(&format!("{name}.text")).next().map(|text| text.trim().to_owned());
        text.or_else(|| written(value, &name, form)).map(|text| (n, text))
    });
    let kept = rows.map(|(n, text)| match before.get(n) {
        Some(old) if same(value, old, &text) => (*old).clone(),
        _ => text,
    });
    let mut texts = kept.peekable();
    texts.peek()?;
    Some(texts.filter(|text| !text.is_empty()).collect())
}

fn same(value: planfile::Value, old: &str, new: &str) -> bool {
    let same = |old: Row, new: Row| {
        let on = |row: &Row| row.days.iter().map(|day| day.on).collect::<Vec<_>>();
        let part = |row: &Row| row.parts.iter().position(|part| part.on);
        (on(&old), part(&old), old.from, old.until) == (on(&new), part(&new), new.from, new.until)
    };
    old == new || read(value, old).zip(read(value, new)).is_some_and(|(old, new)| same(old, new))
}

/// An entry in the fields of a row, also one that is not whole yet; none where it says more.
fn read(value: planfile::Value, text: &str) -> Option<Row> {
    match value {
        planfile::Value::Openings(_) => weekly(text),
        planfile::Value::Absences(_) => {
            let part = PARTS.into_iter().find(|part| text.ends_with(&format!(" {part}")));
            let days = part.and_then(|part| text.strip_suffix(part)).unwrap_or(text);
            let whole = Choice::new("", "the whole day", part.is_none());
            let others = PARTS.map(|word| Choice::new(word, word, part == Some(word)));
            Some(Row { parts: [whole].into_iter().chain(others).collect(), ..dates(days.trim())? })
        }
        _ => dates(text),
    }
}

/// `Mon-Fri 18:00-21:30`; days or a time may not be said yet.
fn weekly(text: &str) -> Option<Row> {
    let (days, times) = text.rsplit_once(' ').unwrap_or(("", text));
    let (from, until) = if text.is_empty() { ("", "") } else { times.split_once(['-', '–'])? };
    let clock = |text: &str| match time_of_day(text) {
        _ if text.is_empty() => Some(String::new()),
        Some(time) => Some(minutes(time)),
        None => None,
    };
    let on = if days.is_empty() { None } else { Some(days.parse::<Days>().ok()?) };
    let row = Row {
        kind: "time",
        days: week(on),
        from: clock(from)?,
        until: clock(until)?,
        ..Row::default()
    };
    // A time that may mean two is not settled by a field that shows one of them.
    let told = text.parse::<planfile::Opening>().map_or(Ok(()), |hours| hours.told(text, true));
    told.is_ok().then_some(row)
}

/// `2026-12-21 to 2027-01-01`, or one of them.
fn dates(text: &str) -> Option<Row> {
    let (from, until) = text.split_once(" to ").unwrap_or((text, ""));
    let whole = |text: &str| text.len() == 10 && text.parse::<NaiveDate>().is_ok();
    let fits = [from, until].into_iter().all(|day| day.is_empty() || whole(day));
    fits.then(|| Row {
        kind: "date",
        from: from.to_owned(),
        until: until.to_owned(),
        ..Row::default()
    })
}

/// The fields of a row as the file has them: an empty one is no entry, half of one stays what
/// it is, so that its fault is said and nothing is lost.
fn written(value: planfile::Value, name: &str, form: &Fields) -> Option<String> {
    let field = |field: &str| form.all(&format!("{name}.{field}")).next().map(str::trim);
    let (from, until) = (field("from")?, field("until").unwrap_or_default());
    Some(match value {
        planfile::Value::Openings(_) => {
            let days = ticked(&form.all(&format!("{name}.days")).collect::<Vec<_>>());
            let times = if from.is_empty() && until.is_empty() {
                String::new()
            } else {
                format!("{from}-{until}")
            };
            match (days.is_empty(), times.is_empty()) {
                (false, true) => format!("{days} -"),
                _ => format!("{days} {times}").trim().to_owned(),
            }
        }
        _ => {
            let range = match () {
                () if until.is_empty() || until == from => from.to_owned(),
                () if from.is_empty() => until.to_owned(),
                () => format!("{from} to {until}"),
            };
            let part = field("part").filter(|_| !range.is_empty()).unwrap_or_default();
            format!("{range} {part}").trim().to_owned()
        }
    })
}

/// Days of the week in short: `daily`, `Mon-Fri`, `Tue Thu`.
fn ticked(sent: &[&str]) -> String {
    let week = week(None);
    let on = |day: &Choice| sent.contains(&day.value.as_str());
    let runs = week.chunk_by(|a, b| on(a) == on(b)).filter(|run| run.first().is_some_and(on));
    let words = runs.map(|run| match run {
        [_, _, _, _, _, _, _] => "daily".to_owned(),
        [first, _, .., last] => format!("{}-{}", first.value, last.value),
        _ => run.iter().map(|day| day.value.clone()).collect::<Vec<_>>().join(" "),
    });
    words.collect::<Vec<_>>().join(" ")
}

fn minutes(time: NaiveTime) -> String {
    format!("{:02}:{:02}", time.hour(), time.minute())
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOURS: planfile::Value = planfile::Value::Openings(9);
    const DATES: planfile::Value = planfile::Value::Dates(9);
    const AWAY: planfile::Value = planfile::Value::Absences(9);

    /// A form as a browser sends it with these rows as they stand.
    fn form(rows: &[Row]) -> Vec<(String, String)> {
        let mut fields = Vec::new();
        for row in rows {
            let mut add = |field: &str, value: &str| {
                fields.push((format!("{}.{field}", row.name), value.to_owned()))
            };
            if row.is_text() {
                add("text", &row.text);
                continue;
            }
            row.days.iter().filter(|day| day.on).for_each(|day| add("days", &day.value));
            add("from", &row.from);
            add("until", &row.until);
            row.parts.iter().filter(|part| part.on).for_each(|part| add("part", &part.value));
        }
        fields
    }

    fn back(value: planfile::Value, texts: &[&str], change: &[(&str, &str)]) -> Vec<String> {
        let texts: Vec<_> = texts.iter().map(|&text| text.to_owned()).collect();
        let mut fields = form(&rows(value, "h", &texts, &[]));
        for (name, to) in change {
            fields.retain(|(field, _)| field != name);
            fields.push(((*name).to_owned(), (*to).to_owned()));
        }
        let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
        sent(value, "h", &texts, &Fields::read(body.as_bytes())).unwrap()
    }

    #[test]
    fn what_is_not_changed_stays_as_it_is_written() {
        let hours = [
            "daily 06:15-07:15",
            "weekends 9:00-17:00",
            "Mon, Tue 6pm-9pm",
            "2026-12-05 09:00-17:00",
            "Mon daily 1",
            "daily 5:30-9:00",
        ];
        assert_eq!(back(HOURS, &hours, &[]), hours);
        let days = ["2026-12-21 to 2027-01-01", "Dec 24 to Jan 3", "2026-11-02"];
        assert_eq!(back(DATES, &days, &[]), days);
        let away = ["2026-12-09 to 2026-12-10", "2026-12-11 morning"];
        assert_eq!(back(AWAY, &away, &[]), away);
    }

    #[test]
    fn what_says_more_is_text() {
        let kinds = |value, texts: &[&str]| {
            let texts: Vec<_> = texts.iter().map(|&text| text.to_owned()).collect();
            rows(value, "h", &texts, &[]).iter().map(Row::is_text).collect::<Vec<_>>()
        };
        // A time that may be of the morning or of the evening is hers to settle.
        let hours =
            ["Mon-Fri 18:00-21:30", "2026-12-05 09:00-17:00", "daily 5:30-9:00", "nonsense"];
        assert_eq!(kinds(HOURS, &hours), [false, true, true, true, false]);
        assert_eq!(kinds(DATES, &["2026-12-21", "Dec 24 to Jan 3"]), [false, true, false]);
    }

    #[test]
    fn a_row_that_is_changed_is_written_in_short() {
        assert_eq!(
            back(HOURS, &["Mon-Fri 18:00-21:30"], &[("h.0.from", "17:30")]),
            ["Mon-Fri 17:30-21:30"]
        );
        let more = [("h.1.days", "Tue"), ("h.1.from", "08:00"), ("h.1.until", "09:00")];
        assert_eq!(
            back(HOURS, &["daily 18:00-21:30"], &more),
            ["daily 18:00-21:30", "Tue 08:00-09:00"]
        );
        assert_eq!(
            back(DATES, &["2026-12-21"], &[("h.0.until", "2026-12-23")]),
            ["2026-12-21 to 2026-12-23"]
        );
        assert_eq!(back(DATES, &["2026-12-21"], &[("h.0.from", "")]), [""; 0]);
        assert_eq!(back(AWAY, &["2026-12-11"], &[("h.0.part", "evening")]), ["2026-12-11 evening"]);
        assert_eq!(ticked(&["Mon", "Tue", "Wed", "Sat", "Sun"]), "Mon-Wed Sat Sun");
    }

    /// Half a row is a fault that is said and not a row that is gone, and its fields stay.
    #[test]
    fn half_a_row_stays_what_it_is() {
        for change in [("h.0.until", ""), ("h.0.from", "")] {
            let texts = back(HOURS, &["Mon-Fri 18:00-21:30"], &[change]);
            assert!(texts[0].parse::<planfile::Opening>().is_err(), "{texts:?}");
            assert_eq!(back(HOURS, &[&texts[0]], &[]), texts);
            assert!(!rows(HOURS, "h", &texts, &[])[0].is_text());
        }
        let days = back(HOURS, &[], &[("h.0.days", "Fri")]);
        assert_eq!(days, ["Fri -"]);
        assert!(!rows(HOURS, "h", &days, &[])[0].is_text());
    }
}

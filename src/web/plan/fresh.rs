//! New things with values that make sense, and a new plan with days that are still to come.

use chrono::{Datelike, Days, NaiveDate};

use toml::Value;

use super::blanks::{locale, names, shown, units};
use crate::planfile::{
    self, Days as Weekly, Need, Table, dates,
    edit::{self, Change, Entry, List, Written, written},
};

/// Days until the first session of a new plan, at least: time to shop and to freeze.
const AHEAD: u64 = 10;

/// One more thing or session: what it needs, and what the schema says a new one has.
pub fn more(list: List, all: &[Written], today: NaiveDate) -> Vec<Change> {
    let List::Things(table) = list else {
        return vec![Change::Add { list, keys: session(list, all, today) }];
    };
    let system = units(all);
    let keys = table.rows().keys.iter().filter_map(|key| {
        let given = key.new.or_else(|| {
            (!matches!(key.need, Need::Default(..) | Need::Optional))
                .then(|| key.example_in(system))
        })?;
        let first = |table| names(table, all).into_iter().next().unwrap_or_default();
        let value = match key.value {
            planfile::Value::Name => new_name(table, all),
            planfile::Value::Thing(table) => Value::String(first(table)),
            planfile::Value::Things([table, ..], _) => vec![first(*table)].into(),
            planfile::Value::Day => {
                datetime(&class_day(all, today + Days::new(2 * AHEAD)).to_string())
            }
            _ => given.parse().ok()?,
        };
        Some((key.name.to_owned(), value))
    });
    let mut changes = vec![Change::Add { list, keys: keys.collect() }];
    if table == Table::Ice {
        let ice = all.iter().filter(|written| written.entry.nth(table).is_some()).count();
        let list = List::Sessions(ice);
        changes.push(Change::Add { list, keys: session(list, all, today) });
    }
    changes
}

/// `Group 2`, or the first such name that is free.
fn new_name(table: Table, all: &[Written]) -> Value {
    let (taken, word) = (names(table, all), locale(all).spelled(table.rows().one));
    let number = (taken.len() + 1..).find(|n| !taken.contains(&format!("{word} {n}")));
    Value::String(format!("{word} {}", number.unwrap_or_default()))
}

/// A week after the last session of the activity, else the first group's next day.
fn session(list: List, all: &[Written], today: NaiveDate) -> Vec<(String, Value)> {
    let last = all.iter().rfind(|table| matches!(table.entry, Entry::Of(of, _) if of == list));
    let week_later = last.and_then(|table| {
        let weeks = (1..9).filter_map(|weeks| later(table.get("at")?, weeks));
        let mut open =
            weeks.filter(|at| date(&shown(at).concat()).is_some_and(|day| !is_closed(all, day)));
        Some((table.get("group")?.clone(), open.next()?))
    });
    let (group, at) = week_later.unwrap_or_else(|| {
        let group = names(Table::Group, all).into_iter().next().unwrap_or_default();
        let day = class_day(all, today + Days::new(AHEAD));
        (Value::String(group), datetime(&format!("{day}T09:30:00")))
    });
    vec![("group".to_owned(), group), ("at".to_owned(), at)]
}

/// A session that is moved by a class day, or had again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again {
    /// It moves to the group's class day before that has none yet.
    Earlier,
    /// It moves to the next one.
    Later,
    /// One more, so many weeks later: the first that is open and has none yet.
    NextWeek,
    /// One more, on the group's next class day that has none yet.
    NextClassDay,
}

impl Again {
    /// What a button says.
    pub fn named(word: &str) -> Option<Self> {
        Some(match word {
            "earlier" => Self::Earlier,
            "later" => Self::Later,
            "weekly" => Self::NextWeek,
            "twice" => Self::NextClassDay,
            _ => return None,
        })
    }
}

/// The change that such a button makes; none where the session has no day yet.
pub fn again(entry: Entry, wish: Again, all: &[Written]) -> Option<Change> {
    let Entry::Of(list @ List::Sessions(_), _) = entry else { return None };
    let session = all.iter().find(|table| table.entry == entry)?;
    let at = session.get("at")?;
    let day = date(&shown(at).concat())?;
    let on = |day: NaiveDate| Some(datetime(&format!("{day}{}", shown(at).concat().get(10..)?)));
    let group = session.get("group");
    let free = |day: &NaiveDate| {
        let others =
            all.iter().filter(|table| matches!(table.entry, Entry::Of(of, _) if of == list));
        let mut taken = others.filter(|other| other.get("group") == group);
        !is_closed(all, *day)
            && taken.all(|other| {
                other.get("at").map(|at| date(&shown(at).concat())) != Some(Some(*day))
            })
    };
    let days = meets(all, group);
    let class = |day: &NaiveDate| days.is_none_or(|days| days.include(day.weekday())) && free(day);
    let around = |way: i64| (1..90).filter_map(move |n| moved(day, way * n));
    let to = match wish {
        Again::Earlier => around(-1).find(class)?,
        Again::Later | Again::NextClassDay => around(1).find(class)?,
        Again::NextWeek => around(7).find(free)?,
    };
    if matches!(wish, Again::Earlier | Again::Later) {
        return Some(Change::Set { entry, key: "at".to_owned(), to: on(to)? });
    }
    let keys = session.keys.iter().map(|key| match &*key.name {
        "at" => Some((key.name.clone(), on(to)?)),
        _ => Some((key.name.clone(), key.value.clone())),
    });
    Some(Change::Add { list, keys: keys.collect::<Option<_>>()? })
}

/// The days of the week of the group of that name.
fn meets(all: &[Written], group: Option<&Value>) -> Option<Weekly> {
    let mut groups = all.iter().filter(|table| table.entry.nth(Table::Group).is_some());
    let group = groups.find(|table| group.is_some() && table.get("name") == group)?;
    group.get("days").and_then(|days| shown(days).join(" ").parse().ok())
}

/// The starter with all its days moved by whole weeks, so that its first session is to come.
pub fn starter(text: &str, today: NaiveDate) -> String {
    let all = written(text).unwrap_or_default();
    let dated = all.iter().flat_map(|table| {
        let keys = table.keys.iter().filter(|key| matches!(key.value, Value::Datetime(_)));
        keys.map(move |key| (table.entry, key))
    });
    let dated: Vec<_> = dated.collect();
    let first = dated.iter().filter_map(|(_, key)| date(&shown(&key.value).concat())).min();
    let short = first.map_or(0, |first| (today + Days::new(AHEAD) - first).num_days());
    let weeks = (short + 6).div_euclid(7);
    let mut changes: Vec<Change> = dated
        .into_iter()
        .filter_map(|(entry, key)| {
            Some(Change::Set { entry, key: key.name.clone(), to: later(&key.value, weeks)? })
        })
        .collect();
    let hours = Entry::One(Table::Hours);
    let closed =
        all.iter().find(|table| table.entry == hours).and_then(|table| table.get("closed"));
    if let Some(closed) = closed {
        let later_on = |range: String| match dates(&range, None) {
            Ok(days) if days.start() == days.end() => weeks_later(*days.start(), weeks).to_string(),
            Ok(days) => format!(
                "{} to {}",
                weeks_later(*days.start(), weeks),
                weeks_later(*days.end(), weeks)
            ),
            Err(_) => range,
        };
        let to = shown(closed).into_iter().map(later_on).collect::<Vec<_>>().into();
        changes.push(Change::Set { entry: hours, key: "closed".to_owned(), to });
    }
    edit::edit(text, &changes).unwrap_or_else(|_| text.to_owned())
}

fn later(value: &Value, weeks: i64) -> Option<Value> {
    let text = shown(value).concat();
    let (day, time) = text.split_at_checked(10)?;
    Some(datetime(&format!("{}{time}", weeks_later(date(day)?, weeks))))
}

fn weeks_later(day: NaiveDate, weeks: i64) -> NaiveDate {
    moved(day, 7 * weeks).unwrap_or(day)
}

fn moved(day: NaiveDate, days: i64) -> Option<NaiveDate> {
    day.checked_add_signed(chrono::Duration::days(days))
}

fn date(text: &str) -> Option<NaiveDate> {
    NaiveDate::parse_from_str(text.get(..10)?, "%Y-%m-%d").ok()
}

fn datetime(text: &str) -> Value {
    text.parse().map_or_else(|_| Value::from(text), Value::Datetime)
}

/// The first day from then on on which the first group has class.
fn class_day(all: &[Written], from: NaiveDate) -> NaiveDate {
    let group = Entry::Of(List::Things(Table::Group), 0);
    let days = all.iter().find(|table| table.entry == group).and_then(|group| group.get("days"));
    let days = days.and_then(|days| shown(days).join(" ").parse::<Weekly>().ok());
    let mut open = from.iter_days().take(90).filter(|day| !is_closed(all, *day));
    open.find(|day| days.is_none_or(|days| days.include(day.weekday()))).unwrap_or(from)
}

fn is_closed(all: &[Written], day: NaiveDate) -> bool {
    let hours = Entry::One(Table::Hours);
    let closed =
        all.iter().find(|table| table.entry == hours).and_then(|hours| hours.get("closed"));
    let ranges = closed.map(shown).unwrap_or_default();
    ranges.iter().any(|range| dates(range, None).is_ok_and(|days| days.contains(&day)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile;

    const STARTER: &str = include_str!("../../../tests/data/starter.toml");

    fn on(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn a_new_plan_is_still_to_come() {
        for today in [on(2026, 11, 25), on(2027, 1, 1), on(2028, 2, 29), on(2025, 6, 1)] {
            let text = starter(STARTER, today);
            let plan = planfile::read(&text).unwrap();
            let first = plan.ice[0].sessions[0].at.date_naive();
            let ahead = (first - today).num_days();
            assert!((10..17).contains(&ahead), "{today}: {first}");
            assert_eq!(plan.ornaments[0].give - first, chrono::Duration::days(9));
            assert_eq!(text.lines().count(), STARTER.lines().count());
        }
        assert_eq!(starter(STARTER, on(2026, 11, 27)), STARTER);
    }

    #[test]
    fn what_is_new_is_sound() {
        let today = on(2026, 11, 27);
        let lists = Table::LISTS.map(List::Things).into_iter().chain([List::Sessions(0)]);
        let mut text = String::new();
        for list in lists {
            let changes = more(list, &written(STARTER).unwrap(), today);
            text = edit::edit(STARTER, &changes).unwrap();
            assert!(planfile::read(&text).is_ok(), "{list:?}: {:?}\n{text}", planfile::read(&text));
        }
        let plan = planfile::read(&text).unwrap();
        assert_eq!(plan.ice[0].sessions[1].at.to_rfc3339(), "2026-12-16T09:30:00-07:00");
    }
}

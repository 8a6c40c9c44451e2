//! New things with values that make sense, and a new plan with days that are still to come.

use chrono::{Datelike, Days, NaiveDate};

use super::blanks::{names, shown};
use crate::planfile::{
    Days as Weekly, dates,
    edit::{self, Change, Entry, Kind, List, Section, Setting, Written, written},
};

/// Days until the first session of a new plan, at least: time to shop and to freeze.
const AHEAD: u64 = 10;

/// The keys of one more thing or session.
pub fn keys(list: List, all: &[Written], today: NaiveDate) -> Vec<(String, Setting)> {
    let text = |text: &str| Setting::text(text);
    let first = |kind| names(kind, all).into_iter().next().unwrap_or_default();
    let metric = all.first().and_then(|plan| plan.get("units")) != Some(&text("us"));
    let keys: Vec<(&str, Setting)> = match list {
        List::Sessions(ice) => return session(ice, all, today),
        List::Things(kind) => match kind {
            Kind::Group => vec![
                ("name", new_name("Group", kind, all)),
                ("days", text("Mon Wed Fri")),
                ("children", Setting::Number(10)),
                ("youngest", text("2 years")),
            ],
            Kind::Freezer => vec![
                ("name", new_name("freezer", kind, all)),
                ("kind", text("fridge-freezer")),
                ("holds", Setting::Number(6)),
            ],
            Kind::Oven => vec![
                ("name", new_name("oven", kind, all)),
                ("kind", text("still")),
                ("trays", Setting::Number(1)),
                ("tray", text(if metric { "33 x 46 cm" } else { "13 x 18 in" })),
            ],
            Kind::Mould => vec![
                ("name", new_name("mould", kind, all)),
                ("volume", text(if metric { "200 mL" } else { "3/4 cup" })),
                ("depth", text(if metric { "35 mm" } else { "1 3/8 in" })),
                ("wall", text("silicone")),
                ("own", Setting::Number(4)),
            ],
            Kind::Ice => vec![
                ("name", new_name("Ice", kind, all)),
                ("mould", Setting::Text(first(Kind::Mould))),
                ("freezer", Setting::Text(first(Kind::Freezer))),
                ("blocks", text("each")),
                ("session", Setting::List(vec![Setting::Table(session(usize::MAX, all, today))])),
            ],
            Kind::Ornament => vec![
                ("name", new_name("Ornaments", kind, all)),
                ("shape", text(if metric { "round 75 mm" } else { "round 3 in" })),
                ("thickness", text(if metric { "6 mm" } else { "1/4 in" })),
                ("recipe", text("two-one-one")),
                ("groups", Setting::texts([first(Kind::Group)])),
                ("each", Setting::Number(1)),
                ("method", text("oven")),
                ("oven", Setting::Text(first(Kind::Oven))),
                ("at", text(if metric { "95 C" } else { "200 F" })),
                ("finish", Setting::texts(["paint", "seal"])),
                ("give", datetime(&class_day(all, today + Days::new(2 * AHEAD)).to_string())),
            ],
            Kind::Theme => vec![
                ("name", new_name("Theme", kind, all)),
                ("activities", Setting::texts([first(Kind::Ice)])),
            ],
        },
    };
    keys.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}

/// `Group 2`, or the first such name that is free.
fn new_name(word: &str, kind: Kind, all: &[Written]) -> Setting {
    let taken = names(kind, all);
    let number = (taken.len() + 1..).find(|n| !taken.contains(&format!("{word} {n}")));
    Setting::Text(format!("{word} {}", number.unwrap_or_default()))
}

/// A week after the last session of the activity, else the first group's next day.
fn session(ice: usize, all: &[Written], today: NaiveDate) -> Vec<(String, Setting)> {
    let last = all
        .iter()
        .rfind(|table| matches!(table.entry, Entry::Of(List::Sessions(of), _) if of == ice));
    let week_later = last.and_then(|table| {
        let weeks = (1..9).filter_map(|weeks| later(table.get("at")?, weeks));
        let mut open =
            weeks.filter(|at| date(&shown(at).concat()).is_some_and(|day| !is_closed(all, day)));
        Some((table.get("group")?.clone(), open.next()?))
    });
    let (group, at) = week_later.unwrap_or_else(|| {
        let group = names(Kind::Group, all).into_iter().next().unwrap_or_default();
        let day = class_day(all, today + Days::new(AHEAD));
        (Setting::Text(group), datetime(&format!("{day}T09:30:00")))
    });
    vec![("group".to_owned(), group), ("at".to_owned(), at)]
}

/// The starter with all its days moved by whole weeks, so that its first session is to come.
pub fn starter(text: &str, today: NaiveDate) -> String {
    let all = written(text).unwrap_or_default();
    let dated = all.iter().flat_map(|table| {
        let keys = table.keys.iter().filter(|key| matches!(key.value, Setting::When(_)));
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
    let hours = Entry::Section(Section::Hours);
    let closed =
        all.iter().find(|table| table.entry == hours).and_then(|table| table.get("closed"));
    if let Some(closed) = closed {
        let moved = |range: String| match dates(&range) {
            Ok(days) if days.start() == days.end() => moved(*days.start(), weeks).to_string(),
            Ok(days) => format!("{} to {}", moved(*days.start(), weeks), moved(*days.end(), weeks)),
            Err(_) => range,
        };
        let to = Setting::texts(shown(closed).into_iter().map(moved));
        changes.push(Change::Set { entry: hours, key: "closed".to_owned(), to });
    }
    edit::edit(text, &changes).unwrap_or_else(|_| text.to_owned())
}

fn later(value: &Setting, weeks: i64) -> Option<Setting> {
    let text = shown(value).concat();
    let (day, time) = text.split_at_checked(10)?;
    Some(datetime(&format!("{}{time}", moved(date(day)?, weeks))))
}

fn moved(day: NaiveDate, weeks: i64) -> NaiveDate {
    day.checked_add_signed(chrono::Duration::weeks(weeks)).unwrap_or(day)
}

fn date(text: &str) -> Option<NaiveDate> {
    NaiveDate::parse_from_str(text.get(..10)?, "%Y-%m-%d").ok()
}

fn datetime(text: &str) -> Setting {
    text.parse().map_or_else(|_| Setting::text(text), Setting::When)
}

/// The first day from then on on which the first group has class.
fn class_day(all: &[Written], from: NaiveDate) -> NaiveDate {
    let group = Entry::Of(List::Things(Kind::Group), 0);
    let days = all.iter().find(|table| table.entry == group).and_then(|group| group.get("days"));
    let days = days.and_then(|days| shown(days).join(" ").parse::<Weekly>().ok());
    let mut open = from.iter_days().take(90).filter(|day| !is_closed(all, *day));
    open.find(|day| days.is_none_or(|days| days.include(day.weekday()))).unwrap_or(from)
}

fn is_closed(all: &[Written], day: NaiveDate) -> bool {
    let hours = Entry::Section(Section::Hours);
    let closed =
        all.iter().find(|table| table.entry == hours).and_then(|hours| hours.get("closed"));
    let ranges = closed.map(shown).unwrap_or_default();
    ranges.iter().any(|range| dates(range).is_ok_and(|days| days.contains(&day)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile;

    const STARTER: &str = include_str!("../../cli/starter.toml");

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
        for kind in Kind::ALL {
            let list = List::Things(kind);
            let keys = keys(list, &written(STARTER).unwrap(), today);
            let text = edit::edit(STARTER, &[Change::Add { list, keys }]).unwrap();
            assert!(planfile::read(&text).is_ok(), "{kind:?}: {:?}\n{text}", planfile::read(&text));
        }
        let list = List::Sessions(0);
        let keys = keys(list, &written(STARTER).unwrap(), today);
        let text = edit::edit(STARTER, &[Change::Add { list, keys }]).unwrap();
        let plan = planfile::read(&text).unwrap();
        assert_eq!(plan.ice[0].sessions[1].at.to_rfc3339(), "2026-12-16T09:30:00-07:00");
    }
}

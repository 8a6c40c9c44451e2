//! The plan file that the answers make: the starter with what is hers in the place of what
//! is invented, and without what she did not speak of.

use chrono::{Datelike, Duration, NaiveDateTime, NaiveTime, Timelike};
use toml::Value;

use crate::{
    planfile::{
        self, Table,
        edit::{self, Change, Entry, List},
    },
    shape::Kind,
    tables,
    units::{System, time_of_day},
    web::{
        form::Form,
        typed::{MOMENT, size},
    },
};

/// How long class is taken to go on from the beginning of the session.
const CLASS: Duration = Duration::hours(2);

/// Minutes of a day.
const DAY: i64 = 24 * 60;

/// The text; none where an answer is missing or wrong, which the form then says.
pub fn text(form: &mut Form, units: System) -> Option<String> {
    let at = read(form, ("at", "2026-12-09T09:30"), |typed| {
        NaiveDateTime::parse_from_str(typed, MOMENT).ok()
    });
    let [from, until, leave] =
        ["from", "until", "leave"].map(|name| read(form, (name, "18:30"), time_of_day));
    let (at, from, until, leave) = (at?, from?, until?, leave?);
    let way = read(form, ("way", "15"), |typed| typed.parse::<u16>().ok().filter(|way| *way > 0))?;
    let there = leave + Duration::minutes(i64::from(way));
    if until <= from {
        form.fault("until", "must be later than “Hands free at home from”");
    }
    if there > at.time() || there < leave {
        form.fault("leave", "must be early enough to be there before the session begins");
    }
    let mould = match tables::mould(form.get("mould").unwrap_or_default()) {
        Ok(mould) => mould,
        Err(error) => {
            form.fault("mould", error.to_string());
            return None;
        }
    };
    if form.is_faulty() {
        return None;
    }
    let hours = Hours { at, home: [from, until], there, way };
    let changes = [things(form, (mould, units)), times(&hours), unsaid()].concat();
    edit::edit(&planfile::starter(), &changes).ok()
}

/// When what is.
struct Hours {
    /// The session begins.
    at: NaiveDateTime,
    /// Hands are free.
    home: [NaiveTime; 2],
    /// When she is at school.
    there: NaiveTime,
    /// Minutes on the way.
    way: u16,
}

/// A field that was filled, or its fault.
fn read<T>(
    form: &mut Form,
    (name, example): (&'static str, &str),
    read: impl Fn(&str) -> Option<T>,
) -> Option<T> {
    let typed = form.get(name)?.to_owned();
    let value = read(&typed);
    if value.is_none() {
        form.fault(name, format!("“{typed}” is not read; as in {example}"));
    }
    value
}

fn set(entry: Entry, key: &str, to: impl Into<Value>) -> Change {
    Change::Set { entry, key: key.to_owned(), to: to.into() }
}

fn first(table: Table) -> Entry {
    Entry::Of(List::Things(table), 0)
}

/// A whole number where one was typed: the reader of the plan says what is wrong with another.
fn number(form: &Form, name: &str) -> Value {
    let typed = form.get(name).unwrap_or_default();
    typed.parse().map_or_else(|_| Value::from(typed), Value::Integer)
}

fn things(form: &Form, (mould, units): (&tables::Mould, System)) -> Vec<Change> {
    let said = |name| form.get(name).unwrap_or_default().to_owned();
    let own = first(Table::Mould);
    let renamed = |kind, to: String| Change::Rename { kind, index: 0, to };
    vec![
        set(Entry::One(Table::Plan), "title", format!("Ice for {}", said("name"))),
        set(Entry::One(Table::Plan), "timezone", said("zone")),
        set(Entry::One(Table::Plan), "units", units.word()),
        renamed(Table::Group, said("name")),
        set(first(Table::Group), "children", number(form, "children")),
        set(first(Table::Freezer), "kind", said("freezer")),
        renamed(Table::Mould, mould.name().to_owned()),
        set(own, "shape", shape(mould, units)),
        set(own, "wall", mould.wall().name()),
        set(own, "own", number(form, "own")),
    ]
}

/// A mould of the tables by its name and its size across; one that has the name of a kind of
/// shape by all its sizes.
fn shape(mould: &tables::Mould, units: System) -> String {
    let sizes = match Kind::named(mould.name()) {
        Some(_) => mould.shape().sizes().into_iter().map(|(_, length)| length).collect(),
        None => vec![mould.shape().across()],
    };
    let sizes = sizes.into_iter().map(|length| size(length, units)).collect::<Vec<_>>();
    format!("{} {}", mould.name(), sizes.join(" x "))
}

fn times(hours: &Hours) -> Vec<Change> {
    let clock = |time: NaiveTime| time.format("%H:%M").to_string();
    let (day, time) = (hours.at.weekday(), hours.at.time());
    // Class that begins late ends with its day.
    let rest = DAY - i64::from(time.num_seconds_from_midnight() / 60) - 1;
    let until = time + CLASS.min(Duration::minutes(rest));
    let class = format!("{day} {}-{}", clock(hours.there), clock(until));
    let home = format!("daily {}-{}", clock(hours.home[0]), clock(hours.home[1]));
    let session = Entry::Of(List::Sessions(0), 0);
    let at = hours.at.format("%Y-%m-%dT%H:%M:00").to_string();
    let at = at.parse().map_or_else(|_| Value::from(at), Value::Datetime);
    vec![
        set(Entry::One(Table::Hours), "home", vec![home]),
        set(Entry::One(Table::Hours), "class", vec![class]),
        set(first(Table::Group), "days", day.to_string()),
        set(first(Table::Ice), "travel", format!("{} min", hours.way)),
        set(session, "at", at),
    ]
}

/// What the starter invents and nobody has said.
fn unsaid() -> Vec<Change> {
    let gone = [
        (Entry::One(Table::Hours), "closed"),
        (Entry::One(Table::Room), "temperature"),
        (Entry::One(Table::Room), "humidity"),
        (Entry::One(Table::Room), "altitude"),
        (first(Table::Group), "youngest"),
        (first(Table::Freezer), "air"),
        (first(Table::Freezer), "rated"),
        (first(Table::Freezer), "holds"),
        (first(Table::Mould), "volume"),
        (first(Table::Mould), "depth"),
    ];
    let keys = gone.map(|(entry, key)| Change::Unset { entry, key: key.to_owned() });
    let tables = [Table::Ornament, Table::Oven];
    let tables = tables.map(|table| Change::Remove { list: List::Things(table), index: 0 });
    keys.into_iter().chain(tables).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{units::in_hours, web::fields::Fields};

    fn made(query: &str, units: System) -> Option<String> {
        let sent = Fields::read(query.as_bytes());
        text(&mut Form::of(super::super::FIELDS.to_vec(), sent, units), units)
    }

    #[test]
    fn every_mould_makes_a_sound_plan() {
        for mould in tables::moulds() {
            for units in [System::Us, System::Metric] {
                let query = form_urlencoded::Serializer::new(String::new())
                    .append_pair("mould", mould.name())
                    .finish();
                let query = format!(
                    "name=Wrens&children=9&at=2026-12-09T09:30&{query}&own=5&freezer=chest\
                     &from=18:30&until=21:00&leave=08:45&way=15&zone=Europe/Vienna"
                );
                let text = made(&query, units).unwrap();
                let plan = planfile::read(&text);
                let plan = plan.unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
                assert_eq!((plan.ice.len(), plan.ornaments.len()), (1, 0));
                assert_eq!(plan.groups[0].children, 9);
            }
        }
    }

    #[test]
    fn all_times_are_hers() {
        let query = "name=Wrens&children=9&at=2026-12-09T23:10&mould=star&own=5&freezer=chest\
                     &from=18:40&until=21:20&zone=Europe/Vienna&leave=22:25&way=35";
        let plan = planfile::read(&made(query, System::Metric).unwrap()).unwrap();
        let at = |text: &str| text.parse::<NaiveTime>().unwrap();
        let session = &plan.ice[0].sessions[0];
        assert_eq!(session.at.naive_local().to_string(), "2026-12-09 23:10:00");
        assert_eq!(in_hours(plan.ice[0].travel), 35.0 / 60.0);
        let hours = |name: &str| {
            let place = plan.places.iter().find(|place| place.name == name).unwrap();
            (place.hours[0].from, place.hours[0].until)
        };
        assert_eq!(hours("home"), (at("18:40"), at("21:20")));
        assert_eq!(hours("class"), (at("23:00"), at("23:59")));
    }

    #[test]
    fn who_leaves_after_the_session_is_asked_again() {
        let query = "name=Wrens&children=9&at=2026-12-09T09:30&mould=star&own=5&freezer=chest\
                     &from=18:30&until=21:00&zone=Europe/Vienna&way=20&leave=";
        assert!(made(&format!("{query}10:00"), System::Metric).is_none());
        assert!(made(&format!("{query}dawn"), System::Metric).is_none());
        assert!(made(&format!("{query}8:45 am"), System::Metric).is_some());
    }
}

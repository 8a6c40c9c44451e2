//! Ice activities with their sessions, ornament batches and themes.

use std::collections::BTreeSet;

use chrono::{NaiveDate, NaiveDateTime, TimeZone};
use toml::value::Offset;

use super::{
    Blocks, CLASS, Finish, Group, Ice, Method, Opening, Ornament, Plan, Session, Theme,
    fault::{Fault, Wrong},
    key::Table,
    model::turns_last,
    mould::word_and_sizes,
    reader::Reader,
    rule::Rule,
    usual_setting,
    values::{not_a, text},
};
use crate::{
    tables,
    units::{self, Length, Time, millimetres, zone::instant},
};

/// Reads one `[[ice]]`; `plan` holds the things read before it.
pub fn ice(reader: &Reader<'_>, plan: &Plan) -> Option<Ice> {
    let (name, mould, freezer) =
        (reader.get("name"), reader.thing("mould"), reader.thing("freezer"));
    let (blocks, spare, travel) = (reader.get("blocks"), reader.get("spare"), reader.get("travel"));
    let sessions = reader.tables(Table::Session);
    if sessions.is_empty() {
        reader.keep(Fault::whole(reader.header(), Wrong::Rule(Rule::NoSession)));
    }
    let read: Vec<_> = sessions.iter().map(|reader| session(reader, plan)).collect();
    twice(&sessions, &read, plan);
    let (turn, at_once) = (reader.get("turn"), reader.get("at_once"));
    let shared = !matches!(blocks, Some(Blocks::Each));
    if let Some(key) = ["turn", "at_once"].into_iter().find(|key| reader.found(key).is_some())
        && !shared
    {
        reader.broken(reader.span(key), key, Rule::NoTurns);
    }
    if let (Some(blocks), Some(at_once), Some(turn)) = (blocks, at_once, turn) {
        for (reader, session) in sessions.iter().zip(&read) {
            let session = session.as_ref();
            session.and_then(|it| in_turns((reader, plan), ((blocks, at_once), turn), it));
        }
    }
    Some(Ice {
        name: name?,
        mould: mould?,
        freezer: freezer?,
        blocks: blocks?,
        spare: spare?,
        travel: travel?,
        travel_told: reader.found("travel").is_some(),
        turn,
        at_once: at_once?,
        sessions: read.into_iter().collect::<Option<_>>()?,
    })
}

/// Of ice of which the file does not say how long the way to class is, it is as long as the longest
/// for other ice from the same place.
pub fn same_way(plan: &mut Plan) {
    let from = |ice: &Ice| plan.freezers.get(ice.freezer).map(|freezer| freezer.place);
    let told: Vec<_> = plan.ice.iter().filter(|ice| ice.travel_told).collect();
    let longest = |own: &Ice| {
        let same = told.iter().filter(|ice| from(ice) == from(own));
        same.map(|ice| ice.travel).reduce(|a, b| if b > a { b } else { a })
    };
    let ways: Vec<_> =
        plan.ice.iter().map(|own| longest(own).filter(|_| !own.travel_told)).collect();
    for (own, way) in plan.ice.iter_mut().zip(ways) {
        own.travel = way.unwrap_or(own.travel);
    }
}

/// All turns must fit the hours of class that are left.
fn in_turns(
    (reader, plan): (&Reader<'_>, &Plan),
    (seats, turn): ((Blocks, u32), Time),
    session: &Session,
) -> Option<()> {
    let group = plan.groups.get(session.group)?;
    let minutes = units::in_minutes(turns_last(seats, turn, group)?).ceil() as i64;
    let (day, time) = (session.at.date_naive(), session.at.time());
    let hours = plan.group_hours(group);
    let open = hours.iter().filter(|open| open.on(day) && open.from <= time && time < open.until);
    let open = open.map(|open| (open.until - time).num_minutes()).max()?;
    if minutes > open {
        reader.broken(reader.span("at"), "at", Rule::TurnsTooLong { minutes, open });
    }
    Some(())
}

/// Says of a session that there is one like it before.
fn twice(readers: &[Reader<'_>], sessions: &[Option<Session>], plan: &Plan) {
    let mut before = BTreeSet::new();
    for (reader, session) in readers.iter().zip(sessions) {
        let Some(Session { group, at, .. }) = session else { continue };
        if !before.insert((*group, at.to_utc()))
            && let Some(group) = plan.groups.get(*group)
        {
            reader.broken(reader.span("at"), "at", Rule::SameSession(group.name.clone()));
        }
    }
}

fn session(reader: &Reader<'_>, plan: &Plan) -> Option<Session> {
    let (group, spare) = (reader.thing("group"), reader.get("spare"));
    let (local, offset): (NaiveDateTime, Option<Offset>) = reader.get("at")?;
    let group = group?;
    if let Some(rule) = missed(plan, plan.groups.get(group)?, local) {
        reader.broken(reader.span("at"), "at", rule);
    }
    let at = match offset {
        None => {
            let at = instant(&plan.zone, local);
            let skipped = |skipped| Wrong::Rule(Rule::Skipped(skipped));
            reader.noted("at", reader.span("at"), at.map_err(skipped))?
        }
        Some(Offset::Z) => plan.zone.from_utc_datetime(&local),
        Some(Offset::Custom { minutes }) => {
            plan.zone.from_utc_datetime(&(local - chrono::Duration::minutes(i64::from(minutes))))
        }
    };
    Some(Session { group, at, spare, without: 0 })
}

/// Why a group is not in class at a time.
fn missed(plan: &Plan, group: &Group, at: NaiveDateTime) -> Option<Rule> {
    let day = at.date();
    if plan.is_closed(day) {
        return Some(Rule::ClosedSession(day));
    }
    if plan.is_away(at) {
        return Some(Rule::Away(day));
    }
    if !plan.meets(group, day) {
        let days = group.day_words();
        return Some(Rule::DoesNotMeet { group: group.name.clone(), day, days });
    }
    let place = plan.class_at(group.place);
    let time = at.time();
    let open = |hours: &[Opening]| {
        hours.iter().any(|open| open.on(day) && open.from <= time && time < open.until)
    };
    if !open(plan.class_hours(group.place)) {
        let place = place.map_or(CLASS, |place| place.name.as_str()).to_owned();
        return Some(Rule::OutsideHours { time, place });
    }
    let there = open(&plan.group_hours(group));
    (!there).then(|| Rule::NotThereThen { time, group: group.name.clone() })
}

/// Reads one `[[ornament]]`.
pub fn ornament(reader: &Reader<'_>, plan: &Plan) -> Option<Ornament> {
    let (name, across) = (reader.get("name"), across(reader));
    let (thickness, recipe) = (reader.get("thickness"), reader.row("recipe", tables::recipes()));
    let (each, spare) = (reader.get("each"), reader.get("spare"));
    let (groups, method, opening) = (groups(reader), method(reader, plan), reader.get("opening"));
    if let (Some(across), Some(opening)) = (across, opening) {
        let rim: Length = (across - opening) / 2.0;
        if rim < millimetres(5.0) || opening > 0.9 * across {
            let rule = Rule::NoRim { across_mm: units::in_millimetres(across) };
            reader.broken(reader.span("opening"), "opening", rule);
        }
    }
    let (finish, give) = (finish(reader), give(reader, plan));
    if let (Some(groups), Some(day)) = (&groups, give) {
        in_class_before(reader, plan, groups, day);
    }
    Some(Ornament {
        name: name?,
        across: across?,
        opening,
        thickness: thickness?,
        recipe: recipe?,
        groups: groups?,
        each: each?,
        spare: spare?,
        method: method?,
        finish: finish?,
        give: give?,
        pieces: None,
    })
}

/// Each group must meet in the week up to the day of giving.
fn in_class_before(reader: &Reader<'_>, plan: &Plan, groups: &[usize], day: NaiveDate) {
    let week = || (0..7).filter_map(|back| day.checked_sub_days(chrono::Days::new(back)));
    for group in groups.iter().filter_map(|group| plan.groups.get(*group)) {
        let hours = plan.group_hours(group);
        let there = |day| plan.meets(group, day) && hours.iter().any(|open| open.on(day));
        if !week().any(there) {
            let rule = Rule::NoClassBefore { group: group.name.clone(), day };
            reader.broken(reader.span("give"), "give", rule);
        }
    }
}

/// `round 75 mm`, or any outline's name with its size across.
fn across(reader: &Reader<'_>) -> Option<Length> {
    reader.value("shape", |row, value| {
        let (word, sizes) = word_and_sizes(row, value)?;
        let fits = |size: &Length| (millimetres(10.0)..=millimetres(400.0)).contains(size);
        match sizes[..] {
            [size] if !word.is_empty() && fits(&size) => Ok(size),
            _ => {
                let what = "a shape and its size across, between 10 mm and 400 mm";
                Err(not_a(what, row, text(row, value)?))
            }
        }
    })
}

fn groups(reader: &Reader<'_>) -> Option<Vec<usize>> {
    let groups = reader.things("groups")?;
    if groups.is_empty() {
        let wrong = Wrong::Empty { example: "[\"Otters\"]" };
        reader.keep(Fault::of(reader.span("groups"), "groups", wrong));
    }
    Some(groups)
}

/// The way of drying, or what the file leaves open of it: then also in the first oven, where the
/// ornament names none.
fn method(reader: &Reader<'_>, plan: &Plan) -> Option<Method> {
    let word = reader.word("method");
    // Whatever the way is, what is wrong with its oven is told.
    let oven = reader.thing("oven").zip(reader.get("at"));
    let word = word?;
    let oven_then_air = match word {
        "air" => return Some(Method::Air),
        "oven" => return Some(Method::Oven(oven?)),
        word => word == "oven then air",
    };
    for (key, other) in [("oven", "at"), ("at", "oven")] {
        let lacks = reader.found(key).is_none();
        if lacks && (oven_then_air || reader.found(other).is_some()) {
            let table = "this `ornament`".to_owned();
            let example = reader.schema_row(key).map_or("", |row| row.example);
            let missing = Wrong::Missing { table, example };
            reader.keep(Fault::of(reader.header(), key, missing));
        }
    }
    if oven_then_air {
        return oven.map(Method::OvenThenAir);
    }
    let first = (!plan.ovens.is_empty()).then_some((0, usual_setting(plan.units)));
    Some(Method::Any(oven.or(first)))
}

fn finish(reader: &Reader<'_>) -> Option<Vec<Finish>> {
    let words = reader.words("finish")?;
    let finish = |word: &str| Finish::ALL.into_iter().find(|it| it.word() == word);
    let all: Vec<Finish> = words.into_iter().map(finish).collect::<Option<_>>()?;
    let wrong = all.iter().zip(all.iter().skip(1)).find(|(early, it)| it.stage() < early.stage());
    if let Some((early, first)) = wrong {
        let rule = Rule::FinishTooEarly { early: early.word(), first: first.word() };
        reader.broken(reader.span("finish"), "finish", rule);
    }
    Some(all)
}

fn give(reader: &Reader<'_>, plan: &Plan) -> Option<NaiveDate> {
    let day = reader.get("give")?;
    if plan.is_closed(day) {
        reader.broken(reader.span("give"), "give", Rule::ClosedGiving(day));
        return None;
    }
    if plan.is_away_all(day) {
        reader.broken(reader.span("give"), "give", Rule::Away(day));
    }
    Some(day)
}

/// Reads one `[[theme]]`.
pub fn theme(reader: &Reader<'_>) -> Option<Theme> {
    let names = reader.names(&[Table::Ice, Table::Ornament]);
    let activities = reader.things("activities");
    let name = |n: usize| names.get(n).map(|name| (*name).to_owned());
    Some(Theme {
        name: reader.get("name")?,
        activities: activities?.into_iter().filter_map(name).collect(),
    })
}

#[cfg(test)]
mod tests {
    use crate::{planfile::read, units::in_minutes};

    #[test]
    fn the_way_to_class_is_the_same_with_other_ice_from_the_same_place() {
        let at_class = "[[freezer]]\nname = \"class\"\nkind = \"chest\"\nplace = \"class\"\n\n";
        let other = |name: &str, freezer: &str, way: &str| {
            format!(
                "[[ice]]\nname = \"{name}\"\nmould = \"fox\"\nfreezer = \"{freezer}\"\nblocks = \
                 2\n{way}session = [{{ group = \"Otters\", at = 2026-12-11T09:30:00 }}]\n\n"
            )
        };
        let others = [
            at_class.to_owned(),
            other("not told", "kitchen", ""),
            other("near", "kitchen", "travel = \"5 min\"\n"),
            other("there", "class", ""),
        ];
        let text = include_str!("../../demo/forest-fortnight.toml");
        let plan = read(&text.replacen("[[ice]]", &format!("{}[[ice]]", others.concat()), 1));
        let plan = plan.unwrap_or_else(|faults| panic!("{faults:?}"));
        let way = |name: &str| {
            let own = plan.ice.iter().find(|ice| ice.name == name).unwrap();
            (in_minutes(own.travel).round(), own.travel_told)
        };
        assert_eq!(
            ["not told", "near", "there"].map(way),
            [(25.0, false), (5.0, true), (0.0, false)]
        );
    }
}

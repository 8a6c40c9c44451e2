//! The whole plan file, in the order its parts refer to one another.

use std::collections::BTreeMap;

use super::{
    Fault, Plan,
    fault::Wrong,
    key::Table,
    mould,
    reader::{Reader, document},
    room,
    rule::Rule,
    sessions,
    slug::slug,
    things,
};
use crate::units::System;

/// Reads a plan file.
///
/// # Errors
/// Every fault of the file, in the order of its lines.
pub fn read(text: &str) -> Result<Plan, Vec<Fault>> {
    document(text, Table::Plan, whole)
}

fn whole(reader: &Reader<'_>) -> Option<Plan> {
    let (title, zone, units) = (reader.get("title"), reader.get("timezone"), reader.word("units"));
    let (mut places, closed) = things::hours(reader);
    things::hands(reader, &mut places);
    // Where its air is wrong, the plan is read on with the usual one, so that all is told.
    let room = things::room(&reader.section(Table::Room));
    let room = room.or_else(|| things::room(&reader.nothing(Table::Room)))?;
    let wishes = things::wishes(&reader.section(Table::Wishes));
    let wishes = wishes.or_else(|| things::wishes(&reader.nothing(Table::Wishes)))?;
    let mut plan = Plan {
        title: title.unwrap_or_default(),
        zone: zone.unwrap_or(chrono_tz::Tz::UTC),
        units: units.and_then(System::named).unwrap_or_default(),
        places,
        closed,
        away: things::away(&reader.section(Table::Hours)),
        wishes,
        room,
        groups: Vec::new(),
        freezers: Vec::new(),
        ovens: Vec::new(),
        moulds: Vec::new(),
        ice: Vec::new(),
        ornaments: Vec::new(),
        themes: Vec::new(),
        done: reader.list("done").unwrap_or_default(),
        kept: None,
    };
    plan.groups = each(reader, Table::Group, |entry| things::group(entry, &plan));
    plan.freezers = each(reader, Table::Freezer, things::freezer);
    plan.ovens = each(reader, Table::Oven, things::oven);
    plan.moulds = each(reader, Table::Mould, mould::mould);
    plan.ice = each(reader, Table::Ice, |entry| sessions::ice(entry, &plan));
    sessions::same_way(&mut plan);
    room::usual(&mut plan);
    plan.ornaments = each(reader, Table::Ornament, |entry| sessions::ornament(entry, &plan));
    plan.themes = each(reader, Table::Theme, sessions::theme);
    names_once(reader);
    if reader.found("ice").is_none() && reader.found("ornament").is_none() {
        reader.keep(Fault::whole(reader.header(), Wrong::Rule(Rule::NothingToPrepare)));
    }
    Some(plan)
}

/// Reads each table of a list; what cannot be read has left its fault.
fn each<T>(reader: &Reader<'_>, table: Table, read: impl Fn(&Reader<'_>) -> Option<T>) -> Vec<T> {
    reader.tables(table).iter().filter_map(read).collect()
}

/// Two things of a kind with one name cannot be told apart; nor can steps that are named after
/// them where their names differ in nothing that a step has of them.
fn names_once(reader: &Reader<'_>) {
    for table in Table::LISTS.into_iter().filter(|table| *table != Table::Theme) {
        let names_steps = matches!(table, Table::Group | Table::Ice | Table::Ornament);
        let mut known: BTreeMap<String, &str> = BTreeMap::new();
        for (name, span) in reader.named(table) {
            let of_steps = if names_steps { slug(name) } else { name.to_owned() };
            let Some(other) = known.get(&of_steps) else {
                known.insert(of_steps, name);
                continue;
            };
            let (name, other) = (name.to_owned(), (*other).to_owned());
            let wrong = match name == other {
                true => Rule::SameName { table, name },
                false => Rule::AlikeNames { table, name, other },
            };
            reader.broken(span, "name", wrong);
        }
    }
}

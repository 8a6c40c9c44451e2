//! A form that was sent, as changes to the plan file it was made from.

use super::blanks::{Blank, Way, blanks, code, shown};
use crate::{
    planfile::{
        Days,
        edit::{Change, Entry, Kind, List, Section, Setting, Written},
    },
    web::fields::Fields,
};

/// What the user changed in the form; what is as it was shown is no change.
pub fn changes(all: &[Written], form: &Fields) -> Vec<Change> {
    let (mut set, mut renamed) = (Vec::new(), Vec::new());
    for entry in entries(all) {
        let table = all.iter().find(|table| table.entry == entry);
        for blank in blanks(entry, all) {
            let Some(sent) = sent(&blank, entry, form) else { continue };
            let now = table.and_then(|table| table.get(&blank.key));
            match (change(&blank, entry, now, &sent), entry, blank.way) {
                (None, ..) => {}
                // Others that refer to it follow, after they have got their own new values.
                (
                    Some(Change::Set { to: Setting::Text(to), .. }),
                    Entry::Of(List::Things(kind), index),
                    Way::Name,
                ) if now.is_some() => renamed.push(Change::Rename { kind, index, to }),
                (Some(change), ..) => set.push(change),
            }
        }
    }
    set.extend(no_oven(all, form));
    set.extend(renamed);
    set
}

/// Every table of the file, and the sections that it has not yet.
pub fn entries(all: &[Written]) -> Vec<Entry> {
    let mut entries: Vec<Entry> = all.iter().map(|table| table.entry).collect();
    for section in Section::ALL.map(Entry::Section) {
        if !entries.contains(&section) {
            entries.push(section);
        }
    }
    entries
}

/// What was sent for a blank; none where the form did not have it.
fn sent(blank: &Blank, entry: Entry, form: &Fields) -> Option<Vec<String>> {
    let name = format!("{}.{}", code(entry), blank.key);
    let mut values = form.all(&name).peekable();
    values.peek()?;
    let lines = values.flat_map(|value| value.split(['\r', '\n']));
    let texts = lines.map(|text| text.trim().to_owned()).filter(|text| !text.is_empty());
    Some(texts.collect())
}

fn change(blank: &Blank, entry: Entry, now: Option<&Setting>, sent: &[String]) -> Option<Change> {
    let key = blank.key.clone();
    let before = now.map(shown).unwrap_or_default();
    if same(blank.way, &before, sent) {
        return None;
    }
    if sent.is_empty() {
        return now.map(|_| Change::Unset { entry, key });
    }
    let to = if blank.way.is_list() {
        Setting::texts(sent.iter().cloned())
    } else {
        let text = sent.join(" ");
        match blank.way {
            Way::Number => text.parse().map_or(Setting::Text(text), Setting::Number),
            Way::When | Way::Day => moment(&text),
            _ => Setting::Text(text),
        }
    };
    (now != Some(&to)).then_some(Change::Set { entry, key, to })
}

/// Whether what was sent means what is there.
fn same(way: Way, before: &[String], sent: &[String]) -> bool {
    let sorted = |texts: &[String]| {
        let mut texts = texts.to_vec();
        texts.sort();
        texts
    };
    match way {
        Way::Days => {
            let days = |texts: &[String]| texts.join(" ").parse::<Days>();
            before == sent || days(before).is_ok_and(|old| days(sent).is_ok_and(|new| old == new))
        }
        // Boxes that are ticked have no order.
        Way::Refers(_) | Way::Ticks(_) => sorted(before) == sorted(sent),
        Way::When => before == sent || sent.join(" ") == local_minute(&before.join(" ")),
        _ => before.iter().filter(|text| !text.is_empty()).eq(sent),
    }
}

/// A day and time as a browser's field has them: `2026-12-09T09:30`.
pub fn local_minute(text: &str) -> String {
    text.strip_suffix(":00").filter(|short| short.len() == 16).unwrap_or(text).to_owned()
}

/// A date-time; what is none stays the text that was typed.
fn moment(text: &str) -> Setting {
    let whole = if text.len() == 16 { format!("{text}:00") } else { text.to_owned() };
    whole.parse().map_or_else(|_| Setting::text(text), Setting::When)
}

/// Ornaments that are now to dry in the room have no oven any more.
fn no_oven(all: &[Written], form: &Fields) -> Vec<Change> {
    let ornaments = all
        .iter()
        .filter(|table| matches!(table.entry, Entry::Of(List::Things(Kind::Ornament), _)));
    let dried_in_the_room = ornaments.filter(|table| {
        let method = form.get(&format!("{}.method", code(table.entry)));
        method == Some("air") && table.get("method") != Some(&Setting::text("air"))
    });
    dried_in_the_room
        .flat_map(|table| {
            ["oven", "at"].map(|key| Change::Unset { entry: table.entry, key: key.to_owned() })
        })
        .collect()
}
